package viewmodel

import (
	"cmp"
	"fmt"
	"strings"

	"chalkfield/internal/base/units"
	"chalkfield/scripting/history"
)

// LineRuns is when a line of the text shown ran; nothing while that is not known, or the text is not the one that ran.
func (d *Model) LineRuns(line int) history.LineRuns {
	h := d.History(0)
	if h == nil || !d.Now.Source.Same(d.Source()) {
		return history.LineRuns{}
	}
	return h.Files[d.Now.Source.Name].Line(line)
}

// LineSeconds is how long tasks stood at a line, or in what it called, s.
func (d *Model) LineSeconds(line int) float64 { return history.Seconds(int32(d.LineRuns(line).Took)) }

// LongestLine is the greatest time that a line of the text took, s; 0: none took any, or it is not known.
func (d *Model) LongestLine() float64 {
	h := d.History(0)
	if h == nil {
		return 0
	}
	most := 0
	for _, l := range h.Files[d.Now.Source.Name] {
		most = max(most, l.Took)
	}
	return history.Seconds(int32(most))
}

// LineWords tell when a line ran, and how long it took.
func (d *Model) LineWords(line int) string {
	runs := d.LineRuns(line)
	switch n := len(runs.Spans); {
	case d.History(0) == nil || !d.Now.Source.Same(d.Source()):
		return d.Unkept(0)
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
	d.carryLines()
	if line == d.line {
		line = 0
	}
	if d.line = line; line > 0 {
		d.Say(d.LineWords(line))
	}
}

// Line is the line that is chosen, 0 for none.
func (d *Model) Line() int {
	d.carryLines()
	return d.line
}

// LineOn and LineBack go to the next time at which the chosen line ran, and to the one before; at the last, to the
// first.
func (d *Model) LineOn()   { d.goToRun(history.LineRuns.Next) }
func (d *Model) LineBack() { d.goToRun(history.LineRuns.Before) }

func (d *Model) goToRun(find func(history.LineRuns, float64) (float64, bool)) {
	line := d.Line()
	if line == 0 {
		d.Say("Click a line of the routine's page first: its times are gone through then.")
		return
	}
	d.goToLine(line, find)
}

// RunTo goes to the next time at which a line runs, else to the first.
func (d *Model) RunTo(line int) {
	d.carryLines()
	if d.goToLine(line, history.LineRuns.Next) {
		d.line = line
	}
}

func (d *Model) goToLine(line int, find func(history.LineRuns, float64) (float64, bool)) bool {
	runs := d.LineRuns(line)
	t, ran := find(runs, d.Time)
	if !ran {
		d.Say(d.LineWords(line))
		return false
	}
	d.GoTo(t)
	d.Follows = true
	for i, s := range runs.Spans {
		if history.Seconds(s.From) == t {
			d.Say(fmt.Sprintf("Line %d at %.2f s: time %d of %d.", line, t, i+1, len(runs.Spans)))
		}
	}
	return true
}

// carryLines keeps the chosen line and the stops at their text, when the text shown has become another. Lines that
// were changed themselves keep their number if as many stand there now; else they are let go.
func (d *Model) carryLines() {
	now := d.Source()
	if key := cmp.Or(now.Path, now.Name); key != d.stopsOf {
		d.changeStops(key)
		d.line, d.linesOf = 0, nil
	}
	was := d.linesOf
	d.linesOf = now.Lines
	if len(was) == 0 || len(now.Lines) == 0 || &was[0] == &now.Lines[0] {
		return
	}
	d.line = moved(was, now.Lines, d.line)
	for i := range d.Stops {
		if s := &d.Stops[i]; s.Line > 0 {
			s.Line = moved(was, now.Lines, s.Line)
			s.gone = s.Line == 0
		}
	}
	d.dropGone()
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
