package history

import (
	"slices"
	"sort"

	"chalkfield/scripting/sandbox"
)

// Lines are those of a file, by their number less one, as far as one ran.
type Lines []LineRuns

// LineRuns is when a line ran. Times are control ticks since the start of the session.
type LineRuns struct {
	Spans []Span // in order of time
	Took  int    // ticks that tasks stood at it, or in what it called: each task's own, summed
}

// Span is one time at which a line ran: it began in the tick From, and the first in which no task stood at it any more
// is To. One that took no time has both the same.
type Span struct{ From, To int32 }

// Line is what is known of a line.
func (l Lines) Line(number int) LineRuns {
	if number < 1 || number > len(l) {
		return LineRuns{}
	}
	return l[number-1]
}

// Seconds is the time of a control tick since the start of the session.
func Seconds(tick int32) float64 { return float64(tick) / 100 }

// tickOf is the control tick of a time.
func tickOf(now float64) int32 { return int32(float64(now*100) + 0.5) }

// Next is the time of the first run of the line after a time, else of its first; false if it never ran.
func (l LineRuns) Next(t float64) (at float64, ran bool) {
	if len(l.Spans) == 0 {
		return 0, false
	}
	i := sort.Search(len(l.Spans), func(i int) bool { return Seconds(l.Spans[i].From) > t+slack })
	if i == len(l.Spans) {
		i = 0
	}
	return Seconds(l.Spans[i].From), true
}

// Before is the time of the last run of the line before a time, else of its last; false if it never ran.
func (l LineRuns) Before(t float64) (at float64, ran bool) {
	if len(l.Spans) == 0 {
		return 0, false
	}
	i := sort.Search(len(l.Spans), func(i int) bool { return Seconds(l.Spans[i].From) >= t-slack }) - 1
	if i < 0 {
		i = len(l.Spans) - 1
	}
	return Seconds(l.Spans[i].From), true
}

// line makes room for a line of a file.
func (h *History) line(file string, number int) *LineRuns {
	lines := h.Files[file]
	if number > len(lines) {
		lines = append(lines, make(Lines, number-len(lines))...)
		h.Files[file] = lines
	}
	return &lines[number-1]
}

// Ran notes that a line begins in the tick under way.
func (h *History) Ran(file string, number int) {
	if !h.keeps() || number < 1 {
		return
	}
	l := h.line(file, number)
	if n := len(l.Spans); n == 0 || l.Spans[n-1].From != h.tick {
		l.Spans = append(l.Spans, Span{h.tick, h.tick})
		h.spend(bytesSpan, Seconds(h.tick))
	}
}

// stand notes that a task will stand at these places until the next tick. A line that calls itself counts once.
func (h *History) stand(frames []sandbox.Frame) {
	for i, f := range frames {
		twice := slices.ContainsFunc(frames[:i], func(g sandbox.Frame) bool { return g.File == f.File && g.Line == f.Line })
		if twice || f.Line < 1 {
			continue
		}
		l := h.line(f.File, f.Line)
		l.Took++
		if n := len(l.Spans); n > 0 && l.Spans[n-1].To >= h.tick {
			l.Spans[n-1].To = h.tick + 1
		} else {
			l.Spans = append(l.Spans, Span{h.tick, h.tick + 1})
			h.spend(bytesSpan, Seconds(h.tick))
		}
	}
}
