package viewmodel

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/base/units"
	"chalkfield/scripting/history"
)

// LineRuns is when a line of the text shown ran; nothing while that is not known, or the text is not the one that ran.
func (d *Model) LineRuns(line int) history.LineRuns { return d.linesOf(d.Source()).Line(line) }

// linesOf are the lines of a file of the routine; nothing while they are not known, or it is not the text that ran.
func (d *Model) linesOf(s Source) history.Lines {
	h := d.History(0)
	if h == nil || !d.ran(d.Now, s) {
		return nil
	}
	return h.Files[cmp.Or(s.Module, d.Now.Source.Name)]
}

// LineSeconds is how long tasks stood at a line, or in what it called, s.
func (d *Model) LineSeconds(line int) float64 { return history.Seconds(int32(d.LineRuns(line).Took)) }

// LongestLine is the greatest time that a line of the text took, s; 0: none took any, or it is not known.
func (d *Model) LongestLine() float64 {
	most := 0
	for _, l := range d.linesOf(d.Source()) {
		most = max(most, l.Took)
	}
	return history.Seconds(int32(most))
}

// LineWords tell when a line ran, and how long it took.
func (d *Model) LineWords(line int) string {
	runs := d.LineRuns(line)
	switch n := len(runs.Spans); {
	case d.History(0) == nil:
		return d.Unkept(0)
	case !d.ran(d.Now, d.Source()):
		return "This text did not run yet."
	case n == 0:
		return fmt.Sprintf("Line %d did not run.", line)
	default:
		took := ""
		if runs.Took > 0 {
			took = fmt.Sprintf(", and took %.2f s", d.LineSeconds(line))
		}
		first := fmt.Sprintf("at %.2f s", history.Seconds(runs.Spans[0].From))
		if n > 1 {
			first = "first " + first
		}
		return fmt.Sprintf("Line %d ran %s, %s%s.", line, units.Counted(n, "time"), first, took)
	}
}

// ChooseLine chooses a line of the text, whose times are marked on the strip; chosen again it is let go.
func (d *Model) ChooseLine(line int) {
	if line == d.Line() {
		line = 0
	}
	d.line = linePlace{d.Source().Module, line}
	if line > 0 {
		d.Say(d.LineWords(line))
	}
}

// linePlace is a line of one of the routine's files.
type linePlace struct {
	module string // "": the routine itself
	line   int    // 0: none
}

// Line is the line of the text shown that is chosen, 0 for none.
func (d *Model) Line() int {
	d.carryLines()
	if d.line.module != d.Source().Module {
		return 0
	}
	return d.line.line
}

// ChosenLine is the line that is chosen in words, in whatever file; "": none is.
func (d *Model) ChosenLine() string {
	if d.carryLines(); d.line.line == 0 {
		return ""
	}
	return Stop{Module: d.line.module, Line: d.line.line}.Words()
}

// ChosenHolds are the stretches in which the line that is chosen, in whatever file, runs.
func (d *Model) ChosenHolds() []Holds {
	d.carryLines()
	return d.Holds(Stop{Module: d.line.module, Line: d.line.line})
}

// LineOn and LineBack go to the next time at which the chosen line ran, and to the one before; at the last, to the
// first.
func (d *Model) LineOn()   { d.goToRun(history.LineRuns.Next) }
func (d *Model) LineBack() { d.goToRun(history.LineRuns.Before) }

func (d *Model) goToRun(find func(history.LineRuns, float64) (float64, bool)) {
	if d.carryLines(); d.line.line == 0 {
		d.Say("Choose a line of the routine's page first, by a click, Shift+Up or Ctrl+F: its times are gone through then.")
		return
	}
	d.goToLine(d.line, find)
}

// RunTo goes to the next time at which a line of the text shown runs, else to the first.
func (d *Model) RunTo(line int) {
	d.carryLines()
	at := linePlace{d.Source().Module, line}
	if d.goToLine(at, history.LineRuns.Next) {
		d.line = at
	}
}

func (d *Model) goToLine(at linePlace, find func(history.LineRuns, float64) (float64, bool)) bool {
	runs := d.linesOf(d.file(at.module)).Line(at.line)
	t, ran := find(runs, d.Time)
	if !ran {
		d.Say(d.LineWords(at.line))
		return false
	}
	d.GoTo(t)
	d.Follows = true
	for i, s := range runs.Spans {
		if history.Seconds(s.From) == t {
			d.Say(fmt.Sprintf("Line %d at %.2f s: it runs %d times, this is number %d.", at.line, t, len(runs.Spans), i+1))
		}
	}
	return true
}

// carryLines keeps the chosen line and the stops at their text, when a text has become another. Lines that were changed
// themselves keep their number if as many stand there now; else they are let go.
func (d *Model) carryLines() {
	main := d.main()
	if key := cmp.Or(main.Path, main.Name); key != d.stopsOf {
		d.changeStops(key)
		d.line, d.carried = linePlace{}, map[string][]string{}
	}
	d.carryFile("", main.Lines)
	for _, m := range d.modules {
		d.carryFile(m.Module, d.file(m.Module).Lines)
	}
	d.Stops = slices.DeleteFunc(d.Stops, func(s Stop) bool { return s.gone })
}

// carryFile does it for one of the routine's files.
func (d *Model) carryFile(module string, now []string) {
	was := d.carried[module]
	d.carried[module] = now
	if len(was) == 0 || len(now) == 0 || &was[0] == &now[0] {
		return
	}
	if d.line.module == module {
		d.line.line = moved(was, now, d.line.line)
	}
	for i := range d.Stops {
		if s := &d.Stops[i]; s.Line > 0 && s.Module == module {
			s.Line = moved(was, now, s.Line)
			s.gone = s.Line == 0
		}
	}
}

// moved is the number that a line has in another text; 0: it is not there any more.
func moved(was, now []string, line int) int {
	if line == 0 || line > len(was) {
		return 0
	}
	same, least := 0, min(len(was), len(now))
	for same < least && was[same] == now[same] {
		same++
	}
	end := 0
	for end < least-same && was[len(was)-1-end] == now[len(now)-1-end] {
		end++
	}
	switch {
	case line <= same:
		return line
	case line > len(was)-end:
		return line + len(now) - len(was)
	case len(was) == len(now):
		return line
	}
	for i := same; i < len(now)-end; i++ {
		if strings.TrimSpace(now[i]) == strings.TrimSpace(was[line-1]) {
			return i + 1
		}
	}
	return 0
}
