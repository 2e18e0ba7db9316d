package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/floats/scalar"
)

// textbook is a robot on N motors, from the motor line (Franklin, Powell, Emami-Naeini ch. 2, from memory): two motors
// in all, resistance R, constant k, gearing G, wheels of radius r, mass m, on the ideal cart.
func textbook(resistance, k, gear, radius, mass float64) *robot.Robot {
	return cart(ideal, func(r *robot.Robot) {
		r.Chassis.Mass = mass
		r.Motors[0].StallTorque, r.Motors[0].FreeSpeed, r.Motors[0].StallCurrent = 12*k/resistance, 12/k, 12/resistance
		r.Drive.Gear = gear
		for i := range r.Wheels {
			r.Wheels[i].Radius = radius
		}
	})
}

// Modern Robotics 8.9 (from memory): w = w0 (1 - e^(-t/tau)), tau = J w0/Ts. Ts 1.05 N m, w0 20.944 rad/s, J 0.004 kg
// m^2: w(0.1 s) = 14.9634 rad/s. The train by itself is integrated exactly, whatever the step.
func TestATrainSpinsUpExponentially(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		r.Motors[0] = robot.Motor{StallTorque: 1.05, FreeSpeed: 200 * 2 * math.Pi / 60, StallCurrent: 2.5, Nominal: 12,
			Inertia: 0.004}
		r.Drive.PerSide, r.Drive.Gear, r.Drive.Efficiency, r.Wheels = 1, 1, 1, nil
	})
	for _, step := range []float64{0.002, 0.01, 0.05} {
		d := newDriveline(newBody(1, 1), nil, spec, 1, [2]float64{1, 1}, [2]float64{1, 1})
		d.volts = [2]float64{12, -6}
		for range int(math.Round(0.1 / step)) {
			d.power(12, step)
		}
		if l, r := d.rollers[0].speed, d.rollers[1].speed; !scalar.EqualWithinAbs(l, 14.9634, 1e-4) ||
			!scalar.EqualWithinAbs(r, -14.9634/2, 1e-4) {
			t.Errorf("step %g: %.5f and %.5f rad/s, want 14.9634 and -7.4817", step, l, r)
		}
	}
}

// Franklin, Powell, Emami-Naeini ch. 2 (from memory): v = v0 (1 - e^(-t/tau)), tau = R m r^2/(N G^2 k^2), v0 = V r/(k
// G). R 0.5, k 0.02, m 20, r 0.04, G 5, N 2, 12 V: v(0.8 s) = 3.034179 m/s. The motors' damping is taken by the
// trapezoidal rule but the tyres' force is found at the end of the step, so the error is of the step's first order at
// most.
func TestARobotSpeedsUpAsItsMotorsAllow(t *testing.T) {
	for _, c := range []struct{ resistance, k, gear, radius, mass, at float64 }{
		{0.5, 0.02, 5, 0.04, 20, 0.8}, {0.8, 0.03, 3, 0.05, 8, 0.5}, {0.5, 0.02, 5, 0.04, 20, 0.2},
	} {
		tau := c.resistance * c.mass * c.radius * c.radius / (2 * c.gear * c.gear * c.k * c.k)
		want := 12 * c.radius / (c.k * c.gear) * (1 - math.Exp(-c.at/tau))
		var misses []float64
		for _, step := range []float64{stepLength, stepLength / 2} {
			w := buildAt(t, step, yard(20, 4), Entry{Spec: textbook(c.resistance, c.k, c.gear, c.radius, c.mass),
				Start: geom.Pose{X: 1, Y: 2}})
			w.robots[0].SetDriveVolts(12, 12)
			w.run(c.at)
			vx, _, _ := w.robots[0].Velocity()
			miss := math.Abs(vx - want)
			if miss > want*step/tau {
				t.Errorf("%+v, step %g: %.6f m/s, want %.6f", c, step, vx, want)
			}
			misses = append(misses, miss)
		}
		t.Logf("%+v: off by %.2e, %.2e m/s with half the step", c, misses[0], misses[1])
		if misses[1] > 0.75*misses[0] && misses[0] > 1e-4 {
			t.Errorf("%+v: half the step leaves %.2e of %.2e m/s of error", c, misses[1], misses[0])
		}
	}
}

// The battery sags under both trains: stalled against a wall, I = N E/(R + N r_b) (Ohm's law). E 12.6 V, r_b 0.05 ohm,
// two motors of 0.5 ohm: 42 A, 10.5 V.
func TestAStalledRobotSagsItsBattery(t *testing.T) {
	spec := textbook(0.5, 0.02, 0.5, 0.04, 20) // low gear ratio: too weak to spin the wheels
	spec.Battery = robot.Battery{Open: 12.6, Resistance: 0.05}
	w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 3.8, Y: 2}})
	w.robots[0].SetDriveVolts(14, 14)
	w.run(2)
	amps := w.robots[0].TrainAmps()
	if v := w.robots[0].Terminal(); !scalar.EqualWithinAbs(v, 10.5, 1e-3) || !scalar.EqualWithinAbs(amps[0]+amps[1], 42,
		1e-2) {
		t.Errorf("%.4f V, %.4f A, want 10.5 V, 42 A", v, amps[0]+amps[1])
	}
}

// a = mu g while the wheels spin (all weight on driven wheels; Coulomb). The motors' law plays no part then.
func TestTheStartIsLimitedByFriction(t *testing.T) {
	for _, mu := range []float64{0.8, 0.3} {
		spec := textbook(0.05, 0.02, 5, 0.04, 6) // thirty times too strong
		for i := range spec.Wheels {
			spec.Wheels[i].Along = mu
		}
		w := build(t, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 2}})
		w.robots[0].SetDriveVolts(12, 12)
		w.run(0.3)
		vx, _, _ := w.robots[0].Velocity()
		if want := mu * Gravity * 0.3; !scalar.EqualWithinRel(vx, want, 1e-6) {
			t.Errorf("mu %g: %.6f m/s after 0.3 s, want %.6f", mu, vx, want)
		}
		if along, _ := w.robots[0].Slip(); along < 0.5 {
			t.Errorf("mu %g: the wheels slip at only %.3f m/s", mu, along)
		}
	}
}

// A tyre that gives the share s of its friction slips by creep s v/rollingFor below that speed. With m a = s mu m g the
// way lost from rest to a speed v is the integral: creep v^2/(2 mu g rollingFor), whatever the motors do on the way.
// The step may add no more than its own share, v step s creep/rollingFor: a light train must not be taken for one that
// rolls fast because the motors would spin it up within the step.
func TestAStartLosesWhatTheTyresCreep(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		r.Drive.Creep = 0.06
		r.Chassis.CentreHeight = 0
	})
	mu, _ := spec.Grips()
	for _, step := range []float64{0.0005, 0.001, 0.002, 0.005, 0.01} {
		w := buildAt(t, step, yard(4, 2), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 1}})
		r := w.robots[0]
		r.SetDriveVolts(6, 6)
		w.run(0.1)
		v, _, _ := r.Velocity()
		if v < 0.3 || v > rollingFor {
			t.Fatalf("step %g: %.3f m/s is no start below %g m/s", step, v, rollingFor)
		}
		lost, want := r.rolled[0]-(r.Pose().X-1), 0.06*v*v/(2*mu*rollingFor)
		t.Logf("step %g: %.3f mm lost, %.3f mm by the integral", step, lost*1e3, want*1e3)
		if math.Abs(lost-want) > 0.06*v*step/rollingFor+2e-5 {
			t.Errorf("step %g: lost %.3f mm to %.3f m/s, want %.3f mm", step, lost*1e3, v, want*1e3)
		}
	}
}

// d = v^2/(2 mu g): a robot thrown sideways, its wheels locked across by nature. One step's path is the tolerance, as
// for pieces.
func TestARobotThrownSidewaysStopsWhereCoulombSays(t *testing.T) {
	spec := cart(ideal)
	for _, step := range []float64{stepLength, stepLength / 4} {
		w := buildAt(t, step, yard(4, 8), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
		w.robots[0].launch(0, 1.2, 0)
		w.run(1)
		got, want := w.robots[0].Pose().Y-2, 1.2*1.2/(2*0.8*Gravity)
		if math.Abs(got-want) > 1.2*step {
			t.Errorf("step %g: %.6f m, want %.6f", step, got, want)
		}
	}
}

// Lynch & Park ch. 13, Siegwart ch. 3 (formulas from memory): w = (vr - vl)/b, R = b (vr + vl)/(2 (vr - vl)). Two
// wheels on the axle do not scrub; without creep the body follows its wheels, and the path is a circle about the centre
// of rotation.
func TestALightTurnIsACircleAboutTheCentreOfRotation(t *testing.T) {
	spec := textbook(0.5, 0.02, 5, 0.04, 20) // 0.4 m/s per volt
	w := build(t, yard(8, 8), Entry{Spec: spec, Start: geom.Pose{X: 4, Y: 3}})
	r := w.robots[0]
	r.SetDriveVolts(1.5, 2.25)
	w.run(8) // ten time constants: speeds are steady
	vl, vr := r.WheelSpeeds()[0], r.WheelSpeeds()[1]
	if !scalar.EqualWithinAbs(vl, 0.6, 1e-3) || !scalar.EqualWithinAbs(vr, 0.9, 1e-3) {
		t.Fatalf("wheels run at %.4f and %.4f m/s, want 0.6 and 0.9", vl, vr)
	}
	const b = 0.32
	start := r.Pose()
	centre := start.ToWorld(geom.Vec{Y: b * (vr + vl) / (2 * (vr - vl))})
	w.run(1.5)
	end := r.Pose()
	turned := end.Heading - start.Heading
	if !scalar.EqualWithinAbs(turned, 1.40625, 2e-3) {
		t.Errorf("turned %.5f rad, want 1.40625", turned)
	}
	at := start.ToLocal(end.At())
	if !scalar.EqualWithinAbs(at.X, 0.789194, 2e-3) || !scalar.EqualWithinAbs(at.Y, 0.668956, 2e-3) {
		t.Errorf("arrived at (%.5f, %.5f), want (0.789194, 0.668956)", at.X, at.Y)
	}
	if radius := math.Hypot(end.X-centre.X, end.Y-centre.Y); !scalar.EqualWithinAbs(radius, 0.8, 2e-3) {
		t.Errorf("%.5f m from the centre of rotation, want 0.8", radius)
	}
}

// v = sqrt(mu g r) (Rajamani, Vehicle Dynamics and Control; from memory): mu 0.8, r 0.5 m: 1.9803 m/s. Below, the tyres
// hold the turn; above, they slide outwards, the slip growing by v w - mu g.
func TestACornerHoldsUpToTheFrictionLimit(t *testing.T) {
	const mu, radius = 0.8, 0.5
	limit := math.Sqrt(mu * Gravity * radius)
	corner := func(v float64) float64 {
		w := build(t, yard(40, 40), Entry{Spec: textbook(0.002, 0.02, 5, 0.04, 6), Start: geom.Pose{X: 20, Y: 20}})
		r := w.robots[0]
		turn := v / radius
		left, right := v-turn*0.16, v+turn*0.16
		r.launch(v, 0, turn)
		r.drive.rollers[0].speed, r.drive.rollers[1].speed = left/0.04, right/0.04
		r.SetDriveVolts(left/0.4, right/0.4) // 0.4 m/s per volt
		w.run(0.15)
		_, across := r.Slip()
		return across
	}
	if across := corner(0.97 * limit); across > 1e-3 {
		t.Errorf("at 97 %% of the limit it slides at %.4f m/s", across)
	}
	v := 1.1 * limit
	want := (v*v/radius - mu*Gravity) * 0.15
	// 10 %: as it slides, its course leaves the circle a little.
	if across := corner(v); !scalar.EqualWithinRel(across, want, 0.1) {
		t.Errorf("at 110 %% of the limit it slides at %.4f m/s after 0.15 s, want %.4f", across, want)
	}
}

// Rajamani (from memory): in a corner a_x = sqrt((mu g)^2 - (v^2/r)^2) is left for speeding up. mu 0.9, r 0.5 m, v 1.5
// m/s: 7.59 m/s^2. Motors at their current limit give a steady force: a little less than what is left is held, a little
// more makes the robot slide outwards. Over 20 ms the speed, and with it the need across, grows by a tenth: hence 0.9
// and 1.1.
func TestGripAlongIsWhatTheCornerLeaves(t *testing.T) {
	const mu, radius, v, mass, rim = 0.9, 0.5, 1.5, 6.0, 0.04
	left := math.Sqrt(mu*Gravity*mu*Gravity - v*v/radius*v*v/radius)
	slide := func(accel float64) float64 {
		spec := textbook(0.01, 0.02, 5, rim, mass)
		spec.Motors[0].Limit = accel * mass / 2 * rim / 5 / 0.02 // torque of one motor is k times its current
		for i := range spec.Wheels {
			spec.Wheels[i].Along, spec.Wheels[i].Across = mu, mu
		}
		w := build(t, yard(40, 40), Entry{Spec: spec, Start: geom.Pose{X: 20, Y: 20}})
		r := w.robots[0]
		turn := v / radius
		r.launch(v, 0, turn)
		r.drive.rollers[0].speed, r.drive.rollers[1].speed = (v-turn*0.16)/rim, (v+turn*0.16)/rim
		r.SetDriveVolts(12, 12)
		w.run(0.02)
		vx, vy, _ := r.Velocity()
		if got := (math.Hypot(vx, vy) - v) / 0.02; accel < left && !scalar.EqualWithinRel(got, accel, 0.01) {
			t.Errorf("wanted %.3f m/s^2 along, got %.3f", accel, got)
		}
		_, across := r.Slip()
		return across
	}
	if across := slide(0.9 * left); across > 1e-6 {
		t.Errorf("at 90 %% of what is left it slides at %g m/s", across)
	}
	if across := slide(1.1 * left); across < 0.003 {
		t.Errorf("at 110 %% of what is left it slides at only %g m/s", across)
	}
}

// A rolling tyre that carries a share of its grip creeps at that share of the file's creep speed: the definition of
// Drive.Creep. In a corner taken at the share s of mu g, the wheels slip across by s x creep.
func TestARollingTyreCreepsInProportion(t *testing.T) {
	const radius, creep, share = 0.8, 0.03, 0.5
	spec := textbook(0.002, 0.02, 5, 0.04, 6)
	spec.Drive.Creep = creep
	v := math.Sqrt(share * 0.8 * Gravity * radius)
	w := build(t, yard(40, 40), Entry{Spec: spec, Start: geom.Pose{X: 20, Y: 20}})
	r := w.robots[0]
	turn := v / radius
	r.launch(v, 0, turn)
	left, right := v-turn*0.16, v+turn*0.16
	r.drive.rollers[0].speed, r.drive.rollers[1].speed = left/0.04, right/0.04
	r.SetDriveVolts(left/0.4, right/0.4)
	w.run(0.5)
	if _, across := r.Slip(); !scalar.EqualWithinRel(across, share*creep, 0.02) {
		t.Errorf("the wheels slip across at %.5f m/s, want %.5f", across, share*creep)
	}
}
