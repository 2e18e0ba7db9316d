package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// lanes are the tasks of the robot spoken of.
func (g *game) lanes() []viewmodel.Lane {
	if g.model.Now == nil || g.model.Robot >= len(g.model.Now.Lanes) {
		return nil
	}
	return g.model.Now.Lanes[g.model.Robot]
}

// driveLanes is for how many there is room during a drive. Tasks begin while it lasts, and the field must not change
// its size under the driver.
const driveLanes = 3

func (g *game) wantedLanes() int {
	if g.model.Driving() {
		return driveLanes
	}
	return len(g.lanes())
}

// shownLanes are those that there is room for.
func (g *game) shownLanes() []viewmodel.Lane {
	lanes := g.lanes()
	return lanes[g.laneTop:min(g.laneTop+g.frame.Lanes, len(lanes))]
}

// scrollLanes shows others of the lanes when there is no room for all.
func (g *game) scrollLanes(by int) {
	was := g.laneTop
	g.laneTop = min(max(g.laneTop+by, 0), max(len(g.lanes())-g.frame.Lanes, 0))
	g.stale = g.stale || g.laneTop != was
}

// pointLanes takes the wheel over the names of the rows.
func (g *game) pointLanes() {
	strip := g.frame.Strip
	if g.card == nil && g.hand.WheelY != 0 && strip.Left(g.frame.Gutter-6).Contains(g.hand.X, g.hand.Y) {
		g.scrollLanes(-int(math.Copysign(1, g.hand.WheelY)))
	}
}

// stripHidden says what there is no room for: lanes, or every chart.
func (g *game) stripHidden() string {
	switch more := moreWords(g.laneTop, len(g.lanes())-g.laneTop-g.frame.Lanes); {
	case more != "":
		return more
	case len(g.model.Signals) > 0 && g.frame.ChartCount() == 0:
		return "no room for charts"
	}
	return ""
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
	return fmt.Sprintf("%d more above, %d below: wheel", above, below)
}

// gutterOf is the part of a row of the strip for its name.
func (g *game) gutterOf(r Rect) Rect {
	return Rect{X: r.X + 10, Y: r.Y, W: g.frame.Gutter - gutterEdges, H: r.H}
}

const (
	gutterEdges = 14.0
	gutterShare = 0.25 // of the window's width, at most
)

// gutterWidth is what the longest of the lanes' names needs, and what says that there are more.
func (g *game) gutterWidth() float64 {
	wide := paint.Width(g.stripHidden(), small, true)
	if n := len(g.lanes()); n > g.frame.Lanes {
		wide = paint.Width(moreWords(n, n), small, true) // the same however far they are scrolled
	}
	for _, lane := range g.lanes() {
		wide = math.Max(wide, paint.Width(paint.Clean(g.laneName(g.model.Now, lane)), small, false))
	}
	return math.Max(leastGutter, math.Min(math.Ceil(wide+gutterEdges+1), gutterShare*g.width))
}

// laneName names a task; with the robot's number where there are several, and with the phase where a robot has a main
// task in each.
func (g *game) laneName(run *viewmodel.Run, lane viewmodel.Lane) string {
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
		name = fmt.Sprintf("%d: %s", g.model.Robot+1, name)
	}
	return name
}

// drawLane draws a task as a bar, its motions as raised pieces with their names.
func (g *game) drawLane(lane viewmodel.Lane, r Rect) {
	end := math.Min(lane.To, g.model.End)
	bar := func(from, to float64) Rect {
		x0, x1 := g.timeX(from), g.timeX(math.Min(to, end))
		return Rect{X: x0, Y: r.Y + 2, W: math.Max(x1-x0, 2), H: r.H - 4}
	}
	for _, run := range append(lane.Earlier[:len(lane.Earlier):len(lane.Earlier)],
		viewmodel.Span{From: lane.From, To: end}) {
		whole := bar(run.From, run.To)
		g.pen.Rect(whole.X, whole.Y, whole.W, whole.H, raised)
	}
	for _, m := range lane.Motions {
		piece := bar(m.From, m.To)
		g.pen.Rect(piece.X, piece.Y, math.Max(piece.W-1, 1), piece.H, g.chosen())
		if m.Why != "" && m.Why != record.Arrived {
			g.pen.Rect(piece.Right()-3, piece.Y, 3, piece.H, scene.Chalk)
		}
		if width := paint.Width(m.What, small, false); width < piece.W-6 {
			g.words(m.What, Rect{X: piece.X + 4, Y: piece.Y, W: width + 1, H: piece.H}, small, false, scene.Chalk)
		}
	}
}
