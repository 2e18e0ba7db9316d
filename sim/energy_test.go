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
	return e.Taken - e.Battery - e.Motors - e.Gears - e.Rolling - e.Slip - e.Walls - e.Pushed - e.Mechanisms - e.Kinetic
}

// machineOf draws a motor that gives no more than it takes, a drive and a battery, over the ranges that a robot file
// may have; of the machines that can be written only those are left out that would move by less than 10 mm/s or more
// than 20 m/s.
func machineOf(t *rapid.T) *robot.Robot {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	order := func(name string, low, high float64) float64 { // of magnitude
		return math.Pow(10, number(name, math.Log10(low), math.Log10(high)))
	}
	some := func(name string, low, high float64) float64 { // or none
		if rapid.Bool().Draw(t, name+" at all") {
			return order(name, low, high)
		}
		return 0
	}
	spec := cart(func(r *robot.Robot) {
		r.Chassis.Mass = order("mass", 0.1, 150)
		radius := order("radius", 0.005, 0.3)
		r.Drive.Gear, r.Drive.Efficiency = order("gear", 0.05, 300), number("efficiency", 0.2, 1)
		m := robot.Motor{FreeSpeed: order("free", 0.01, 20) / radius * r.Drive.Gear, Nominal: order("nominal", 1, 60)}
		m.FreeSpeed = min(max(m.FreeSpeed, 0.6), 5000)
		m.StallCurrent = order("stall", 0.01, 500)
		m.FreeCurrent = m.StallCurrent * number("loss", 0, 0.5)
		m.StallTorque = m.VoltsPerSpeed() * (m.StallCurrent - m.FreeCurrent) * number("yield", 0.2, 1)
		m.Inertia = some("rotor", 1e-8, 0.1)
		if rapid.Bool().Draw(t, "limited") {
			m.Limit = max(2*m.FreeCurrent, m.StallCurrent*number("limit", 0.01, 1))
		}
		if most := m.StallCurrentHeld(); 2*m.FreeCurrent < most && rapid.Bool().Draw(t, "gets hot") {
			m.Lasting, m.HeatTime = number("lasting", max(2*m.FreeCurrent, 0.01*most), most), 1
		}
		r.Motors[0], r.Drive.PerSide = m, rapid.IntRange(1, 8).Draw(t, "motors")
		r.Drive.Drag, r.Drive.Viscous = some("drag", 1e-3, 50), some("viscous", 1e-5, 5)
		r.Drive.Breakaway, r.Drive.Creep = number("breakaway", 1, 3), order("creep", 0.005, 0.5)
		r.Drive.Coasts = rapid.Bool().Draw(t, "coasts")
		for i := range r.Wheels {
			w := &r.Wheels[i]
			w.Radius, w.Inertia, w.Rolling = radius, some("wheel", 1e-8, 0.1), number("rolling", 0, 0.5)
			w.Along, w.Across = order("along", 0.01, 3), number("across", 0, 3)
		}
		faults(t, r)
		r.Battery = robot.Battery{Open: order("open", 1, 60), Resistance: some("resistance", 1e-3, 2)}
	})
	return spec
}

// faults draws what a drive does otherwise than it is told, or nothing of it.
func faults(t *rapid.T, r *robot.Robot) {
	if !rapid.Bool().Draw(t, "faults") {
		return
	}
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	d, nominal := &r.Drive, r.Motors[0].Nominal
	d.LeftPush, d.RightPush = number("left push", 0.5, 1.5), number("right push", 0.5, 1.5)
	d.DeadBand, d.Latency = nominal*number("dead band", 0, 0.2), number("latency", 0, 0.1)
	if rapid.Bool().Draw(t, "slews") {
		d.Slew = nominal * number("slew", 1, 1000)
	}
	if rapid.Bool().Draw(t, "has play") {
		d.Backlash = number("backlash", 0, 0.3)
	}
	for i := range r.Wheels {
		r.Wheels[i].Static = number("static", 1, 2)
	}
}

// unsolved is what the rows of the tyres may be below nothing, J: the tyre solver ends after some rounds, and where it
// converges slowly it leaves the robot a speed. Of 3,900 machines drawn evenly 4 had more than 1e-4 J and 0.1 % of what
// was taken; the worst that was found in some 30,000 is 0.4 m/s, of 10 kg on wheels of 5 mm held by their rolling
// resistance against a voltage sixty times the motors', in steps of 10 ms. 0.5 m/s are allowed.
func unsolved(mass float64, e record.Energy) float64 { return mass*0.5*0.5/2 + 1e-3*e.Taken }

// loses are the rows that no solver touches: they may be less than nothing by what a gear is turned in the step in
// which it turns round.
func loses(e record.Energy) bool {
	return min(e.Taken, e.Battery, e.Motors, e.Gears, e.Kinetic) < -1e-4-1e-3*e.Taken
}

// What the battery gave is found again: in heat, friction, slip and motion, whatever motor, drive, floor, battery,
// commands and step; and no row but what is pushed is less than nothing. Nothing is met, so nothing may be pushed.
func TestEnergyTakenIsFoundAgain(t *testing.T) {
	worst, most := 0.0, 0.0
	property.Check(t, func(t *rapid.T) {
		w, err := New(Config{
			Field: yard(200, 200), Nominal: true, Step: rapid.Float64Range(0.0005, 0.01).Draw(t, "step"),
			Robots: []Entry{{Spec: machineOf(t), Start: geom.Pose{X: 100, Y: 100}}},
		})
		if err != nil {
			t.Fatal(err)
		}
		r := w.robots[0]
		for range 12 {
			volts := rapid.SampledFrom([]float64{0, -60, 60, -1, 1, 0.2, 0.03})
			nominal := r.Spec.Motors[0].Nominal
			r.SetDriveVolts(volts.Draw(t, "left")*nominal, volts.Draw(t, "right")*nominal)
			w.run(0.1)
			e := r.Energy()
			scale := 1e-5 + 1e-9*e.Taken // the record's rounding of nine numbers
			worst = max(worst, math.Abs(rest(e))/scale)
			if math.Abs(rest(e)) > scale {
				t.Fatalf("at %.2f s %g J are lost of %+v", w.Time(), rest(e), e)
			}
			least := -min(e.Rolling, e.Slip) / unsolved(r.Mass(), e)
			if loses(e) || least > 1 {
				t.Fatalf("at %.2f s a row is less than nothing: %+v", w.Time(), e)
			}
			most = max(most, least)
			if math.Abs(e.Pushed) > scale {
				t.Fatalf("at %.2f s the engine has made or lost %g J of %+v", w.Time(), e.Pushed, e)
			}
		}
	})
	t.Logf("greatest rest: %.3g of what is allowed, least row: %.3g", worst, most)
}

// A constant voltage that spins up an inertia through a resistance loses in it as much as it stores, whatever both are,
// as with the charging of a capacitor (the integral of the motor's equation; from memory). Free of friction, started at
// once.
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

// What a robot pushed got the work of its floor friction, mu m g s (Coulomb), and its motion. Nothing is lost at the
// meeting, which is soft: its share is the tolerance, the robot's energy at that speed by the masses' proportion.
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

// A robot that drives into a wall loses what it bounces less: m (v1^2 - v2^2)/2, its wheels' and rotors' motion apart
// (Newton's law of restitution). What it met did not move, and so got nothing.
func TestAWallTakesWhatTheRobotBouncesLess(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: cart(), Start: geom.Pose{X: 3, Y: 2}})
	r := w.robots[0]
	r.SetDriveVolts(5, 5)
	lost, last := 0.0, 0.0
	for range 1000 {
		before := r.travel()
		w.Step()
		if e := r.Energy(); e.Walls > last+1e-3 {
			lost, last = lost+before-r.travel(), e.Walls
		}
	}
	e := r.Energy()
	if e.Walls < 0.5 || math.Abs(e.Walls/lost-1) > 0.1 || math.Abs(e.Pushed) > 2e-5 || math.Abs(rest(e)) > 2e-5 {
		t.Errorf("%.4f J against walls, want %.4f; %.5f J moved, rest %g", e.Walls, lost, e.Pushed, rest(e))
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
	want := 1.5*Gravity*l.at + l.inertia*l.speed*l.speed/2
	e := r.Energy()
	if l.at < 0.5 || math.Abs(e.Mechanisms/want-1) > 1e-6 || math.Abs(rest(e)) > 1e-5 || e.Gears < 0.2*e.Mechanisms {
		t.Errorf("lifted by %.3f m: %.6f J, want %.6f; %+v", l.at, e.Mechanisms, want, e)
	}
}

// The same for the motors of mechanisms, which are solved by themselves: what they took is found again, and neither
// heat nor gears give anything back, whatever hangs on the motor.
func TestAMechanismsEnergyIsFoundAgain(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		order := func(name string, low, high float64) float64 {
			return math.Pow(10, number(name, math.Log10(low), math.Log10(high)))
		}
		spec := cart(func(r *robot.Robot) {
			m := &r.Motors[0]
			m.FreeSpeed, m.StallCurrent = order("free", 1, 5000), order("stall", 0.01, 500)
			m.FreeCurrent = m.StallCurrent * number("loss", 0, 0.5)
			m.StallTorque = m.VoltsPerSpeed() * (m.StallCurrent - m.FreeCurrent) * number("yield", 0.2, 1)
			m.Limit = m.StallCurrent * number("limit", 0.01, 1)
			r.Battery = robot.Battery{Open: 13, Resistance: number("resistance", 0, 2)}
			powered := robot.Powered{
				Count: 1, Gear: order("gear", 0.02, 2000), Efficiency: number("efficiency", 0.1, 1),
				Inertia: order("inertia", 1e-7, 10),
				Coasts:  rapid.Bool().Draw(t, "coasts"),
			}
			r.Parts = []robot.Part{{Name: "lift", Kind: robot.KindLift, Lift: &robot.Lift{
				Powered: powered, Elevator: true, Radius: order("radius", 0.002, 0.3), Load: order("load", 0.001, 50),
				Low: -1e6, High: 1e6, Friction: number("friction", 0, 100), Spring: number("spring", 0, 200), Within: 0.01,
			}}}
		})
		w, err := New(Config{
			Field: yard(4, 4), Nominal: true, Step: number("step", 0.0005, 0.01),
			Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 2, Y: 2}}},
		})
		if err != nil {
			t.Fatal(err)
		}
		r := w.robots[0]
		for range 12 {
			r.Do(0, robot.Command{Verb: robot.Volts, Value: rapid.SampledFrom([]float64{0, -24, 24, -6, 6, 1}).Draw(t, "volts")})
			w.run(0.1)
			e := r.Energy()
			scale := 1e-5 + 1e-9*(e.Taken+math.Abs(e.Mechanisms))
			if math.Abs(rest(e)) > scale || loses(e) {
				t.Fatalf("at %.2f s %g J are lost, or a row is less than nothing: %+v", w.Time(), rest(e), e)
			}
		}
	})
}
