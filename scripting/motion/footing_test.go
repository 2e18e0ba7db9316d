package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// The acceleration of the centre of mass is the second derivative of its place, here by differences over a clothoid
// that the pivot drives along, from s = 0, at a speed that changes evenly.
func TestTheCentreOfMassIsAccelerated(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
		arm := geom.Vec{X: number("arm x", 0.2), Y: number("arm y", 0.2)}
		bend, rate, accel, speed := number("bend", 5), number("bend rate", 10), number("accel", 4), number("speed", 2)
		centre := func(time float64) geom.Vec {
			s := speed*time + accel*time*time/2
			var at geom.Vec
			const pieces = 200
			for i := range pieces { // midpoints
				u := s * (float64(i) + 0.5) / pieces
				at.X += s / pieces * math.Cos(bend*u+rate*u*u/2)
				at.Y += s / pieces * math.Sin(bend*u+rate*u*u/2)
			}
			return geom.Pose{X: at.X, Y: at.Y, Heading: bend*s + rate*s*s/2}.ToWorld(arm)
		}
		const h = 1e-4
		a, b, c := centre(-h), centre(0), centre(h)
		f := footing{arm: arm}
		swung, pushed := f.swung(bend, rate), f.pushed(bend)
		got := geom.Vec{X: speed*speed*swung.X + accel*pushed.X, Y: speed*speed*swung.Y + accel*pushed.Y}
		want := geom.Vec{X: (a.X - 2*b.X + c.X) / (h * h), Y: (a.Y - 2*b.Y + c.Y) / (h * h)}
		if math.Hypot(got.X-want.X, got.Y-want.Y) > 1e-3*(1+math.Hypot(want.X, want.Y)) {
			t.Errorf("%v, want %v", got, want)
		}
	})
}

// A curve's plan stays within what the robot bears, whichever way it drives: the acceleration of its centre of mass at
// each node, by the plan's own speeds, away from each side. Where the bend changes from node to node it may exceed it
// by a fifth, which is still under three quarters of what tips it.
func TestCurvesStayWithinWhatARobotBears(t *testing.T) {
	model := typical().Model()
	model.Centre, model.Pivot = geom.Vec{X: -0.04, Y: 0.02}, 0.05
	for _, normal := range []geom.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		model.Tips = append(model.Tips, robot.Tip{Normal: normal, Reach: 0.1, Accel: 9.80665 * 0.1 / 0.45})
	}
	a, err := newAbility("dock", model, Options{}, 12)
	if err != nil {
		t.Fatal(err)
	}
	for _, reverse := range []bool{false, true} {
		var c curve
		c.bow(geom.Pose{}, geom.Pose{X: 1, Y: 0.7, Heading: 1.2}, 0.25, 0.25, fine)
		c.time(&a, reverse, 0, 0)
		stand, most := a.footing(reverse), 0.0
		for i := range len(c.nodes) - 1 {
			n := &c.nodes[i]
			swung, pushed := stand.swung(n.bend, c.bendRate(i)), stand.pushed(n.bend)
			accel := (c.nodes[i+1].speed - n.speed) / (c.nodes[i+1].t - n.t)
			for _, side := range stand.sides {
				load := -n.speed*n.speed*geom.Dot(side.Normal, swung) - accel*geom.Dot(side.Normal, pushed)
				most = max(most, load/side.Accel)
			}
		}
		if most > 1.2 || most < 0.8 {
			t.Errorf("reverse %v: at most %.2f of what plans may use, want about all of it", reverse, most)
		}
	}
}
