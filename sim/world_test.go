package sim

import (
	"math"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"
)

func TestARobotMustStartClear(t *testing.T) {
	f := withGoal(withPiece(yard(4, 4), core(), geom.Pose{X: 1, Y: 1}), sled(), geom.Pose{X: 3, Y: 3})
	ell := yard(4, 4)
	ell.Floor = geom.Polygon{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 4}, {X: 0, Y: 4}}
	at := func(x, y float64) Entry { return Entry{Spec: cart(), Start: geom.Pose{X: x, Y: y}} }
	for _, c := range []struct {
		what   string
		field  *fields.Field
		robots []Entry
		want   string // part of the error, "" for none
	}{
		{"free", f, []Entry{at(2, 2)}, ""},
		{"touching the wall", f, []Entry{at(0.2, 2)}, ""},
		{"through the wall", f, []Entry{at(0.15, 2)}, "outside the floor"},
		{"on a piece", f, []Entry{at(1.2, 1)}, "in piece 1"},
		{"on a goal", f, []Entry{at(2.75, 3)}, "in goal 1"},
		{"on a robot", f, []Entry{at(2, 2), at(2.3, 2)}, "in robot 1"},
		{"beside a robot", f, []Entry{at(2, 2), at(2.4, 2)}, ""},
		{"over an inner corner", ell, []Entry{at(1.9, 1.9)}, "outside the floor"},
		{"around an inner corner", ell, []Entry{{Spec: cart(), Start: geom.Pose{X: 1.93, Y: 1.93, Heading: -math.Pi / 4}}},
			"over the wall's corner"},
	} {
		_, err := New(Config{Field: c.field, Robots: c.robots, Nominal: true})
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.what, err, c.want)
		}
	}
}

// The spread is drawn within 3 sigma, nothing is drawn nominally, and an added piece does not move the draws of others.
func TestTheSpreadIsDrawnPerQuantity(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		r.Spread = robot.Spread{StartAt: 0.005, StartHeading: 0.02, Charge: 0.2, Motors: 0.03, Radius: 0.003}
	})
	make := func(pieces int, seed uint64, nominal bool) *World {
		f := yard(4, 4)
		f.Spread = fields.Spread{PieceAt: 0.01, GoalAt: 0.01, GoalHeading: 0.05, Grip: 0.1, Friction: 0.1}
		for i := range pieces {
			f = withPiece(f, core(), geom.Pose{X: 1 + 0.3*float64(i), Y: 1})
		}
		f = withGoal(f, sled(), geom.Pose{X: 3, Y: 3})
		w, err := New(Config{Field: f, Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 2, Y: 2}}}, Seed: seed,
			Nominal: nominal})
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	if w := make(2, 1, true); len(w.Drawn()) != 0 || w.Robots()[0].Pose() != (geom.Pose{X: 2, Y: 2}) ||
		w.bodies[0].Pose().X != 1 {
		t.Errorf("a nominal world drew %v", w.Drawn())
	}
	var squares float64
	const worlds = 300
	for seed := range uint64(worlds) {
		w := make(2, seed, false)
		off := w.bodies[0].Pose().X - 1
		if math.Abs(off) > 0.03 {
			t.Fatalf("seed %d: a piece is %g m off, beyond 3 sigma", seed, off)
		}
		squares += off * off
	}
	// A normal cut at 3 sigma has a standard deviation of 0.987 sigma; of 300 draws it is known to 4 %: 5 of those.
	if got := math.Sqrt(squares / worlds); !scalar.EqualWithinRel(got, 0.00987, 0.2) {
		t.Errorf("pieces scatter by %.5f m, want 0.00987", got)
	}
	few, many := make(2, 5, false), make(3, 5, false)
	if few.bodies[0].Pose() != many.bodies[0].Pose() || few.bodies[2].Pose() != many.bodies[3].Pose() ||
		few.robots[0].Pose() != many.robots[0].Pose() {
		t.Error("a third piece moved the draws of others")
	}
	names := map[string]bool{}
	for _, d := range many.Drawn() {
		if names[d.Name] {
			t.Errorf("%q is drawn twice", d.Name)
		}
		names[d.Name] = true
	}
	if !names["floor grip"] || !names["robot 1 left motors"] || !names["goal 1 heading"] {
		t.Errorf("drawn: %v", many.Drawn())
	}
}

// What is drawn for a robot, and the floor's grip, act where they should.
func TestDrawnValuesAct(t *testing.T) {
	spec := cart(func(r *robot.Robot) { r.Spread = robot.Spread{Charge: 0.2, Motors: 0.05} })
	f := yard(4, 4)
	f.Surface.Grip, f.Spread.Grip = 0.5, 0.1
	w, err := New(Config{Field: f, Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 2, Y: 2}}}, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[string]float64{}
	for _, d := range w.Drawn() {
		drawn[d.Name] = d.Value
	}
	r := w.robots[0]
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"charge", r.battery.Open(), 12.6 + drawn["robot 1 charge"]},
		{"left motors", r.drive.lines[0].Stall, 3 * 0.35 * 1.5 * (1 + drawn["robot 1 left motors"])},
		{"right motors", r.drive.lines[1].Stall, 3 * 0.35 * 1.5 * (1 + drawn["robot 1 right motors"])},
		{"grip", r.drive.wheels[0].along, 0.9 * 0.5 * (1 + drawn["floor grip"])},
	} {
		if !scalar.EqualWithinAbs(c.got, c.want, 5e-6) { // a drawn value is noted to six decimals
			t.Errorf("%s: %.6f, want %.6f", c.what, c.got, c.want)
		}
	}
	if drawn["robot 1 charge"] == 0 || drawn["robot 1 left motors"] == drawn["robot 1 right motors"] ||
		drawn["floor grip"] == 0 {
		t.Errorf("drawn: %v", drawn)
	}
}

// A piece that is shot at a wall or into a corner, far faster than a motor can, stays on the floor.
func TestAShotPieceStaysInside(t *testing.T) {
	// a thin fin
	floor := geom.Polygon{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 3}, {X: 1.62, Y: 3}, {X: 1.6, Y: 1}, {X: 1.58, Y: 3},
		{X: 0, Y: 3}}
	for i := range 60 {
		f := yard(3, 3)
		f.Floor = floor
		w := build(t, withPiece(f, core(), geom.Pose{X: 0.8, Y: 1.5}))
		b := w.bodies[0]
		v := geom.Unit(2 * math.Pi * float64(i) / 60)
		b.launch(20*v.X, 20*v.Y, 50)
		w.run(2)
		if at := b.Pose().At(); !floor.Contains(at) {
			t.Errorf("shot at %d degrees it ends at %v", 6*i, at)
		}
	}
}

// A robot that presses a piece into a corner at full power does not press it out.
func TestAPressedPieceStaysInside(t *testing.T) {
	w := build(t, withPiece(yard(3, 3), core(), geom.Pose{X: 2.8, Y: 2.8}),
		Entry{Spec: cart(), Start: geom.Pose{X: 2.3, Y: 2.3, Heading: math.Pi / 4}})
	w.robots[0].SetDriveVolts(12, 12)
	for w.Time() < 5 {
		w.Step()
		if p := w.bodies[0].Pose(); p.X > 3-0.07+0.005 || p.Y > 3-0.07+0.005 {
			t.Fatalf("at %.3f s the piece is at %v, more than 5 mm in a wall", w.Time(), p)
		}
	}
}

// Whatever is taken, carried, scored and dropped in any order, mass is kept and everything stays where it should be.
func TestHoldingKeepsMassAndMomentum(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		w := scene(t)
		pieces := len(w.field.Pieces)
		goal := w.bodies[pieces]
		total := func() float64 {
			sum := goal.body.Mass()
			for _, r := range w.robots {
				sum += r.Mass()
			}
			for _, b := range w.bodies[:pieces] {
				if b.Holder == record.OnFloor {
					sum += b.mass
				}
			}
			return sum
		}
		before := total()
		for range 30 {
			b := w.bodies[rapid.IntRange(0, pieces-1).Draw(t, "piece")]
			r := w.robots[rapid.IntRange(0, len(w.robots)-1).Draw(t, "robot")]
			spot := geom.Pose{X: rapid.Float64Range(-0.2, 0.2).Draw(t, "x"), Y: rapid.Float64Range(-0.2, 0.2).Draw(t, "y")}
			switch rapid.IntRange(0, 3).Draw(t, "deed") {
			case 0:
				w.take(b, r, spot)
			case 1:
				w.putInGoal(b, goal, geom.Pose{})
			case 2:
				w.drop(b, geom.Pose{X: 1.1 + spot.X, Y: 1.2 + spot.Y}, geom.Vec{})
			case 3:
				if b.Holder.Robot() >= 0 {
					w.carry(b, spot)
				}
			}
			r.SetDriveVolts(30*spot.X, 30*spot.Y)
			for range rapid.IntRange(0, 80).Draw(t, "steps") {
				w.Step()
			}
			if got := total(); !scalar.EqualWithinAbs(got, before, 1e-9) {
				t.Fatalf("mass went from %g to %g kg", before, got)
			}
			if p := b.Pose(); math.IsNaN(p.X + p.Y + p.Heading) {
				t.Fatalf("%s is nowhere", b.Name)
			}
		}
	})
}

// A piece taken from the floor brings its momentum: nothing else pushes a robot on frictionless wheels.
func TestATakenPieceBringsItsMomentum(t *testing.T) {
	slick := cart(func(r *robot.Robot) {
		for i := range r.Wheels {
			r.Wheels[i].Along, r.Wheels[i].Across = 0, 0
		}
	})
	w := build(t, withPiece(yard(4, 4), core(), geom.Pose{X: 3, Y: 2}), Entry{Spec: slick, Start: geom.Pose{X: 1, Y: 2}})
	r := w.robots[0]
	r.launch(1, 0, 0)
	w.take(w.bodies[0], r, geom.Pose{X: 0.1})
	vx, _, _ := r.Velocity()
	if want := 6.5 / (6.5 + 0.14); !scalar.EqualWithinAbs(vx, want, 1e-12) {
		t.Errorf("%.9f m/s with the piece, want %.9f", vx, want)
	}
}

// A joint holds its goal where it was clamped also when the robot's centre of mass moves.
func TestAJointHoldsWhenTheCentreOfMassMoves(t *testing.T) {
	f := withPiece(withGoal(yard(6, 4), sled(), geom.Pose{X: 1.2, Y: 2}), fields.PieceKind{Name: "lead", Radius: 0.05,
		Mass: 3}, geom.Pose{X: 5, Y: 3.5})
	w := build(t, f, Entry{Spec: cart(), Start: geom.Pose{X: 2, Y: 2}})
	r, goal := w.robots[0], w.bodies[1]
	seat := r.Pose().Relative(goal.Pose())
	w.join(r, goal, seat, 1e4, 1e4)
	r.load(0, 3, geom.Vec{X: 0.15})
	r.SetDriveVolts(6, 3)
	w.run(2)
	at := r.Pose().Relative(goal.Pose())
	if off := math.Hypot(at.X-seat.X, at.Y-seat.Y); off > 0.001 || math.Abs(at.Heading-seat.Heading) > 0.005 {
		t.Errorf("the goal came from %v to %v", seat, at)
	}
}

// a = mu N/m: only the load on driven wheels speeds a robot up (Coulomb). Half of it stands on free wheels.
func TestFreeWheelsCarryWithoutDriving(t *testing.T) {
	spec := textbook(0.05, 0.02, 5, 0.04, 6)
	for i := range 2 {
		spec.Wheels[i].At.X = -0.1
		free := spec.Wheels[i]
		free.At.X, free.Train, free.Inertia = 0.1, robot.Free, 1e-6
		spec.Wheels = append(spec.Wheels, free)
	}
	w := build(t, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 2}})
	w.robots[0].SetDriveVolts(12, 12)
	w.run(0.2)
	vx, _, _ := w.robots[0].Velocity()
	// The free wheels' own inertia, as mass at the rim: 2 x 1e-6/0.04^2 kg and the least of 1e-3 kg each.
	if want := 0.8 * Gravity / 2 * 0.2; !scalar.EqualWithinRel(vx, want, 1e-3) {
		t.Errorf("%.5f m/s after 0.2 s, want %.5f", vx, want)
	}
}

// Volts that are no numbers do no harm.
func TestSillyVoltsDoNoHarm(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: cart(), Start: geom.Pose{X: 2, Y: 2}})
	for _, volts := range [][2]float64{{math.NaN(), 3}, {math.Inf(1), math.Inf(-1)}, {1e300, -1e300}} {
		w.robots[0].SetDriveVolts(volts[0], volts[1])
		w.run(0.3)
		if p := w.robots[0].Pose(); !w.field.Floor.Contains(p.At()) {
			t.Fatalf("volts %v bring it to %v", volts, p)
		}
	}
}

// Every robot reports what it meets, with its own index.
func TestRobotsReportEachOtherAndWalls(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: cart(), Start: geom.Pose{X: 1.2, Y: 2}},
		Entry{Spec: cart(), Side: 1, Start: geom.Pose{X: 0.5, Y: 2}})
	w.robots[1].SetDriveVolts(6, 6)
	w.run(0.9)
	w.robots[1].SetDriveVolts(-8, -8)
	w.run(2)
	met := map[string]int{}
	for _, e := range w.TakeEvents() {
		met[string(rune('0'+e.Robot))+" "+e.What]++
	}
	for _, want := range []string{"0 cart 2", "1 cart 1", "1 wall"} {
		if met[want] == 0 {
			t.Errorf("no contact %q in %v", want, met)
		}
	}
}

// A robot that slept against a wall has not met it anew when it wakes.
func TestAContactThatSleptIsNotNew(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: cart(), Start: geom.Pose{X: 0.21, Y: 2}})
	r := w.robots[0]
	r.SetDriveVolts(-4, -4)
	w.run(0.5)
	r.SetDriveVolts(0, 0)
	w.run(3)
	if !r.body.IsSleeping() {
		t.Error("it does not sleep")
	}
	first := len(w.TakeEvents())
	r.SetDriveVolts(-3, -3)
	w.run(0.5)
	if again := len(w.TakeEvents()); first != 1 || again != 0 {
		t.Errorf("%d contacts, then %d after a rest; want 1, 0", first, again)
	}
}

// A step allocates nothing, whether the robot turns without touching anything or pushes what stands in its way.
func TestAStepAllocatesNothing(t *testing.T) {
	for _, c := range []struct {
		right   float64 // V
		seconds float64
		touches bool
	}{{-4, 0.5, false}, {4, 4, true}} {
		w := build(t, busyField(), Entry{Spec: cart(), Start: geom.Pose{X: 2.1, Y: 2.22}})
		w.robots[0].SetDriveVolts(4, c.right)
		w.run(c.seconds)
		step := func() {
			w.Step()
			if touched := w.robots[0].drive.touched; touched != c.touches {
				t.Fatalf("right at %g V: it touches something: %v", c.right, touched)
			}
		}
		if n := testing.AllocsPerRun(500, step); n > 0 {
			t.Errorf("right at %g V: %g allocations a step", c.right, n)
		}
	}
}
