package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// filled puts the field's pieces from first on, n of them, into its last goal, in order.
func filled(f *fields.Field, first, n int) *fields.Field {
	for i := first; i < first+n; i++ {
		f.Pieces[i].Goal, f.Pieces[i].At = len(f.Goals)-1, f.Goals[len(f.Goals)-1].At
	}
	return f
}

// open lets pieces out of the field's last kind of goal.
func open(f *fields.Field) *fields.Field {
	f.GoalKinds[len(f.GoalKinds)-1].Open = true
	return f
}

// outOf lists what was picked up out of a goal, in order.
func (c *crew) outOf(goal string) (pieces []string) {
	for _, e := range c.log {
		if e.Kind == record.Pickup && e.Goal == goal {
			pieces = append(pieces, e.What)
		}
	}
	return pieces
}

// An intake takes what is in an open goal, the last in first, as fast as its conveyor has room; the goal is then as
// light as an empty one. Each piece leaves the conveyor behind the robot.
func TestAnIntakeEmptiesAnOpenGoalFromTheTop(t *testing.T) {
	at := geom.Pose{X: 1.42, Y: 1.5} // its near edge, at 1.27, is 75 mm before the end of the mouth
	for _, isOpen := range []bool{false, true} {
		f := filled(sleds(cores(yard(4, 3), 4, 3, 0.5), at), 0, 4)
		if isOpen {
			open(f)
		}
		c := with(t, f, hauler(t), geom.Pose{X: 1.04, Y: 1.5})
		goal := c.w.bodies[4]
		c.wait(0.5)
		if c.saw(record.Pickup) > 0 || goal.body.Mass() != 1.6+4*0.14 {
			t.Fatalf("with its rollers still it took something, or the sled has %g kg: %s", goal.body.Mass(), c.story())
		}
		c.do("intake", robot.Volts, 11)
		c.do("conveyor", robot.Volts, 8)
		c.wait(4)
		out := c.outOf("goal 1")
		want := []string{"core 4", "core 3", "core 2", "core 1"}
		if !isOpen {
			want = nil
		}
		if len(out) != len(want) {
			t.Fatalf("open %v: took %v, want %v: %s", isOpen, out, want, c.story())
		}
		for i := range out {
			if out[i] != want[i] {
				t.Errorf("took %v, want %v", out, want)
			}
		}
		if got, want := goal.body.Mass(), 1.6+0.14*float64(4-len(want)); math.Abs(got-want) > 1e-12 {
			t.Errorf("the sled has %g kg, want %g", got, want)
		}
	}
}

// A piece on the floor in the mouth comes first, and a goal that needs a lift is not the intake's.
func TestAnIntakePrefersTheFloorAndReachesNoHeight(t *testing.T) {
	f := cores(yard(4, 3), 1, 1.33, 1.6)
	f = filled(open(sleds(cores(f, 1, 3, 0.5), geom.Pose{X: 1.42, Y: 1.39})), 1, 1)
	c := with(t, f, hauler(t), geom.Pose{X: 1.04, Y: 1.5})
	c.do("intake", robot.Volts, 11)
	c.do("conveyor", robot.Volts, 6)
	c.wait(0.8)
	if len(c.log) < 2 || c.log[0].What != "core 1" || c.log[0].Goal != "" || c.log[1].What != "core 2" ||
		c.log[1].Goal != "goal 1" {
		t.Errorf("want core 1, then core 2 out of the goal: %s", c.story())
	}
	f = filled(open(sleds(cores(yard(4, 3), 1, 3, 0.5), geom.Pose{X: 1.42, Y: 1.5})), 0, 1)
	f.GoalKinds[0].Height = "rack"
	c = with(t, f, hauler(t), geom.Pose{X: 1.04, Y: 1.5})
	c.do("intake", robot.Volts, 11)
	c.wait(0.8)
	c.expect(record.Pickup, 0)
}

// The claw at the height of a rack takes out what was put in last; at another height it takes nothing; the rack that
// was full has room again.
func TestAClawTakesTheTopOutOfARack(t *testing.T) {
	for _, high := range []bool{false, true} {
		f := filled(open(rack(cores(yard(4, 3), 2, 3, 0.5), 1.5)), 0, 2)
		c := with(t, f, hauler(t), geom.Pose{X: 0.44, Y: 1.5})
		c.do("claw", robot.Deploy, 0)
		if high {
			c.do("lift", robot.Target, c.r.Spec.Parts[5].Lift.Heights[2].At)
		}
		c.wait(1.2)
		c.do("claw", robot.Shut, 0)
		c.wait(0.15)
		if !high {
			c.expect(record.Pickup, 0)
			continue
		}
		if out := c.outOf("goal 1"); len(out) != 1 || out[0] != "core 2" || c.w.bodies[1].Holder.Robot() != 0 ||
			len(c.w.bodies[2].stack) != 1 {
			t.Fatalf("took %v, want core 2: %s", out, c.story())
		}
		c.do("claw", robot.Place, 0)
		c.wait(0.15)
		c.expect(record.Scored, 1)
		if s := c.w.bodies[2].stack; len(s) != 2 || s[1] != c.w.bodies[1] {
			t.Errorf("core 2 is not on top again: %s", c.story())
		}
	}
}

// What is taken out of a goal that moves brings its share of the goal's momentum, not the robot's: m v of all is as
// before (Newton), and the energy of motion falls, because the two that join had two speeds.
func TestWhatIsTakenOutOfAMovingGoalKeepsItsMomentum(t *testing.T) {
	f := filled(open(sleds(cores(yard(4, 3), 1, 3, 0.5), geom.Pose{X: 2, Y: 1.5})), 0, 1)
	w := build(t, f, Entry{Spec: hauler(t), Start: geom.Pose{X: 1, Y: 1.5}})
	r, goal := w.robots[0], w.bodies[1]
	r.launch(0.2, 0, 0)
	goal.launch(0.9, 0.3, 0)
	momentum := func() (x, y float64) {
		for _, b := range []interface{ state() (m, x, y float64) }{r, goal} {
			m, vx, vy := b.state()
			x, y = x+m*vx, y+m*vy
		}
		return x, y
	}
	x, y := momentum()
	before := w.energy()
	w.take(w.bodies[0], r, geom.Pose{X: 0.1})
	nx, ny := momentum()
	if math.Abs(nx-x) > 1e-9 || math.Abs(ny-y) > 1e-9 || w.energy() >= before {
		t.Errorf("momentum from %.6f, %.6f to %.6f, %.6f kg m/s; energy from %.6f to %.6f J", x, y, nx, ny, before,
			w.energy())
	}
}

func (r *Robot) state() (m, x, y float64) {
	v := r.body.Velocity()
	return r.body.Mass(), v.X, v.Y
}

func (b *Body) state() (m, x, y float64) {
	v := b.body.Velocity()
	return b.body.Mass(), v.X, v.Y
}
