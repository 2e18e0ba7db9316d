package units

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// System is in which units people are shown quantities. Files, routines, records and JSON know none: each of their
// numbers has one unit, or names its own. The zero System is metric.
type System int

// The systems, by the words of --units and of the settings.
const (
	Metric System = iota
	Inch          // lengths in inches and feet, pounds, psi; angles, times and what is electric as ever
)

// Systems are their words.
var Systems = []string{Metric: "metric", Inch: "inch"}

func (s System) String() string { return Systems[s] }

// SystemCalled finds a system by its word.
func SystemCalled(word string) (s System, known bool) {
	for i, name := range Systems {
		if name == word {
			return System(i), true
		}
	}
	return Metric, false
}

// counterpart is what a metric unit, in which our texts are written, is told in by Inch. finer is how many decimals
// more that needs, so that its last digit is worth no more than the metric one's.
type counterpart struct {
	metric, inch unit
	finer        int
}

// counterparts: what is given in metres is large enough for feet, what is given in millimetres is not. Speeds stay in
// inches, as files and the trade have them. A gain is the volts for a speed, so its unit stands below the line.
var counterparts = []counterpart{
	{unit{"mm", -1000}, unit{"in", inch}, 2},
	{unit{"cm", -100}, unit{"in", inch}, 1},
	{unit{"m", 1}, unit{"ft", 12 * inch}, 0},
	{unit{"m^2", 1}, unit{"ft^2", 144 * inch * inch}, -1},
	{unit{"mm/s", -1000}, unit{"in/s", inch}, 2},
	{unit{"m/s", 1}, unit{"in/s", inch}, -1},
	{unit{"mm/s^2", -1000}, unit{"in/s^2", inch}, 2},
	{unit{"m/s^2", 1}, unit{"in/s^2", inch}, -1},
	{unit{"kg", 1}, unit{"lb", pound}, 0},
	{unit{"kg m^2", 1}, unit{"lb in^2", pound * inch * inch}, -3},
	{unit{"N", 1}, unit{"lbf", lbf}, 1},
	{unit{"N m", 1}, unit{"lbf in", lbfIn}, 0},
	{unit{"kPa", 1000}, unit{"psi", psi}, 1},
	{unit{"ml", -1e6}, unit{"in^3", inch * inch * inch}, 2},
	{unit{"V per m/s", 1}, unit{"V per in/s", -inch}, 2},
	{unit{"V per m/s^2", 1}, unit{"V per in/s^2", -inch}, 2},
}

// counterpartOf is the row of a metric unit; nil for what both systems tell alike.
func counterpartOf(metric string) *counterpart {
	for i := range counterparts {
		if counterparts[i].metric.name == metric {
			return &counterparts[i]
		}
	}
	return nil
}

// Shown is how numbers in a metric unit are shown.
type Shown struct {
	Name  string  // of the unit
	Times float64 // one of the metric unit in it
	Finer int     // decimals more than the metric number has
}

// Shown is how a system shows numbers that are in a metric unit. What it does not know it leaves as it is.
func (s System) Shown(metric string) Shown {
	c := counterpartOf(metric)
	if s == Metric || c == nil {
		return Shown{metric, 1, 0}
	}
	return Shown{c.inch.name, c.inch.fromSI(c.metric.toSI(1)), c.finer}
}

// Decimals is with how many decimals a number is shown that the metric unit tells with so many.
func (u Shown) Decimals(metric int) int { return max(metric+u.Finer, 0) }

// All are numbers in the metric unit as they are shown.
func (u Shown) All(metric []float64) []float64 {
	if u.Times == 1 {
		return metric
	}
	out := make([]float64, len(metric))
	for i, v := range metric {
		out[i] = v * u.Times
	}
	return out
}

// Name is what a system calls the unit in which it shows a metric one.
func (s System) Name(metric string) string { return s.Shown(metric).Name }

// From is how many of the unit shown an SI value is.
func (s System) From(si float64, metric string) float64 {
	switch c := counterpartOf(metric); {
	case c == nil:
		return si
	case s == Inch:
		return c.inch.fromSI(si)
	default:
		return c.metric.fromSI(si)
	}
}

// Figure is an SI value as the number of the unit shown, rounded half away from zero to as many decimals as metric
// texts have or finer; a zero has no minus. Figure(0.143, "mm", 0) is "143" or "5.63".
func (s System) Figure(si float64, metric string, decimals int) string {
	decimals = s.Shown(metric).Decimals(decimals)
	parts := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(s.From(si, metric)*parts)/parts+0, 'f', decimals, 64)
}

// Text is a Figure with its unit: "143 mm" or "5.63 in".
func (s System) Text(si float64, metric string, decimals int) string {
	return s.Figure(si, metric, decimals) + " " + s.Name(metric)
}

// Sprintf is fmt.Sprintf for people: where a metric unit stands behind the verb of a number, that number is an SI value
// and is told in the system's unit. Sprintf("%.0f mm off", 0.143) is "143 mm off" or "5.63 in off".
func (s System) Sprintf(form string, args ...any) string {
	if !strings.Contains(form, "%") {
		return fmt.Sprintf(form, args...) // vet learns here that the arguments are those of a form
	}
	var out strings.Builder
	told := slices.Clone(args)
	next := 0
	for {
		before, verb, rest := cutVerb(form)
		out.WriteString(before)
		if verb == "" {
			break
		}
		if form = rest; verb[len(verb)-1] == '%' {
			out.WriteString(verb)
			continue
		}
		next += 1 + strings.Count(verb, "*")
		if c := behind(rest); c != nil && next <= len(told) && ofNumber(verb) {
			if si, is := told[next-1].(float64); is {
				told[next-1] = s.From(si, c.metric.name)
				verb = s.verb(verb, c) + " " + s.Name(c.metric.name)
				form = rest[1+len(c.metric.name):]
			}
		}
		out.WriteString(verb)
	}
	return fmt.Sprintf(out.String(), told...)
}

// Number is what Sprintf makes of a form with one number and its unit, without the unit.
func (s System) Number(form string, si float64) string {
	words := s.Sprintf(form, si)
	number, _, _ := strings.Cut(strings.TrimLeft(words, " "), " ")
	return number
}

// cutVerb parts a form at its next verb, "" where none follows.
func cutVerb(form string) (before, verb, rest string) {
	begin := strings.IndexByte(form, '%')
	if begin < 0 {
		return form, "", ""
	}
	length := strings.IndexFunc(form[begin+1:], func(r rune) bool { return !strings.ContainsRune("+-# 0123456789.*", r) })
	if length < 0 {
		return form, "", ""
	}
	end := begin + length + 2
	return form[:begin], form[begin:end], form[end:]
}

// ofNumber reports whether a verb is one of a quantity's number.
func ofNumber(verb string) bool {
	return strings.ContainsRune("feg", rune(verb[len(verb)-1])) && !strings.Contains(verb, "*")
}

// behind is the metric unit that follows upon a blank at the beginning of a text; nil where none does.
func behind(text string) *counterpart {
	var longest *counterpart
	for i := range counterparts {
		c := &counterparts[i]
		if rest, is := strings.CutPrefix(text, " "+c.metric.name); is && ends(rest) &&
			(longest == nil || len(c.metric.name) > len(longest.metric.name)) {
			longest = c
		}
	}
	return longest
}

// ends reports whether a unit is at its end where this follows upon it.
func ends(rest string) bool {
	r, _ := utf8.DecodeRuneInString(rest)
	return rest == "" || !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '/' && r != '^'
}

// verb gives a verb as many decimals as the system's unit needs; significant digits stay as many.
func (s System) verb(verb string, c *counterpart) string {
	point := strings.IndexByte(verb, '.')
	last := len(verb) - 1
	if s == Metric || verb[last] != 'f' || point < 0 {
		return verb
	}
	decimals, _ := strconv.Atoi(verb[point+1 : last]) // no digits: none
	return fmt.Sprintf("%s.%df", verb[:point], Shown{Finer: c.finer}.Decimals(decimals))
}

// spoken is a number with a blank behind it, or words that are to be written as they stand.
var spoken = regexp.MustCompile("`[^`]*`|\"[^\"]*\"|[-+]?\\d+(?:\\.\\d+)?(?:e[-+]?\\d+)? ")

// Retold tells a sentence that is kept in metric units, as those of a record are, in the system's. What stands between
// quotation marks or backquotes is left as it is.
func (s System) Retold(sentence string) string {
	if s == Metric {
		return sentence
	}
	var out strings.Builder
	for {
		at := spoken.FindStringIndex(sentence)
		if at == nil {
			return out.String() + sentence
		}
		found, rest := sentence[at[0]:at[1]], sentence[at[1]:]
		out.WriteString(sentence[:at[0]])
		c := behind(" " + rest)
		number, err := strconv.ParseFloat(strings.TrimSuffix(found, " "), 64)
		if sentence = rest; c == nil || err != nil {
			out.WriteString(found)
			continue
		}
		_, decimals, _ := strings.Cut(strings.TrimSuffix(found, " "), ".")
		words := s.Figure(c.metric.toSI(number), c.metric.name, len(decimals))
		if strings.Contains(words, ".") {
			words = strings.TrimRight(strings.TrimRight(words, "0"), ".")
		}
		out.WriteString(words + " " + c.inch.name)
		sentence = rest[len(c.metric.name):]
	}
}

// Step is the least from one number along an edge to the next, m: a millimetre, or a hundredth of an inch.
func (s System) Step() float64 {
	if s == Metric {
		return 0.001
	}
	return inch / 100
}

// Mark is a place along an edge, to the millimetre or a hundredth of an inch, without idle zeros.
func (s System) Mark(place float64) string {
	parts := math.Pow10(s.Shown("mm").Decimals(0))
	return strconv.FormatFloat(math.Round(s.From(place, "mm")*parts)/parts+0, 'f', -1, 64)
}
