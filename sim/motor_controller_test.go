package sim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// given are the volts that a controller gives from 0 s on, a step after the other, for what is asked at each step's
// beginning; most is 12 V.
func given(d robot.Drive, step, seconds float64, asked func(t float64) float64) (volts []float64) {
	c := newController(d)
	for i := range int(math.Round(seconds / step)) {
		v := asked(float64(i) * step)
		mean, _ := c.give([2]float64{v, -v}, 12, step)
		volts = append(volts, mean[0])
	}
	return volts
}

// area is the integral of volts over time, V s: how far the motors will have turned.
func area(volts []float64, step float64) (sum float64) {
	for _, v := range volts {
		sum += v * step
	}
	return sum
}

// By hand: 6 V asked from 0.1 s on are there L later, and climb at S V/s, so that at 0.4 s the area under them is
// 6 (0.3 - L) - 36/(2 S), in steps of any length and for latencies that are no multiple of it.
func TestVoltsComeLateAndSlew(t *testing.T) {
	for _, step := range []float64{0.0005, 0.002, 0.005, 0.01} {
		for _, c := range []struct{ latency, slew float64 }{
			{0, 40}, {0.0004, 0}, {0.0037, 0}, {0.0213, 0}, {0.1, 0}, {0.0213, 40}, {0.0013, 7000}, {0.0213, 1e4},
		} {
			volts := given(robot.Drive{Latency: c.latency, Slew: c.slew}, step, 0.4, func(t float64) float64 {
				if t < 0.1-1e-9 {
					return 0
				}
				return 6
			})
			want := 6 * (0.3 - c.latency)
			if c.slew > 0 {
				want -= 36 / (2 * c.slew)
			}
			if got := area(volts, step); math.Abs(got-want) > 1e-12 {
				t.Errorf("step %g, %+v: %.15f V s, want %.15f", step, c, got, want)
			}
			if last := volts[len(volts)-1]; math.Abs(last-6) > 1e-12 {
				t.Errorf("step %g, %+v: %.15f V in the end", step, c, last)
			}
		}
	}
}

// By hand: from +6 V to -6 V at 100 V/s takes 0.12 s, past 0 V in the middle; more than the battery has is not asked,
// so that 60 V are left again as soon as 12 V are.
func TestVoltsSlewThroughZero(t *testing.T) {
	volts := given(robot.Drive{Slew: 100}, 0.01, 0.6, func(t float64) float64 {
		if t < 0.3-1e-9 {
			return 60
		}
		return -6
	})
	for i, v := range volts {
		at := float64(i)*0.01 + 0.005
		want := math.Min(12, 100*at)
		if at > 0.3 {
			want = math.Max(-6, 12-100*(at-0.3))
		}
		if math.Abs(v-want) > 1e-12 {
			t.Errorf("at %.3f s %.12f V, want %.12f", at, v, want)
		}
	}
}

// Commands that change in every tick are each late by the same, and what waits is no more than has not arrived.
func TestALateControllerForgetsWhatHasArrived(t *testing.T) {
	c := newController(robot.Drive{Latency: 0.0999})
	for i := range 5000 {
		v := float64(i % 7)
		mean, _ := c.give([2]float64{v, v}, 12, 0.01)
		if got := mean[0]; i >= 10 {
			// of the 10 ms from t on, 0.1 ms are the command of t - 0.09 s
			want := 0.99*float64((i-10)%7) + 0.01*float64((i-9)%7)
			if math.Abs(got-want) > 1e-9 {
				t.Fatalf("tick %d: %.12f V, want %.12f", i, got, want)
			}
		}
	}
	if len(c.onWay) > 11 || cap(c.onWay) > 64 {
		t.Errorf("%d commands wait, in room for %d", len(c.onWay), cap(c.onWay))
	}
}

// A machine whose motors are late by L is at a time where one without is L before: nothing else happens in between. For
// a latency between two steps it is in between, whatever the friction that it sets off against.
func TestARobotWithLatencyIsLateAndNothingElse(t *testing.T) {
	place := func(tune func(*robot.Robot), latency, seconds float64) float64 {
		spec := cart(tune, func(r *robot.Robot) { r.Drive.Latency = latency })
		w := build(t, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
		w.run(0.1)
		w.robots[0].SetDriveVolts(7, 7)
		w.run(seconds)
		return w.robots[0].Pose().X
	}
	for _, steps := range []float64{1, 7, 50} {
		late, before := place(stiff, steps*stepLength, 0.8), place(stiff, 0, 0.8-steps*stepLength)
		if math.Abs(late-before) > 1e-9 {
			t.Errorf("%g steps late: %.9f m, want %.9f", steps, late, before)
		}
	}
	random := rand.New(rand.NewPCG(12, 2))
	for _, tune := range []func(*robot.Robot){ideal, stiff, slippery} {
		for range 10 {
			latency := 0.05 * random.Float64()
			from := math.Floor((0.8-latency)/stepLength) * stepLength
			share := (0.8 - latency - from) / stepLength
			late, want := place(tune, latency, 0.8), (1-share)*place(tune, 0, from)+share*place(tune, 0, from+stepLength)
			if math.Abs(late-want) > 1e-4 {
				t.Errorf("%.2f ms late: %.6f m, want %.6f", latency*1000, late, want)
			}
		}
	}
}

// slippery is a robot whose tyres let go as soon as it has 7 V.
func slippery(r *robot.Robot) {
	stiff(r)
	for i := range r.Wheels {
		r.Wheels[i].Along = 0.1
	}
}

// A command within the dead band is 0 V: a drive without friction stands, or coasts or brakes as at 0 V. Beyond, it is
// as without one.
func TestADeadBandIsZeroVolts(t *testing.T) {
	travel := func(band, first, then float64, coasts bool) string {
		spec := cart(ideal, func(r *robot.Robot) { r.Drive.DeadBand, r.Drive.Coasts = band, coasts })
		w := build(t, yard(40, 4), Entry{Spec: spec, Start: geom.Pose{X: 20, Y: 2}})
		w.robots[0].SetDriveVolts(first, first)
		w.run(0.5)
		w.robots[0].SetDriveVolts(then, then)
		w.run(0.5)
		return fmt.Sprintf("%x", w.robots[0].Pose().X)
	}
	for _, coasts := range []bool{false, true} {
		for _, c := range []struct{ band, first, then, asFirst, asThen float64 }{
			{0.5, 0.499, -0.499, 0, 0}, {0.5, 0.5, -0.5, 0.5, -0.5}, {0.5, 6, 0.3, 6, 0}, {2, -6, -1.9, -6, 0},
		} {
			if got, want := travel(c.band, c.first, c.then, coasts), travel(0, c.asFirst, c.asThen, coasts); got != want {
				t.Errorf("coasts %v, %+v: ends at %s, want %s", coasts, c, got, want)
			}
		}
	}
}

// By hand (statics and the motor line): at 12 V stalled, each side of the ideal cart pushes its strength times Ts/r,
// and the robot of mass m and inertia I on wheels 2h apart starts with a = (Fl + Fr)/m and alpha = (Fr - Fl) h/I. Tyres
// hold: 0.8 m g is more. Torque and currents differ, speeds do not: on blocks both sides run equally fast.
func TestTheStrongerSidePushesMore(t *testing.T) {
	const left, right = 0.8, 1.1
	spec := textbook(2, 0.02, 5, 0.04, 8)
	spec.Drive.LeftPush, spec.Drive.RightPush = left, right
	w := build(t, yard(20, 20), Entry{Spec: spec, Start: geom.Pose{X: 10, Y: 10}})
	r := w.robots[0]
	r.SetDriveVolts(12, 12)
	w.run(2 * stepLength)
	vx, _, omega := r.Velocity()
	side := 12.0 / 2 * 0.02 * 5 / 0.04 // N: k G V/(R r)
	inertia := r.body.Moment()
	a, alpha := (left+right)*side/8, (right-left)*side*0.16/inertia
	if got := vx / (2 * stepLength); math.Abs(got/a-1) > 0.01 {
		t.Errorf("starts with %.4f m/s^2, want %.4f", got, a)
	}
	if got := omega / (2 * stepLength); math.Abs(got/alpha-1) > 0.01 {
		t.Errorf("starts with %.4f rad/s^2, want %.4f", got, alpha)
	}
	amps := r.TrainAmps()
	if math.Abs(amps[0]/amps[1]-left/right) > 0.01 {
		t.Errorf("%.4f and %.4f A, want them %g to %g", amps[0], amps[1], left, right)
	}
	d := newDriveline(newBody(1, 1), nil, spec, 1, [2]float64{1, 1}, [2]float64{1, 1})
	d.volts = [2]float64{12, 12}
	for range 5000 {
		d.power(12, stepLength)
	}
	for i := range d.lines {
		if got, want := d.rollers[i].speed, 12/(0.02*5); math.Abs(got/want-1) > 1e-6 {
			t.Errorf("side %d runs free at %.4f rad/s, want %.4f", i, got, want)
		}
	}
}

// A command wakes a robot that sleeps, when it has arrived; its loose motors stand too.
func TestALateCommandWakesARobot(t *testing.T) {
	spec := cart(stiff, func(r *robot.Robot) { r.Drive.Latency, r.Drive.Backlash = 0.3, 0.05 })
	w := build(t, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	w.run(2)
	r.SetDriveVolts(6, 6)
	w.run(0.29)
	if !r.body.IsSleeping() {
		t.Error("it is awake before the command has arrived")
	}
	w.run(0.1)
	if vx, _, _ := r.Velocity(); vx < 0.1 {
		t.Errorf("0.09 s after it has arrived it drives at %.4f m/s", vx)
	}
}

// A robot that is disabled has no volts at once, whatever its controller still had to do.
func TestADisabledRobotsControllerGivesNothing(t *testing.T) {
	spec := cart(stiff, func(r *robot.Robot) { r.Drive.Latency, r.Drive.Slew = 0.2, 5 })
	w := build(t, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	r.SetDriveVolts(9, 9)
	w.run(1.5)
	if volts := r.DriveVolts(); math.Abs(volts[0]-5*1.3) > 0.01 {
		t.Fatalf("at 1.5 s %.4f V, want 6.5", volts[0])
	}
	r.SetDriveVolts(-9, 3)
	w.run(0.1)
	r.StopMotors()
	w.Step()
	if volts := r.DriveVolts(); volts != [2]float64{} {
		t.Errorf("disabled it has %v V", volts)
	}
	r.SetDriveVolts(6, 6)
	w.run(0.5)
	if volts := r.DriveVolts(); math.Abs(volts[0]-5*0.3) > 0.01 {
		t.Errorf("0.5 s after it is told to drive again it has %.4f V, want 1.5", volts[0])
	}
}
