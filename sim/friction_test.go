package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// stiff gives a cart's drive friction of every kind.
func stiff(r *robot.Robot) {
	r.Drive.Drag, r.Drive.Viscous, r.Drive.Breakaway = 0.05, 0.002, 1.3
	for i := range r.Wheels {
		r.Wheels[i].Rolling = 0.02
	}
}

// Below the volts that overcome its static friction a robot does not creep: some um is what the tyre solver leaves as
// the volts change. Above them it runs at v = (V - kS)/kV, less the tyres' creep.
func TestARobotStandsBelowItsDeadBand(t *testing.T) {
	for _, spec := range []*robot.Robot{cart(stiff), embedded(t, "hauler"), embedded(t, "barrow")} {
		m := spec.Model()
		w := build(t, yard(12, 4), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 2}})
		r := w.robots[0]
		start := r.Pose()
		for _, share := range []float64{0.05, 0.5, 0.98} {
			r.SetDriveVolts(share*m.KS, -share*m.KS)
			w.run(1)
			if d := start.Relative(r.Pose()); math.Abs(d.X)+math.Abs(d.Y)+math.Abs(d.Heading) > 2e-5 {
				t.Errorf("%s: at %.0f %% of kS it has moved by %v", spec.Title, 100*share, d)
			}
		}
		volts := 1.2*spec.Drive.Breakaway*m.KS + 1
		r.SetDriveVolts(volts, volts)
		w.run(3)
		vx, _, _ := r.Velocity()
		if want := (volts - m.KS) / m.KV; math.Abs(vx-want) > 0.02*want {
			t.Errorf("%s: %.4f m/s at %.3f V, the model says %.4f", spec.Title, vx, volts, want)
		}
	}
}

// Gears so stiff that the motors can just not turn them hold the robot where it is, or where it came to rest, in spite
// of their push: the solver agrees with the tyres within its rounds. What is left is some hundredths of a mm a second.
func TestStiffGearsHoldWhatTheMotorsPush(t *testing.T) {
	for _, drag := range []float64{0.6, 0.8, 1, 2, 5} {
		for _, before := range []float64{0, 3, 12} {
			spec := cart(stiff, func(r *robot.Robot) { r.Drive.Drag = drag })
			w := build(t, yard(12, 4), Entry{Spec: spec, Start: geom.Pose{X: 5, Y: 2}})
			r := w.robots[0]
			r.SetDriveVolts(before, before)
			w.run(0.5)
			volts := math.Min(12, 0.9*spec.Model().KS)
			r.SetDriveVolts(volts, volts)
			w.run(1)
			at := r.Pose()
			w.run(2)
			if d := at.Relative(r.Pose()); math.Abs(d.X)+math.Abs(d.Y)+math.Abs(d.Heading) > 1e-4 {
				t.Errorf("%.1f N m, after %.0f V: at %.1f V it has moved by %v in 2 s", drag, before, volts, d)
			}
		}
	}
}

// Statics of breaking away: a train that stands holds Breakaway times the friction of one that turns.
func TestATrainBreaksAwayAtItsStaticFriction(t *testing.T) {
	spec := cart(ideal, func(r *robot.Robot) { r.Drive.Drag, r.Drive.Breakaway = 0.05, 1.3 })
	l := spec.Model()
	for _, c := range []struct {
		share float64
		moves bool
	}{{1.28, false}, {1.32, true}} {
		w := build(t, yard(12, 4), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 2}})
		w.robots[0].SetDriveVolts(c.share*l.KS, c.share*l.KS)
		w.run(1)
		if moved := w.robots[0].Pose().X - 1; (moved > 1e-3) != c.moves {
			t.Errorf("at %.2f kS it moves by %.6f m", c.share, moved)
		}
	}
}

// A robot that coasts slows down evenly by Coulomb friction and rolling resistance, a = F/(m + reflected), and stops
// after v^2/(2a) (Meriam & Kraige, Dynamics). One step's path is the tolerance. Then it stands, and sleeps.
func TestARobotCoastsToRest(t *testing.T) {
	spec := cart(ideal, func(r *robot.Robot) {
		r.Drive.Drag, r.Drive.Coasts = 0.06, true
		for i := range r.Wheels {
			r.Wheels[i].Rolling = 0.03
		}
	})
	w := build(t, yard(12, 4), Entry{Spec: spec, Start: geom.Pose{X: 1, Y: 2}})
	r := w.robots[0]
	const v = 0.8
	r.launch(v, 0, 0)
	force, mass := 0.0, r.Mass()
	for i := range r.drive.rollers {
		q := &r.drive.rollers[i]
		q.speed = v / 0.04
		mass += q.inertia / (0.04 * 0.04)
		force += 0.06 / 0.04
	}
	force += 0.03 * r.Mass() * Gravity
	last := v
	for r.Pose().X < 8 && w.Time() < 6 {
		w.Step()
		vx, _, _ := r.Velocity()
		if vx < -1e-6 || vx > last+1e-6 {
			t.Fatalf("at %.3f s its speed goes from %.9f to %.9f m/s", w.Time(), last, vx)
		}
		last = vx
	}
	if got, want := r.Pose().X-1, v*v/(2*force/mass); math.Abs(got-want) > v*w.dt {
		t.Errorf("it coasts %.5f m, want %.5f", got, want)
	}
	if !r.body.IsSleeping() {
		t.Error("it does not sleep")
	}
}

// Braking stops sooner than coasting, and a routine may choose.
func TestBrakingStopsSoonerThanCoasting(t *testing.T) {
	path := func(coasts bool) float64 {
		w := build(t, yard(20, 4), Entry{Spec: cart(stiff), Start: geom.Pose{X: 1, Y: 2}})
		r := w.robots[0]
		r.SetDriveVolts(8, 8)
		w.run(1)
		from := r.Pose().X
		r.SetCoasting(coasts)
		r.SetDriveVolts(0, 0)
		w.run(5)
		if vx, _, _ := r.Velocity(); math.Abs(vx) > 1e-7 && !r.body.IsSleeping() {
			t.Errorf("coasts %v: after 5 s it still moves at %g m/s", coasts, vx)
		}
		if amps := r.TrainAmps(); math.Abs(amps[0])+math.Abs(amps[1]) > 1e-5 {
			t.Errorf("coasts %v: at rest %g A", coasts, amps)
		}
		return r.Pose().X - from
	}
	brakes, coasts := path(false), path(true)
	if brakes > 0.3*coasts {
		t.Errorf("braking takes %.4f m, coasting %.4f m", brakes, coasts)
	}
}

// Friction alone never turns a motion round nor speeds it up, whatever the machine, the step and the start.
func TestFrictionNeverReversesATrain(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		spec := cart(ideal, func(r *robot.Robot) {
			r.Drive.Drag, r.Drive.Viscous, r.Drive.Coasts = number("drag", 0, 5), number("viscous", 0, 0.1), true
			r.Drive.Breakaway = number("breakaway", 1, 2)
			r.Wheels[0].Rolling, r.Wheels[1].Rolling = number("rolling", 0, 0.3), number("rolling", 0, 0.3)
			r.Motors[0].Inertia = number("inertia", 0, 1e-3)
		})
		w := build2(t, number("step", 0.0005, 0.005), spec)
		r := w.robots[0]
		v := number("speed", 0.01, 2)
		r.launch(v, 0, 0)
		r.drive.rollers[0].speed, r.drive.rollers[1].speed = v/0.04, v/0.04
		energy := w.energy()
		for range 300 {
			w.Step()
			for i := range r.drive.rollers {
				if s := r.drive.rollers[i].speed; s < -1e-5 { // 0.4 um/s at the rim
					t.Fatalf("at %.4f s train %d turns back at %g rad/s", w.Time(), i, s)
				}
			}
			now := w.energy()
			if now > energy*(1+1e-9)+1e-12 {
				t.Fatalf("at %.4f s energy goes from %.12f to %.12f J", w.Time(), energy, now)
			}
			energy = now
		}
	})
}

// A robot whose locked wheels slide to a standstill within a step stands from then on: what stopped its wheels was
// needed once, and the next step, which starts from it, must not end before friction has given it back.
func TestLockedWheelsThatStopDoNotStartBackwards(t *testing.T) {
	spec := cart(ideal, func(r *robot.Robot) {
		r.Drive.Drag, r.Drive.Viscous, r.Drive.Coasts, r.Motors[0].Inertia = 1.5, 0.1, true, 1e-3
		r.Wheels[0].Rolling, r.Wheels[1].Rolling = 0.3, 0.3
	})
	w := buildAt(t, 1.0/256, yard(20, 20), Entry{Spec: spec, Start: geom.Pose{X: 10, Y: 10}})
	r := w.robots[0]
	r.launch(1.0/32, 0, 0)
	for i := range r.drive.rollers {
		r.drive.rollers[i].speed = 1.0 / 32 / 0.04
	}
	energy := w.energy()
	for range 20 {
		w.Step()
		if now := w.energy(); now > energy+1e-9 {
			t.Fatalf("at %.4f s energy goes from %g to %g J", w.Time(), energy, now)
		}
		energy = w.energy()
	}
}

// build2 makes a world of one robot for a property.
func build2(t *rapid.T, step float64, spec *robot.Robot) *World {
	w, err := New(Config{
		Field: yard(20, 20), Nominal: true, Step: step,
		Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 10, Y: 10}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A train as light as its gears, on ice, at its motors' current limit: it runs up to its free speed and stays there,
// also in long steps. It used to overshoot, and then to swing from limit to limit.
func TestALightTrainDoesNotOvershootAtItsCurrentLimit(t *testing.T) {
	for _, step := range []float64{0.002, 0.01} {
		spec := cart(func(r *robot.Robot) {
			r.Motors[0].FreeCurrent, r.Motors[0].Limit, r.Motors[0].Inertia = 0, 1, 1e-8
			r.Drive.Efficiency, r.Drive.Creep = 0.6, 0.06
			for i := range r.Wheels {
				r.Wheels[i].Along, r.Wheels[i].Inertia = 0.01, 1e-6
			}
		})
		w := buildAt(t, step, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
		r := w.robots[0]
		r.SetDriveVolts(12, 12)
		free := 62.8 / 1.5
		for w.Time() < 0.5 {
			w.Step()
			if s := r.drive.rollers[0].speed; s > free*1.001 {
				t.Fatalf("step %g: at %.3f s it turns at %.2f rad/s, free speed is %.2f", step, w.Time(), s, free)
			}
		}
		if s := r.drive.rollers[0].speed; s < 0.95*free {
			t.Errorf("step %g: after 0.5 s it turns at %.2f rad/s, free speed is %.2f", step, s, free)
		}
	}
}
