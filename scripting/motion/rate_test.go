package motion

import (
	"math"
	"testing"
)

// Rate holds what was asked, with the right model and with wrong ones, and turns by what the rate adds up to.
func TestRateHoldsSpeedAndTurningRate(t *testing.T) {
	for _, w := range wrongnesses[:5] {
		for _, c := range []struct{ along, turn float64 }{{0.6, 0}, {-0.4, 0}, {0, 2}, {0.5, 1.2}, {-0.3, -2}} {
			m := typical()
			w.set(m)
			motion, err := Rate(c.along, c.turn, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if err := motion.Start(m); err != nil {
				t.Fatal(err)
			}
			for range 200 {
				motion.Update(tick)
				m.run()
			}
			if math.Abs(m.vx-c.along) > 0.015 || math.Abs(m.w-c.turn) > 0.04 {
				t.Errorf("%s: %.3f m/s, %.3f rad/s, want %+v", w.name, m.vx, m.w, c)
			}
			// The slew up takes time, so the turn lags a ramp behind; the heading held makes up the rest.
			if lag := math.Abs(c.turn*2 - m.pose.Heading); lag > math.Abs(c.turn)*0.1+0.03 {
				t.Errorf("%s: turned %.3f rad in 2 s at %g rad/s", w.name, m.pose.Heading, c.turn)
			}
			if along, turn := motion.Want(); along != c.along || turn != c.turn {
				t.Errorf("%s: wants %g, %g", w.name, along, turn)
			}
			if motion.Done() || motion.Turning() != (c.along == 0) {
				t.Errorf("%s: done %v, turning %v", w.name, motion.Done(), motion.Turning())
			}
		}
	}
}

func TestRateChangesWithoutAJerkAndEndsOnlyWhenTold(t *testing.T) {
	m := typical()
	motion, err := Rate(0.5, 0, Options{Timeout: 3})
	if err != nil {
		t.Fatal(err)
	}
	if err := motion.Start(m); err != nil {
		t.Fatal(err)
	}
	last, most := 0.0, 0.0
	for i := range 290 {
		if i == 100 {
			if err := motion.SetRate(-0.5, 1); err != nil {
				t.Fatal(err)
			}
		}
		motion.Update(tick)
		m.run()
		most = math.Max(most, math.Abs(m.vx-last)/tick)
		last = m.vx
	}
	if a := gripShare * m.grip; most > 1.5*a {
		t.Errorf("accelerates by %.2f m/s^2, planned %.2f", most, a)
	}
	if math.Abs(m.vx+0.5) > 0.015 || math.Abs(m.w-1) > 0.04 {
		t.Errorf("after the change %.3f m/s, %.3f rad/s", m.vx, m.w)
	}
	m.wall = m.pose.X // pushes for ever: a driver may do that
	for !motion.Done() {
		motion.Update(tick)
		m.run()
	}
	if r := motion.Result(); r.Why != TimedOut || math.Abs(r.Took-3) > 0.011 {
		t.Errorf("%+v, want the timeout at 3 s", r)
	}
	if err := motion.SetRate(math.NaN(), 0); err == nil {
		t.Error("SetRate takes NaN")
	}
	if other, _ := Ahead(1, Options{}); other.SetRate(1, 0) == nil {
		t.Error("SetRate works on another motion")
	}
}
