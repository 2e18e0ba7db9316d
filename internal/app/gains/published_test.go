package gains

import (
	"math"
	"testing"
)

// near fails where a number is off by more than a share.
func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s: %.6g, and %.6g within %.2g %% is right", what, got, want, 100*share)
	}
}

// threeLags is 1/(s+1)^3 under a controller that gives u for the output y, in small steps of Heun's method.
func threeLags(seconds float64, control func(y float64) float64) (t, y []float64) {
	const dt = 0.005
	var x [3]float64
	rate := func(x [3]float64) [3]float64 {
		return [3]float64{control(x[2]) - x[0], x[0] - x[1], x[1] - x[2]}
	}
	for now := 0.0; now < seconds; now += dt {
		t, y = append(t, now), append(y, x[2])
		a := rate(x)
		b := rate([3]float64{x[0] + dt*a[0], x[1] + dt*a[1], x[2] + dt*a[2]})
		for i := range x {
			x[i] += dt / 2 * (a[i] + b[i])
		}
	}
	return t, y
}

// The ultimate gain of 1/(s+1)^3 is 8 with a period of 2 pi/sqrt(3) s (Routh; the table's example in Astrom & Hagglund,
// Advanced PID Control). A swing that dies down by less than 2 % a wave counts as lasting, so the gain comes out lower:
// poles at -1 + K^(1/3) e^(+-j pi/3) reach that at 7.87, and it is found to 2 %.
func TestUltimateGainOfThreeLags(t *testing.T) {
	period := 0.0
	at, err := edge(1, 32, func(k float64) (bool, error) {
		times, y := threeLags(120, func(y float64) float64 { return k * (1 - y) })
		w, rings := Swings(times, y, 0.02)
		if !rings {
			period = w.Period
		}
		return !rings, nil
	})
	if err != nil || at.More {
		t.Fatal(at, err)
	}
	near(t, "ultimate gain", at.At, 7.87, 0.021)
	near(t, "period", period, 2*math.Pi/math.Sqrt(3), 0.01)
}

// A relay on 1/(s+1)^3, which lets hardly any of the higher harmonics through, gives 8 and 3.6276 s by 4 d/(pi a),
// to the 2 % that these are.
func TestRelayOnThreeLags(t *testing.T) {
	const height = 0.7
	times, y := threeLags(60, func(y float64) float64 { return math.Copysign(height, 0.01-y) })
	w, swings := Swings(times, y, 0)
	if !swings {
		t.Fatal("no swing")
	}
	u := ByRelay(height, w)
	near(t, "gain", u.Gain, 8, 0.02)
	near(t, "period", u.Period, 3.6276, 0.02)
}

// A relay of height d on an integrator k/s with a dead time L makes a triangle of amplitude d k L and period 4 L, so
// that 4 d/(pi a) is 4/(pi k L): the gain itself is pi/(2 k L), and the estimate 19 % too low.
func TestRelayOnIntegratorWithDeadTime(t *testing.T) {
	const height, k, late, dt = 0.3, 2.0, 0.4, 0.001
	var times, y []float64
	x, given := 0.05, make([]float64, int(late/dt))
	for i := range 20000 {
		times, y = append(times, float64(i)*dt), append(y, x)
		at := i % len(given)
		x += dt * k * given[at]
		given[at] = math.Copysign(height, -x)
	}
	w, swings := Swings(times, y, 0)
	if !swings {
		t.Fatal("no swing")
	}
	u := ByRelay(height, w)
	near(t, "gain", u.Gain, 4/(math.Pi*k*late), 0.01)
	near(t, "period", u.Period, 4*late, 0.01)
	near(t, "estimate over the gain itself", u.Gain/(math.Pi/(2*k*late)), 8/(math.Pi*math.Pi), 0.01)
}

// The table's values for Ku = 8 and Tu = 3.6276 s: K 4.8, Ti 1.813799 s, Td 0.453450 s; P alone 4 (Ziegler & Nichols
// 1942).
func TestZieglerNichols(t *testing.T) {
	p, pid := Ultimate{8, 2 * math.Pi / math.Sqrt(3)}.ZieglerNichols()
	near(t, "P alone", p.P, 4, 1e-12)
	near(t, "P", pid.P, 4.8, 1e-12)
	near(t, "Ti", pid.P/pid.I, 1.813799, 1e-6)
	near(t, "Td", pid.D/pid.P, 0.453450, 1e-5)
}

// secondOrder is the step of w^2/(s^2 + 2 z w s + w^2), z < 1 (Ogata, Modern Control Engineering, ch. 5).
func secondOrder(z, w float64) *Curve {
	c := &Curve{}
	damped := w * math.Sqrt(1-z*z)
	for i := range 4001 {
		t := float64(i) * 0.001
		c.T, c.Wanted = append(c.T, t), append(c.Wanted, 1)
		sin, cos := math.Sincos(damped * t)
		c.Is = append(c.Is, 1-math.Exp(-z*w*t)*(cos+z/math.Sqrt(1-z*z)*sin))
	}
	return c
}

// Overshoot is exp(-pi z/sqrt(1-z^2)): 52.66, 16.30 and 4.599 % (Astrom & Murray, Feedback Systems, 7.3; Ogata ch. 5).
// The exact settling time for z = 0.5, w = 10 is 0.807630 s, where the rule 4/(z w) says 0.8.
func TestFiguresOfSecondOrder(t *testing.T) {
	for _, c := range []struct{ z, overshoot, settling float64 }{{0.2, 0.5266, 0}, {0.5, 0.1630, 0.807630},
		{0.7, 0.04599, 0}} {
		f := Of(secondOrder(c.z, 10))
		if f.Verdict != Settles {
			t.Fatalf("damping %g %s", c.z, f.Verdict)
		}
		near(t, "overshoot", *f.Overshoot, c.overshoot, 0.002)
		if c.settling > 0 {
			near(t, "settling", *f.Settling, c.settling, 1e-4)
		}
	}
	// Without overshoot, of a first order: from 10 to 90 % in ln 9 time constants, 2 % after ln 50.
	c := secondOrder(0.5, 10)
	for i, t := range c.T {
		c.Is[i] = 1 - math.Exp(-5*t)
	}
	f := Of(c)
	near(t, "rise of first order", *f.Rise, math.Log(9)/5, 1e-3)
	near(t, "settling of first order", *f.Settling, math.Log(50)/5, 1e-3)
}

// What swings for ever, drifts, or does not arrive has no figures.
func TestNoNumberWhereThereIsNone(t *testing.T) {
	for verdict, at := range map[Verdict]func(t float64) float64{
		Rings:  func(t float64) float64 { return 1 + 0.4*math.Sin(20*t) },
		Drifts: func(t float64) float64 { return 0.4 + 0.2*t },
		Stays:  func(t float64) float64 { return 0.1 },
	} {
		c := secondOrder(0.5, 10)
		for i, t := range c.T {
			c.Is[i] = at(t)
		}
		f := Of(c)
		if f.Verdict != verdict || f.Rise != nil || f.Settling != nil || f.Overshoot != nil {
			t.Errorf("it %s, and is said to be: %+v", verdict, f)
		}
	}
}

// A shake that no step shows is told, also of a loop that drifts; what dies down, or drifts smoothly, is none.
func TestTremblingIsTold(t *testing.T) {
	shake := func(t float64) float64 { return 0.01 * math.Sin(100*t) }
	for verdict, list := range map[Verdict][]func(t float64) float64{
		Shakes: {func(t float64) float64 { return 1 + shake(t) },
			func(t float64) float64 { return 0.1*t + shake(t) }},
		Settles: {func(t float64) float64 { return 1 + math.Exp(-4*t)*shake(t) }},
		Drifts:  {func(t float64) float64 { return 0.4 + 0.2*t }},
	} {
		for n, at := range list {
			c := secondOrder(0.5, 10)
			for i, t := range c.T {
				c.Is[i] = at(t)
			}
			if f := Of(c); f.Verdict != verdict {
				t.Errorf("%d that %s is said to be: %+v", n, verdict, f)
			}
		}
	}
}

// Margins below common practice are marked; those that were not found because there is no end are none.
func TestNearToRinging(t *testing.T) {
	for _, c := range []struct {
		factor, delay Edge
		near, late    bool
	}{
		{Edge{At: 1.4}, Edge{At: 0.003}, true, true},
		{Edge{At: 2}, Edge{At: 0.0099}, false, false},
		{Edge{At: 32, More: true}, Edge{At: 0.32, More: true}, false, false},
		{Edge{}, Edge{}, true, true},
	} {
		near, late := (&Tried{Factor: c.factor, Delay: c.delay}).Near()
		if near != c.near || late != c.late {
			t.Errorf("%+v: %v, %v", c, near, late)
		}
	}
}
