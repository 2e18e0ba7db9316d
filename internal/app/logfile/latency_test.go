package logfile

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

// firstOrder is a base that follows its volts as tau dv/dt = gain u(t - late) - v does. In closed form, after a step of
// u from rest: v = gain u (1 - exp(-t/tau)), and the way is gain u (t - tau (1 - exp(-t/tau))) (the step response of a
// first-order lag, any text on control; from memory). A sum of steps gives the sum of their answers.
type firstOrder struct {
	tau, gain, late float64
	steps           [][2]float64 // time, s; how much the volts change
}

func (f firstOrder) volts(t float64) float64 {
	u := 0.0
	for _, s := range f.steps {
		if t >= s[0]-1e-9 {
			u += s[1]
		}
	}
	return u
}

func (f firstOrder) way(t float64) float64 {
	x := 0.0
	for _, s := range f.steps {
		if after := t - s[0] - f.late; after > 0 {
			x += f.gain * s[1] * (after - f.tau*(1-math.Exp(-after/f.tau)))
		}
	}
	return x
}

// log has both sides alike, travel in steps of half a millimetre.
func (f firstOrder) log(dt, seconds float64) string {
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm\n")
	for i := range int(seconds / dt) {
		t := float64(i) * dt
		u, x := f.volts(t), math.Round(f.way(t)*2000)/2
		fmt.Fprintf(&out, "%.3f,%g,%g,%g,%g\n", t, u, u, x, x)
	}
	return out.String()
}

// The latency of a base of known answer is found within 3 ms, whatever its time constant, its latency and the rate of
// the rows; and the time constant within a tenth. (The half millimetres are some 2 ms of the slowest base's way.)
func TestTheLatencyOfAKnownBaseIsFound(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]float64{50, 100, 200}).Draw(t, "rate")
		whole := func(seconds float64) float64 { return math.Round(seconds*rate) / rate } // volts change with a row
		f := firstOrder{
			tau:  rapid.Float64Range(0.04, 0.5).Draw(t, "tau"),
			gain: rapid.Float64Range(0.05, 0.3).Draw(t, "gain"),
			late: rapid.Float64Range(0, 0.15).Draw(t, "late"),
		}
		at := 0.5
		for range 3 {
			u := rapid.Float64Range(3, 10).Draw(t, "volts") * float64(rapid.SampledFrom([]int{-1, 1}).Draw(t, "way"))
			on := rapid.Float64Range(0.5, 1.2).Draw(t, "on")
			f.steps = append(f.steps, [2]float64{whole(at), u}, [2]float64{whole(at + on), -u})
			at += on + 1.2
		}
		l, err := Read("run.csv", strings.NewReader(f.log(1/rate, at)), Settings{})
		if err != nil {
			t.Fatal(err)
		}
		found, sure := l.onGrid().latency()
		if !sure || math.Abs(found.Seconds-f.late) > 0.003 || math.Abs(found.Settling/f.tau-1) > 0.1 {
			t.Errorf("found %+v (%v), the base has %+v", found, sure, f)
		}
	})
}

// rollsOut is the log of a base that follows its volts at once with a time constant of 50 ms, and without volts rolls
// out at 2 m/s^2, as with open motors.
func rollsOut(late float64) string {
	const dt, fine = 0.02, 20 // s; parts of it that the way is summed in
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm\n")
	volts := func(t float64) float64 {
		switch {
		case t >= 1 && t < 2:
			return 4
		case t >= 4 && t < 5.2:
			return -8
		case t >= 7 && t < 8.2:
			return 8
		}
		return 0
	}
	x, v := 0.0, 0.0
	for i := range 500 {
		t := float64(i) * dt
		fmt.Fprintf(&out, "%.2f,%g,%g,%.1f,%.1f\n", t, volts(t+1e-9), volts(t+1e-9), 1000*x, 1000*x)
		for k := range fine {
			if u := volts(t + dt*(float64(k)+0.5)/fine - late); u != 0 {
				v += (0.1*u - v) * dt / fine / 0.05
			} else {
				v = math.Copysign(max(0, math.Abs(v)-2*dt/fine), v)
			}
			x += v * dt / fine
		}
	}
	return out.String()
}

// How a base comes to rest without volts does not change its latency, which a slow roll would make negative.
func TestTheLatencyOfABaseThatRollsOutIsFound(t *testing.T) {
	for _, late := range []float64{0, 0.03, 0.1} {
		d := described(t, rollsOut(late))
		if d.Latency == nil || math.Abs(d.Latency.Seconds-late) > 0.005 {
			t.Errorf("found %+v (%s), want %g s", d.Latency, d.Why, late)
		}
	}
}

// What does not follow the volts has no latency.
func TestNoLatencyIsMadeUp(t *testing.T) {
	unlike := "time s,left V,right V,left travel mm,right travel mm\n"
	for i := range 500 {
		x := 50 * math.Sin(float64(i)*0.11) * math.Sin(float64(i)*0.017)
		unlike += fmt.Sprintf("%.2f,%d,%d,%.1f,%.1f\n", float64(i)*0.02, i/70%2*5, i/70%2*5, x, x)
	}
	slow := firstOrder{tau: 0.2, gain: 0.1, steps: [][2]float64{{1, 5}, {20, -5}}}
	for _, c := range []struct{ text, want string }{
		{unlike, "motion does not follow the volts closely enough"},
		{rows("time s,left V,right V,left travel mm,right travel mm", "4,4,1,1", "4,4,1,1", "0,0,1,1", "0,0,1,1", "0,0,1,1"),
			"nothing moves with the volts"},
		{rows("time s,heading deg", "1", "2", "3", "4"), "it takes volts or duty of both sides"},
		{slow.log(0.5, 40), "the rows are 0.5 s apart, and it takes 0.2 s at the most"},
	} {
		if d := described(t, c.text); d.Latency != nil || !strings.HasPrefix(d.Why, c.want) {
			t.Errorf("found %+v, %q; want %q", d.Latency, d.Why, c.want)
		}
	}
}
