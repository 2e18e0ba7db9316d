package power

import (
	"math"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
	"pgregory.net/rapid"
)

const (
	psi = 6894.757293168361
	ml  = 1e-6
)

// Boyle's law (from memory), closed form in absolute pressures p0 (V/(V+v))^k, for a piston that starts home, with V
// 150 ml at 100 psi gauge, bore 10 mm, stroke 25 mm: 679.258, 639.690, 593.039 kPa gauge. The trade's "free air per
// stroke", area x stroke x p_abs / p_atm, says the same (common practice, no source). Tolerance: the last printed
// digit.
func TestAirPerStrokeFollowsBoyle(t *testing.T) {
	r := NewReservoir(robot.Air{Volume: 150 * ml, Pressure: 100 * psi})
	c := NewCylinder(robot.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: 5}, r)
	want := map[int]float64{1: 679.258e3, 5: 639.690e3, 10: 593.039e3}
	for k := 1; k <= 10; k++ {
		c.Out(true)
		c.Out(false)
		if w, ok := want[k]; ok && math.Abs(r.Pressure()-w) > 0.5 {
			t.Errorf("after %d strokes %.2f kPa, want %.2f", k, r.Pressure()/1e3, w/1e3)
		}
	}
	if r.Strokes() != 10 {
		t.Errorf("%d strokes counted, want 10: the spring's way back is free", r.Strokes())
	}
}

// Boyle's law with a regulator (from memory): a stroke takes p_reg,abs Vc / V, and the tubing (p_reg,abs - p_a) Vd / V
// more. Worked by hand from the formula.
func TestARegulatedStrokeTakesTheRegulatorsPressure(t *testing.T) {
	rows := []struct {
		name                                    string
		volume, regulator, bore, stroke, tubing float64
		want                                    float64 // Pa
	}{
		{"0.5 l, 400 kPa, 25 mm x 100 mm", 500 * ml, 400e3, 0.025, 0.1, 0, 49217.467},
		{"250 ml, 60 psi, 16 mm x 50 mm", 250 * ml, 60 * psi, 0.016, 0.05, 0, 20709.798},
		{"the same with 4 ml of tube", 250 * ml, 60 * psi, 0.016, 0.05, 4 * ml, 20709.798 + 6618.967},
	}
	for _, row := range rows {
		r := NewReservoir(robot.Air{Volume: row.volume, Pressure: 690e3, Regulator: row.regulator})
		c := NewCylinder(robot.Piston{Bore: row.bore, Stroke: row.stroke, Time: 0.1, Tubing: row.tubing}, r)
		before := r.Pressure()
		c.Out(true)
		if got := before - r.Pressure(); math.Abs(got-row.want) > 0.001 {
			t.Errorf("%s: a stroke took %.3f Pa, want %.3f", row.name, got, row.want)
		}
		if r.Supply() != row.regulator {
			t.Errorf("%s: supply %.0f Pa, want the regulator's %.0f", row.name, r.Supply(), row.regulator)
		}
	}
}

// Statics: F = p A; 100 psi on a bore of 10 mm: 54.15 N.
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
		r := NewReservoir(robot.Air{Volume: 1e6, Pressure: 100 * psi})
		c := NewCylinder(robot.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: test.spring, Assist: test.assist}, r)
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
	spec := robot.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1}
	stroke := func(pressure float64) float64 {
		r := NewReservoir(robot.Air{Volume: 1e6, Pressure: 400e3})
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
	r := NewReservoir(robot.Air{Volume: 150 * ml, Pressure: 100e3})
	c := NewCylinder(robot.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: 12}, r) // 7.85 N against 12 N
	before := r.Pressure()
	c.Out(true)
	for range 100 {
		c.Step(0.002)
	}
	if !c.Blocked() || c.Moving() || c.Place() != 0 || r.Pressure() != before {
		t.Errorf("blocked %v, moving %v, place %.2f, air drawn %.0f Pa", c.Blocked(), c.Moving(), c.Place(),
			before-r.Pressure())
	}
}

func TestAnAssistedPistonNeedsAirForItsWayBack(t *testing.T) {
	spec := robot.Piston{Bore: 0.010, Stroke: 0.025, Time: 0.1, Spring: 12, Assist: true}
	for _, test := range []struct {
		pressure float64
		back     bool
	}{{400e3, true}, {100e3, false}} {
		r := NewReservoir(robot.Air{Volume: 1e6, Pressure: test.pressure})
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

// The mass of air, p V at one temperature (Boyle's law), is kept: what the tank lost in random strokes is what the
// cylinders held when they were vented, less the ambient air that tubing starts with. Pressures even out unless a
// regulator holds the cylinder lower.
func TestStrokesKeepTheMassOfAir(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		air := drawnAir(t)
		r := NewReservoir(air)
		start := (air.Pressure + Ambient) * air.Volume
		var vented float64 // Pa m^3
		for range rapid.IntRange(1, 60).Draw(t, "strokes") {
			v := rapid.Float64Range(0.1*ml, 50*ml).Draw(t, "stroke")
			dead := rapid.Float64Range(0, 20*ml).Draw(t, "tubing")
			before := r.Pressure()
			cylinder := r.Fill(v, dead)
			if cylinder == 0 { // it stopped short: no more than the tank had over ambient
				if r.Pressure() != 0 || before*air.Volume > Ambient*v*(1+1e-9) {
					t.Fatalf("from %.1f Pa the piston stopped short and left %.1f Pa", before, r.Pressure())
				}
				vented += before * air.Volume
				continue
			}
			vented += (cylinder+Ambient)*(v+dead) - Ambient*dead
			even := math.Abs(cylinder-r.Pressure()) < 1e-3
			held := air.Regulator > 0 && cylinder == air.Regulator && r.Pressure() > cylinder-1e-3
			if !even && !held && math.Abs(cylinder-air.Regulator) > 1e-3 {
				t.Fatalf("cylinder at %.3f Pa, tank at %.3f Pa, regulator %.3f Pa", cylinder, r.Pressure(), air.Regulator)
			}
		}
		if left := (r.Pressure() + Ambient) * air.Volume; math.Abs(left+vented-start) > 1e-9*start {
			t.Fatalf("%.9f Pa m^3 at the start, %.9f in the tank and %.9f vented", start, left, vented)
		}
	})
}

// There is no pump: whatever is commanded, the pressure never rises and never goes below ambient.
func TestPressureNeverRises(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		r := NewReservoir(drawnAir(t))
		c := NewCylinder(robot.Piston{
			Bore: rapid.Float64Range(0.004, 0.04).Draw(t, "bore"), Stroke: rapid.Float64Range(0.005, 0.2).Draw(t, "stroke"),
			Spring: rapid.Float64Range(0, 50).Draw(t, "spring"), Assist: rapid.Bool().Draw(t, "assist"), Time: 0.1,
			Tubing: rapid.Float64Range(0, 50*ml).Draw(t, "tubing"),
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

func drawnAir(t *rapid.T) robot.Air {
	air := robot.Air{
		Volume:   rapid.Float64Range(10*ml, 2000*ml).Draw(t, "volume"),
		Pressure: rapid.Float64Range(0, 1e6).Draw(t, "pressure"),
	}
	if rapid.Bool().Draw(t, "regulated") {
		air.Regulator = rapid.Float64Range(1e4, 1e6).Draw(t, "regulator")
	}
	return air
}
