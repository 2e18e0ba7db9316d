// Package units holds dimensioned quantities as they stand in a user's TOML file: a string with a number and a unit
// ("3.25 in", "6.2 kg"). Each quantity is a float64 in SI units (radians for angles), so the rest of the program
// computes with plain numbers; the unit is checked once, at the file's edge.
package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// The quantities of field and robot files, each in the SI unit named.
type (
	Length       float64 // m
	Angle        float64 // rad
	Mass         float64 // kg
	Time         float64 // s
	Speed        float64 // m/s
	AngularSpeed float64 // rad/s
	Voltage      float64 // V
	Current      float64 // A
	Resistance   float64 // ohm
	Torque       float64 // N m
	Force        float64 // N
	Inertia      float64 // kg m^2
	Pressure     float64 // Pa
	Volume       float64 // m^3
	Stiffness    float64 // N m/rad
	Frequency    float64 // Hz
	AngleWalk    float64 // rad/sqrt(s): angle random walk, IEEE Std 952's N
	RateWalk     float64 // rad/s/sqrt(s): rate random walk, IEEE Std 952's K
)

// unit is one spelling and how many SI units it is worth.
type unit struct {
	name string
	si   float64
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

var (
	length       = dimension{"a length", 82.55, []unit{{"mm", 1e-3}, {"in", inch}, {"cm", 1e-2}, {"m", 1}, {"ft", 12 * inch}}}
	angle        = dimension{"an angle", 90, []unit{{"deg", deg}, {"rad", 1}, {"turn", turn}}}
	mass         = dimension{"a mass", 6.2, []unit{{"kg", 1}, {"g", 1e-3}, {"lb", pound}}}
	duration     = dimension{"a time", 0.2, []unit{{"s", 1}, {"ms", 1e-3}, {"min", 60}}}
	speed        = dimension{"a speed", 900, []unit{{"mm/s", 1e-3}, {"m/s", 1}, {"in/s", inch}, {"cm/s", 1e-2}}}
	angularSpeed = dimension{"a turning speed", 200, []unit{{"rpm", rpm}, {"deg/s", deg}, {"rad/s", 1}, {"deg/h", deg / hour}}}
	voltage      = dimension{"a voltage", 12, []unit{{"V", 1}, {"mV", 1e-3}}}
	current      = dimension{"a current", 4, []unit{{"A", 1}, {"mA", 1e-3}}}
	resistance   = dimension{"a resistance", 0.12, []unit{{"ohm", 1}, {"mohm", 1e-3}}}
	torque       = dimension{"a torque", 0.8, []unit{{"N m", 1}, {"N cm", 1e-2}, {"lbf in", lbfIn}}}
	force        = dimension{"a force", 20, []unit{{"N", 1}, {"lbf", lbf}}}
	inertia      = dimension{"a moment of inertia", 0.004, []unit{{"kg m^2", 1}, {"kg cm^2", 1e-4}, {"g cm^2", 1e-7}}}
	pressure     = dimension{"a pressure", 6, []unit{{"bar", 1e5}, {"kPa", 1e3}, {"psi", psi}, {"Pa", 1}}}
	volume       = dimension{"a volume", 400, []unit{{"ml", 1e-6}, {"l", 1e-3}, {"cm^3", 1e-6}, {"in^3", inch * inch * inch}}}
	stiffness    = dimension{"a turning stiffness", 0.5, []unit{{"N m/rad", 1}, {"N m/deg", 180 / math.Pi}}}
	frequency    = dimension{"a rate", 100, []unit{{"Hz", 1}, {"kHz", 1e3}}}
	angleWalk    = dimension{"an angle random walk", 0.3, []unit{{"deg/sqrt(h)", deg / 60}, {"deg/sqrt(s)", deg}, {"rad/sqrt(s)", 1}}}
	rateWalk     = dimension{"a rate random walk", 0.1, []unit{{"deg/s/sqrt(s)", deg}, {"deg/h/sqrt(h)", deg / hour / 60}, {"rad/s/sqrt(s)", 1}}}
)

// parse reads "number unit" and returns the value in SI units.
func (d dimension) parse(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if strings.Contains(text, ",") {
		return 0, d.comma(text)
	}
	cut := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("+-.0123456789eE_", r) })
	if cut < 0 {
		cut = len(text)
	}
	// No unit begins with e or E, so a letter of an exponent is never one of a unit.
	number, name := strings.ReplaceAll(text[:cut], "_", ""), strings.Join(strings.Fields(text[cut:]), " ")
	value, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, fmt.Errorf("%q is not %s: write a number and a unit, such as %s", text, d.what, d.spellings(d.example))
	}
	if name == "" {
		return 0, fmt.Errorf("%s has no unit: for %s write %s", number, d.what, d.spellings(value))
	}
	for _, u := range d.units {
		if u.name != name {
			continue
		}
		if si := value * u.si; !math.IsInf(si, 0) {
			return si, nil
		}
		return 0, fmt.Errorf("%q is too large for %s: write %s", text, d.what, d.spellings(d.example))
	}
	return 0, fmt.Errorf("%q is not a unit of %s: write %s (known: %s)", name, d.what, d.spellings(value), d.known())
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

func (d dimension) known() string {
	names := make([]string, len(d.units))
	for i, u := range d.units {
		names[i] = u.name
	}
	return strings.Join(names, ", ")
}

// print gives the value in the dimension's first unit, to six significant digits; in SI units where that would be no finite
// number.
func (d dimension) print(si float64) string {
	for _, u := range d.units {
		if math.IsInf(si/d.units[0].si, 0) && u.si == 1 {
			return fmt.Sprintf("%.6g %s", si, u.name)
		}
	}
	return fmt.Sprintf("%.6g %s", si/d.units[0].si, d.units[0].name)
}

// in gives a value in one of the dimension's units, in SI units for a word that is none.
func (d dimension) in(si float64, name string) float64 {
	for _, u := range d.units {
		if u.name == name {
			return si / u.si
		}
	}
	return si
}
