package sim

import (
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// gripping has the hauler's claw hold a core that lay behind it.
func gripping(t testing.TB) *crew {
	t.Helper()
	c := with(t, cores(yard(4, 3), 1, 0.71, 1.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("claw", robot.Deploy, 0)
	c.wait(0.3)
	c.do("claw", robot.Shut, 0)
	c.wait(0.15)
	if !c.look("claw").Holding {
		t.Fatalf("the claw holds nothing: %s", c.story())
	}
	return c
}

func TestAClawTakesAndLetsGo(t *testing.T) {
	c := gripping(t)
	c.expect(record.Pickup, 1)
	c.r.SetDriveVolts(4, 4)
	c.wait(0.5)
	if b := c.w.bodies[0]; b.Holder.Robot() != 0 {
		t.Fatal("the core stayed behind")
	}
	c.do("claw", robot.Open, 0)
	c.wait(0.1)
	c.expect(record.Release, 1)
	if c.look("claw").Holding || c.w.bodies[0].Holder != record.OnFloor {
		t.Errorf("%+v", c.look("claw"))
	}
}

// The jaws take the time that the file gives the claw's piston, 100 ms; opening them before that takes nothing.
func TestAClawsJawsTakeThePistonsTime(t *testing.T) {
	c := with(t, rack(cores(yard(4, 3), 1, 0.37, 1.5), 1.5), hauler(t), geom.Pose{X: 0.66, Y: 1.5})
	holding := func(wait float64, want bool) {
		t.Helper()
		c.wait(wait)
		if s := c.look("claw"); s.Holding != want || s.Moving == (wait > 0.05) {
			t.Errorf("after %g s more: %+v, want holding %v", wait, s, want)
		}
	}
	c.do("claw", robot.Deploy, 0)
	c.wait(0.3)
	c.do("claw", robot.Shut, 0)
	holding(0.05, false)
	c.do("claw", robot.Open, 0)
	holding(0.2, false)
	c.do("claw", robot.Shut, 0)
	holding(0.05, false)
	holding(0.06, true)
	c.r.SetDriveVolts(-4, -4)
	c.do("lift", robot.Target, c.r.Spec.Parts[5].Lift.Heights[2].At)
	c.wait(1)
	c.do("claw", robot.Place, 0)
	holding(0.05, true)
	c.expect(record.Scored, 0)
	holding(0.06, false)
	c.expect(record.Scored, 1)
}

func TestAClawMisses(t *testing.T) {
	tests := []struct {
		name   string
		deploy bool
		height float64 // lift target, rad
		x      float64 // of the core; 0.71 is the mouth
		text   string
	}{
		{"when it is stowed", false, -1, 0.71, "claw on nothing: it is not out"},
		{"what is too far", true, -1, 0.64, "claw on nothing: core 1 is 70 mm off, it takes up to 55 mm"},
		{"what is farther", true, -1, 0.2, "claw on nothing: no piece within 400 mm of its mouth"},
		{"when its lift is up", true, 0.9, 0.71, "claw on nothing: its lift is not where it starts"},
	}
	for _, test := range tests {
		c := with(t, cores(yard(4, 3), 1, test.x, 1.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
		c.do("lift", robot.Target, test.height)
		if test.deploy {
			c.do("claw", robot.Deploy, 0)
		}
		c.wait(1.5)
		c.do("claw", robot.Shut, 0)
		c.wait(0.15)
		if c.saw(record.Missed) != 1 || c.look("claw").Holding || c.log[0].Sentence(units.Metric) != "missed: "+test.text {
			t.Errorf("%s: %s", test.name, c.story())
		}
	}
}

func TestWithoutAirTheClawStaysIn(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 0.71, 1.5), hauler(t, func(r *robot.Robot) { r.Air.Pressure = 50e3 }),
		geom.Pose{X: 1, Y: 1.5})
	c.do("claw", robot.Deploy, 0)
	c.wait(0.5)
	c.expect(record.Missed, 1)
	if s := c.look("claw"); s.Out || s.Moving {
		t.Errorf("%+v", s)
	}
}

func TestAClawGivesItsPieceBackWhenStowed(t *testing.T) {
	c := gripping(t)
	c.do("claw", robot.Give, 0)
	c.wait(0.05)
	c.expect(record.Missed, 1) // still out
	c.do("claw", robot.Stow, 0)
	c.wait(0.3)
	c.do("claw", robot.Give, 0)
	c.wait(0.05)
	if c.look("claw").Holding || c.look("conveyor").Count != 1 {
		t.Errorf("claw %+v, conveyor %+v", c.look("claw"), c.look("conveyor"))
	}
}

func TestAClawPlacesOnlyAtTheGoalsHeight(t *testing.T) {
	c := with(t, rack(cores(yard(4, 3), 1, 0.37, 1.5), 1.5), hauler(t), geom.Pose{X: 0.66, Y: 1.5})
	c.do("claw", robot.Deploy, 0)
	c.wait(0.3)
	c.do("claw", robot.Shut, 0)
	c.r.SetDriveVolts(-4, -4)
	c.wait(1)
	c.r.SetDriveVolts(0, 0)
	c.do("claw", robot.Place, 0)
	c.wait(0.15)
	c.expect(record.Missed, 1)
	c.do("lift", robot.Target, c.r.Spec.Parts[5].Lift.Heights[2].At)
	c.wait(1)
	c.do("claw", robot.Place, 0)
	c.wait(0.15)
	c.expect(record.Scored, 1)
	if c.w.bodies[0].Holder.Goal() != 1 {
		t.Errorf("holder %d", c.w.bodies[0].Holder)
	}
}

// One core in the claw and one on the conveyor fill a rack with one raising of the arm.
func TestTwoCoresAreScoredTogether(t *testing.T) {
	f := cores(yard(4, 3), 2, 0.37, 1.5)
	f.Pieces[1].At = geom.Pose{X: 3, Y: 0.5}
	c := with(t, rack(f, 1.5), hauler(t), geom.Pose{X: 0.66, Y: 1.5})
	belt(c).preload(c.w.bodies[1])
	c.do("claw", robot.Deploy, 0)
	c.wait(0.3)
	c.do("claw", robot.Shut, 0)
	c.r.SetDriveVolts(-4, -4)
	c.wait(1)
	c.r.SetDriveVolts(0, 0)
	c.do("lift", robot.Target, c.r.Spec.Parts[5].Lift.Heights[2].At)
	c.wait(1)
	c.do("claw", robot.Place, 0)
	c.do("conveyor", robot.Volts, 10)
	c.wait(0.8)
	c.expect(record.Scored, 2)
}
