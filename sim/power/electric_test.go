package power

import (
	"math"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"
)

const rpm = 2 * math.Pi / 60

// Torque is what reaches the output: the motors' torque at that current less their friction and the gear's losses. At a
// standstill the friction holds as much as it can.
func (l *Line) Torque(volts, speed float64) float64 {
	p := l.Drive(volts, speed)
	torque := p.Steady - float64(p.Slope*speed)
	if p.Held*speed < 0 {
		torque += p.Held
	}
	switch {
	case speed > 0:
		return torque - p.Drag
	case speed < 0:
		return torque + p.Drag
	}
	return math.Copysign(math.Max(0, math.Abs(torque)-p.Drag), torque)
}

// Lynch & Park, Modern Robotics (2017) 8.9 (formula from memory): at the nominal voltage the most power is
// Ts w0/4, at half the free speed.
func TestTheLineGivesMostPowerAtHalfSpeed(t *testing.T) {
	l := Geared(robot.Motor{StallTorque: 1.05, FreeSpeed: 200 * rpm, StallCurrent: 2.5, FreeCurrent: 0.1, Nominal: 12},
		1, 1, 1)
	best, at := 0.0, 0.0
	for i := range 2001 {
		w := l.Free * float64(i) / 2000
		if p := w * l.Torque(12, w); p > best {
			best, at = p, w
		}
	}
	if !scalar.EqualWithinAbs(best, 5.498, 5e-4) || !scalar.EqualWithinAbs(at, l.Free/2, 1e-9) {
		t.Errorf("most power %.4f W at %.4f rad/s, want 5.498 W at %.4f", best, at, l.Free/2)
	}
}

// ideal loses nothing but its friction: 0.275 V s/rad = 0.275 N m/A, 5 ohm.
var ideal = robot.Motor{StallTorque: 0.275 * 2.2, FreeSpeed: 40, StallCurrent: 2.4, FreeCurrent: 0.2, Nominal: 12}

// The equivalent circuit by hand: V = 5 ohm I + 0.275 w, T = 0.275 (I - 0.2 sign(w)) a motor; three of them behind 2:1.
func TestTheLineMeetsItsCorners(t *testing.T) {
	l := Geared(ideal, 3, 2, 1)
	for _, c := range []struct {
		what               string
		volts, speed       float64
		wantTorque, wantAm float64
	}{
		{"stalled", 12, 0, 3 * 0.605 * 2, 3 * 2.4},
		{"running free", 12, 20, 0, 3 * 0.2},
		{"free at half voltage", 6, (6 - 5*0.2) / 0.275 / 2, 0, 3 * 0.2},
		{"held by its friction", 0.9, 0, 0, 3 * 0.18},
		{"at rest without voltage", 0, 0, 0, 0},
		{"shorted and driven", 0, 20, -3 * 0.275 * 2.4 * 2, -3 * 2.2},
		{"shorted and driven backwards", 0, -20, 3 * 0.275 * 2.4 * 2, 3 * 2.2},
		{"stalled backwards", -12, 0, -3 * 0.605 * 2, -3 * 2.4},
	} {
		if got := l.Torque(c.volts, c.speed); !scalar.EqualWithinAbs(got, c.wantTorque, 1e-12) {
			t.Errorf("%s: torque %g, want %g", c.what, got, c.wantTorque)
		}
		if got := l.Amps(c.volts, c.speed); !scalar.EqualWithinAbs(got, c.wantAm, 1e-12) {
			t.Errorf("%s: current %g, want %g", c.what, got, c.wantAm)
		}
	}
}

// The most efficient point of a permanent-magnet motor is at I = sqrt(I0 Is), with (1 - sqrt(I0/Is))^2 (Hughes & Drury,
// Electric Motors and Drives; formula from memory). A motor with less torque than its currents allow has less in
// proportion.
func TestTheBestEfficiencyIsThatOfItsCurrents(t *testing.T) {
	for _, yield := range []float64{1, 0.8} {
		m := ideal
		m.StallTorque *= yield
		l := Geared(m, 2, 1, 1)
		best, at := 0.0, 0.0
		for i := 1; i < 20000; i++ {
			w := l.Free * float64(i) / 20000
			if e := l.Torque(12, w) * w / (12 * l.Amps(12, w)); e > best {
				best, at = e, l.Amps(12, w)/2
			}
		}
		want := math.Pow(1-math.Sqrt(0.2/2.4), 2) * yield
		if !scalar.EqualWithinAbs(best, want, 1e-6) || !scalar.EqualWithinAbs(at, math.Sqrt(0.2*2.4), 1e-2) {
			t.Errorf("yield %g: best %.6f at %.4f A, want %.6f at %.4f A", yield, best, at, want, math.Sqrt(0.2*2.4))
		}
	}
}

// No motor, no voltage and no speed make energy: what goes in electrically covers what comes out at the shaft, and the
// other way round when the shaft is driven. Driving it is never more efficient than its currents allow at that voltage.
func TestNoMotorMakesEnergy(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		m := robot.Motor{FreeSpeed: number("free", 5, 700), Nominal: number("nominal", 3, 24),
			StallCurrent: number("stall", 1, 150)}
		m.FreeCurrent = m.StallCurrent * number("loss", 0, 0.5)
		m.StallTorque = m.VoltsPerSpeed() * (m.StallCurrent - m.FreeCurrent) * number("yield", 0.2, 1)
		m.Limit = number("limit", 0, 1) * m.StallCurrent
		l := Geared(m, rapid.IntRange(1, 4).Draw(t, "count"), number("gear", 0.2, 10), number("efficiency", 0.3, 1))
		l.Coasts = rapid.Bool().Draw(t, "coasts")
		for range 20 {
			volts, speed := number("volts", -1.2, 1.2)*m.Nominal, number("speed", -2, 2)*l.Free
			if rapid.Bool().Draw(t, "shorted") {
				volts = 0
			}
			in, out := l.Across(volts, speed)*l.Amps(volts, speed), l.Torque(volts, speed)*speed
			if out > in+1e-9*(math.Abs(in)+math.Abs(out))+1e-12*m.Nominal*l.StallAmps { // and what V - Ke w loses in rounding
				t.Fatalf("%g V, %g rad/s: %g W in, %g W out of %+v", volts, speed, in, out, l)
			}
			if volts := math.Abs(l.Across(volts, speed)); out > 0 {
				bound := math.Pow(1-math.Sqrt(l.FreeAmps*l.R/volts), 2)
				if out/in > bound+1e-9 {
					t.Fatalf("%g V, %g rad/s: efficiency %g, at most %g is possible", volts, speed, out/in, bound)
				}
			}
		}
	})
}

func TestTheLimitHoldsCurrentAndTorque(t *testing.T) {
	m := ideal
	m.Limit = 1.3
	l := Geared(m, 2, 1, 1)
	if got := l.Amps(12, 0); got != 2.6 {
		t.Errorf("stalled: %g A, want the limit 2.6 A", got)
	}
	// Torque goes with the current above the free current: (1.3 - 0.2)/(2.4 - 0.2) of the stall torque.
	if got := l.Torque(12, 0); !scalar.EqualWithinAbs(got, 0.605, 1e-12) {
		t.Errorf("stalled: %g N m, want half of 1.21 N m", got)
	}
	// The controller lowers the voltage to what that current needs, 1.3 A x 5 ohm, and takes no more from the battery.
	if got := l.Across(12, 0); !scalar.EqualWithinAbs(got, 6.5, 1e-12) {
		t.Errorf("stalled: %g V at the motors, want 6.5 V", got)
	}
	knee := 40 * (2.4 - 1.3) / (2.4 - 0.2)
	below, above := l.Torque(12, knee*(1-1e-9)), l.Torque(12, knee*(1+1e-9))
	if !scalar.EqualWithinAbs(below, above, 1e-6) {
		t.Errorf("torque jumps from %g to %g where the limit ends", below, above)
	}
}

// A lossy gear loses power whichever way the power flows.
func TestTheGearLosesPowerBothWays(t *testing.T) {
	clean, lossy := Geared(ideal, 1, 1, 1), Geared(ideal, 1, 1, 0.8)
	if got, want := lossy.Torque(12, 20), 0.8*clean.Torque(12, 20); !scalar.EqualWithinAbs(got, want, 1e-12) {
		t.Errorf("driving: %g, want %g", got, want)
	}
	if got, want := lossy.Torque(0, 20), clean.Torque(0, 20)/0.8; !scalar.EqualWithinAbs(got, want, 1e-12) {
		t.Errorf("braking: %g, want %g", got, want)
	}
}

// I = N (E - k w)/(R + N r_b) (Ohm's law): E 12.6 V, r_b 0.05 ohm, two motors of R 0.5 ohm stalled: 42 A at 10.5 V.
func TestStalledMotorsAndBatteryAgree(t *testing.T) {
	l := Geared(robot.Motor{StallTorque: 1, FreeSpeed: 100, StallCurrent: 24, Nominal: 12}, 2, 1, 1)
	b := NewBattery(robot.Battery{Open: 12.6, Resistance: 0.05}, 0)
	v := b.Settle([]Load{{Line: &l, Want: 100}})
	if amps := l.Amps(v, 0); !scalar.EqualWithinAbs(v, 10.5, 1e-6) || !scalar.EqualWithinAbs(amps, 42, 1e-5) {
		t.Errorf("%.6f V and %.6f A, want 10.5 V and 42 A", v, amps)
	}
}

// A chopped motor takes from the battery the power that it gets, not its current.
func TestAPartLoadTakesItsPower(t *testing.T) {
	l := Geared(robot.Motor{StallTorque: 1, FreeSpeed: 100, StallCurrent: 24, Nominal: 12}, 1, 1, 1)
	b := NewBattery(robot.Battery{Open: 12.6, Resistance: 0.05}, 0)
	v := b.Settle([]Load{{Line: &l, Want: 3}})
	taken := (12.6 - v) / 0.05
	if want := 3 * l.Amps(3, 0); !scalar.EqualWithinRel(taken*v, want, 1e-5) {
		t.Errorf("%.5f W taken, want %.5f W", taken*v, want)
	}
}

func TestTheBatteryRunsDownInAStraightLine(t *testing.T) {
	b := NewBattery(robot.Battery{Open: 12.6, Resistance: 0.1, Capacity: 1000, Empty: 10}, 0)
	for range 5000 { // 10 A for 50 s: half of it
		b.Take(10 * b.Terminal() * 0.01)
	}
	if got := b.Open(); !scalar.EqualWithinAbs(got, 11.3, 1e-5) {
		t.Errorf("half used: %.6f V open, want 11.3", got)
	}
	for range 20000 {
		b.Take(10 * b.Terminal() * 0.01)
	}
	if got := b.Open(); got != 10 {
		t.Errorf("overdrawn: %g V open, want 10", got)
	}
}

func TestAStrongerMotorIsStrongerAtEqualFreeSpeed(t *testing.T) {
	l := Geared(ideal, 1, 1, 1)
	s := l.Scaled(1.1)
	if s.Torque(12, 0) <= l.Torque(12, 0) || !scalar.EqualWithinAbs(s.Torque(12, 40), 0, 1e-12) {
		t.Errorf("torque at a stall %g, at the free speed %g", s.Torque(12, 0), s.Torque(12, 40))
	}
}

// Whatever the loads, Settle ends in balance, or at 0 V where motors that are driven against their voltage would take
// more than the battery can give.
func TestSourceAndLoadsAlwaysBalance(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		spec := robot.Battery{Open: number("open", 5, 30), Resistance: number("resistance", 0, 0.6)}
		b := NewBattery(spec, 0)
		var lines [3]Line
		for range 3 { // the start from the last voltage must not matter
			var loads []Load
			for i := range lines {
				lines[i] = Geared(robot.Motor{
					StallTorque: number("torque", 0.01, 5), FreeSpeed: number("free", 5, 700), Nominal: 12,
					StallCurrent: number("stall", 1, 150), FreeCurrent: number("loss", 0, 0.9), Limit: number("limit", 0, 60),
				}, 1, 1, 1)
				loads = append(loads, Load{&lines[i], number("want", -15, 15), number("speed", -700, 700)})
			}
			v := b.Settle(loads)
			amps, _ := draw(loads, v)
			if v < 0 || v > spec.Open {
				t.Fatalf("terminal voltage %g outside 0..%g", v, spec.Open)
			}
			gap := spec.Open - spec.Resistance*amps - v
			if v < 1e-6 && gap < 0 {
				continue // driven backwards so fast that they would pull the terminals below nothing
			}
			if math.Abs(gap) > 1e-6*math.Max(1, spec.Resistance*amps) {
				t.Fatalf("open %g V less %g ohm x %g A is not %g V", spec.Open, spec.Resistance, amps, v)
			}
		}
	})
}
