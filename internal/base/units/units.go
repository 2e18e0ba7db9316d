// Package units reads and prints dimensioned quantities as they stand in a user's TOML file: a text with a number and a
// unit ("3.25 in", "6.2 kg"). A quantity is named by its SI unit ("m", "kg m^2", "rad"), and its value is a plain
// float64 in that unit: the text's unit is checked once, at the file's edge.
package units

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// unit is one spelling and how many SI units it is worth; below 0, how much the SI unit is worth of it: one per degree
// is exactly the inverse of a degree.
type unit struct {
	name string
	si   float64
}

func (u unit) toSI(value float64) float64 {
	if u.si < 0 {
		return value / -u.si
	}
	return value * u.si
}

func (u unit) fromSI(value float64) float64 {
	if u.si < 0 {
		return value * -u.si
	}
	return value / u.si
}

// dimension is what a family of units measures, with its accepted spellings. The first two are the ones that an error
// message offers; the first is the one that String prints.
type dimension struct {
	what    string
	example float64
	units   []unit
}

const (
	inch  = 0.0254            // exact (international inch)
	pound = 0.45359237        // exact (international pound)
	psi   = 6894.757293168361 // pound-force per square inch
	deg   = math.Pi / 180     //
	turn  = 2 * math.Pi       //
	rpm   = turn / 60         //
	hour  = 3600.0            // s
	lbf   = 4.4482216152605   // exact (pound-force)
	lbfIn = lbf * inch        // pound-force inch in N m
)

// dimensions are the quantities that files may have, by their SI units. A gain is volts per way of a lift, an arm's or
// an elevator's; the random walks are N and K of IEEE Std 952.
var dimensions = map[string]dimension{
	"m":       {"a length", 82.55, []unit{{"mm", 1e-3}, {"in", inch}, {"cm", 1e-2}, {"m", 1}, {"ft", 12 * inch}}},
	"rad":     {"an angle", 90, []unit{{"deg", deg}, {"rad", 1}, {"turn", turn}}},
	"kg":      {"a mass", 6.2, []unit{{"kg", 1}, {"g", 1e-3}, {"lb", pound}}},
	"s":       {"a time", 0.2, []unit{{"s", 1}, {"ms", 1e-3}, {"us", 1e-6}, {"min", 60}}},
	"m/s":     {"a speed", 900, []unit{{"mm/s", 1e-3}, {"m/s", 1}, {"in/s", inch}, {"cm/s", 1e-2}}},
	"rad/s":   {"a turning speed", 200, []unit{{"rpm", rpm}, {"deg/s", deg}, {"rad/s", 1}, {"deg/h", deg / hour}}},
	"m/s^2":   {"an acceleration", 2500, []unit{{"mm/s^2", 1e-3}, {"m/s^2", 1}, {"in/s^2", inch}}},
	"rad/s^2": {"a turning acceleration", 720, []unit{{"deg/s^2", deg}, {"rad/s^2", 1}}},
	"J":       {"an energy", 500, []unit{{"J", 1}, {"kJ", 1e3}}},
	"V":       {"a voltage", 12, []unit{{"V", 1}, {"mV", 1e-3}}},
	"V/s":     {"a change of volts", 60, []unit{{"V/s", 1}, {"V/ms", 1e3}}},
	"A":       {"a current", 4, []unit{{"A", 1}, {"mA", 1e-3}}},
	"C":       {"a charge", 2, []unit{{"A h", hour}, {"mA h", hour / 1000}, {"C", 1}}},
	"ohm":     {"a resistance", 0.12, []unit{{"ohm", 1}, {"mohm", 1e-3}}},
	"N m":     {"a torque", 0.8, []unit{{"N m", 1}, {"N cm", 1e-2}, {"lbf in", lbfIn}}},
	"N m s":   {"a viscous friction", 0.001, []unit{{"N m s", 1}, {"N cm s", 0.01}, {"lbf in s", lbfIn}}},
	"N":       {"a force", 20, []unit{{"N", 1}, {"lbf", lbf}}},
	"kg m^2": {"a moment of inertia", 0.004, []unit{{"kg m^2", 1}, {"kg cm^2", 1e-4}, {"g cm^2", 1e-7},
		{"lb in^2", pound * inch * inch}}},
	"Pa":  {"a pressure", 6, []unit{{"bar", 1e5}, {"kPa", 1e3}, {"psi", psi}, {"Pa", 1}}},
	"m^3": {"a volume", 400, []unit{{"ml", 1e-6}, {"l", 1e-3}, {"cm^3", 1e-6}, {"in^3", inch * inch * inch}}},
	"Hz":  {"a rate", 100, []unit{{"Hz", 1}, {"kHz", 1e3}}},
	"1/s": {"a loop gain", 4, []unit{{"1/s", 1}, {"1/min", 1.0 / 60}}},
	"rad/sqrt(s)": {"an angle random walk", 0.3, []unit{{"deg/sqrt(h)", deg / 60}, {"deg/sqrt(s)", deg},
		{"rad/sqrt(s)", 1}}},
	"rad/s/sqrt(s)": {"a rate random walk", 0.1, []unit{{"deg/s/sqrt(s)", deg}, {"deg/h/sqrt(h)", deg / hour / 60},
		{"rad/s/sqrt(s)", 1}}},
	"V/rad":   {"an arm's gain", 0.4, []unit{{"V/deg", -deg}, {"V/rad", 1}}},
	"V/m":     {"an elevator's gain", 0.1, []unit{{"V/mm", -1e-3}, {"V/m", 1}, {"V/in", -inch}}},
	"V/rad/s": {"an arm's gain", 0.4, []unit{{"V/deg/s", -deg}, {"V/rad/s", 1}}},
	"V/m/s":   {"an elevator's gain", 0.1, []unit{{"V/mm/s", -1e-3}, {"V/m/s", 1}, {"V/in/s", -inch}}},
	"V s/rad": {"an arm's gain", 0.4, []unit{{"V s/deg", -deg}, {"V s/rad", 1}}},
	"V s/m":   {"an elevator's gain", 0.1, []unit{{"V s/mm", -1e-3}, {"V s/m", 1}, {"V s/in", -inch}}},
}

// of is the quantity that an SI unit names. A unit that names none is a slip in a struct tag, met by the first test
// that decodes it.
func of(si string) dimension {
	d, known := dimensions[si]
	if !known {
		panic(fmt.Sprintf("units: %q names no quantity", si))
	}
	return d
}

// Parse reads a quantity that an SI unit names: Parse("m", "3.25 in"). Where | parts several ("rad|m"), the text may be
// any of them, and which tells their place.
func Parse(si, text string) (value float64, which int, err error) {
	all := strings.Split(si, "|")
	names, examples := make([]string, len(all)), make([]string, len(all))
	for i, one := range all {
		d := of(one)
		if value, err = d.parse(text); err == nil || len(all) == 1 {
			return value, i, err
		}
		names[i], examples[i] = d.what, fmt.Sprintf("\"%g %s\"", d.example, d.units[0].name)
	}
	return 0, 0, fmt.Errorf("%q is neither %s: write %s", text, strings.Join(names, " nor "),
		strings.Join(examples, " or "))
}

// Text prints a value of the quantity that an SI unit names, in the unit that its files use most.
func Text(value float64, si string) string { return of(si).print(value) }

// In gives a value of a quantity in one of the units that files may use, in SI units for another word.
func In(value float64, si, unit string) float64 { return of(si).in(value, unit) }

// Like prints a value as a text of the same quantity is written, in its unit, to so many decimals that the last is a
// tenth of the first digit of what the value may be off, in SI units. A text that is none of the quantity leaves the
// unit that its files use most.
func Like(text string, value, off float64, si string) string {
	d := of(si)
	u := d.unitOf(text)
	return Decimal(u.fromSI(value), u.fromSI(off)) + " " + u.name
}

// unitOf is the unit of a text, the first where it has none of this quantity.
func (d dimension) unitOf(text string) unit {
	_, name := split(text)
	for _, u := range d.units {
		if u.name == Plain(name) {
			return unit{name, u.si}
		}
	}
	return d.units[0]
}

// Plain is the name of a unit where it may be written in two ways: in Lua, which has a word "in" of its own, an inch is
// called inch, and so it may be called everywhere.
func Plain(unit string) string { return inchWord.ReplaceAllString(unit, "in") }

var inchWord = regexp.MustCompile(`\binch\b`)

// Decimal prints a value to so many decimals that the last is a tenth of the first digit of what it may be off: 44.3
// for 44.3217 that may be off by 2. What is not said to be off has six digits.
func Decimal(value, off float64) string {
	if off = math.Abs(off); !(off > 0) {
		six, _ := strconv.ParseFloat(fmt.Sprintf("%.6g", value), 64) // our own digits
		return strconv.FormatFloat(six+0, 'f', -1, 64)
	}
	decimals := min(max(1-int(math.Floor(math.Log10(off))), 0), 15)
	if text := strconv.FormatFloat(value, 'f', decimals, 64); strings.Trim(text, "-0.") != "" {
		return text
	}
	return strconv.FormatFloat(0, 'f', min(decimals, 1), 64) // without a sign
}

// Of is the SI unit of the quantity that has a unit.
func Of(unit string) (si string, known bool) {
	for _, si := range slices.Sorted(maps.Keys(dimensions)) {
		if slices.Contains(dimensions[si].names(), Plain(unit)) {
			return si, true
		}
	}
	return "", false
}

// Called is what a quantity is called: "a length".
func Called(si string) string { return of(si).what }

// Spelt offers a number with two of the units of a quantity.
func Spelt(value float64, si string) string {
	d := of(si)
	if len(d.units) < 2 {
		return fmt.Sprintf("write %g %s", value, d.units[0].name)
	}
	return fmt.Sprintf("write %g %s or %g %s", value, d.units[0].name, value, d.units[1].name)
}

// Names are the units that files may use for a quantity.
func Names(si string) []string { return of(si).names() }

// parse reads "number unit" and returns the value in SI units.
func (d dimension) parse(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if strings.Contains(text, ",") {
		return 0, d.comma(text)
	}
	number, name := split(text)
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, fmt.Errorf("%q is not %s: write a number and a unit, such as %s", text, d.what, d.spellings(d.example))
	}
	if name == "" {
		return 0, fmt.Errorf("%s has no unit: for %s write %s", number, d.what, d.spellings(value))
	}
	for _, u := range d.units {
		if u.name != Plain(name) {
			continue
		}
		if si := u.toSI(value); !math.IsInf(si, 0) {
			return si, nil
		}
		return 0, fmt.Errorf("%q is too large for %s: write %s", text, d.what, d.spellings(d.example))
	}
	return 0, fmt.Errorf("%q is not a unit of %s: write %s (known: %s)", name, d.what, d.spellings(value), d.known())
}

// split parts a text into its number and its unit. No unit begins with e or E, so a letter of an exponent is never one
// of a unit.
func split(text string) (number, unit string) {
	text = strings.TrimSpace(text)
	cut := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("+-.0123456789eE_", r) })
	if cut < 0 {
		cut = len(text)
	}
	return strings.ReplaceAll(text[:cut], "_", ""), strings.Join(strings.Fields(text[cut:]), " ")
}

// comma is the error for a text with a comma. It offers the same with a point if that is right.
func (d dimension) comma(text string) error {
	pointed := strings.Replace(text, ",", ".", 1)
	if !strings.Contains(pointed, ",") {
		if _, err := d.parse(pointed); err == nil {
			return fmt.Errorf("%q has a comma: write a decimal point, as in %q", text, pointed)
		}
	}
	return fmt.Errorf("%q has a comma: write a decimal point, as in %s", text, d.spellings(d.example))
}

// spellings offers the value in the dimension's first two units, as TOML strings.
func (d dimension) spellings(value float64) string {
	return fmt.Sprintf("\"%g %s\" or \"%g %s\"", value, d.units[0].name, value, d.units[1].name)
}

func (d dimension) known() string { return strings.Join(d.names(), ", ") }

func (d dimension) names() []string {
	names := make([]string, len(d.units))
	for i, u := range d.units {
		names[i] = u.name
	}
	return names
}

// print gives the value in the dimension's first unit, to six significant digits; in SI units where that would be no
// finite number.
func (d dimension) print(si float64) string {
	for _, u := range d.units {
		if math.IsInf(d.units[0].fromSI(si), 0) && u.si == 1 {
			return fmt.Sprintf("%.6g %s", si, u.name)
		}
	}
	return fmt.Sprintf("%.6g %s", d.units[0].fromSI(si), d.units[0].name)
}

// in gives a value in one of the dimension's units, in SI units for a word that is none.
func (d dimension) in(si float64, name string) float64 {
	for _, u := range d.units {
		if u.name == Plain(name) {
			return u.fromSI(si)
		}
	}
	return si
}
