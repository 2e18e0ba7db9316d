package viewmodel

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/scripting/history"
)

// Stop is where playing pauses: when a line of the routine runs, or when a condition begins to hold.
type Stop struct {
	Off       bool
	Module    string     // the file of its line; "": the routine itself
	Line      int        // 0: it is a condition
	Condition *Condition // nil: it is a line

	gone bool // its line is not there any more
}

// Words say what a stop waits for.
func (s Stop) Words() string {
	if s.Condition != nil {
		return s.Condition.String()
	}
	if s.Module != "" {
		return fmt.Sprintf("line %d of %s", s.Line, s.Module)
	}
	return fmt.Sprintf("line %d", s.Line)
}

// mostStops of one routine.
const mostStops = 50

// changeStops takes out the stops of another routine, and puts those of this one away.
func (d *Model) changeStops(routine string) {
	if d.putStops == nil {
		d.putStops = map[string][]Stop{}
	}
	if d.stopsOf != "" {
		d.putStops[d.stopsOf] = d.Stops
	}
	d.Stops, d.stopsOf = d.putStops[routine], routine
}

// StopAt is the stop at a line of the text shown.
func (d *Model) StopAt(line int) (Stop, bool) {
	if i := d.stopAt(line); i >= 0 {
		return d.Stops[i], true
	}
	return Stop{}, false
}

func (d *Model) stopAt(line int) int {
	d.carryLines()
	module := d.Source().Module
	return slices.IndexFunc(d.Stops, func(s Stop) bool { return s.Line == line && line > 0 && s.Module == module })
}

// ToggleStop puts a stop at a line, or takes it away.
func (d *Model) ToggleStop(line int) {
	if i := d.stopAt(line); i >= 0 {
		d.RemoveStop(i)
		return
	}
	if line < 1 || line > len(d.Source().Lines) || !d.mayStop() {
		return
	}
	d.Stops = append(d.Stops, Stop{Module: d.Source().Module, Line: line})
	d.Say(fmt.Sprintf("Playing pauses when line %d runs. %s", line, d.LineWords(line)))
}

func (d *Model) mayStop() bool {
	if len(d.Stops) >= mostStops {
		d.Say(fmt.Sprintf("There are %d stops already: take some away first.", mostStops))
		return false
	}
	return true
}

var lineRuns = regexp.MustCompile(`^(?:when )?line ([0-9]+)(?: runs)?$`)

// AddStop puts a stop at a condition, or at a line, as a person writes it: "line 31". An error says what to write
// instead.
func (d *Model) AddStop(text string) error {
	d.carryLines()
	if d.Now == nil {
		return fmt.Errorf("nothing has been rehearsed yet")
	}
	if m := lineRuns.FindStringSubmatch(strings.TrimSpace(text)); m != nil {
		line, err := strconv.Atoi(m[1])
		if err != nil || line < 1 || line > len(d.Source().Lines) {
			return fmt.Errorf("there is no line %s: the file shown has %d", m[1], len(d.Source().Lines))
		}
		if _, there := d.StopAt(line); !there {
			d.ToggleStop(line)
		}
		return nil
	}
	c, err := ReadCondition(d.Units, text, append(d.Now.Signals(d.Robot), d.charted()...))
	if err != nil {
		return err
	}
	if d.mayStop() {
		d.Stops = append(d.Stops, Stop{Condition: c})
		d.Say("Playing pauses when " + c.String() + ": " + d.StopWords(len(d.Stops)-1) + ".")
	}
	return nil
}

// SwitchStop turns a stop on or off, RemoveStop takes it away.
func (d *Model) SwitchStop(i int) { d.Stops[i].Off = !d.Stops[i].Off }

func (d *Model) RemoveStop(i int) {
	d.Say("No stop any more at " + d.Stops[i].Words() + ".")
	d.Stops = slices.Delete(d.Stops, i, i+1)
}

// Holds is a stretch of time in which what a stop waits for holds.
type Holds struct{ From, To float64 } // s

// Holds are the stretches of a stop in the run shown, in order.
func (d *Model) Holds(s Stop) []Holds {
	if d.Now == nil {
		return nil
	}
	if s.Condition != nil {
		return d.Now.holds(d.Robot, s.Condition)
	}
	runs, key := d.linesOf(d.file(s.Module)).Line(s.Line), holdsKey{module: s.Module, line: s.Line}
	list := d.Now.held[key]
	if len(list) == len(runs.Spans) {
		return list
	}
	list = nil
	for _, span := range runs.Spans {
		list = append(list, Holds{history.Seconds(span.From), history.Seconds(span.To)})
	}
	d.Now.held[key] = list
	return list
}

// StopWords say how often what a stop waits for begins in the run shown, and when next.
func (d *Model) StopWords(i int) string {
	s := d.Stops[i]
	switch {
	case d.Now == nil:
		return ""
	case s.Line > 0 && d.History(0) == nil:
		return "not known yet"
	}
	if s.Condition != nil {
		if _, ok := d.Now.SignalNamed(d.Robot, s.Condition.Key); !ok {
			return "this robot has none"
		}
	}
	list := d.Holds(s)
	if len(list) == 0 {
		return "never"
	}
	next := slices.IndexFunc(list, func(h Holds) bool { return h.From > d.Time })
	if next < 0 {
		return fmt.Sprintf("%d×, last %.2f s", len(list), list[len(list)-1].From)
	}
	return fmt.Sprintf("%d×, next %.2f s", len(list), list[next].From)
}

// Advance moves on by seconds of watching, as far as the first stop on the way.
func (d *Model) Advance(seconds float64) {
	from := d.Time
	d.Clock.Advance(seconds)
	if d.Time <= from || len(d.Stops) == 0 {
		return
	}
	d.carryLines()
	at, which := math.Inf(1), -1
	for i, s := range d.Stops {
		if s.Off {
			continue
		}
		for _, h := range d.Holds(s) {
			if h.From > from && h.From <= d.Time && h.From < at {
				at, which = h.From, i
			}
		}
	}
	if which >= 0 {
		d.GoTo(at)
		d.Say(fmt.Sprintf("Paused at %.2f s: %s.", at, d.pausedBy(d.Stops[which])))
		if stop := d.Stops[which]; stop.Line > 0 { // it may have run within a sample, and another stands lit
			d.line = linePlace{stop.Module, stop.Line}
		}
	}
}

func (d *Model) pausedBy(s Stop) string {
	lines := d.file(s.Module).Lines
	if s.Line == 0 || s.Line > len(lines) {
		return s.Words()
	}
	return s.Words() + ", " + strings.TrimSpace(lines[s.Line-1])
}
