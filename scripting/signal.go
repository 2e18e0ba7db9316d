package scripting

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"chalkfield/internal/base/record"

	lua "github.com/yuin/gopher-lua"
)

// What of its own signals a routine may record.
const (
	maxSignals    = 64   // names
	maxSaid       = 10   // values in a control tick
	maxSignalName = 40   // letters
	maxSignalUnit = 16   // letters
	mostSaid      = 1e12 // of a value: a record has six decimals, and a number no more than sixteen digits
)

// signals are a routine's own numbers over time: what it says in a tick holds until it says another.
type signals struct {
	list  []record.Signal
	born  []place   // where each was named first
	value []float64 // said last, as a record has it
	told  []float64 // by TakeSaid; NaN: not yet
	said  int       // values in this tick
}

// recordSignal is signal(name, value, unit). The unit is fixed when the signal is named first, and may be left out
// afterwards.
func recordSignal(c call) int {
	h := c.host
	c.inTask()
	name := c.signalName()
	value, unit := c.said(name), c.unit(3)
	if h.signals.said++; h.signals.said > maxSaid {
		c.fail("more than %d values in a control tick (10 ms): call wait() between, or record fewer", maxSaid)
	}
	i := c.signal(name, unit)
	h.signals.value[i] = record.Round(value)
	return 0
}

// said is the second argument: a value that a record can keep.
func (c call) said(name string) float64 {
	value := c.finite(c.Get(2), fmt.Sprintf("the value of %q", name))
	if math.Abs(value) > mostSaid {
		c.fail("the value of %q is %.6g, and the greatest that a record keeps is %.0e: write it in a larger unit", name,
			value, float64(mostSaid))
	}
	return value
}

// signal is the index of a signal, which is new if its name is.
func (c call) signal(name, unit string) int {
	s := &c.host.signals
	i := slices.IndexFunc(s.list, func(known record.Signal) bool { return known.Name == name })
	switch {
	case i < 0 && len(s.list) == maxSignals:
		c.fail("more than %d signals: %q is one too many; a name is for one number over time, so put none into it that "+
			"changes", maxSignals, name)
	case i < 0:
		s.list = append(s.list, record.Signal{Name: name, Unit: unit})
		s.born, s.value, s.told = append(s.born, c.host.here(c.LState)), append(s.value, 0), append(s.told, math.NaN())
		return len(s.list) - 1
	case c.Get(3) != lua.LNil && unit != s.list[i].Unit:
		c.fail("%q is %s%s: leave the unit out here, or take another name", name, inUnit(s.list[i].Unit), since(s.born[i]))
	}
	return i
}

func inUnit(unit string) string {
	if unit == "" {
		return "without a unit"
	}
	return fmt.Sprintf("in %q", unit)
}

// since is where a signal was named first; a program has no lines.
func since(at place) string {
	if at.line == 0 {
		return " since it was named first"
	}
	return fmt.Sprintf(" since %s:%d", at.file, at.line)
}

// signalName is the first argument. It becomes a column's header, so it has nothing that parts columns or lines.
func (c call) signalName() string {
	name := c.text(1, "the name")
	if n := utf8.RuneCountInString(name); n == 0 || n > maxSignalName || strings.TrimSpace(name) != name || odd(name) {
		c.fail("the name %.50q is not one: write a word or a few, at most %d letters, without commas and quotes, as in "+
			`signal("turn error", 3.2, "deg")`, name, maxSignalName)
	}
	return name
}

// unit is a unit's short form, "" if it is not given.
func (c call) unit(n int) string {
	if c.Get(n) == lua.LNil {
		return ""
	}
	unit := c.text(n, "the unit")
	if utf8.RuneCountInString(unit) > maxSignalUnit || strings.ContainsRune(unit, ' ') || odd(unit) {
		c.fail(`the unit %.30q is not one: write its short form, such as "mm", "deg/s" or "V", at most %d letters without `+
			"spaces, commas and quotes", unit, maxSignalUnit)
	}
	return unit
}

// odd reports whether a text has what a table's header cannot hold.
func odd(text string) bool {
	return strings.ContainsFunc(text, func(r rune) bool {
		return r == ',' || r == ';' || r == '"' || r == '\'' || r == unicode.ReplacementChar || !unicode.IsPrint(r)
	})
}

// Signals are the routine's own signals, in the order in which they were named.
func (h *Host) Signals() []record.Signal { return h.signals.list }

// TakeSaid gives the signals that have other values than when it was called last.
func (h *Host) TakeSaid() []record.Said {
	var news []record.Said
	s := &h.signals
	for i, v := range s.value {
		if v != s.told[i] {
			s.told[i] = v
			news = append(news, record.Said{Signal: i, Value: v})
		}
	}
	return news
}

// giveResult is result(name, value, unit): a number of the whole rehearsal, which studies may aim at. The last one of a
// name counts.
func giveResult(c call) int {
	name := c.signalName()
	value := record.Round(c.said(name))
	c.host.say(c.LState, record.Event{Kind: record.Result, What: name, Value: value, Unit: c.unit(3)})
	return 0
}
