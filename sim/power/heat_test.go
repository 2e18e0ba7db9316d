package power

import (
	"math"
	"testing"

	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/floats/scalar"
)

// hotMotor bears 1 A for ever, and takes up to 2.4 A.
func hotMotor(limit float64) robot.Motor {
	m := ideal
	m.Lasting, m.HeatTime, m.Limit = 1, 30, limit
	return m
}

// stalledFor holds a line at 12 V and 0 rad/s until a condition, and returns the time.
func stalledFor(l *Line, most float64, until func() bool) float64 {
	const dt = 0.002
	for step := 1; ; step++ {
		l.Flow(l.Drive(12, 0), 0, 0, 0, dt)
		l.Warm(dt)
		if t := float64(step) * dt; t >= most || until() {
			return t
		}
	}
}

// The thermal image trips at t = tau ln(I^2/(I^2 - (k I_B)^2)) from cold (IEC 60255-149; from memory): k^2 = 0.8 here.
// The numbers are worked out by hand: 30 s ln(5.76/4.96) = 4.486 s, 30 s ln(4/3.2) = 6.694 s. A step is the tolerance.
func TestAStalledMotorsLimitFallsAtTheThermalImagesTime(t *testing.T) {
	for _, c := range []struct{ limit, want float64 }{{0, 4.486}, {2, 6.694}} {
		m := hotMotor(c.limit)
		l := Geared(m, 3, 2, 1)
		cold := l.Limit
		at := stalledFor(&l, 60, func() bool { return l.Limit < cold })
		if math.Abs(at-c.want) > 0.003 || !scalar.EqualWithinAbs(m.PushesFor(), c.want, 5e-4) {
			t.Errorf("limit %g A: it falls after %.4f s, computed %.4f, want %.3f", c.limit, at, m.PushesFor(), c.want)
		}
		if got := l.Amps(12, 0) / 3; math.Abs(got-m.StallCurrentHeld()) > 0.01 {
			t.Errorf("limit %g A: there the current is %.3f A of %.3f", c.limit, got, m.StallCurrentHeld())
		}
	}
}

// However long it pushes, it is never hotter than its lasting current makes it, and that current is left to it. Without
// current it cools as e^(-t/tau), which is the solution of the equation.
func TestAHotMotorKeepsItsLastingCurrentAndCools(t *testing.T) {
	l := Geared(hotMotor(0), 3, 2, 1)
	last := math.Inf(1)
	stalledFor(&l, 300, func() bool {
		if amps := l.Amps(12, 0); amps > last || l.Heat() > 1 {
			t.Fatalf("%.4f A after %.4f A, heat %.6f", amps, last, l.Heat())
		} else {
			last = amps
		}
		return false
	})
	if !scalar.EqualWithinAbs(last, 3, 1e-6) || !scalar.EqualWithinAbs(l.Heat(), 1, 1e-6) {
		t.Errorf("after 300 s: %.6f A, heat %.6f; want 3 A and 1", last, l.Heat())
	}
	for range 30 {
		l.Warm(1)
	}
	if want := math.Exp(-1); !scalar.EqualWithinAbs(l.Heat(), want, 1e-6) || !math.IsInf(l.Limit, 1) {
		t.Errorf("after 30 s of rest: heat %.6f, limit %g A; want %.6f and none", l.Heat(), l.Limit, want)
	}
}

func TestAMotorWithoutALastingCurrentDoesNotGetHot(t *testing.T) {
	l := Geared(ideal, 1, 1, 1)
	stalledFor(&l, 60, func() bool { return false })
	if l.Heat() != 0 || !math.IsInf(l.Limit, 1) {
		t.Errorf("heat %g, limit %g", l.Heat(), l.Limit)
	}
}
