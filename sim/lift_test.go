package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

const degree = math.Pi / 180

// plain makes the hauler's lift the textbook's: no friction, gear losses, play, spring or sensor steps, proportional
// control only.
func plain(r *robot.Robot) {
	l := r.Parts[5].Lift
	l.Friction, l.Slack, l.Spring, l.Sensor = 0, 0, 0, 0
	l.Efficiency, l.Gains = 1, robot.Gains{P: l.Gains.P}
	m := &r.Motors[l.Motor] // without friction of its own, and so ideal
	m.FreeCurrent, m.StallCurrent = 0, m.StallTorque*m.FreeSpeed/m.Nominal
}

func liftOf(c *crew) *lift { return c.r.mechanisms[c.index["lift"]].(*lift) }

func TestALiftReachesItsNamedHeights(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 1, Y: 1.5})
	for _, h := range c.r.Spec.Parts[5].Lift.Heights {
		c.do("lift", robot.Target, h.At)
		c.wait(1.2)
		if s := c.look("lift"); s.Moving || math.Abs(s.Value-h.At) > 2*degree {
			t.Errorf("%s: at %.2f deg, want %.2f", h.Name, s.Value/degree, h.At/degree)
		}
		if !liftOf(c).serves(map[string]string{"floor": ""}[h.Name]) && h.Name == "floor" {
			t.Error("at its start it does not serve the floor")
		}
	}
	if l := liftOf(c); !l.serves("rack") || l.serves("") || l.serves("moon") {
		t.Error("at rack it serves something else")
	}
}

// Statics: the error of a proportional loop is tau_load / (K Kt), with K in V per rad and Kt the torque per volt
// at the output; tau = m g l cos(angle) on an arm.
func TestAProportionalLiftDroops(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t, plain), geom.Pose{X: 1, Y: 1.5})
	for _, target := range []float64{0, 40 * degree} {
		c.do("lift", robot.Target, target)
		c.wait(3)
		s := c.r.Spec.Parts[5].Lift
		at := c.look("lift").Value
		load := s.Load * Gravity * s.Arm * math.Cos(at)
		m := c.r.Spec.Motors[s.Motor]
		perVolt := m.StallTorque * s.Gear * s.Efficiency / m.Nominal // without friction of its own: plain
		if want := load / (s.Gains.P * perVolt); math.Abs(target-at-want) > 0.001*want {
			t.Errorf("target %.1f deg: %.5f deg low, want %.5f", target/degree, (target-at)/degree, want/degree)
		}
	}
}

// Statics, tau = m g l: 0.28 kg at 0.35 m, level: 0.96138 N m with g = 9.81; here with the standard g.
func TestGravityOnAnArm(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t, plain, func(r *robot.Robot) {
		r.Parts[5].Lift.Load, r.Parts[5].Lift.Arm = 0.28,
			0.35
	}), geom.Pose{X: 1, Y: 1.5})
	l := liftOf(c)
	l.at = 0
	if want := 0.96138 * Gravity / 9.81; math.Abs(l.gravity()-want) > 1e-5 {
		t.Errorf("%.6f N m, want %.6f", l.gravity(), want)
	}
}

func TestAnOverloadedLiftStalls(t *testing.T) {
	heavy := func(r *robot.Robot) { r.Parts[5].Lift.Load = 3 } // 7.1 N m level, the motor gives 3.9
	c := with(t, yard(4, 3), hauler(t, heavy), geom.Pose{X: 1, Y: 1.5})
	c.do("lift", robot.Target, 30*degree)
	c.wait(1.5)
	c.expect(record.Stalled, 1)
	if s := c.look("lift"); !s.Stalled || !s.Moving {
		t.Errorf("%+v", s)
	}
	c.do("lift", robot.Volts, 0)
	c.wait(0.1)
	if c.look("lift").Stalled {
		t.Error("stalled without volts")
	}
}

func TestALiftStaysBetweenItsStops(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 1, Y: 1.5})
	s := c.r.Spec.Parts[5].Lift
	for _, volts := range []float64{12, -12, 12} {
		c.do("lift", robot.Volts, volts)
		for range 100 {
			c.wait(0.01)
			if at := liftOf(c).at; at < s.Low || at > s.High {
				t.Fatalf("%.2f deg", at/degree)
			}
		}
		if want := volts > 0; want != (liftOf(c).at == s.High) {
			t.Errorf("%.0f V: at %.2f deg", volts, liftOf(c).at/degree)
		}
	}
}

// A balanced arm neither rises nor falls; without the spring it sinks when the motor is off, braked by its back-EMF.
func TestTheSpringCarriesTheArm(t *testing.T) {
	balanced := func(r *robot.Robot) {
		plain(r)
		l := r.Parts[5].Lift
		l.Spring, l.Friction = l.Load*Gravity*l.Arm, 0.02
		l.Start = 0
	}
	c := with(t, yard(4, 3), hauler(t, balanced), geom.Pose{X: 1, Y: 1.5})
	c.wait(1)
	if at := liftOf(c).at; at != 0 {
		t.Errorf("the balanced arm went to %.3f deg", at/degree)
	}
	c = with(t, yard(4, 3), hauler(t, plain, func(r *robot.Robot) { r.Parts[5].Lift.Start = 0 }), geom.Pose{X: 1, Y: 1.5})
	c.wait(0.5)
	if at := liftOf(c).at; at > -1*degree {
		t.Errorf("the unbalanced arm stays at %.3f deg", at/degree)
	}
}

// The play lets the load hang low: its place differs from the sensed one by half the play.
func TestSlackHidesPartOfTheDroop(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t, func(r *robot.Robot) { plain(r); r.Parts[5].Lift.Slack = 2 * degree }),
		geom.Pose{X: 1, Y: 1.5})
	l := liftOf(c)
	l.at = 0.3
	if got := l.carriage(); math.Abs(got-(0.3-1*degree)) > 1e-12 {
		t.Errorf("carriage at %.4f, want %.4f", got, 0.3-1*degree)
	}
}

// An elevator: m g on a drum of radius r. Held at its stop by nothing, it needs m g r / Kt volts; a proportional loop
// sags by m g r / (K Kt).
func TestAnElevatorDroops(t *testing.T) {
	elevator := func(r *robot.Robot) {
		plain(r)
		l := r.Parts[5].Lift
		l.Elevator, l.Low, l.High, l.Start, l.Heights = true, 0, 0.5, 0, nil
		l.Gains.P, l.Within = 120, 0.005
	}
	c := with(t, yard(4, 3), hauler(t, elevator), geom.Pose{X: 1, Y: 1.5})
	c.do("lift", robot.Target, 0.4)
	c.wait(12) // the loop closes at K Kt / (back-EMF damping), about 1.5 1/s
	s := c.r.Spec.Parts[5].Lift
	m := c.r.Spec.Motors[s.Motor]
	perVolt := m.StallTorque * s.Gear * s.Efficiency / m.Nominal / s.Radius // N/V
	want := s.Load * Gravity / (s.Gains.P * perVolt)
	if got := 0.4 - c.look("lift").Value; math.Abs(got-want) > 0.001*want {
		t.Errorf("%.6f m low, want %.6f", got, want)
	}
}

func TestHoldStaysWhereItIs(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("lift", robot.Volts, 10)
	c.wait(0.12)
	c.do("lift", robot.Hold, 0)
	at := c.look("lift").Value
	c.wait(1)
	if s := c.look("lift"); math.Abs(s.Value-at) > 2*degree {
		t.Errorf("held at %.2f deg, now at %.2f", at/degree, s.Value/degree)
	}
}

// A carriage whose motor coasts falls with (m g - friction)/(m + J/r^2) (Newton): its motor is without friction here.
// Shorted, it sinks at the speed at which the back-EMF's current holds the weight: m g r = K^2 w/R.
func TestACoastingCarriageFalls(t *testing.T) {
	fall := func(coasts bool) float64 {
		spec := cart(ideal, func(r *robot.Robot) {
			r.Motors[0].StallTorque = r.Motors[0].VoltsPerSpeed() * r.Motors[0].StallCurrent
			r.Parts = []robot.Part{{Name: "lift", Kind: robot.KindLift, Lift: &robot.Lift{
				Powered:  robot.Powered{Count: 1, Gear: 5, Efficiency: 1, Inertia: 2e-4, Coasts: coasts},
				Elevator: true, Radius: 0.02, Load: 1.5, High: 4, Start: 4, Friction: 2, Within: 0.01,
			}}}
		})
		w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
		w.run(0.5)
		return -w.robots[0].mechanisms[0].(*lift).speed
	}
	if got, want := fall(true), 0.5*(1.5*Gravity-2)/(1.5+2e-4/(0.02*0.02)); math.Abs(got/want-1) > 1e-9 {
		t.Errorf("coasting it falls at %.6f m/s after 0.5 s, want %.6f", got, want)
	}
	k, ohms := 12/62.8*5, 12/2.5
	if got, want := fall(false), (1.5*Gravity-2)*0.02*0.02*ohms/(k*k); math.Abs(got/want-1) > 1e-6 {
		t.Errorf("shorted it sinks at %.6f m/s, want %.6f", got, want)
	}
}

// A late lift does what one at once does, so much later.
func TestALateLift(t *testing.T) {
	const late = 50 // ms, five ticks
	var at [2][]float64
	for i, seconds := range []float64{0, late * 1e-3} {
		c := with(t, yard(4, 3), hauler(t, func(r *robot.Robot) { r.Parts[5].Lift.Latency = seconds }),
			geom.Pose{X: 1, Y: 1.5})
		c.wait(0.1)
		c.do("lift", robot.Volts, 6)
		for range 40 {
			c.wait(ControlTick)
			at[i] = append(at[i], c.look("lift").Value)
		}
	}
	if at[0][20] == at[0][0] {
		t.Fatal("it does not move")
	}
	for k := range 30 {
		if got, want := at[1][k+late/10], at[0][k]; math.Abs(got-want) > 1e-9 {
			t.Fatalf("%d ticks after the command: %.6f rad, and %.6f without the latency", k, got, want)
		}
	}
}

// What its controllers take a robot for is another one, where that is said.
func TestControllersKnowAnotherRobot(t *testing.T) {
	known := hauler(t)
	heavy := hauler(t, func(r *robot.Robot) { r.Chassis.Mass *= 2 })
	w, err := New(Config{Field: yard(4, 3), Nominal: true, Robots: []Entry{
		{Spec: heavy, Known: known, Start: geom.Pose{X: 1, Y: 1.5}}}})
	if err != nil {
		t.Fatal(err)
	}
	r := w.Robots()[0]
	if r.Model().Mass != known.Chassis.Mass || r.body.Mass() != heavy.Chassis.Mass {
		t.Errorf("it is taken for one of %g kg, and has %g kg", r.Model().Mass, r.body.Mass())
	}
}
