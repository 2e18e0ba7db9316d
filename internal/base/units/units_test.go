package units

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// What each unit is worth in SI. Sources, all from memory: the International System of Units (SI Brochure, 9th
// edition), table 8 for minute, hour, degree, bar, litre; NIST SP 811 (2008), appendix B, for inch, pound, pound-force,
// psi (given there as 6.894757 E+03 Pa; the digits here are pound-force per square inch by its definition). A turn is 2
// pi rad.
var published = []struct {
	quantity, text string
	si             float64
}{
	{"m", "1 mm", 0.001}, {"m", "1 cm", 0.01}, {"m", "1 m", 1}, {"m", "1 in", 0.0254}, {"m", "1 ft", 0.3048},
	{"rad", "180 deg", math.Pi}, {"rad", "1 rad", 1}, {"rad", "1 turn", 2 * math.Pi},
	{"kg", "1 kg", 1}, {"kg", "1 g", 0.001}, {"kg", "1 lb", 0.45359237},
	{"s", "1 s", 1}, {"s", "1 ms", 0.001}, {"s", "1 us", 1e-6}, {"s", "1 min", 60},
	{"m/s", "1 m/s", 1}, {"m/s", "1 mm/s", 0.001}, {"m/s", "1 cm/s", 0.01}, {"m/s", "1 in/s", 0.0254},
	{"rad/s", "60 rpm", 2 * math.Pi}, {"rad/s", "180 deg/s", math.Pi}, {"rad/s", "1 rad/s", 1},
	{"rad/s", "648000 deg/h", math.Pi},
	{"J", "1 J", 1}, {"J", "1 kJ", 1000}, {"V", "1 V", 1}, {"V", "1 mV", 0.001},
	{"A", "1 A", 1}, {"A", "1 mA", 0.001},
	{"ohm", "1 ohm", 1}, {"ohm", "1 mohm", 0.001},
	{"N m", "1 N m", 1}, {"N m", "1 N cm", 0.01}, {"N m", "1 lbf in", 0.1129848290276167},
	{"N", "1 N", 1}, {"N", "1 lbf", 4.4482216152605},
	{"kg m^2", "1 kg m^2", 1}, {"kg m^2", "1 kg cm^2", 1e-4}, {"kg m^2", "1 g cm^2", 1e-7},
	{"kg m^2", "1 lb in^2", 0.45359237 * 0.0254 * 0.0254},
	{"Pa", "1 Pa", 1}, {"Pa", "1 kPa", 1000}, {"Pa", "1 bar", 1e5}, {"Pa", "1 psi", 4.4482216152605 / (0.0254 * 0.0254)},
	{"m^3", "1 l", 0.001}, {"m^3", "1 ml", 1e-6}, {"m^3", "1 cm^3", 1e-6}, {"m^3", "1 in^3", 1.6387064e-5},
	{"Hz", "1 Hz", 1}, {"Hz", "1 kHz", 1000},
	{"N m s", "1 N m s", 1}, {"N m s", "1 N cm s", 0.01}, {"N m s", "1 lbf in s", 0.1129848290276167},
	{"V/s", "1 V/s", 1}, {"V/s", "1 V/ms", 1000},
	{"C", "1 C", 1}, {"C", "1 A h", 3600}, {"C", "1 mA h", 3.6},
	{"m/s^2", "1 m/s^2", 1}, {"m/s^2", "1 mm/s^2", 0.001}, {"m/s^2", "1 in/s^2", 0.0254},
	{"rad/s^2", "1 rad/s^2", 1}, {"rad/s^2", "180 deg/s^2", math.Pi},
	{"1/s", "1 1/s", 1}, {"1/s", "60 1/min", 1},
	{"V/rad", "1 V/rad", 1}, {"V/rad", "1 V/deg", 180 / math.Pi}, {"V/m", "1 V/m", 1}, {"V/m", "1 V/mm", 1000},
	{"V/rad/s", "1 V/rad/s", 1}, {"V/rad/s", "1 V/deg/s", 180 / math.Pi}, {"V/m/s", "1 V/m/s", 1},
	{"V/m/s", "1 V/mm/s", 1000},
	{"V s/rad", "1 V s/rad", 1}, {"V s/rad", "1 V s/deg", 180 / math.Pi}, {"V s/m", "1 V s/m", 1},
	{"V s/m", "1 V s/mm", 1000},
	{"V/m", "1 V/in", 1 / 0.0254}, {"V/m/s", "1 V/in/s", 1 / 0.0254}, {"V s/m", "1 V s/in", 1 / 0.0254},
	// sqrt(h) = sqrt(3600 s) = 60 sqrt(s).
	{"rad/sqrt(s)", "180 deg/sqrt(s)", math.Pi}, {"rad/sqrt(s)", "60 deg/sqrt(h)", math.Pi / 180},
	{"rad/sqrt(s)", "1 rad/sqrt(s)", 1},
	{"rad/s/sqrt(s)", "180 deg/s/sqrt(s)", math.Pi}, {"rad/s/sqrt(s)", "216000 deg/h/sqrt(h)", math.Pi / 180},
	{"rad/s/sqrt(s)", "1 rad/s/sqrt(s)", 1},
}

func TestUnitsAreWorthWhatIsPublished(t *testing.T) {
	for _, c := range published {
		if got, _, err := Parse(c.quantity, c.text); err != nil {
			t.Errorf("%s: %v", c.text, err)
		} else if math.Abs(got/c.si-1) > 1e-15 {
			t.Errorf("%s = %.17g SI, want %.17g", c.text, got, c.si)
		}
	}
}

// A unit that is accepted but not in the table above would be unchecked.
func TestEveryUnitIsPublished(t *testing.T) {
	known := 0
	for _, d := range dimensions {
		known += len(d.units)
	}
	if known != len(published) {
		t.Errorf("%d units are accepted, %d are checked", known, len(published))
	}
}

func TestSpellingsThatAreAccepted(t *testing.T) {
	for text, want := range map[string]float64{
		"3.25 in": 0.08255, "3.25in": 0.08255, "  3.25   in  ": 0.08255, "-0.5 m": -0.5, "+.5 m": 0.5, "1e3 mm": 1,
		"1_000 mm": 1, "0 mm": 0, "3.25 inch": 0.08255, "3.25inch": 0.08255,
	} {
		if q, _, err := Parse("m", text); err != nil || math.Abs(q-want) > 1e-15 {
			t.Errorf("%q: %v, %v", text, q, err)
		}
	}
	if q, _, err := Parse("N m", "2 N  m"); err != nil || q != 2 {
		t.Errorf("two blanks within a unit: %v %v", q, err)
	}
	for text, quantity := range map[string]string{"10 inch/s": "m/s", "10 inch/s^2": "m/s^2"} {
		if q, _, err := Parse(quantity, text); err != nil || math.Abs(q-0.254) > 1e-15 {
			t.Errorf("%q: %v, %v", text, q, err)
		}
	}
	if q, which, err := Parse("rad|m", "2 m"); err != nil || q != 2 || which != 1 {
		t.Errorf("an angle or a length: %v, of kind %d, %v", q, which, err)
	}
}

func TestErrorsSayWhatToWrite(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"600", `600 has no unit: for a length write "600 mm" or "600 in"`},
		{"12 V", `"V" is not a unit of a length: write "12 mm" or "12 in" (known: mm, in, cm, m, ft)`},
		{"12 MM", `"MM" is not a unit of a length: write "12 mm"`},
		{"", `"" is not a length: write a number and a unit, such as "82.55 mm" or "82.55 in"`},
		{"wide", `"wide" is not a length: write a number and a unit`},
		{"1-2 mm", `"1-2 mm" is not a length`},
		{"nan mm", `"nan mm" is not a length`},
		{"inf mm", `"inf mm" is not a length`},
		{"1e400 mm", `"1e400 mm" is not a length`},
		{"1e308 ft", ``}, // 3e307 m: absurd, but finite; the formats bound sizes
		{"2,5 in", `"2,5 in" has a comma: write a decimal point, as in "2.5 in"`},
		{"1,5 kg", `"1,5 kg" has a comma: write a decimal point, as in "82.55 mm" or "82.55 in"`},
		{"1,250.5 mm", `"1,250.5 mm" has a comma: write a decimal point, as in "82.55 mm" or "82.55 in"`},
		{"1,2,3 mm", `"1,2,3 mm" has a comma: write a decimal point, as in "82.55 mm" or "82.55 in"`},
	} {
		_, _, err := Parse("m", c.text)
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%q: %v", c.text, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%q: got %v, want %s", c.text, err, c.want)
		}
	}
	if far, _, err := Parse("rad", "1e308 turn"); err == nil || !strings.Contains(err.Error(), "too large") {
		t.Errorf("overflow gave %v (%v)", far, err)
	}
	want := `"2 kg" is neither an angle nor a length: write "90 deg" or "82.55 mm"`
	if _, _, err := Parse("rad|m", "2 kg"); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// Every quantity prints in a form that it reads, to six digits.
func TestTextReadsBack(t *testing.T) {
	for _, c := range published {
		text := Text(c.si, c.quantity)
		if got, _, err := Parse(c.quantity, text); err != nil || math.Abs(got/c.si-1) > 1e-5 {
			t.Errorf("%s prints as %q, which reads as %g (%v)", c.text, text, got, err)
		}
	}
	if got := Text(6e5, "Pa"); got != "6 bar" {
		t.Errorf("6 bar prints as %q", got)
	}
}

func FuzzQuantity(f *testing.F) {
	for _, seed := range []string{"3.25 in", "1e308 turn", "_", "-", "٣ mm", "1 \xff", "0x10 mm"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		property.Bounded(t, func() {
			if q, _, err := Parse("rad", text); err == nil && (math.IsNaN(q) || math.IsInf(q, 0)) {
				t.Errorf("%q gives %v", text, q)
			}
		})
	})
}

// No quantity prints as infinite: one too large for its first unit is printed in SI units.
func TestPrintStaysFinite(t *testing.T) {
	for got, want := range map[string]string{
		Text(-1e308, "m"): "-1e+308 m", Text(4.2, "m"): "4200 mm", Text(1e308, "rad/s"): "1e+308 rad/s",
	} {
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestValuesArePrintedAsATextIsAndAsFarAsTheyAreKnown(t *testing.T) {
	for _, c := range []struct {
		text       string
		value, off float64
		si, want   string
	}{
		{"45 mm", 0.0443217, 0.0002, "m", "44.32 mm"},
		{"1.75in", 0.0443217, 0.0002, "m", "1.7449 in"},
		{"1.75 inch", 0.0443217, 0.0002, "m", "1.7449 inch"},
		{"480 rpm", 52.3, 3, "rad/s", "499 rpm"},
		{"90 deg/s", 1.5, 0.05, "rad/s", "85.9 deg/s"},
		{" 0.3  N m ", 0.2871, 0.012, "N m", "0.287 N m"},
		{"", 0.0443217, 0.0002, "m", "44.32 mm"},
		{"0.03 N m", -1e-9, 0.004, "N m", "0.0 N m"},
		{"6.2 kg", 6.123456789, 0, "kg", "6.12346 kg"},
		{"6.2 kg", 0, 0, "kg", "0 kg"},
	} {
		got := Like(c.text, c.value, c.off, c.si)
		if got != c.want {
			t.Errorf("%g as %q: %q, want %q", c.value, c.text, got, c.want)
		}
		back, _, err := Parse(c.si, got)
		if off := math.Abs(back - c.value); err != nil || off > math.Max(0.05*c.off, 1e-5*math.Abs(c.value)) {
			t.Errorf("%q is read as %g, %v: that is %g off", got, back, err, off)
		}
	}
}
