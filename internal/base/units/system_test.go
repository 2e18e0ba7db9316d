package units

import (
	"math"
	"testing"
)

// What a person is shown in inches, worked out on paper from the international yard and pound agreement of 1959 (an
// inch is 25.4 mm, a pound 0.45359237 kg), the standard gravity of 9.80665 m/s^2, and NIST SP 811 (2008), appendix B.8
// for psi (6.894757 E+03 Pa), pound-force (4.448222 N), pound-force inch (1.129848 E-01 N m), foot (3.048 E-01 m),
// cubic inch (1.638706 E-05 m^3), square foot (9.290304 E-02 m^2), pound inch squared (2.926397 E-04 kg m^2).
func TestWhatIsShownInInches(t *testing.T) {
	for _, c := range []struct {
		si          float64
		metric      string
		decimals    int
		asM, asInch string
	}{
		{0.6096, "mm", 0, "610 mm", "24.00 in"},
		{0.143, "mm", 0, "143 mm", "5.63 in"},
		{-0.00001, "mm", 0, "0 mm", "0.00 in"},
		{3.6576, "m", 2, "3.66 m", "12.00 ft"},
		{0.09290304, "m^2", 2, "0.09 m^2", "1.0 ft^2"},
		{0.57, "m/s", 2, "0.57 m/s", "22.4 in/s"},
		{1.27, "mm/s", 0, "1270 mm/s", "50.00 in/s"},
		{9.80665, "m/s^2", 1, "9.8 m/s^2", "386 in/s^2"},
		{6.80388555, "kg", 2, "6.80 kg", "15.00 lb"},
		{4.448222, "N", 0, "4 N", "1.0 lbf"},
		{0.1129848, "N m", 2, "0.11 N m", "1.00 lbf in"},
		{689475.7, "kPa", 0, "689 kPa", "100.0 psi"},
		{1.638706e-5, "ml", 0, "16 ml", "1.00 in^3"},
		{0.2926397, "kg m^2", 4, "0.2926 kg m^2", "1000.0 lb in^2"},
		{12.5, "V", 1, "12.5 V", "12.5 V"},
	} {
		if got := Metric.Text(c.si, c.metric, c.decimals); got != c.asM {
			t.Errorf("%g as %s, metric: %q, want %q", c.si, c.metric, got, c.asM)
		}
		if got := Inch.Text(c.si, c.metric, c.decimals); got != c.asInch {
			t.Errorf("%g as %s, in inches: %q, want %q", c.si, c.metric, got, c.asInch)
		}
	}
	// A pound weighs a pound-force where the acceleration is the standard one; a psi is that on a square inch.
	if weight := 0.45359237 * 9.80665; math.Abs(Inch.From(weight, "N")-1) > 1e-12 ||
		math.Abs(Inch.From(weight/(0.0254*0.0254), "kPa")-1) > 1e-12 {
		t.Errorf("a pound weighs %g lbf", Inch.From(weight, "N"))
	}
}

// The last digit of an inch's number is worth no more than that of the metric one, and more than a hundredth of it.
func TestNothingIsToldMoreCoarselyInInches(t *testing.T) {
	for _, c := range counterparts {
		one := c.metric.toSI(1) / c.inch.toSI(1) // of the metric unit in the other
		if last := math.Pow10(-c.finer); last > one || last < one/10 {
			t.Errorf("%s is %g %s, of which the last digit is %g", c.metric.name, one, c.inch.name, last)
		}
	}
}

func TestAFormTellsItsNumbersInTheSystem(t *testing.T) {
	for _, c := range []struct {
		form        string
		args        []any
		asM, asInch string
	}{
		{"%.0f mm off", []any{0.143}, "143 mm off", "5.63 in off"},
		{"%s: %.2f m x %.2f m, %d corners, 5 %% of %.3g kg%s", []any{"floor", 4.2, 3.0, 4, 6.2, "!"},
			"floor: 4.20 m x 3.00 m, 4 corners, 5 % of 6.2 kg!", "floor: 13.78 ft x 9.84 ft, 4 corners, 5 % of 13.7 lb!"},
		{"%.1f m/s^2, %.1f m/s, %.2f s", []any{1.0, 1.0, 1.0}, "1.0 m/s^2, 1.0 m/s, 1.00 s", "39 in/s^2, 39 in/s, 1.00 s"},
		{"%.3g V per m/s, %.3g V per m/s^2", []any{10.0, 2.0}, "10 V per m/s, 2 V per m/s^2",
			"0.254 V per in/s, 0.0508 V per in/s^2"},
		{"%.3g kg m^2, %.3g N m at %+.1f A", []any{0.1, 0.1129848, 2.0}, "0.1 kg m^2, 0.113 N m at +2.0 A",
			"342 lb in^2, 1 lbf in at +2.0 A"},
		{"%.*f mm and %5.1f mm", []any{1, 2.0, 0.0254}, "2.0 mm and  25.4 mm", "2.0 mm and 1.000 in"},
		{"%d mm, %s mm, %.0f mmx", []any{3, "4", 5.0}, "3 mm, 4 mm, 5 mmx", "3 mm, 4 mm, 5 mmx"},
		{"100 %", nil, "100 %!(NOVERB)", "100 %!(NOVERB)"},
		{"no number", nil, "no number", "no number"},
	} {
		if got := Metric.Sprintf(c.form, c.args...); got != c.asM {
			t.Errorf("%q, metric: %q, want %q", c.form, got, c.asM)
		}
		if got := Inch.Sprintf(c.form, c.args...); got != c.asInch {
			t.Errorf("%q, in inches: %q, want %q", c.form, got, c.asInch)
		}
	}
}

// What a record says in metric units is told in inches, but for what a person is to write into a file.
func TestARecordsSentenceIsRetold(t *testing.T) {
	for text, want := range map[string]string{
		"52 mm and 3.1 deg off, it takes up to 35 mm or 14.0 deg": "2.05 in and 3.1 deg off, it takes up to 1.38 in or " +
			"14.0 deg",
		"ahead 609.6 mm":                                   "ahead 24 in",
		"rate 900 mm/s, -20 deg/s":                         "rate 35.43 in/s, -20 deg/s",
		`write at = ["30 mm", "0 mm"], or less than 40 mm`: `write at = ["30 mm", "0 mm"], or less than 1.57 in`,
		"`wait 20 mm` 5 mmm 7 m":                           "`wait 20 mm` 5 mmm 23 ft",
		"600 kPa push with 12.3 N":                         "87 psi push with 2.77 lbf",
		"it takes 0.5 N m to set off":                      "it takes 4.4 lbf in to set off",
		"12 V, 3 s, \"open":                                "12 V, 3 s, \"open",
		"":                                                 "",
	} {
		if got := Inch.Retold(text); got != want {
			t.Errorf("%q is retold as %q, want %q", text, got, want)
		}
		if got := Metric.Retold(text); got != text {
			t.Errorf("metric: %q is retold as %q", text, got)
		}
	}
}

func TestSystemsHaveWords(t *testing.T) {
	for _, want := range []System{Metric, Inch} {
		if got, known := SystemCalled(want.String()); !known || got != want {
			t.Errorf("%v is called %v", want, got)
		}
	}
	if _, known := SystemCalled("feet"); known {
		t.Error("feet is no system")
	}
}
