package motion

import (
	"math"
	"strings"
	"testing"
)

// The plant 1/s^2 under P and D on the measurement is y” = P (r - y) - D y': w_n^2 = P, 2 zeta w_n = D, no zero.
// Overshoot exp(-pi zeta/sqrt(1 - zeta^2)): Astrom & Murray, Feedback Systems 7.3 (from memory;
// the numbers are the formula's).
func TestPIDOvershootsAsASecondOrderLoop(t *testing.T) {
	for _, c := range []struct{ zeta, overshoot float64 }{{0.2, 0.5266}, {0.5, 0.1630}, {0.7, 0.04599}} {
		const w, dt = 10.0, 1e-5
		pid, err := NewPID(PIDSettings{P: w * w, D: 2 * c.zeta * w})
		if err != nil {
			t.Fatal(err)
		}
		var y, v, peak float64
		for range 100_000 {
			v += pid.Update(1, y, dt) * dt
			y += v * dt
			peak = math.Max(peak, y)
		}
		if got := peak - 1; math.Abs(got-c.overshoot) > 0.0005 {
			t.Errorf("zeta %g: overshoot %.5f, want %.5f", c.zeta, got, c.overshoot)
		}
	}
}

// The plant 1/(s+1)^3 oscillates steadily at Ku = 8 with Pu = 2 pi/sqrt(3) (Ziegler & Nichols 1942; seen): a little
// less gain dies away, a little more grows.
func TestPIDAtTheUltimateGainOscillatesWithTheUltimatePeriod(t *testing.T) {
	run := func(gain float64) (growth, period float64) {
		const dt = 1e-4
		pid, _ := NewPID(PIDSettings{P: gain})
		x := [3]float64{1, 0, 0}
		var peaks, crossings []float64
		last := x[2]
		for i := range 600_000 {
			u := pid.Update(0, x[2], dt)
			x[2] += (x[1] - x[2]) * dt
			x[1] += (x[0] - x[1]) * dt
			x[0] += (u - x[0]) * dt
			if last < 0 && x[2] >= 0 {
				crossings = append(crossings, float64(i)*dt)
				peaks = append(peaks, 0)
			}
			if len(peaks) > 0 {
				peaks[len(peaks)-1] = math.Max(peaks[len(peaks)-1], x[2])
			}
			last = x[2]
		}
		n := len(crossings) - 1
		return peaks[n-1] / peaks[2], (crossings[n] - crossings[2]) / float64(n-2)
	}
	if growth, _ := run(7.8); growth > 0.7 {
		t.Errorf("gain 7.8: amplitude grew by %.3f, should die away", growth)
	}
	if growth, _ := run(8.2); growth < 1.3 {
		t.Errorf("gain 8.2: amplitude grew by %.3f, should grow", growth)
	}
	if growth, period := run(8); math.Abs(growth-1) > 0.05 || math.Abs(period-3.627599) > 0.002 {
		t.Errorf("gain 8: growth %.4f, period %.5f s, want 1 and 3.627599", growth, period)
	}
}

func TestPIDDoesNotKickWhenTheWantedValueJumps(t *testing.T) {
	pid, _ := NewPID(PIDSettings{P: 2, D: 5})
	pid.Update(0, 1, 0.01)
	if got := pid.Update(10, 1, 0.01); got != 18 {
		t.Errorf("output %g, want 18: P times the error and nothing from D", got)
	}
}

// Without anti-windup the integral of 10 s at an error of 1 would hold the output at its limit for seconds.
func TestPIDLeavesItsLimitAsSoonAsTheErrorTurns(t *testing.T) {
	pid, _ := NewPID(PIDSettings{P: 1, I: 5, Low: -2, High: 2})
	for range 1000 {
		if out := pid.Update(1, 0, 0.01); out > 2 {
			t.Fatalf("output %g is beyond its limit 2", out)
		}
	}
	ticks := 0
	for pid.Update(0, 0.5, 0.01) > 0 {
		ticks++
	}
	if ticks > 60 {
		t.Errorf("output stayed positive for %d ticks after the error turned", ticks)
	}
}

// Filter T df/dt + f = y: after a jump of y the derivative part starts at D/(T + h) of it and falls with T.
func TestPIDFilterSmoothsTheDerivative(t *testing.T) {
	pid, _ := NewPID(PIDSettings{D: 1, Filter: 0.09})
	pid.Update(0, 0, 0.01)
	if got := pid.Update(0, 1, 0.01); math.Abs(got+10) > 1e-9 {
		t.Errorf("first output %g, want -1/(0.09+0.01)", got)
	}
	for range 9 {
		pid.Update(0, 1, 0.01)
	}
	_, _, d := pid.Terms()
	if want := -10 * math.Pow(0.9, 9); math.Abs(d-want) > 1e-9 {
		t.Errorf("after 9 more ticks %g, want %g", d, want)
	}
}

func TestPIDKeepsItsOutputWhenAMeasurementIsNoNumber(t *testing.T) {
	pid, _ := NewPID(PIDSettings{P: 1, I: 1, D: 1})
	pid.Update(1, 0, 0.01)
	before := pid.Update(1, 0.1, 0.01)
	for _, c := range []struct{ want, measured, dt float64 }{
		{math.NaN(), 0, 0.01}, {1, math.Inf(1), 0.01}, {1, 0, math.NaN()}, {1, 0, 0}, {1, 0, -1}, {1, 0, math.Inf(1)},
	} {
		if got := pid.Update(c.want, c.measured, c.dt); got != before {
			t.Errorf("%+v: output %g, want it unchanged at %g", c, got, before)
		}
	}
	pid.Reset()
	if got := pid.Update(0, 0, 0.01); got != 0 {
		t.Errorf("after Reset: %g, want 0", got)
	}
}

func TestPIDRefusesSettingsItCannotUse(t *testing.T) {
	for _, c := range []struct {
		settings PIDSettings
		names    string
	}{
		{PIDSettings{P: math.NaN()}, "pid: p "}, {PIDSettings{I: math.Inf(1)}, "pid: i "},
		{PIDSettings{Filter: -1}, "pid: filter "}, {PIDSettings{Low: 3, High: 2}, "pid: low "},
		{PIDSettings{Low: 2, High: 2}, "pid: low "},
	} {
		if _, err := NewPID(c.settings); err == nil || !strings.Contains(err.Error(), c.names) {
			t.Errorf("%+v: error %v, want one that names %q", c.settings, err, c.names)
		}
	}
}
