package pneumatic

import (
	"math"
	"testing"

	"chalkfield/sim/robotfile"
	"pgregory.net/rapid"
)

const (
	psi = 6894.757293168361
	ml  = 1e-6
)

// Boyle's law, closed form p0 (V/(V+v))^k with V 150 ml at 100 psi, bore 10 mm, stroke 25 mm: 680.57, 646.07, 605.39 kPa.
// The numbers are CHECKS.md's (computed from the formula); tolerance: their last printed digit.
func TestAirPerStrokeFollowsBoyle(t *testing.T) {
	r := NewReservoir(robotfile.Air{Volume: 150 * ml, Pressure: 100 * psi})
	c := NewCylinder(robotfile.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: 5}, r)
	want := map[int]float64{1: 680.57e3, 5: 646.07e3, 10: 605.39e3}
	for k := 1; k <= 10; k++ {
		c.Out(true)
		c.Out(false)
		if w, ok := want[k]; ok && math.Abs(r.Pressure()-w) > 5 {
			t.Errorf("after %d strokes %.2f kPa, want %.2f", k, r.Pressure()/1e3, w/1e3)
		}
	}
	if r.Strokes() != 10 {
		t.Errorf("%d strokes counted, want 10: the spring's way back is free", r.Strokes())
	}
}

// Boyle's law with a regulator: dp = (p_reg - p_a) Vc / V in absolute pressures. V .5 l, Vc 49.087 cm^3, 400 kPa gauge:
// 39.269908 kPa (CHECKS.md, formula from memory; Vc is a 25 mm bore by 100 mm stroke, 49.0874 cm^3).
func TestARegulatedStrokeTakesTheRegulatorsPressure(t *testing.T) {
	r := NewReservoir(robotfile.Air{Volume: 500 * ml, Pressure: 690e3, Regulator: 400e3})
	c := NewCylinder(robotfile.Piston{Bore: 0.025, Stroke: 0.1, Time: 0.1}, r)
	before := r.Pressure()
	c.Out(true)
	if got := before - r.Pressure(); math.Abs(got-39269.908) > 0.01 {
		t.Errorf("a stroke took %.3f Pa, want 39269.908", got)
	}
	if r.Supply() != 400e3 {
		t.Errorf("supply %.0f Pa, want the regulator's 400000", r.Supply())
	}
}

// Statics: F = p A; 100 psi on a bore of 10 mm: 54.15 N (CHECKS.md).
func TestPistonForceIsPressureTimesArea(t *testing.T) {
	tests := []struct {
		name   string
		spring float64
		assist bool
		want   float64
	}{
		{"no spring", 0, false, 54.15},
		{"return spring", 10, false, 44.15},
		{"assisting spring", 10, true, 64.15},
	}
	for _, test := range tests {
		// A tank so large that a stroke does not lower its pressure.
		r := NewReservoir(robotfile.Air{Volume: 1e6, Pressure: 100 * psi})
		c := NewCylinder(robotfile.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: test.spring, Assist: test.assist}, r)
		if c.Force() != 0 {
			t.Errorf("%s: presses with %.2f N at rest", test.name, c.Force())
		}
		c.Out(true)
		for range 100 {
			c.Step(0.002)
		}
		if math.Abs(c.Force()-test.want) > 0.005 {
			t.Errorf("%s: %.3f N, want %.2f", test.name, c.Force(), test.want)
		}
	}
}

func TestAStrokeTakesItsTimeAndLongerWithLessPressure(t *testing.T) {
	spec := robotfile.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1}
	stroke := func(pressure float64) float64 {
		r := NewReservoir(robotfile.Air{Volume: 1e6, Pressure: 400e3})
		c := NewCylinder(spec, r)
		r.pressure = pressure
		c.Out(true)
		for i := 1; i < 10000; i++ {
			if c.Step(0.0001) {
				return float64(i) * 0.0001
			}
		}
		return math.Inf(1)
	}
	if got := stroke(400e3); math.Abs(got-0.1) > 0.0002 {
		t.Errorf("rated stroke %.4f s, want 0.1", got)
	}
	// t = sqrt(2 m s / F): a quarter of the force takes twice the time.
	if got := stroke(100e3); math.Abs(got-0.2) > 0.0002 {
		t.Errorf("stroke at a quarter of the pressure %.4f s, want 0.2", got)
	}
}

func TestWithTooLittlePressureThePistonStays(t *testing.T) {
	r := NewReservoir(robotfile.Air{Volume: 150 * ml, Pressure: 100e3})
	c := NewCylinder(robotfile.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: 12}, r) // 7.85 N against 12 N
	before := r.Pressure()
	c.Out(true)
	for range 100 {
		c.Step(0.002)
	}
	if !c.Blocked() || c.Moving() || c.Place() != 0 || r.Pressure() != before {
		t.Errorf("blocked %v, moving %v, place %.2f, air drawn %.0f Pa", c.Blocked(), c.Moving(), c.Place(), before-r.Pressure())
	}
}

func TestAnAssistedPistonNeedsAirForItsWayBack(t *testing.T) {
	spec := robotfile.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: 12, Assist: true}
	for _, test := range []struct {
		pressure float64
		back     bool
	}{{400e3, true}, {100e3, false}} {
		r := NewReservoir(robotfile.Air{Volume: 1e6, Pressure: test.pressure})
		c := NewCylinder(spec, r)
		c.SetOut(true)
		c.Out(false)
		for range 1000 {
			c.Step(0.002)
		}
		if back := c.Place() == 0; back != test.back {
			t.Errorf("%.0f Pa: came back %v, want %v", test.pressure, back, test.back)
		}
	}
}

// There is no pump: whatever is commanded, the pressure never rises and never goes below ambient.
func TestPressureNeverRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := robotfile.Air{
			Volume:   rapid.Float64Range(10*ml, 2000*ml).Draw(t, "volume"),
			Pressure: rapid.Float64Range(0, 1e6).Draw(t, "pressure"),
		}
		if rapid.Bool().Draw(t, "regulated") {
			air.Regulator = rapid.Float64Range(1e4, 1e6).Draw(t, "regulator")
		}
		r := NewReservoir(air)
		c := NewCylinder(robotfile.Piston{
			Bore: rapid.Float64Range(0.004, 0.04).Draw(t, "bore"), Stroke: rapid.Float64Range(0.005, 0.2).Draw(t, "stroke"),
			Spring: rapid.Float64Range(0, 50).Draw(t, "spring"), Assist: rapid.Bool().Draw(t, "assist"), Time: 0.1,
		}, r)
		last := r.Pressure()
		for range 50 {
			c.Out(rapid.Bool().Draw(t, "out"))
			for range rapid.IntRange(0, 60).Draw(t, "steps") {
				c.Step(0.002)
			}
			if p := r.Pressure(); p > last || p < 0 {
				t.Fatalf("pressure went from %.3f to %.3f Pa", last, p)
			}
			last = r.Pressure()
		}
	})
}
