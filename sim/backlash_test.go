package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// geared is an ideal cart with a play (rad), whose motors push with one torque at all speeds that occur: that of 1 A,
// T = 0.02 N m/A x 5 at the wheels, on rotors of Jm = 1e-5 kg m^2 x 5^2.
func geared(wide float64) *robot.Robot {
	spec := textbook(0.01, 0.02, 5, 0.04, 4)
	spec.Motors[0].Limit, spec.Motors[0].Inertia = 1, 1e-5
	spec.Drive.Backlash = wide
	return spec
}

// By hand: loose motors cross half of the play with T/Jm = 400 rad/s^2 in sqrt(wide Jm/T), and meet the wheels, which
// stand, at sqrt(wide T/Jm). By the conservation of angular momentum both then turn at Jm/(Jm + Jw) of that, and
// Jm Jw/(Jm + Jw) w^2/2 is lost. Without a floor under the wheels, in steps of any length.
func TestMotorsCrossTheirPlayAndMeetTheWheels(t *testing.T) {
	const torque, rotors = 0.1, 2.5e-4
	for _, step := range []float64{0.0005, 0.002, 0.005} {
		for _, volts := range []float64{12, -12} {
			spec := geared(0.08)
			for i := range spec.Wheels {
				spec.Wheels[i].Inertia = 7.5e-4
			}
			d := newDriveline(newBody(1, 1), nil, spec, 1, [2]float64{1, 1}, [2]float64{1, 1})
			r, way := &d.rollers[0], math.Copysign(1, volts)
			p := r.backlash
			r.volts = volts
			at, before := 0.0, 0.0
			for p.face == 0 && at < 0.1 {
				before = r.speed
				p.cross(r, step)
				at += step * map[bool]float64{true: 1, false: 1 - p.share}[p.face == 0]
			}
			want, speed := math.Sqrt(0.08*rotors/torque), math.Sqrt(0.08*torque/rotors)
			if p.face != way || p.ahead != way*0.04 || math.Abs(at-want) > step/crossings {
				t.Errorf("step %g, %g V: meshes after %.6f s by face %g, want %.6f s", step, volts, at, p.face, want)
			}
			both := rotors + 7.5e-4
			if before != 0 || math.Abs(r.speed/(way*speed*rotors/both)-1) > step/crossings/want {
				t.Errorf("step %g, %g V: then turns at %.4f rad/s, want %.4f", step, volts, r.speed, way*speed*rotors/both)
			}
			lost := rotors * 7.5e-4 / both * speed * speed / 2
			if got := p.gears; math.Abs(got/lost-1) > 2*step/crossings/want {
				t.Errorf("step %g, %g V: %.6f J lost, want %.6f", step, volts, got, lost)
			}
		}
	}
}

// The definition: a robot that drives to and fro turns its motors by the play more than its wheels each time that its
// motors turn round, which is what an encoder on them reads: half of it as it first starts, from the middle.
func TestEncodersReadThePlay(t *testing.T) {
	const wide = 0.1
	w := build(t, yard(20, 4), Entry{Spec: cart(stiff, func(r *robot.Robot) { r.Drive.Backlash = wide }),
		Start: geom.Pose{X: 10, Y: 2}})
	r := w.robots[0]
	lead := func(volts float64) float64 {
		r.SetDriveVolts(volts, volts)
		w.run(0.4)
		return r.Rolled()[0]/0.041 - r.rolled[0]/0.041
	}
	for i, c := range []struct{ volts, want float64 }{{6, 0.05}, {-6, -0.05}, {-8, -0.05}, {6, 0.05}, {0, -0.05}} {
		if got := lead(c.volts); math.Abs(got-c.want) > 1e-9 && c.volts != 0 || math.Abs(got) > wide/2+1e-9 {
			t.Errorf("drive %d, at %g V: motors %.6f rad before the wheels, want %.3f", i, c.volts, got, c.want)
		}
	}
}

// As a play goes to nothing, so does what it changes.
func TestALittlePlayIsLikeNone(t *testing.T) {
	end := func(wide float64) geom.Pose {
		w := build(t, yard(20, 20), Entry{Spec: cart(stiff, func(r *robot.Robot) { r.Drive.Backlash = wide }),
			Start: geom.Pose{X: 10, Y: 10}})
		r := w.robots[0]
		for _, volts := range [][2]float64{{6, 8}, {0, 0}, {-7, -4}, {5, -5}, {9, 9}} {
			r.SetDriveVolts(volts[0], volts[1])
			w.run(0.3)
		}
		return r.Pose()
	}
	none, last := end(0), math.Inf(1)
	for _, wide := range []float64{0.2, 0.02, 0.002, 1e-9} {
		d := none.Relative(end(wide))
		off := math.Hypot(d.X, d.Y) + 0.2*math.Abs(d.Heading)
		t.Logf("%g rad: %.3f mm", wide, off*1e3)
		if off > last || off > 2e-4+0.012*wide {
			t.Errorf("with a play of %g rad it ends %.2f mm off", wide, off*1e3)
		}
		last = off
	}
}

// What nothing drives comes to rest, its motors too, and energy only falls; the angular momentum of motors and wheels
// stays where no floor is under them: whatever play, inertias and speeds, at no volts on open circuits.
func TestPlayMakesNoEnergyAndKeepsMomentum(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		spec := geared(number("play", 0, 0.3))
		spec.Motors[0].Inertia, spec.Drive.Coasts = math.Pow(10, number("rotor", -7, -3)), true
		for i := range spec.Wheels {
			spec.Wheels[i].Inertia = math.Pow(10, number("wheel", -6, -2))
		}
		d := newDriveline(newBody(1, 1), nil, spec, 1, [2]float64{1, 1}, [2]float64{1, 1})
		r := &d.rollers[0]
		if r.backlash == nil {
			return
		}
		r.speed, r.backlash.speed = number("wheels", -50, 50), number("motors", -50, 50)
		momentum := func() float64 {
			if r.loose() {
				return r.backlash.rotors*r.backlash.speed + r.inertia*r.speed
			}
			return r.inertia * r.speed
		}
		began, energy := momentum(), d.spin()
		for i := range 200 {
			d.power(12, 0.002)
			if now := momentum(); math.Abs(now-began) > 1e-9*(math.Abs(r.backlash.rotors*50)+math.Abs(r.inertia*50)) {
				t.Fatalf("step %d: from %g to %g N m s", i, began, now)
			}
			now := d.spin()
			if now > energy*(1+1e-12) {
				t.Fatalf("step %d: from %g to %g J", i, energy, now)
			}
			energy = now
		}
	})
}
