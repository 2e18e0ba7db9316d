package tomlfile

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"chalkfield/internal/base/units"
)

// limits are the range of a number that makes sense, as the tags of its struct member write it in the file's own form:
//
//	Radius     float64 `toml:"radius" unit:"m" min:"5 mm" max:"300 mm"`
//	Resolution float64 `toml:"resolution" unit:"m" min:"0.001 mm" max:"200 mm" zero:"an ideal sensor"` // or "0 mm"
//
// They hold for each number of a list. Where a key takes quantities of several kinds, a | parts their limits:
// unit:"rad|m" min:"-360 deg|-3 m". Only what a file gives is compared: a default is right by itself, and a key left
// out says so.
type limits struct {
	low, high string
	zero      string // what 0 stands for where it is allowed beside the range
}

// speck is a number, in SI units, that is smaller than anything measured on a robot or field: a rotor's inertia is some
// 1e-8.
const speck = 1e-12

// within notes an error at a number outside its limits. what is what the key takes.
func (p *Positions) within(path string, n *node, x float64, f form, what string) {
	if f.limits == (limits{}) || p.places == nil { // no places: a default
		return
	}
	low, high, good, err := f.judge(x, n.unit)
	if err != nil {
		panic("tomlfile: " + path + ": " + err.Error()) // our mistake, met by the format's tests
	}
	if good {
		if x != 0 && math.Abs(x) < speck {
			p.Errorf(path, "%s is too near to 0 for any machine: write 0 or a value that was measured", shorten(string(n.text)))
		}
		return
	}
	quote, zero := "", "0"
	if f.unit != "" {
		quote = `"`
		_, unit, _ := strings.Cut(low, " ")
		zero = quote + "0 " + unit + quote
	}
	text := fmt.Sprintf("%s from %s%s%s to %s%s%s", what, quote, low, quote, quote, high, quote)
	if f.zero != "" {
		text += fmt.Sprintf(", or %s for %s", zero, f.zero)
	}
	p.Errorf(path, "%s is out of range: write %s", shorten(string(n.text)), text)
}

// judge tells whether a number of the form's kind which is good, and the limits of that kind.
func (f form) judge(x float64, which int) (low, high string, good bool, err error) {
	lows, highs := strings.Split(f.low, "|"), strings.Split(f.high, "|")
	if which >= min(len(lows), len(highs)) {
		return "", "", false, fmt.Errorf("%q to %q is no range of %s", f.low, f.high, f.unit)
	}
	low, high = lows[which], highs[which]
	least, err := f.limit(low, which)
	if err != nil {
		return "", "", false, err
	}
	most, err := f.limit(high, which)
	return low, high, least <= x && x <= most || x == 0 && f.zero != "", err
}

// limit reads a limit of a kind.
func (f form) limit(text string, which int) (float64, error) {
	if f.unit == "" {
		return number(text)
	}
	x, _, err := units.Parse(strings.Split(f.unit, "|")[which], text)
	return x, err
}

// Unlimited lists the numbers of a format, which a struct stands for, that have no limits, or whose default lies
// outside them. Each format's tests ask it, so that no key is added without a range.
func Unlimited(format reflect.Type) []string {
	return unlimited("", format, form{}, map[reflect.Type]bool{})
}

func unlimited(path string, t reflect.Type, f form, above map[reflect.Type]bool) (out []string) {
	switch {
	case isText(t), f.refer != "", f.words != "":
		return nil
	case t == vecType, t == poseType:
		t = reflect.TypeFor[float64]()
	case t == entryType:
		return unlimited(path, reflect.TypeFor[float64](), f, above)
	}
	switch {
	case t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Map:
		return unlimited(path, t.Elem(), f, above)
	case t.Kind() == reflect.Struct && !above[t]:
		above[t] = true
		for _, m := range members(t) {
			out = append(out, unlimited(join(path, m.key), m.typ, m.form, above)...)
			out = append(out, m.usualOutside(path)...)
		}
		delete(above, t)
	case reflect.Zero(t).CanInt() || reflect.Zero(t).CanFloat():
		for which := range strings.Split(f.unit, "|") {
			least, err := 0.0, error(nil)
			if which < len(strings.Split(f.low, "|")) {
				least, err = f.limit(strings.Split(f.low, "|")[which], which)
			}
			if _, _, good, wrong := f.judge(least, which); err != nil || wrong != nil || !good {
				out = append(out, fmt.Sprintf("%s: %q to %q is no range of %s", path, f.low, f.high, f.unit))
				break
			}
		}
	}
	return out
}

// usualOutside tells of a default out of range.
func (m member) usualOutside(path string) []string {
	if m.usual == "" || m.limits == (limits{}) {
		return nil
	}
	x, which, err := 0.0, 0, error(nil)
	if m.unit != "" {
		x, which, err = units.Parse(m.unit, m.usual)
	} else {
		x, err = number(m.usual)
	}
	if _, _, good, wrong := m.judge(x, which); err != nil || wrong != nil || !good {
		return []string{fmt.Sprintf("%s: the default %s is out of range", join(path, m.key), m.usual)}
	}
	return nil
}
