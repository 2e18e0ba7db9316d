package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// strip is the time strip: a ruler, rows of events and of tasks, and the hand of time.
type strip struct {
	*timeline
	kept      still
	top       int     // tasks that are scrolled out above
	pressed   float64 // where the pointer went down on an event; NaN: elsewhere, or it has moved on since
	overEvent int     // index of the record's event under the pointer, -1 none
}

func (s *strip) want(w *wants) { w.Lanes = len(s.lanes()) }

func (s *strip) place() {
	s.scroll(0) // there may be room for more now
	s.frame.Gutter = s.gutterWidth()
}

// row is a row's rectangle: 0 events and notes, 1 score, then tasks.
func (s *strip) row(i int) Rect {
	strip := s.frame.Strip
	return Rect{X: strip.X, Y: strip.Y + rulerHeight + float64(i)*s.frame.Row, W: strip.W, H: s.frame.Row}
}

// rowOf is the row that a lane of the record's events has.
func rowOf(lane record.Lane) int {
	if lane == record.ScoreLane {
		return 1
	}
	return 0
}

// draw paints the ruler, the rows and the hand.
func (s *strip) draw() {
	strip, run := s.frame.Strip, s.model.Now
	if run == nil {
		s.fill(strip, scene.Slate)
		return
	}
	s.keep()
	from, to := s.span()
	content := s.runPrint(run).rect(strip).numbers(from, to).ints(s.model.Robot, s.overEvent)
	content = content.numbers(s.frame.Gutter, s.frame.Row).ints(s.top).text(s.hidden())
	content = s.timesPrint(content)
	s.drawStill(&s.kept, content, func() { s.drawRows(run) })
	s.drawPin(s.along(s.timeArea()), strip.Y, strip.Bottom())
	if x, ok := s.along(s.timeArea()).hand(s.model.Time); ok {
		s.pen.Segment(x, strip.Y, x, strip.Bottom(), 2, s.accent)
		s.pen.Fill([]geom.Vec{{X: x - 6, Y: strip.Y}, {X: x + 6, Y: strip.Y}, {X: x, Y: strip.Y + 8}}, s.accent)
	}
}

// drawRows paints all of the strip that does not move.
func (s *strip) drawRows(run *viewmodel.Run) {
	strip := s.frame.Strip
	s.fill(strip, scene.Slate)
	s.drawRuler(run)
	for i, name := range []string{"events", "score"} {
		s.drawRowGround(i, name)
	}
	lanes := s.shownLanes()
	for i, lane := range lanes {
		s.drawRowGround(fixedRows+i, s.laneName(run, lane))
	}
	area := s.timeArea()
	s.pen.Clip(area.X-6, strip.Y, area.W+6+stripPad, strip.H)
	s.drawScoreRow(run)
	for i, lane := range lanes {
		s.drawLane(lane, s.row(fixedRows+i))
	}
	s.drawMarks(run)
	s.drawTimes()
	s.pen.Unclip()
	s.drawParting(run)
}

func (s *strip) drawRowGround(i int, name string) {
	r := s.row(i)
	if i%2 == 0 {
		s.fill(r, s.panel)
	}
	s.words(name, s.gutterOf(r), small, false, scene.Dust)
}

// drawRuler draws seconds and the phases' names.
func (s *strip) drawRuler(run *viewmodel.Run) {
	r := s.frame.Strip.Top(rulerHeight)
	s.fill(r, s.panel)
	from, to := s.span()
	step := rulerStep(to-from, s.timeArea().W)
	for t := math.Ceil(from/step) * step; t <= to+1e-9; t += step {
		x := s.timeX(t)
		s.pen.Segment(x, r.Bottom()-6, x, r.Bottom(), 1, scene.Dust)
		words := fmt.Sprintf("%g", math.Round(t*100)/100)
		width := paint.Width(words, small, false)
		s.words(words, Rect{X: math.Min(x+3, r.Right()-width-2), Y: r.Y, W: width + 1, H: r.H - 3}, small, false,
			scene.Dust)
	}
	for _, phase := range run.Record.Header.Phases {
		if x := s.timeX(phase.Start); phase.Start > from && phase.Start < to {
			s.pen.Segment(x, r.Y, x, s.frame.Strip.Bottom(), 1.5, scene.Chalk)
		}
	}
	if hidden := s.hidden(); hidden != "" {
		at := s.gutterOf(r)
		s.words(withKeys(hidden, "Ctrl", at.W), at, small, true, s.accent)
		return
	}
	s.words("seconds", s.gutterOf(r), small, false, scene.Dust)
}

// rulerStep is a round number of seconds that leaves the numbers some 60 points apart.
func rulerStep(seconds, width float64) float64 {
	least := seconds * 60 / math.Max(width, 1)
	for _, step := range []float64{0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300} {
		if step >= least {
			return step
		}
	}
	return 600
}

func (s *strip) drawMarks(run *viewmodel.Run) {
	from, to := s.span()
	for _, mark := range run.Marks {
		if mark.Row == record.ScoreLane || mark.T < from || mark.T > to {
			continue
		}
		r := s.row(rowOf(mark.Row))
		event := run.Record.Events[mark.Event]
		shape, hollow := scene.EventMark(event.Kind)
		fill, pen := s.accent, scene.Pen{}
		if hollow {
			fill, pen = s.panel, scene.Pen{Width: 1.5, Colour: s.accent}
		}
		if event.Kind == record.Failure || event.Kind == record.Foul {
			fill, pen = scene.Chalk, scene.Pen{}
		}
		radius := 5.0
		if mark.Event == s.overEvent {
			radius = 7
		}
		s.drawer.Mark(s.pen, shape, pointAt(s.timeX(mark.T), r.Y+r.H/2), radius, fill, pen)
	}
}

// drawParting marks on the ruler when the run beside first parts from the one shown, as rings do on the field.
func (s *strip) drawParting(run *viewmodel.Run) {
	if run.Other == nil {
		return
	}
	if x, ok := s.along(s.timeArea()).hand(run.Other.Parts); ok {
		y := s.frame.Strip.Y + rulerHeight - 5
		s.drawer.Mark(s.pen, scene.RoundShape, pointAt(x, y), 5, s.panel, scene.Pen{Width: 2, Colour: scene.Chalk})
	}
}

// scoreTick is the height of the marks at the score row's bottom; the numbers stand above it.
const scoreTick = 5.0

// scoreMark is a change of the score on the strip.
type scoreMark struct {
	x     float64
	own   bool   // the robot's side has another total from here on
	total string // that total, where there is room for it
}

// scoreMarks are the changes of the score, seen from a side. Where numbers crowd, the later ones are those that stand.
func scoreMarks(scores []viewmodel.Score, side int, at func(float64) float64) []scoreMark {
	marks := make([]scoreMark, len(scores))
	free := math.Inf(1) // x from which on the row is taken
	for i := len(scores) - 1; i >= 0; i-- {
		before, total := "0", scores[i].Total(side)
		if i > 0 {
			before = scores[i-1].Total(side)
		}
		mark := scoreMark{x: at(scores[i].T), own: total != before}
		if mark.own && mark.x+scoreGap+paint.Width(total, small, true) < free {
			mark.total, free = total, mark.x-2
		}
		marks[i] = mark
	}
	return marks
}

// scoreGap is between a change's mark and its number.
const scoreGap = 4.0

// drawScoreRow marks each change of the score, and writes the total of the robot's side where that changes.
func (s *strip) drawScoreRow(run *viewmodel.Run) {
	r := s.row(rowOf(record.ScoreLane))
	side := 0
	if s.model.Robot < len(run.Record.Header.Robots) {
		side = run.Record.Header.Robots[s.model.Robot].Side
	}
	for _, mark := range scoreMarks(run.Scores, side, s.timeX) {
		ink := scene.Dust
		if mark.own {
			ink = s.accent
		}
		s.pen.Rect(mark.x-1, r.Bottom()-scoreTick, 2, scoreTick, ink)
		if mark.total != "" {
			box := Rect{X: mark.x + scoreGap, Y: r.Y, W: paint.Width(mark.total, small, true) + 1, H: r.H - scoreTick}
			s.words(mark.total, box, small, true, scene.Chalk)
		}
	}
}

// point finds the event under the pointer and takes clicks and drags.
func (s *strip) point() {
	s.overEvent = -1
	run, area := s.model.Now, s.frame.Strip
	inside := area.Contains(s.hand.X, s.hand.Y) && s.hand.X >= area.X+s.frame.Gutter-6 && s.card == nil
	if !s.hand.Down {
		s.dragging = false
	}
	s.pointLanes()
	if run == nil || s.model.Driving() {
		return
	}
	if inside {
		s.overMark(run)
		if s.hand.WheelY != 0 {
			s.zoom(s.timeAt(s.hand.X), math.Pow(zoomStep, -s.hand.WheelY))
		}
		if s.hand.WheelX != 0 {
			s.slide(-0.1 * s.hand.WheelX)
		}
	}
	if inside && s.hand.Pressed {
		s.beginScrub()
	}
	if math.Abs(s.hand.X-s.pressed) > leastScrub {
		s.pressed = math.NaN()
	}
	if s.dragging && math.IsNaN(s.pressed) {
		s.model.Seek(s.timeAt(s.hand.X))
	}
}

// leastScrub is how far the pointer must go from an event that it went down on until the time follows it, points: a
// hand that clicks is not quite still.
const leastScrub = 4.0

// beginScrub goes to the event or the time under the pointer; held, the pointer takes the time along from there.
func (s *strip) beginScrub() {
	s.dragging, s.pressed = true, math.NaN()
	s.model.Pause()
	if s.overEvent >= 0 {
		s.pressed = s.hand.X
		s.model.GoToEvent(s.overEvent)
	}
}

func (s *strip) overMark(run *viewmodel.Run) {
	from, to := s.span()
	within := 7 * (to - from) / s.timeArea().W
	for _, lane := range []record.Lane{record.NoteLane, record.FieldLane, record.ScoreLane} {
		if s.row(rowOf(lane)).Contains(s.hand.X, s.hand.Y) {
			if i := viewmodel.Nearest(run.Marks, lane, s.timeAt(s.hand.X), within); i >= 0 {
				s.overEvent = run.Marks[i].Event
				within = math.Abs(run.Marks[i].T - s.timeAt(s.hand.X))
			}
		}
	}
}

// told is what the line at the bottom says of the event under the pointer.
func (s *strip) told() string {
	run := s.model.Now
	if run == nil || s.overEvent < 0 || s.overEvent >= len(run.Record.Events) {
		return ""
	}
	e := run.Record.Events[s.overEvent]
	return fmt.Sprintf("%.2f s  %s", e.T, run.Record.Header.Told(e, s.model.Units))
}
