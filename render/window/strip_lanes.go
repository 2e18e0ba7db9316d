package window

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// lanes are the tasks of the robot spoken of.
func (s *strip) lanes() []viewmodel.Lane {
	if s.model.Now == nil || s.model.Robot >= len(s.model.Now.Lanes) {
		return nil
	}
	return s.model.Now.Lanes[s.model.Robot]
}

// For how many there is room during a drive, and in a low window. Tasks begin while it lasts, and the field must not
// change its size under the driver.
const (
	driveLanes = 3
	lowLanes   = 2
)

// shownLanes are those that there is room for.
func (s *strip) shownLanes() []viewmodel.Lane {
	lanes := s.lanes()
	return lanes[s.top:min(s.top+s.frame.Lanes, len(lanes))]
}

// scroll shows others of the lanes when there is no room for all.
func (s *strip) scroll(by int) {
	s.top = min(max(s.top+by, 0), max(len(s.lanes())-s.frame.Lanes, 0))
}

// pointLanes takes the wheel over the names of the rows.
func (s *strip) pointLanes() {
	strip := s.frame.Strip
	if s.card == nil && s.hand.WheelY != 0 && strip.Left(s.frame.Gutter-6).Contains(s.hand.X, s.hand.Y) {
		s.scroll(-wheelStep(s.hand.WheelY))
	}
}

// hidden says for how many lanes there is no room.
func (s *strip) hidden() string {
	return moreWords(s.top, len(s.lanes())-s.top-s.frame.Lanes)
}

// moreWords says how many rows of a list are out of view, "" for none.
func moreWords(above, below int) string {
	switch {
	case above <= 0 && below <= 0:
		return ""
	case above <= 0:
		return fmt.Sprintf("%d more below: wheel", below)
	case below <= 0:
		return fmt.Sprintf("%d more above: wheel", above)
	}
	return fmt.Sprintf("%d above, %d below: wheel", above, below)
}

// withKeys is that with the keys that scroll too, where there is room.
func withKeys(words, held string, width float64) string {
	keyed := strings.Replace(words, ": wheel", ": wheel, "+held+"+PgDn", 1)
	if paint.Width(keyed, small, true) > width {
		keyed = strings.Replace(words, ": wheel", ": "+held+"+PgDn", 1)
	}
	if paint.Width(keyed, small, true) > width {
		return words
	}
	return keyed
}

// gutterWidth is what the longest of the lanes' names needs, and what says that there are more.
func (s *strip) gutterWidth() float64 {
	wide := paint.Width(s.hidden(), small, true)
	if n := len(s.lanes()); n > s.frame.Lanes {
		wide = paint.Width(moreWords(n, n), small, true) // the same however far they are scrolled
	}
	for _, lane := range s.lanes() {
		wide = math.Max(wide, paint.Width(paint.Clean(s.laneName(s.model.Now, lane)), small, false))
	}
	return math.Max(leastGutter, math.Min(math.Ceil(wide+gutterEdges+1), gutterShare*s.frame.Strip.W))
}

// laneName names a task; with the robot's number where there are several, and with the phase where a robot has a main
// task in each.
func (s *strip) laneName(run *viewmodel.Run, lane viewmodel.Lane) string {
	name := fmt.Sprintf("task %d", lane.Task)
	if lane.Macro != "" {
		name = "macro " + lane.Macro
	}
	if lane.Task == 0 {
		name = "main task"
		if phase, _, ok := run.Phase(lane.From); ok && len(run.Record.Header.Phases) > 1 {
			name = phase.Name
		}
	}
	if len(run.Record.Header.Robots) > 1 {
		name = fmt.Sprintf("%d: %s", s.model.Robot+1, name)
	}
	return name
}

// drawLane draws a task as a bar, its motions as raised pieces with their names.
func (s *strip) drawLane(lane viewmodel.Lane, r Rect) {
	end := math.Min(lane.To, s.model.End)
	bar := func(from, to float64) Rect {
		x0, x1 := s.timeX(from), s.timeX(math.Min(to, end))
		return Rect{X: x0, Y: r.Y + 1, W: math.Max(x1-x0, 2), H: r.H - 2}
	}
	for _, run := range append(lane.Earlier[:len(lane.Earlier):len(lane.Earlier)],
		viewmodel.Span{From: lane.From, To: end}) {
		whole := bar(run.From, run.To)
		s.fill(whole, s.raised)
	}
	for _, m := range lane.Motions {
		piece := bar(m.From, m.To)
		s.pen.Rect(piece.X, piece.Y, math.Max(piece.W-1, 1), piece.H, s.chosen)
		if m.Why != "" && m.Why != record.Arrived {
			s.pen.Rect(piece.Right()-3, piece.Y, 3, piece.H, scene.Chalk)
		}
		if width := paint.Width(m.What, small, false); width < piece.W-6 {
			s.words(m.What, Rect{X: piece.X + 4, Y: piece.Y, W: width + 1, H: piece.H}, small, false, scene.Chalk)
		}
	}
}
