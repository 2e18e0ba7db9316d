package viewmodel

import (
	"math"
	"testing"

	"chalkfield/internal/base/units"
)

func TestClockStopsAtTheEndAndStartsOver(t *testing.T) {
	c := Clock{Playing: true, Rate: 2, End: 1}
	c.Advance(0.3)
	if c.Time != 0.6 {
		t.Errorf("time %g, want 0.6", c.Time)
	}
	c.Advance(1)
	if c.Time != 1 || c.Playing {
		t.Errorf("at the end: %+v", c)
	}
	c.Toggle()
	if c.Time != 0 || !c.Playing {
		t.Errorf("started over: %+v", c)
	}
}

func TestClockWithoutARunDoesNotStop(t *testing.T) {
	c := Clock{Playing: true, Rate: 1}
	c.Advance(1)
	if !c.Playing || c.Time != 0 {
		t.Errorf("%+v", c)
	}
}

func TestStepsLandOnSamples(t *testing.T) {
	c := Clock{Time: 0.513, End: 2, Rate: 1}
	for _, want := range []float64{0.54, 0.56} {
		if c.Step(1, 0.02); math.Abs(c.Time-want) > 1e-9 {
			t.Errorf("time %g, want %g", c.Time, want)
		}
	}
	if c.Step(-100, 0.02); c.Time != 0 {
		t.Errorf("before the start: %g", c.Time)
	}
}

func TestRatesGoUpAndDownAndStayWithinTheirList(t *testing.T) {
	c := Clock{Rate: 1}
	for range 20 {
		c.Faster()
	}
	if c.Rate != 8 {
		t.Errorf("fastest %g", c.Rate)
	}
	for range 20 {
		c.Slower()
	}
	if c.Rate != 0.1 {
		t.Errorf("slowest %g", c.Rate)
	}
}

func TestMeasuringTakesTwoPointsThenBeginsAnew(t *testing.T) {
	var m Measurement
	m.Add(v(1, 1))
	m.Follow(v(2, 2))
	if m.Points != 1 || m.B != v(2, 2) {
		t.Errorf("%+v", m)
	}
	m.Add(v(1.3, 1.4))
	m.Follow(v(9, 9))
	if got, want := m.In(units.Metric), "500 mm at 53.1 deg (dx 300, dy 400)"; got != want { // the 3-4-5 triangle
		t.Errorf("got %q, want %q", got, want)
	}
	m.Add(v(0, 0))
	if m.Points != 1 {
		t.Errorf("%+v", m)
	}
}

// sign(x) ((|x| - d)/(1 - d))^p at d = 0.2, p = 2: 0.6 gives ((0.6 - 0.2)/0.8)^2 = 0.25.
func TestFeelHasADeadZoneACurveAndFullWay(t *testing.T) {
	f := ResponseCurve{Dead: 0.2, Power: 2}
	for x, want := range map[float64]float64{0: 0, 0.19: 0, -0.2: 0, 0.6: 0.25, -0.6: -0.25, 1: 1, -1: -1, 1.4: 1} {
		if got := f.Command(x); math.Abs(got-want) > 1e-12 {
			t.Errorf("%g gives %g, want %g", x, got, want)
		}
	}
	if got := f.Command(math.NaN()); got != 0 {
		t.Errorf("NaN gives %g", got)
	}
}

func TestFaultFindsItsPlace(t *testing.T) {
	for text, want := range map[string]Fault{
		"mine.lua:12: attempt to call nil\nstack": {File: "mine.lua", Line: 12},
		// names with spaces are cut: the base name still fits
		"/home/a b/x/r.toml:3:9: unknown key":             {File: "b/x/r.toml", Line: 3},
		"field.toml:7:1: a\nfield.toml:9:1: b":            {File: "field.toml", Line: 7},
		"robot 1 starts in sled 2":                        {},
		"x.lua:99999999999999999999999: the line is huge": {File: "x.lua"},
	} {
		got := FaultOf(errorText(text))
		if got.File != want.File || got.Line != want.Line && want.Line != 0 {
			t.Errorf("%q: %q line %d, want %q line %d", text, got.File, got.Line, want.File, want.Line)
		}
	}
}
