package window

import (
	"fmt"
	"math"

	"chalkfield/internal/geom"
	"chalkfield/internal/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/desk"
	"chalkfield/render/window/plan"
)

// stripView is which part of the time the strip shows: all of it when width is 0.
type stripView struct {
	from, width float64 // s
	dragging    bool
	overEvent   int // index of the record's event under the pointer, -1 none
}

const stripPad = 32.0 // points right of the last moment: room for its number and score

// timeArea is the strip without its gutter.
func (g *game) timeArea() plan.Rect {
	area := g.frame.Strip.Rest(g.frame.Gutter)
	area.W -= stripPad
	return area
}

// span is the stretch of time that the strip and the charts show.
func (g *game) span() (from, to float64) {
	total := g.desk.End
	if g.desk.Now != nil {
		total = math.Max(g.desk.Now.Seconds(), record.SamplePeriod)
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
	if g.desk.Now == nil || width >= g.desk.Now.Seconds() {
		g.strip.width = 0
		return
	}
	g.strip.width = width
	g.strip.from = about - share*width
}

// keepInSpan moves the stretch so that the time shown is in it.
func (g *game) keepInSpan() {
	if from, to := g.span(); g.strip.width > 0 && !g.strip.dragging && (g.desk.Time < from || g.desk.Time > to) {
		g.strip.from = g.desk.Time - 0.1*g.strip.width
	}
}

// stripRow is a row's rectangle: 0 the field's events, 1 notes, 2 score, then lanes.
func (g *game) stripRow(i int) plan.Rect {
	s := g.frame.Strip
	return plan.Rect{X: s.X, Y: s.Y + plan.RulerHeight + float64(i)*plan.RowHeight, W: s.W, H: plan.RowHeight}
}

const firstLane = 3

// drawStrip paints the ruler, the rows and the hand.
func (g *game) drawStrip() {
	s, run := g.frame.Strip, g.desk.Now
	if run == nil {
		g.pen.Rect(s.X, s.Y, s.W, s.H, scene.Slate)
		return
	}
	g.keepInSpan()
	from, to := g.span()
	content := g.runPrint(run).rect(s).number(from).number(to).word(uint64(g.desk.Robot)).word(uint64(g.strip.overEvent))
	g.drawStill(&g.stripped, content, s, func() { g.drawRows(run) })
	if x, ok := g.drawHand(s.Y, s.Bottom()); ok {
		g.pen.Fill([]geom.Vec{{X: x - 6, Y: s.Y}, {X: x + 6, Y: s.Y}, {X: x, Y: s.Y + 8}}, scene.Accent)
	}
	g.drawTip(run)
}

// drawRows paints all of the strip that does not move.
func (g *game) drawRows(run *desk.Run) {
	s := g.frame.Strip
	g.pen.Rect(s.X, s.Y, s.W, s.H, scene.Slate)
	g.drawRuler(run)
	for i, name := range []string{"field", "notes", "score"} {
		g.drawRowGround(i, name)
	}
	lanes := g.lanes()
	hidden := max(len(lanes)-g.frame.Lanes, 0)
	lanes = lanes[:len(lanes)-hidden]
	for i, lane := range lanes {
		name := g.laneName(run, lane)
		if hidden > 0 && i == len(lanes)-1 {
			name = fmt.Sprintf("%s (+%d)", name, hidden)
		}
		g.drawRowGround(firstLane+i, name)
	}
	area := g.timeArea()
	g.pen.Clip(area.X-6, s.Y, area.W+6+stripPad, s.H)
	g.drawScoreRow(run)
	for i, lane := range lanes {
		g.drawLane(lane, g.stripRow(firstLane+i))
	}
	g.drawMarks(run)
	g.pen.Unclip()
}

// laneName names a task; with the robot's number where there are several, and with the phase where a robot has a main task
// in each.
func (g *game) laneName(run *desk.Run, lane desk.Lane) string {
	name := fmt.Sprintf("task %d", lane.Task)
	if lane.Task == 0 {
		name = "main task"
		if phase, _, ok := run.Phase(lane.From); ok && len(run.Record.Header.Phases) > 1 {
			name = phase.Name
		}
	}
	if len(run.Record.Header.Robots) > 1 {
		name = fmt.Sprintf("%d: %s", g.desk.Robot+1, name)
	}
	return name
}

func (g *game) drawRowGround(i int, name string) {
	r := g.stripRow(i)
	if i%2 == 0 {
		g.pen.Rect(r.X, r.Y, r.W, r.H, panel)
	}
	g.words(name, plan.Rect{X: r.X + 10, Y: r.Y, W: g.frame.Gutter - 14, H: r.H}, small, false, scene.Dust)
}

// drawRuler draws seconds and the phases' names.
func (g *game) drawRuler(run *desk.Run) {
	r := g.frame.Strip.Top(plan.RulerHeight)
	g.pen.Rect(r.X, r.Y, r.W, r.H, panel)
	from, to := g.span()
	step := rulerStep(to-from, g.timeArea().W)
	for t := math.Ceil(from/step) * step; t <= to+1e-9; t += step {
		x := g.timeX(t)
		g.pen.Segment(x, r.Bottom()-6, x, r.Bottom(), 1, scene.Dust)
		words := fmt.Sprintf("%g", math.Round(t*100)/100)
		width := paint.Width(words, small, false)
		g.words(words, plan.Rect{X: math.Min(x+3, g.width-width-2), Y: r.Y, W: width + 1, H: r.H - 3}, small, false, scene.Dust)
	}
	for _, phase := range run.Record.Header.Phases {
		if x := g.timeX(phase.Start); phase.Start > from && phase.Start < to {
			g.pen.Segment(x, r.Y, x, g.frame.Strip.Bottom(), 1.5, scene.Chalk)
		}
	}
	g.words("seconds", plan.Rect{X: r.X + 10, Y: r.Y, W: g.frame.Gutter - 14, H: r.H}, small, false, scene.Dust)
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
	if g.desk.Time < from-1e-9 || g.desk.Time > to+1e-9 {
		return 0, false
	}
	x := g.timeX(g.desk.Time)
	g.pen.Segment(x, top, x, bottom, 2, scene.Accent)
	return x, true
}

func (g *game) drawMarks(run *desk.Run) {
	from, to := g.span()
	for _, mark := range run.Marks {
		if mark.Row == desk.ScoreRow || mark.T < from || mark.T > to {
			continue
		}
		r := g.stripRow(int(mark.Row))
		event := run.Record.Events[mark.Event]
		shape, hollow := g.markShape(event.Kind)
		fill, pen := scene.Accent, scene.Pen{}
		if hollow {
			fill, pen = panel, scene.Pen{Width: 1.5, Colour: scene.Accent}
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
func scoreMarks(scores []desk.Score, side int, at func(float64) float64) []scoreMark {
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
func (g *game) drawScoreRow(run *desk.Run) {
	r := g.stripRow(int(desk.ScoreRow))
	side := 0
	if g.desk.Robot < len(run.Record.Header.Robots) {
		side = run.Record.Header.Robots[g.desk.Robot].Side
	}
	for _, mark := range scoreMarks(run.Scores, side, g.timeX) {
		ink := scene.Dust
		if mark.own {
			ink = scene.Accent
		}
		g.pen.Rect(mark.x-1, r.Bottom()-scoreTick, 2, scoreTick, ink)
		if mark.total != "" {
			box := plan.Rect{X: mark.x + scoreGap, Y: r.Y, W: paint.Width(mark.total, small, true) + 1, H: r.H - scoreTick}
			g.words(mark.total, box, small, true, scene.Chalk)
		}
	}
}

// drawLane draws a task as a bar, its motions as raised pieces with their names.
func (g *game) drawLane(lane desk.Lane, r plan.Rect) {
	end := math.Min(lane.To, g.desk.End)
	bar := func(from, to float64) plan.Rect {
		x0, x1 := g.timeX(from), g.timeX(math.Min(to, end))
		return plan.Rect{X: x0, Y: r.Y + 2, W: math.Max(x1-x0, 2), H: r.H - 4}
	}
	whole := bar(lane.From, end)
	g.pen.Rect(whole.X, whole.Y, whole.W, whole.H, raised)
	for _, m := range lane.Motions {
		piece := bar(m.From, m.To)
		g.pen.Rect(piece.X, piece.Y, math.Max(piece.W-1, 1), piece.H, chosen)
		if m.Why != "" && !arrived(m.Why) {
			g.pen.Rect(piece.Right()-3, piece.Y, 3, piece.H, scene.Chalk)
		}
		if width := paint.Width(m.What, small, false); width < piece.W-6 {
			g.words(m.What, plan.Rect{X: piece.X + 4, Y: piece.Y, W: width + 1, H: piece.H}, small, false, scene.Chalk)
		}
	}
}

func arrived(why string) bool { return len(why) >= 7 && why[:7] == "arrived" }

// drawTip tells about the event under the pointer.
func (g *game) drawTip(run *desk.Run) {
	if g.strip.overEvent < 0 || g.strip.overEvent >= len(run.Record.Events) {
		return
	}
	e := run.Record.Events[g.strip.overEvent]
	words := paint.Clean(fmt.Sprintf("%.2f s  %s", e.T, scene.EventWords(e)))
	words = paint.Fit(words, 0.6*g.width, normal, false)
	width := paint.Width(words, normal, false) + 16
	x := geom.Clamp(g.timeX(e.T)-width/2, 2, g.width-width-2)
	box := plan.Rect{X: x, Y: g.frame.Controls.Y + 4, W: width, H: g.frame.Controls.H - 8}
	g.pen.Rect(box.X, box.Y, box.W, box.H, hovered)
	g.centred(words, box, normal, false, scene.Chalk)
}

// pointStrip finds the event under the pointer and takes clicks and drags.
func (g *game) pointStrip() {
	g.strip.overEvent = -1
	run, area := g.desk.Now, g.frame.Strip
	area.H += g.frame.Charts.H
	inside := area.Contains(g.hand.X, g.hand.Y) && g.hand.X >= g.frame.Gutter-6 && g.card == nil
	if !g.hand.Down {
		g.strip.dragging = false
	}
	if run == nil || g.desk.Driving() {
		return
	}
	if inside {
		g.overMark(run)
		onCharts := g.frame.Charts.Contains(g.hand.X, g.hand.Y)
		if g.hand.WheelY != 0 && !(onCharts && g.scrollCharts(-int(math.Copysign(1, g.hand.WheelY)))) {
			g.zoomStrip(g.timeAt(g.hand.X), math.Pow(zoomStep, -g.hand.WheelY))
		}
	}
	switch {
	case inside && g.hand.Pressed && g.strip.overEvent >= 0:
		g.goToEvent(g.strip.overEvent)
	case inside && g.hand.Pressed:
		g.strip.dragging = true
		g.desk.Playing = false
	}
	if g.strip.dragging {
		g.desk.Seek(g.timeAt(g.hand.X))
	}
}

func (g *game) overMark(run *desk.Run) {
	from, to := g.span()
	within := 7 * (to - from) / g.timeArea().W
	for _, row := range []desk.Row{desk.FieldRow, desk.NoteRow, desk.ScoreRow} {
		if !g.stripRow(int(row)).Contains(g.hand.X, g.hand.Y) {
			continue
		}
		if i := desk.Nearest(run.Marks, row, g.timeAt(g.hand.X), within); i >= 0 {
			g.strip.overEvent = run.Marks[i].Event
		}
	}
}

// goToEvent goes to an event's time and selects it.
func (g *game) goToEvent(i int) {
	g.desk.Playing = false
	g.desk.Seek(g.desk.Now.Record.Events[i].T)
	g.desk.Selected = desk.Thing{Kind: desk.EventThing, Index: i}
	g.stale = true
}
