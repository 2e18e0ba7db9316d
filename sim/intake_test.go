package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

func TestAnIntakeTakesWhatItDrivesOnto(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 1.5, 1.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	mass := c.r.Mass()
	c.do("intake", robot.Volts, 11)
	c.do("conveyor", robot.Volts, 6)
	c.r.SetDriveVolts(4, 4)
	c.wait(1)
	c.expect(record.Pickup, 1)
	if b := c.w.bodies[0]; b.Holder.Robot() != 0 || c.look("conveyor").Count != 1 {
		t.Errorf("holder %d, count %d", b.Holder, c.look("conveyor").Count)
	}
	if got := c.r.Mass() - mass; math.Abs(got-0.14) > 1e-12 {
		t.Errorf("the chassis carries %.4f kg more, want 0.14", got)
	}
}

func TestAnIntakeDoesNotTake(t *testing.T) {
	tests := []struct {
		name  string
		volts float64 // rollers
		at    geom.Pose
		v     geom.Vec // of the piece, m/s
	}{
		{"with its rollers still", 0, geom.Pose{X: 1.29, Y: 1.5}, geom.Vec{}},
		{"with its rollers slow", 1.5, geom.Pose{X: 1.29, Y: 1.5}, geom.Vec{}}, // 0.196 m/s of 0.35
		{"with its rollers outwards", -11, geom.Pose{X: 1.29, Y: 1.5}, geom.Vec{}},
		{"beside its mouth", 11, geom.Pose{X: 1.29, Y: 1.64}, geom.Vec{}},
		{"what crosses the mouth", 11, geom.Pose{X: 1.295, Y: 1.3}, geom.Vec{Y: 1.2}},
	}
	for _, test := range tests {
		c := with(t, cores(yard(4, 3), 1, test.at.X, test.at.Y), hauler(t), geom.Pose{X: 1, Y: 1.5})
		c.do("intake", robot.Volts, test.volts)
		c.wait(0.2) // spin up before the piece comes
		if b := c.w.bodies[0]; test.v != (geom.Vec{}) {
			b.launch(test.v.X, test.v.Y, 0)
			c.wait(0.15) // it is past the mouth before it stops
		} else {
			c.wait(0.5)
		}
		if c.saw(record.Pickup) > 0 {
			t.Errorf("%s: it did, %s", test.name, c.story())
		}
	}
}

func TestWithAFullConveyorThePieceStaysOutside(t *testing.T) {
	f := cores(yard(4, 3), 3, 3, 0.5)
	c := with(t, cores(f, 1, 1.5, 1.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.load(3)
	c.do("intake", robot.Volts, 11)
	c.r.SetDriveVolts(4, 4)
	c.wait(1)
	c.expect(record.Pickup, 0)
	if b := c.w.bodies[3]; b.Holder != record.OnFloor {
		t.Errorf("holder %d", b.Holder)
	}
}

// Before a full conveyor a piece in the mouth blocks the rollers: their motor stands and takes its stall current. A
// piece less, or rollers that stop or turn outwards, free them.
func TestAPieceThatCannotEnterStallsTheRollers(t *testing.T) {
	f := cores(yard(4, 3), 3, 3, 0.5)
	c := with(t, cores(f, 1, 1.29, 1.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("intake", robot.Volts, 11)
	c.load(3)
	c.wait(0.1)
	if s := c.look("intake"); s.Stalled {
		t.Errorf("at once: %+v", s)
	}
	c.wait(0.4)
	s := c.look("intake")
	motor := c.r.Spec.Motors[c.r.Spec.Parts[0].Intake.Motor]
	if want := motor.StallCurrent * s.Volts / motor.Nominal; !s.Stalled || s.Value != 0 ||
		math.Abs(s.Amps-want*s.Volts/c.r.Terminal()) > 0.05 {
		t.Errorf("%+v, want a motor at its stall current of %.2f A", s, want)
	}
	c.do("intake", robot.Volts, -11)
	c.wait(0.2)
	if s := c.look("intake"); s.Stalled || s.Value > -0.4 {
		t.Errorf("outwards: %+v", s)
	}
	c.do("intake", robot.Volts, 11)
	c.wait(0.5)
	c.do("conveyor", robot.Volts, 9)
	c.wait(1.5)
	if s := c.look("intake"); s.Stalled || c.saw(record.Pickup) != 1 {
		t.Errorf("with room again: %+v, %s", s, c.story())
	}
}

// The rollers' final speed is the motor line's with its constant friction: w = w0 (V - V0)/(Vn - V0), V0 = Vn I0/Is
// (Hughes & Drury, Electric Motors and Drives, ch. 3; from memory).
func TestRollersTurnAsTheMotorLineSays(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("intake", robot.Volts, 6)
	c.wait(1)
	m := c.r.Spec.Motors[c.r.Spec.Parts[0].Intake.Motor]
	own := m.Nominal * m.FreeCurrent / m.StallCurrent
	want := m.FreeSpeed * (6 - own) / (m.Nominal - own) * c.r.Spec.Parts[0].Intake.Radius
	if got := c.look("intake").Value; math.Abs(got-want) > 1e-3 {
		t.Errorf("surface speed %.4f m/s, want %.4f", got, want)
	}
	c.do("intake", robot.Volts, 0)
	c.wait(0.5)
	if s := c.look("intake"); s.Value != 0 || s.Amps != 0 {
		t.Errorf("after stopping: %+v", s)
	}
}

// Ohm's law: V = E - R sum(I), with the currents of all mechanisms as the step began. E falls by some uV in the step
// with the charge taken.
func TestMechanismMotorsLoadTheBattery(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("lift", robot.Target, 0.6)
	c.do("intake", robot.Volts, 12)
	c.do("conveyor", robot.Volts, 12)
	c.wait(0.02)
	var amps float64
	v := c.r.Terminal()
	for _, l := range c.r.loads {
		u := math.Max(-v, math.Min(v, l.Want))
		amps += power.FromBattery(l.Line.Across(u, l.Speed), l.Line.Amps(u, l.Speed), v)
	}
	want := c.r.Battery().Open() - c.r.Spec.Battery.Resistance*amps
	if amps < 2 || math.Abs(v-want) > 1e-5 {
		t.Errorf("terminal %.6f V at %.2f A, want %.6f", v, amps, want)
	}
}

// Rollers that coast are stopped by their motor's friction alone, through the gear that they now drive: an even
// deceleration kt I0 G/(eff J) (Newton; the equivalent circuit has no current). Shorted, they stop in a fraction of it.
func TestRollersCoastByTheRobotFile(t *testing.T) {
	after := func(coasts bool) (began, ended float64, in *intake) {
		c := with(t, yard(4, 3), hauler(t, func(r *robot.Robot) { r.Parts[0].Intake.Coasts = coasts }),
			geom.Pose{X: 1, Y: 1.5})
		c.do("intake", robot.Volts, 11)
		c.wait(1)
		in = c.r.mechanisms[0].(*intake)
		began = in.speed
		c.do("intake", robot.Volts, 0)
		c.wait(0.1)
		return began, in.speed, in
	}
	began, ended, in := after(true)
	m, p := in.robot.Spec.Motors[in.spec.Motor], in.spec.Powered
	friction := float64(p.Count) * m.VoltsPerSpeed() * m.FreeCurrent * p.Gear / p.Efficiency
	want := began - 0.1*friction/(p.Inertia+float64(p.Count)*m.Inertia*p.Gear*p.Gear)
	if want < 0.2*began || math.Abs(ended-want) > 1e-6*began {
		t.Errorf("coasting from %.4f rad/s it turns at %.6f after 0.1 s, want %.6f", began, ended, want)
	}
	if _, braked, _ := after(false); braked > 0.2*want {
		t.Errorf("braking it still turns at %.4f rad/s, coasting at %.4f", braked, want)
	}
}
