package viewmodel

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// Condition is a comparison of a signal with a value.
type Condition struct {
	Key    string  // of the signal
	Curve  string  // of its curves; "": any of those that are not wanted alone
	Name   string  // as it is spoken of
	Sign   string  // <, <=, >, >=
	Value  float64 // in the signal's unit
	Unit   string
	Spoken string // the value and its unit as they were written
}

func (c *Condition) String() string { return c.Name + " " + c.Sign + " " + c.Spoken }

// comparisons are the signs, with the words that stand for them, longer ones first.
var comparisons = []struct{ written, sign string }{
	{"<=", "<="}, {">=", ">="}, {"<", "<"}, {">", ">"},
	{" is below ", "<"}, {" is above ", ">"}, {" below ", "<"}, {" above ", ">"}, {" passes ", ">"}, {" over ", ">"},
	{" under ", "<"},
}

const conditionForm = "write a signal, a sign and a value with its unit, such as battery < 10 V"

// ReadCondition reads a condition as a person writes it: "battery < 10 V", "belief error passes 50 mm".
func ReadCondition(in units.System, text string, signals []Signal) (*Condition, error) {
	text = strings.Join(strings.Fields(text), " ")
	text = strings.TrimPrefix(strings.TrimPrefix(text, "when "), "the ")
	for _, c := range comparisons {
		name, value, found := strings.Cut(text, c.written)
		if !found {
			continue
		}
		signal, curve, err := signalCalled(strings.TrimSpace(name), signals)
		if err != nil {
			return nil, err
		}
		number, spoken, err := valueOf(in, strings.TrimSpace(value), signal.Unit)
		if err != nil {
			form := strings.TrimSpace(fmt.Sprintf("%s %s 10 %s", strings.TrimSpace(name), c.sign, in.Name(signal.Unit)))
			return nil, fmt.Errorf("%w: write %s", err, form)
		}
		out := &Condition{Key: signal.Key, Curve: curve, Sign: c.sign, Value: number, Unit: signal.Unit, Spoken: spoken}
		out.Name = strings.TrimPrefix(strings.ToLower(shortName(signal)), "drive ")
		if curve != "" && len(signal.Curves) > 1 {
			out.Name += " " + curve
		}
		return out, nil
	}
	return nil, fmt.Errorf("%s", conditionForm)
}

// shortName is what a signal is called in a table.
func shortName(s Signal) string {
	if s.Column != "" {
		return s.Column
	}
	return s.Key
}

// signalCalled finds a signal, or one of its curves, by any of its names.
func signalCalled(name string, signals []Signal) (s Signal, curve string, err error) {
	wanted := strings.ToLower(name)
	if wanted == "" {
		return s, "", fmt.Errorf("%s", conditionForm)
	}
	var known []string
	for _, s := range signals {
		names := []string{shortName(s), s.Key, s.Title}
		known = append(known, strings.ToLower(shortName(s)))
		if slices.ContainsFunc(names, func(n string) bool { return strings.ToLower(n) == wanted }) {
			return s, "", nil
		}
		for _, c := range s.Curves {
			for _, n := range names {
				if wanted == strings.ToLower(n+" "+c.Name) || wanted == strings.ToLower(c.Name+" "+n) {
					return s, c.Name, nil
				}
			}
		}
	}
	return s, "", fmt.Errorf("there is no signal %q: %s", name, wording.Instead(wanted, known))
}

var plainNumber = regexp.MustCompile(`^[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?$`)

// si is the SI unit of a signal's unit.
var si = map[string]string{"mm": "m", "mm/s": "m/s", "deg": "rad", "deg/s": "rad/s", "V": "V", "A": "A", "kPa": "Pa"}

// valueOf reads a value, in the unit in which the signal is shown if it has none of its own.
func valueOf(in units.System, text, unit string) (value float64, spoken string, err error) {
	number, own, _ := strings.Cut(text, " ")
	if i := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("+-.0123456789eE", r) }); i > 0 {
		number, own = text[:i], strings.TrimSpace(text[i:])
	}
	if !plainNumber.MatchString(number) {
		return 0, "", fmt.Errorf("%q is no number", text)
	}
	value, err = strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, "", fmt.Errorf("%q is no number that a signal can have", text)
	}
	if own == "" {
		own = in.Name(unit)
	}
	if own == unit {
		return value, strings.TrimSpace(number + " " + unit), nil
	}
	if base := si[unit]; base != "" {
		if v, _, err := units.Parse(base, number+" "+own); err == nil {
			return units.In(v, base, unit), number + " " + own, nil
		}
	}
	if unit == "" {
		return 0, "", fmt.Errorf("this signal has no unit, not %q", own)
	}
	return 0, "", fmt.Errorf("this signal is in %s, not in %q", in.Name(unit), own)
}

// holdsKey is what the stretches of a stop are known by.
type holdsKey struct {
	robot  int
	of     *Condition
	module string
	line   int
}

// holds are the stretches in which a condition holds, from sample to sample, worked out once.
func (r *Run) holds(robot int, c *Condition) []Holds {
	key := holdsKey{robot: robot, of: c}
	list, known := r.held[key]
	if !known {
		list = r.findHolds(robot, c)
		r.held[key] = list
	}
	return list
}

func (r *Run) findHolds(robot int, c *Condition) []Holds {
	signal, ok := r.SignalNamed(robot, c.Key)
	if !ok {
		return nil
	}
	var list []Holds
	open := false
	curves := c.curves(signal)
	for i := range r.Record.Samples {
		t := r.Record.Samples[i].T
		now := slices.ContainsFunc(curves, func(curve Curve) bool {
			values := r.Series(robot, signal, curve)
			return i < len(values) && c.meets(values[i])
		})
		if now && !open {
			list = append(list, Holds{t, t})
		}
		if open && len(list) > 0 {
			list[len(list)-1].To = t
		}
		open = now
	}
	return list
}

// curves are those that a condition looks at: the one it names; else the real one, or all that are not wanted alone.
func (c *Condition) curves(s Signal) []Curve {
	pick := func(name string) []Curve {
		return slices.DeleteFunc(slices.Clone(s.Curves), func(k Curve) bool { return k.Name != name })
	}
	if c.Curve != "" {
		return pick(c.Curve)
	}
	if real := pick("real"); len(real) > 0 {
		return real
	}
	return slices.DeleteFunc(slices.Clone(s.Curves), func(k Curve) bool { return k.Wanted })
}

func (c *Condition) meets(v float64) bool {
	switch c.Sign {
	case "<":
		return v < c.Value
	case "<=":
		return v <= c.Value
	case ">":
		return v > c.Value
	}
	return v >= c.Value
}
