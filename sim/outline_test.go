package sim

import (
	"math"
	"slices"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"
)

// outlines are convex, of 3 to 9 corners within 270 mm of the origin, which they hold.
func outlines() *rapid.Generator[geom.Polygon] {
	return rapid.Custom(func(t *rapid.T) geom.Polygon {
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		var p geom.Polygon
		for i := range n { // each in its own part of the turn, which leaves no gap of half a turn
			share := (float64(i) + rapid.Float64Range(0, 0.4).Draw(t, "corner")) / float64(n)
			p = append(p, geom.Scale(0.27, geom.Unit(2*math.Pi*share)))
		}
		return p
	})
}

// slick has wheels without friction: nothing but what it meets changes its motion.
func slick(r *robot.Robot) {
	for i := range r.Wheels {
		r.Wheels[i].Along, r.Wheels[i].Across = 0, 0
	}
}

// Momentum and angular momentum are what they were, whatever outline runs into whatever other, and energy only falls.
// In a second slick wheels take 2e-6 of a robot's momentum. The engine pushes bodies apart that overlap, which moves
// momentum sideways: by the overlap times m v, 7 g m^2/s for 0.5 mm, some times over where a corner digs in.
func TestCollisionsOfOutlinesKeepMomentum(t *testing.T) {
	met, worst := 0, [3]float64{}
	property.Check(t, func(t *rapid.T) {
		entry := func(x float64) Entry {
			spec := cart(slick)
			spec.Chassis.Outline = outlines().Draw(t, "outline")
			spec.Chassis.Centre = spec.Chassis.Outline.Centroid()
			return Entry{Spec: spec, Start: geom.Pose{X: x, Y: 5, Heading: rapid.Float64Range(-3, 3).Draw(t, "turn")}}
		}
		w, err := New(Config{Field: yard(10, 10), Robots: []Entry{entry(4), entry(6)}, Nominal: true})
		if err != nil {
			t.Fatal(err)
		}
		speed := rapid.Float64Range(-1, 1)
		for i, ahead := range []float64{2, -2} {
			w.robots[i].launch(ahead, 0.3*speed.Draw(t, "aside"), 4*speed.Draw(t, "turns"))
		}
		before, energy := w.momentum(), w.energy()
		w.run(1)
		after := w.momentum()
		for i := range before {
			worst[i] = max(worst[i], math.Abs(after[i]-before[i]))
			if worst[i] > []float64{1e-3, 1e-3, 0.1}[i] {
				t.Fatalf("momentum %v became %v", before, after)
			}
		}
		if now := w.energy(); now > energy+1e-9 {
			t.Fatalf("energy rose from %g to %g J", energy, now)
		} else if now < energy-1e-9 {
			met++
		}
	})
	if met == 0 {
		t.Error("none met")
	}
	t.Logf("momentum differed by %.3g at most", worst)
}

// momentum of all robots along x and y, kg m/s, and angular momentum about (5, 5) m, kg m^2/s.
func (w *World) momentum() (p [3]float64) {
	for _, r := range w.robots {
		m, v, at := r.body.Mass(), r.body.Velocity(), r.body.Position()
		p[0] += m * v.X
		p[1] += m * v.Y
		p[2] += m*((at.X-5)*v.Y-(at.Y-5)*v.X) + r.body.Moment()*r.body.AngularVelocity()
	}
	return p
}

// wedge is a chassis with a pointed front, 250 mm ahead, and 400 mm wide.
func wedge(r *robot.Robot) {
	r.Chassis.Outline = geom.Polygon{{X: 0.25}, {X: 0.1, Y: 0.2}, {X: -0.2, Y: 0.2}, {X: -0.2, Y: -0.2}, {X: 0.1, Y: -0.2}}
}

// Brach, Mechanical Impact Dynamics (1991; from memory): a body struck at r off its centre of mass by a wall with the
// normal n, without friction, gets the impulse j = -(1 + e) v_n/(1/m + (r x n)^2/I). The wedge's corner at (0.1, 0.2)
// meets the wall y = 4 first, at its own place, whatever its rectangle would do.
func TestAnOutlinesCornerMeetsTheWall(t *testing.T) {
	f := yard(4, 4)
	f.Surface.WallFriction, f.Surface.WallRestitution = 0, 1
	spec := cart(slick, wedge)
	const turn = 0.5
	w := build(t, f, Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 3.5, Heading: turn}})
	r := w.robots[0]
	r.launch(0, 1, 0)
	w.run(0.6)
	arm := geom.Rotate(geom.Vec{X: 0.1, Y: 0.2}, turn)
	m, inertia, e := 6.5, chassisInertia(spec.Chassis), 0.3
	j := -(1 + e) / (1/m + arm.X*arm.X/inertia)
	_, vy, omega := r.Velocity()
	if !scalar.EqualWithinAbs(vy, 1+j/m, 2e-3) || !scalar.EqualWithinAbs(omega, arm.X*j/inertia, 2e-2) {
		t.Errorf("%.5f m/s and %.5f rad/s, want %.5f and %.5f", vy, omega, 1+j/m, arm.X*j/inertia)
	}
}

// A distance sensor sees another robot where its outline is: beside the point of a wedge it looks past it.
func TestADistanceSensorSeesAnOutline(t *testing.T) {
	for y, want := range map[float64]float64{0: 1.75 - 0.2, 0.1: 1.825 - 0.2, 0.19: 1.8925 - 0.2, 0.21: 3.8} {
		eye := cart(func(r *robot.Robot) {
			r.Sensors = []robot.Sensor{{Name: "eye", Kind: robot.Distance,
				Distance: &robot.DistanceSensor{High: 5, At: geom.Pose{X: 0.2}}}}
		})
		w := build(t, yard(5, 4), Entry{Spec: eye, Start: geom.Pose{X: 1, Y: 2 + y}},
			Entry{Spec: cart(wedge), Side: 1, Start: geom.Pose{X: 3, Y: 2, Heading: math.Pi}})
		w.Sense()
		if got := w.robots[0].Reading(0); math.Abs(got-want) > 0.0011 {
			t.Errorf("%.0f mm aside: %.4f m, want %.4f", 1000*y, got, want)
		}
	}
}

// A robot may start where its rectangle would not fit and its outline does; the search for room knows it too.
func TestAnOutlineStandsWhereItsRectangleWouldNot(t *testing.T) {
	f := yard(3, 3)
	f.Floor = geom.Polygon{{}, {X: 3}, {X: 3, Y: 2.9}, {X: 2.9, Y: 3}, {Y: 3}} // a corner cut off
	corner := geom.Pose{X: 2.75, Y: 2.79, Heading: 0}
	square := cart(func(r *robot.Robot) { r.Chassis.Length, r.Chassis.Width = 0.5, 0.4 })
	if _, err := New(Config{Field: f, Nominal: true, Robots: []Entry{{Spec: square, Start: corner}}}); err == nil {
		t.Error("a rectangle stands in the wall")
	}
	build(t, f, Entry{Spec: cart(wedge), Start: corner})
	room, found := Room(Config{Field: f, Nominal: true, Robots: []Entry{{Spec: cart(wedge)}}})
	if !found || !slices.ContainsFunc(f.Floor, func(geom.Vec) bool { return f.Floor.Contains(room.At()) }) {
		t.Errorf("room at %v", room)
	}
}
