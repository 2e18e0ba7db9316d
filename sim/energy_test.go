package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// rest is what the rows of a balance leave of what was taken, J.
func rest(e record.Energy) float64 {
	return e.Taken - e.Battery - e.Motors - e.Gears - e.Rolling - e.Slip - e.Pushed - e.Mechanisms - e.Kinetic
}

// machineOf draws a motor that gives no more than it takes, a drive and a battery.
func machineOf(t *rapid.T) *robot.Robot {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	spec := cart(func(r *robot.Robot) {
		m := robot.Motor{FreeSpeed: number("free", 20, 100), Nominal: number("nominal", 3, 24), StallCurrent: number("stall", 0.5, 10)}
		m.FreeCurrent = m.StallCurrent * number("loss", 0, 0.4)
		m.StallTorque = m.VoltsPerSpeed() * (m.StallCurrent - m.FreeCurrent) * number("yield", 0.5, 1)
		m.Inertia = number("rotor", 2e-5, 5e-4)
		if rapid.Bool().Draw(t, "limited") {
			m.Limit = m.StallCurrent * number("limit", 0.3, 1)
		}
		if rapid.Bool().Draw(t, "gets hot") {
			m.Lasting, m.HeatTime = m.StallCurrent*number("lasting", 0.1, 0.3), 1
		}
		r.Motors[0] = m
		r.Drive.Gear, r.Drive.Efficiency = number("gear", 0.5, 5), number("efficiency", 0.7, 1)
		r.Drive.Drag, r.Drive.Viscous, r.Drive.Breakaway = number("drag", 0, 0.3), number("viscous", 0, 0.02), number("breakaway", 1, 2)
		r.Drive.Creep, r.Drive.Coasts = number("creep", 0, 0.2), rapid.Bool().Draw(t, "coasts")
		for i := range r.Wheels {
			w := &r.Wheels[i]
			w.Rolling, w.Along, w.Across = number("rolling", 0, 0.1), number("along", 0.3, 1.5), number("across", 0.05, 1.5)
		}
		r.Battery = robot.Battery{Open: number("open", 3, 24), Resistance: number("resistance", 0, 0.5)}
	})
	return spec
}

// unsolved is what a row may be below nothing, J: the tyre solver ends after some rounds; and the way that power flows through
// a gear is that of the step's start, so that a reversal books up to a step's work as if it went on.
func unsolved(e record.Energy) float64 { return 2e-3 + 1e-2*e.Taken }

// What the battery gave is found again: in heat, friction, slip and motion, whatever motor, drive, floor, battery, commands and
// step; and no row but what is pushed is less than nothing. Nothing is met, so nothing may be pushed.
func TestEnergyTakenIsFoundAgain(t *testing.T) {
	worst, most := 0.0, 0.0
	property.Check(t, func(t *rapid.T) {
		w := build2(t, rapid.Float64Range(0.0005, stride).Draw(t, "step"), machineOf(t))
		r := w.robots[0]
		w.Step() // the engine gives the first step no start, so that its tyres end far from solved
		for range 12 {
			volts := rapid.SampledFrom([]float64{0, -24, 24, -6, 6, 2, 0.3})
			r.SetDriveVolts(volts.Draw(t, "left"), volts.Draw(t, "right"))
			w.run(0.1)
			e := r.Energy()
			scale := 1e-5 + 1e-9*e.Taken // the record's rounding of nine numbers
			worst = max(worst, math.Abs(rest(e))/scale)
			if math.Abs(rest(e)) > scale {
				t.Fatalf("at %.2f s %g J are lost of %+v", w.Time(), rest(e), e)
			}
			if least := min(e.Taken, e.Battery, e.Motors, e.Gears, e.Rolling, e.Slip, e.Kinetic); least < -unsolved(e) {
				t.Fatalf("at %.2f s a row is less than nothing: %+v", w.Time(), e)
			} else {
				most = max(most, -least/unsolved(e))
			}
			if math.Abs(e.Pushed) > scale {
				t.Fatalf("at %.2f s the engine has made or lost %g J of %+v", w.Time(), e.Pushed, e)
			}
		}
	})
	t.Logf("greatest rest: %.3g of what is allowed, least row: %.3g", worst, most)
}

// A constant voltage that spins up an inertia through a resistance loses in it as much as it stores, whatever both are, as
// with the charging of a capacitor (the integral of the motor's equation; from memory). Free of friction, started at once.
func TestHalfOfTheEnergyOfASpinUpIsHeat(t *testing.T) {
	spec := cart(ideal, func(r *robot.Robot) {
		r.Motors[0].StallTorque = r.Motors[0].VoltsPerSpeed() * r.Motors[0].StallCurrent
	})
	w := build(t, yard(60, 4), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 2}})
	r := w.robots[0]
	r.SetDriveVolts(4, 4)
	w.run(6)
	e := r.Energy()
	if math.Abs(e.Motors/e.Kinetic-1) > 0.01 || e.Kinetic < 1 {
		t.Errorf("%.4f J of heat for %.4f J of motion", e.Motors, e.Kinetic)
	}
}

// What a robot pushed got the work of its floor friction, mu m g s (Coulomb), and its motion. Nothing is lost at the meeting, which
// is soft: its share is the tolerance, the robot's energy at that speed by the masses' proportion.
func TestWhatIsPushedGetsItsFrictionsWork(t *testing.T) {
	f := withPiece(yard(12, 4), fields.PieceKind{
		Name: "puck", Radius: 0.1, Mass: 1, FloorFriction: 0.5,
	}, geom.Pose{X: 1.31, Y: 2})
	w := build(t, f, Entry{Spec: cart(), Start: geom.Pose{X: 1, Y: 2}})
	r, puck := w.robots[0], w.bodies[0]
	r.SetDriveVolts(5, 5)
	w.run(3)
	way, v := puck.Pose().X-1.31, puck.body.Velocity().Length()
	want := 0.5*1*Gravity*way + v*v/2
	if e := r.Energy(); way < 1 || math.Abs(e.Pushed/want-1) > 0.01 || math.Abs(rest(e)) > 1e-5 {
		t.Errorf("pushed over %.3f m: %.4f J, want %.4f; %+v", way, e.Pushed, want, e)
	}
}

// A mechanism's motor gives a lift the weight's work m g h (statics), and the battery what that took.
func TestALiftsMotorGivesTheWeightsWork(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		r.Parts = []robot.Part{{Name: "lift", Kind: robot.KindLift, Lift: &robot.Lift{
			Powered:  robot.Powered{Count: 1, Gear: 5, Efficiency: 0.8, Inertia: 1e-5},
			Elevator: true, Radius: 0.02, Load: 1.5, High: 10, Within: 0.01,
		}}}
	})
	w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	r.Do(0, robot.Command{Verb: robot.Volts, Value: 10})
	w.run(4)
	l := r.mechanisms[0].(*lift)
	want := 1.5*Gravity*l.at + l.heft*l.speed*l.speed/2
	e := r.Energy()
	if l.at < 0.5 || math.Abs(e.Mechanisms/want-1) > 1e-6 || math.Abs(rest(e)) > 1e-5 || e.Gears < 0.2*e.Mechanisms {
		t.Errorf("lifted by %.3f m: %.6f J, want %.6f; %+v", l.at, e.Mechanisms, want, e)
	}
}
