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

// stripView is which part of the time the strip shows: all of it when width is 0.
type stripView struct {
	from, width float64 // s
	dragging    bool
	pressed     float64 // where the pointer went down on an event; NaN: elsewhere, or it has moved on since
	overEvent   int     // index of the record's event under the pointer, -1 none
}

const stripPad = 32.0 // points right of the last moment: room for its number and score

// timeArea is the strip without its gutter.
func (g *game) timeArea() Rect {
	area := g.frame.Strip.Rest(g.frame.Gutter)
	area.W -= stripPad
	return area
}

// span is the stretch of time that the strip and the charts show.
func (g *game) span() (from, to float64) {
	total := g.model.End
	if g.model.Now != nil {
		total = math.Max(g.model.Now.Seconds(), record.SamplePeriod)
	}
	if g.strip.width == 0 || g.strip.width >= total {
		return 0, total
	}
	from = geom.Clamp(g.strip.from, 0, total-g.strip.width)
	return from, from + g.strip.width
}

func (g *game) timeX(t float64) float64 {
	from, to := g.span()
	area := g.timeArea()
	return area.X + (t-from)/(to-from)*area.W
}

func (g *game) timeAt(x float64) float64 {
	from, to := g.span()
	area := g.timeArea()
	return from + (x-area.X)/area.W*(to-from)
}

// zoomStrip widens or narrows the stretch shown about a time.
func (g *game) zoomStrip(about, factor float64) {
	from, to := g.span()
	share := (about - from) / (to - from)
	width := math.Max((to-from)*factor, 0.5)
	if g.model.Now == nil || width >= g.model.Now.Seconds() {
		g.strip.width = 0
		return
	}
	g.strip.width = width
	g.strip.from = about - share*width
}

// keepInSpan moves the stretch so that the time shown is in it.
func (g *game) keepInSpan() {
	if from, to := g.span(); g.strip.width > 0 && !g.strip.dragging && (g.model.Time < from || g.model.Time > to) {
		g.strip.from = g.model.Time - 0.1*g.strip.width
	}
}

// stripRow is a row's rectangle: 0 the field's events, 1 notes, 2 score, then lanes.
func (g *game) stripRow(i int) Rect {
	s := g.frame.Strip
	if lane := i - fixedRows; lane >= 0 {
		return Rect{X: s.X, Y: s.Y + rulerHeight + fixedRows*rowHeight +
			float64(lane)*g.frame.Lane, W: s.W, H: g.frame.Lane}
	}
	return Rect{X: s.X, Y: s.Y + rulerHeight + float64(i)*rowHeight, W: s.W, H: rowHeight}
}

// drawStrip paints the ruler, the rows and the hand.
func (g *game) drawStrip() {
	s, run := g.frame.Strip, g.model.Now
	if run == nil {
		g.pen.Rect(s.X, s.Y, s.W, s.H, scene.Slate)
		return
	}
	g.keepInSpan()
	from, to := g.span()
	content := g.runPrint(run).rect(s).number(from).number(to).word(uint64(g.model.Robot)).word(uint64(g.strip.overEvent))
	content = content.number(g.frame.Gutter).number(g.frame.Lane).word(uint64(g.laneTop)).text(g.stripHidden())
	g.drawStill(&g.stripped, content, s, func() { g.drawRows(run) })
	if x, ok := g.drawHand(s.Y, s.Bottom()); ok {
		g.pen.Fill([]geom.Vec{{X: x - 6, Y: s.Y}, {X: x + 6, Y: s.Y}, {X: x, Y: s.Y + 8}}, g.tint.Accent)
	}
}

// drawRows paints all of the strip that does not move.
func (g *game) drawRows(run *viewmodel.Run) {
	s := g.frame.Strip
	g.pen.Rect(s.X, s.Y, s.W, s.H, scene.Slate)
	g.drawRuler(run)
	for i, name := range []string{"field", "notes", "score"} {
		g.drawRowGround(i, name)
	}
	lanes := g.shownLanes()
	for i, lane := range lanes {
		g.drawRowGround(fixedRows+i, g.laneName(run, lane))
	}
	area := g.timeArea()
	g.pen.Clip(area.X-6, s.Y, area.W+6+stripPad, s.H)
	g.drawScoreRow(run)
	for i, lane := range lanes {
		g.drawLane(lane, g.stripRow(fixedRows+i))
	}
	g.drawMarks(run)
	g.pen.Unclip()
}

func (g *game) drawRowGround(i int, name string) {
	r := g.stripRow(i)
	if i%2 == 0 {
		g.pen.Rect(r.X, r.Y, r.W, r.H, panel)
	}
	g.words(name, g.gutterOf(r), small, false, scene.Dust)
}

// drawRuler draws seconds and the phases' names.
func (g *game) drawRuler(run *viewmodel.Run) {
	r := g.frame.Strip.Top(rulerHeight)
	g.pen.Rect(r.X, r.Y, r.W, r.H, panel)
	from, to := g.span()
	step := rulerStep(to-from, g.timeArea().W)
	for t := math.Ceil(from/step) * step; t <= to+1e-9; t += step {
		x := g.timeX(t)
		g.pen.Segment(x, r.Bottom()-6, x, r.Bottom(), 1, scene.Dust)
		words := fmt.Sprintf("%g", math.Round(t*100)/100)
		width := paint.Width(words, small, false)
		g.words(words, Rect{X: math.Min(x+3, g.width-width-2), Y: r.Y, W: width + 1, H: r.H - 3}, small, false,
			scene.Dust)
	}
	for _, phase := range run.Record.Header.Phases {
		if x := g.timeX(phase.Start); phase.Start > from && phase.Start < to {
			g.pen.Segment(x, r.Y, x, g.frame.Strip.Bottom(), 1.5, scene.Chalk)
		}
	}
	if hidden := g.stripHidden(); hidden != "" {
		g.words(hidden, g.gutterOf(r), small, true, g.tint.Accent)
		return
	}
	g.words("seconds", g.gutterOf(r), small, false, scene.Dust)
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

// drawHand is the line of the time shown; it gives its x, and false when that time is not in the stretch.
func (g *game) drawHand(top, bottom float64) (float64, bool) {
	from, to := g.span()
	if g.model.Time < from-1e-9 || g.model.Time > to+1e-9 {
		return 0, false
	}
	x := g.timeX(g.model.Time)
	g.pen.Segment(x, top, x, bottom, 2, g.tint.Accent)
	return x, true
}

func (g *game) drawMarks(run *viewmodel.Run) {
	from, to := g.span()
	for _, mark := range run.Marks {
		if mark.Row == record.ScoreLane || mark.T < from || mark.T > to {
			continue
		}
		r := g.stripRow(int(mark.Row))
		event := run.Record.Events[mark.Event]
		shape, hollow := scene.EventMark(event.Kind)
		fill, pen := g.tint.Accent, scene.Pen{}
		if hollow {
			fill, pen = panel, scene.Pen{Width: 1.5, Colour: g.tint.Accent}
		}
		if event.Kind == record.Failure || event.Kind == record.Foul {
			fill, pen = scene.Chalk, scene.Pen{}
		}
		radius := 5.0
		if mark.Event == g.strip.overEvent {
			radius = 7
		}
		g.drawer.Mark(g.pen, shape, pointAt(g.timeX(mark.T), r.Y+r.H/2), radius, fill, pen)
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
func (g *game) drawScoreRow(run *viewmodel.Run) {
	r := g.stripRow(int(record.ScoreLane))
	side := 0
	if g.model.Robot < len(run.Record.Header.Robots) {
		side = run.Record.Header.Robots[g.model.Robot].Side
	}
	for _, mark := range scoreMarks(run.Scores, side, g.timeX) {
		ink := scene.Dust
		if mark.own {
			ink = g.tint.Accent
		}
		g.pen.Rect(mark.x-1, r.Bottom()-scoreTick, 2, scoreTick, ink)
		if mark.total != "" {
			box := Rect{X: mark.x + scoreGap, Y: r.Y, W: paint.Width(mark.total, small, true) + 1, H: r.H - scoreTick}
			g.words(mark.total, box, small, true, scene.Chalk)
		}
	}
}

// drawTip tells about the event under the pointer.
func (g *game) drawTip() {
	run := g.model.Now
	if run == nil || g.strip.overEvent < 0 || g.strip.overEvent >= len(run.Record.Events) {
		return
	}
	e := run.Record.Events[g.strip.overEvent]
	words := paint.Clean(fmt.Sprintf("%.2f s  %s", e.T, run.Record.Header.Told(e)))
	words = paint.Fit(words, 0.6*g.width, normal, false)
	box := g.tipBox(e.T, paint.Width(words, normal, false)+16)
	g.pen.Rect(box.X-1, box.Y-1, box.W+2, box.H+2, edge)
	g.pen.Rect(box.X, box.Y, box.W, box.H, hovered)
	g.centred(words, box, normal, false, scene.Chalk)
}

// tipHeight is the height of what is told about an event.
const tipHeight = 24.0

// tipBox is under the row pointed at: over the strip are the buttons for time.
func (g *game) tipBox(t, width float64) Rect {
	top := g.stripRow(int(record.FieldLane)).Bottom()
	for row := record.NoteLane; row <= record.ScoreLane; row++ {
		if r := g.stripRow(int(row)); g.hand.Y >= r.Y {
			top = r.Bottom()
		}
	}
	x := geom.Clamp(g.timeX(t)-width/2, 2, g.width-width-2)
	return Rect{X: x, Y: math.Min(top+4, g.frame.Note.Y-tipHeight), W: width, H: tipHeight}
}

// pointStrip finds the event under the pointer and takes clicks and drags.
func (g *game) pointStrip() {
	g.strip.overEvent = -1
	run, area := g.model.Now, g.frame.Strip
	area.H += g.frame.Charts.H
	inside := area.Contains(g.hand.X, g.hand.Y) && g.hand.X >= g.frame.Gutter-6 && g.card == nil
	if !g.hand.Down {
		g.strip.dragging = false
	}
	g.pointLanes()
	if run == nil || g.model.Driving() {
		return
	}
	if inside {
		g.overMark(run)
		onCharts := g.frame.Charts.Contains(g.hand.X, g.hand.Y)
		if g.hand.WheelY != 0 && !(onCharts && g.scrollCharts(-int(math.Copysign(1, g.hand.WheelY)))) {
			g.zoomStrip(g.timeAt(g.hand.X), math.Pow(zoomStep, -g.hand.WheelY))
		}
	}
	if inside && g.hand.Pressed {
		g.beginScrub()
	}
	if math.Abs(g.hand.X-g.strip.pressed) > leastScrub {
		g.strip.pressed = math.NaN()
	}
	if g.strip.dragging && math.IsNaN(g.strip.pressed) {
		g.model.Seek(g.timeAt(g.hand.X))
	}
}

// leastScrub is how far the pointer must go from an event that it went down on until the time follows it, points: a
// hand that clicks is not quite still.
const leastScrub = 4.0

// beginScrub goes to the event or the time under the pointer; held, the pointer takes the time along from there.
func (g *game) beginScrub() {
	g.strip.dragging, g.strip.pressed = true, math.NaN()
	g.model.Pause()
	if g.strip.overEvent >= 0 {
		g.strip.pressed = g.hand.X
		g.model.GoToEvent(g.strip.overEvent)
	}
}

func (g *game) overMark(run *viewmodel.Run) {
	from, to := g.span()
	within := 7 * (to - from) / g.timeArea().W
	for _, row := range []record.Lane{record.FieldLane, record.NoteLane, record.ScoreLane} {
		if !g.stripRow(int(row)).Contains(g.hand.X, g.hand.Y) {
			continue
		}
		if i := viewmodel.Nearest(run.Marks, row, g.timeAt(g.hand.X), within); i >= 0 {
			g.strip.overEvent = run.Marks[i].Event
		}
	}
}
