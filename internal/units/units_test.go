package units

import (
	"encoding"
	"fmt"
	"math"
	"strings"
	"testing"
)

// What each unit is worth in SI. Sources, all from memory: the International System of Units (SI Brochure, 9th edition),
// table 8 for minute, hour, degree, bar, litre; NIST SP 811 (2008), appendix B, for inch, pound, pound-force, psi (given
// there as 6.894757 E+03 Pa; the digits here are pound-force per square inch by its definition). A turn is 2 pi rad.
var published = []struct {
	quantity encoding.TextUnmarshaler
	text     string
	si       float64
}{
	{new(Length), "1 mm", 0.001}, {new(Length), "1 cm", 0.01}, {new(Length), "1 m", 1}, {new(Length), "1 in", 0.0254}, {new(Length), "1 ft", 0.3048},
	{new(Angle), "180 deg", math.Pi}, {new(Angle), "1 rad", 1}, {new(Angle), "1 turn", 2 * math.Pi},
	{new(Mass), "1 kg", 1}, {new(Mass), "1 g", 0.001}, {new(Mass), "1 lb", 0.45359237},
	{new(Time), "1 s", 1}, {new(Time), "1 ms", 0.001}, {new(Time), "1 min", 60},
	{new(Speed), "1 m/s", 1}, {new(Speed), "1 mm/s", 0.001}, {new(Speed), "1 cm/s", 0.01}, {new(Speed), "1 in/s", 0.0254},
	{new(AngularSpeed), "60 rpm", 2 * math.Pi}, {new(AngularSpeed), "180 deg/s", math.Pi}, {new(AngularSpeed), "1 rad/s", 1}, {new(AngularSpeed), "648000 deg/h", math.Pi},
	{new(Voltage), "1 V", 1}, {new(Voltage), "1 mV", 0.001},
	{new(Current), "1 A", 1}, {new(Current), "1 mA", 0.001},
	{new(Resistance), "1 ohm", 1}, {new(Resistance), "1 mohm", 0.001},
	{new(Torque), "1 N m", 1}, {new(Torque), "1 N cm", 0.01}, {new(Torque), "1 lbf in", 0.1129848290276167},
	{new(Force), "1 N", 1}, {new(Force), "1 lbf", 4.4482216152605},
	{new(Inertia), "1 kg m^2", 1}, {new(Inertia), "1 kg cm^2", 1e-4}, {new(Inertia), "1 g cm^2", 1e-7},
	{new(Pressure), "1 Pa", 1}, {new(Pressure), "1 kPa", 1000}, {new(Pressure), "1 bar", 1e5}, {new(Pressure), "1 psi", 4.4482216152605 / (0.0254 * 0.0254)},
	{new(Volume), "1 l", 0.001}, {new(Volume), "1 ml", 1e-6}, {new(Volume), "1 cm^3", 1e-6}, {new(Volume), "1 in^3", 1.6387064e-5},
	{new(Stiffness), "1 N m/rad", 1}, {new(Stiffness), "1 N m/deg", 180 / math.Pi},
	{new(Frequency), "1 Hz", 1}, {new(Frequency), "1 kHz", 1000},
	// sqrt(h) = sqrt(3600 s) = 60 sqrt(s).
	{new(AngleWalk), "180 deg/sqrt(s)", math.Pi}, {new(AngleWalk), "60 deg/sqrt(h)", math.Pi / 180}, {new(AngleWalk), "1 rad/sqrt(s)", 1},
	{new(RateWalk), "180 deg/s/sqrt(s)", math.Pi}, {new(RateWalk), "216000 deg/h/sqrt(h)", math.Pi / 180}, {new(RateWalk), "1 rad/s/sqrt(s)", 1},
}

func value(q encoding.TextUnmarshaler) float64 {
	switch q := q.(type) {
	case *Length:
		return float64(*q)
	case *Angle:
		return float64(*q)
	case *Mass:
		return float64(*q)
	case *Time:
		return float64(*q)
	case *Speed:
		return float64(*q)
	case *AngularSpeed:
		return float64(*q)
	case *Voltage:
		return float64(*q)
	case *Current:
		return float64(*q)
	case *Resistance:
		return float64(*q)
	case *Torque:
		return float64(*q)
	case *Force:
		return float64(*q)
	case *Inertia:
		return float64(*q)
	case *Pressure:
		return float64(*q)
	case *Volume:
		return float64(*q)
	case *Stiffness:
		return float64(*q)
	case *Frequency:
		return float64(*q)
	case *AngleWalk:
		return float64(*q)
	case *RateWalk:
		return float64(*q)
	}
	return math.NaN()
}

func TestUnitsAreWorthWhatIsPublished(t *testing.T) {
	for _, c := range published {
		if err := c.quantity.UnmarshalText([]byte(c.text)); err != nil {
			t.Errorf("%s: %v", c.text, err)
		} else if got := value(c.quantity); math.Abs(got/c.si-1) > 1e-15 {
			t.Errorf("%s = %.17g SI, want %.17g", c.text, got, c.si)
		}
	}
}

// A unit that is accepted but not in the table above would be unchecked.
func TestEveryUnitIsPublished(t *testing.T) {
	known := 0
	for _, d := range []dimension{length, angle, mass, duration, speed, angularSpeed, voltage, current, resistance, torque, force,
		inertia, pressure, volume, stiffness, frequency, angleWalk, rateWalk} {
		known += len(d.units)
	}
	if known != len(published) {
		t.Errorf("%d units are accepted, %d are checked", known, len(published))
	}
}

func TestSpellingsThatAreAccepted(t *testing.T) {
	for text, want := range map[string]float64{
		"3.25 in": 0.08255, "3.25in": 0.08255, "  3.25   in  ": 0.08255, "-0.5 m": -0.5, "+.5 m": 0.5, "1e3 mm": 1, "1_000 mm": 1, "0 mm": 0,
	} {
		var q Length
		if err := q.UnmarshalText([]byte(text)); err != nil || math.Abs(float64(q)-want) > 1e-15 {
			t.Errorf("%q: %v, %v", text, float64(q), err)
		}
	}
	var q Torque
	if err := q.UnmarshalText([]byte("2 N  m")); err != nil || q != 2 {
		t.Errorf("two blanks within a unit: %v %v", float64(q), err)
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
		var q Length
		err := q.UnmarshalText([]byte(c.text))
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%q: %v", c.text, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%q: got %v, want %s", c.text, err, c.want)
		}
	}
	var far Angle
	if err := far.UnmarshalText([]byte("1e308 turn")); err == nil || !strings.Contains(err.Error(), "too large") {
		t.Errorf("overflow gave %v (%v)", float64(far), err)
	}
}

// Every quantity prints in a form that it reads, to six digits.
func TestStringReadsBack(t *testing.T) {
	for _, c := range published {
		if err := c.quantity.UnmarshalText([]byte(c.text)); err != nil {
			t.Fatal(err)
		}
		text := c.quantity.(fmt.Stringer).String()
		if err := c.quantity.UnmarshalText([]byte(text)); err != nil || math.Abs(value(c.quantity)/c.si-1) > 1e-5 {
			t.Errorf("%s prints as %q, which reads as %g (%v)", c.text, text, value(c.quantity), err)
		}
	}
	if got := Pressure(6e5).String(); got != "6 bar" {
		t.Errorf("6 bar prints as %q", got)
	}
}

func FuzzQuantity(f *testing.F) {
	for _, seed := range []string{"3.25 in", "1e308 turn", "_", "-", "٣ mm", "1 \xff", "0x10 mm"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var q Angle
		if q.UnmarshalText([]byte(text)) == nil && (math.IsNaN(float64(q)) || math.IsInf(float64(q), 0)) {
			t.Errorf("%q gives %v", text, float64(q))
		}
	})
}

// No quantity prints as infinite: one too large for its first unit is printed in SI units.
func TestPrintStaysFinite(t *testing.T) {
	for got, want := range map[string]string{
		Length(-1e308).String(): "-1e+308 m", Length(4.2).String(): "4200 mm", AngularSpeed(1e308).String(): "1e+308 rad/s",
	} {
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
