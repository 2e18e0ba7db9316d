package tomlfile

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// limits are the range of a number that makes sense, as the tags of its struct member write it in the file's own form:
//
//	Radius     units.Length `toml:"radius" min:"5 mm" max:"300 mm"`
//	Resolution units.Length `toml:"resolution" min:"0.001 mm" max:"200 mm" zero:"an ideal sensor"` // or "0 mm"
//
// They hold for each number of a list. Where a key takes quantities of two kinds (see Measure), a | parts their limits:
// min:"-360 deg|-3 m". Only what a file gives is compared: a default is right by itself, and a key left out says so.
type limits struct {
	low, high string
	zero      string // what 0 stands for where it is allowed beside the range
}

// Measure is a text type that takes quantities of more than one kind: an angle or a length.
type Measure interface {
	encoding.TextUnmarshaler
	Measure() (si float64, kind string)
}

// checkLimits notes an error at each number outside its limits. What is no number at all has been told by check.
func (p *Positions) checkLimits(path string, n *node, t reflect.Type, l limits) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() == reflect.Slice || t.Kind() == reflect.Array {
		for i, item := range n.items {
			p.checkLimits(path+"["+strconv.Itoa(i)+"]", item, t.Elem(), l)
		}
		return
	}
	if l == (limits{}) || n.text == nil {
		return
	}
	x, kind, err := number(t, string(n.text))
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		return
	}
	one, good, err := l.judge(t, x, kind)
	switch {
	case err != nil:
		panic("tomlfile: " + path + ": " + err.Error()) // our mistake, met by the format's tests
	case !good:
		p.Errorf(path, "%s is out of range: write %s", shorten(string(n.text)), one.advice(t))
	}
}

// number reads a value as a type has it. kind tells quantities apart where a key takes more than one.
func number(t reflect.Type, text string) (x float64, kind string, err error) {
	into := reflect.New(t)
	switch v := into.Interface().(type) {
	case Measure:
		if err = v.UnmarshalText([]byte(text)); err == nil {
			x, kind = v.Measure()
		}
		return x, kind, err
	case encoding.TextUnmarshaler:
		if err = v.UnmarshalText([]byte(text)); err == nil && into.Elem().CanFloat() {
			return into.Elem().Float(), "", nil
		}
	default:
		if whole, err := strconv.ParseInt(text, 0, 64); err == nil { // any way that TOML writes a whole number
			return float64(whole), "", nil
		}
		x, err = strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
		return x, "", err
	}
	return 0, "", fmt.Errorf("%s is no number", text)
}

// judge tells whether a number is good, and the limits of its kind of quantity.
func (l limits) judge(t reflect.Type, x float64, kind string) (one limits, good bool, err error) {
	lows, highs := strings.Split(l.low, "|"), strings.Split(l.high, "|")
	for i := range min(len(lows), len(highs)) {
		low, lowKind, wrong := number(t, lows[i])
		high, highKind, wrongToo := number(t, highs[i])
		if wrong == nil && wrongToo == nil && lowKind == kind && highKind == kind {
			return limits{lows[i], highs[i], l.zero}, low <= x && x <= high || x == 0 && l.zero != "", nil
		}
	}
	return l, false, fmt.Errorf("%q to %q is no range of %s %s", l.low, l.high, t, kind)
}

// advice says what to write instead.
func (l limits) advice(t reflect.Type) string {
	what, quote := "a number", ""
	switch {
	case reflect.PointerTo(t).Implements(textUnmarshaler):
		what, quote = "a value", `"`
	case reflect.Zero(t).CanInt():
		what = "a whole number"
	}
	text := fmt.Sprintf("%s from %s%s%s to %s%s%s", what, quote, l.low, quote, quote, l.high, quote)
	if l.zero == "" {
		return text
	}
	_, unit, _ := strings.Cut(l.low, " ")
	return fmt.Sprintf("%s, or %s%s%s for %s", text, quote, strings.TrimSpace("0 "+unit), quote, l.zero)
}

// Unlimited lists the numbers of a format, which a struct stands for, that have no limits, or whose default lies outside
// them. Each format's tests ask it, so that no key is added without a range.
func Unlimited(format reflect.Type) []string {
	return unlimited("", format, limits{}, map[reflect.Type]bool{})
}

func unlimited(path string, t reflect.Type, l limits, above map[reflect.Type]bool) (out []string) {
	text := reflect.PointerTo(t).Implements(textUnmarshaler)
	switch {
	case !text && (t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Map):
		return unlimited(path, t.Elem(), l, above)
	case !text && t.Kind() == reflect.Struct && !above[t]:
		above[t] = true
		for _, m := range members(t) {
			out = append(out, unlimited(join(path, m.key), m.typ, m.limits, above)...)
			if x, kind, err := number(m.typ, m.usual); err == nil && m.limits != (limits{}) {
				if _, good, _ := m.judge(m.typ, x, kind); !good {
					out = append(out, fmt.Sprintf("%s: the default %s is out of range", join(path, m.key), m.usual))
				}
			}
		}
		delete(above, t)
	case reflect.Zero(t).CanInt() || reflect.Zero(t).CanFloat() || reflect.PointerTo(t).Implements(reflect.TypeFor[Measure]()):
		for _, low := range strings.Split(l.low, "|") {
			x, kind, err := number(t, low)
			if _, good, wrong := l.judge(t, x, kind); err != nil || wrong != nil || !good {
				out = append(out, fmt.Sprintf("%s: %q to %q is no range", path, l.low, l.high))
			}
		}
	}
	return out
}
