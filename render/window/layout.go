package window

// Where each part of the window is, for any size: arithmetic only, so that a test can show that nothing overlaps or
// leaves the window, and that the field has its share. Logical points, x right, y down.

import (
	"math"

	"chalkfield/render/window/viewmodel"
)

// Rect is a place on the screen.
type Rect struct{ X, Y, W, H float64 }

// Right and Bottom are the far edges.
func (r Rect) Right() float64  { return r.X + r.W }
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Contains reports whether a point lies inside; the right and bottom edges belong to the neighbours.
func (r Rect) Contains(x, y float64) bool {
	return x >= r.X && x < r.Right() && y >= r.Y && y < r.Bottom()
}

// wider is a rectangle with so much more at its left and right.
func (r Rect) wider(by float64) Rect { return Rect{X: r.X - by, Y: r.Y, W: r.W + 2*by, H: r.H} }

// Inset is the rectangle without a margin on every side, never less than empty.
func (r Rect) Inset(by float64) Rect {
	return Rect{r.X + by, r.Y + by, math.Max(0, r.W-2*by), math.Max(0, r.H-2*by)}
}

// Top, Below, Left and Rest cut a rectangle in two: the first so many points, and what is left.
func (r Rect) Top(h float64) Rect   { return Rect{r.X, r.Y, r.W, math.Min(h, r.H)} }
func (r Rect) Below(h float64) Rect { h = math.Min(h, r.H); return Rect{r.X, r.Y + h, r.W, r.H - h} }
func (r Rect) Left(w float64) Rect  { return Rect{r.X, r.Y, math.Min(w, r.W), r.H} }
func (r Rect) Rest(w float64) Rect  { w = math.Min(w, r.W); return Rect{r.X + w, r.Y, r.W - w, r.H} }

// wants is what the parts ask for.
type wants struct {
	Lanes  int     // tasks in the time strip
	Charts int     // signals shown
	Panel  float64 // height of the list beside the field; 0: none is open
	Note   float64 // height of the note's lines after its first
	Legend int     // rows under the field
	Aspect float64 // width of the floor by its height; 0: not known
	Layout viewmodel.Layout
	Drive  bool    // somebody drives
	Aside  bool    // and the notebook's pages are shown then, too
	Build  bool    // a field is built
	Values float64 // height of the values of what is chosen then
	Lesson bool    // a lesson is open
}

// frame is where the parts are.
type frame struct {
	Bar      Rect // title and score
	Rail     Rect // buttons
	Field    Rect
	Legend   Rect // under the field
	Controls Rect // play, speed, time
	Strip    Rect // ruler and rows of the time strip; the gutter is its left part
	Row      float64
	Lanes    int  // tasks that the strip has room for
	Edge     Rect // between the field and what stands beside it, which it folds
	Lesson   Rect // its head alone when it is folded, empty when none is open
	Notebook Rect // its tabs alone when its pages are folded
	Panel    Rect // a list; empty when none is open
	Charts   Rect // signals; their head alone when folded, empty when none is shown
	Desk     Rect // the driver's; empty while nobody drives
	Things   Rect // what is built, a list; empty while nothing is
	Values   Rect // and the values of what is chosen in it
	Chart    float64
	Note     Rect // one line at the bottom, more for a long message
	Gutter   float64
}

// Sizes of the parts, points.
const (
	barHeight      = 28
	railWidth      = 60
	noteHeight     = 22
	controlsHeight = 28
	rulerHeight    = 16
	rowHeight      = 18 // of the strip
	thinRow        = 14 // in a low window
	lowWindow      = 900
	leastGutter    = 64
	edgeWidth      = 10
	leastDock      = 270 // wide: what stands beside the field
	mostDock       = 640
	narrowDock     = 160 // that a person may make
	leastField     = 240 // high
	leastWide      = 300 // the field, when a person makes room for other things
	leastSection   = 110 // high: one of those beside the field
	chartsHead     = 22
	leastChart     = 84
	mostChart      = 120
	sectionShare   = 0.4  // of the height beside the field that a list or the charts take at most
	lessonShare    = 0.55 // of that height that a lesson takes
	lessonBeside   = 0.42 // where a list or charts stand under it
	leastLanes     = 1
	mostLanes      = 8
	firstRows      = 2 // lanes, and rows of the legend, that come before more of the other
)

// fixedRows are the rows of the strip that are always there, over the tasks: events and score.
const fixedRows = 2

// fieldGoal is the share of the window that the floor is to have, before other parts get more than their least.
const fieldGoal = 0.5

// leastGoal is that of a window of the least size beside a lesson.
const leastGoal = 0.4

// usualAspect is the width of a floor by its height where it is not known.
const usualAspect = 1.4

// newFrame lays the window out: first the field, then what stands under and beside it in what the field leaves.
func newFrame(width, height float64, w wants) frame {
	if !(w.Aspect > 0) {
		w.Aspect = usualAspect
	}
	switch {
	case w.Build:
		return newBuildFrame(width, height, w)
	case w.Drive:
		return newDriveFrame(width, height, w)
	}
	whole := Rect{0, 0, width, height}
	f := frame{Bar: whole.Top(barHeight), Gutter: leastGutter, Row: rowHeight}
	if height < lowWindow {
		f.Row = thinRow
	}
	note := noteHeight + w.Note
	f.Note = Rect{0, height - note, width, note}
	middle := Rect{0, barHeight, width, math.Max(0, height-barHeight-note)}
	legend := f.shareHeight(middle.H, math.Sqrt(fieldGoal*width*height/w.Aspect)+underFloor+overFloor, w)
	high := math.Max(middle.H-controlsHeight-f.stripHeight(f.Lanes), 0) // of the field and its legend
	field := math.Max(high-legendHeight(legend), 0)
	dock := f.dockWidth(width, field, width*height, w)
	f.Rail = middle.Left(railWidth)
	centre := middle.Rest(railWidth)
	centre.W -= dock + edgeWidth
	f.Field, f.Legend = centre.Top(field), centre.Top(high).Below(field)
	f.Controls = centre.Below(high).Top(controlsHeight)
	f.Strip = centre.Below(high + controlsHeight)
	f.Edge = Rect{centre.Right(), middle.Y, edgeWidth, middle.H}
	f.shareDock(Rect{f.Edge.Right(), middle.Y, dock, middle.H}, w)
	return f
}

func (f *frame) stripHeight(lanes int) float64 {
	return rulerHeight + float64(fixedRows+lanes)*f.Row + 2
}

func legendHeight(rows int) float64 {
	if rows == 0 {
		return 0
	}
	return float64(rows)*legendRow + 3
}

// shareHeight chooses how many lanes there is room for, and gives the rows of the legend. The least of both come first;
// more are given by turns while the field keeps its goal, or what a person left it by the divider.
func (f *frame) shareHeight(height, goal float64, w wants) (legend int) {
	byHand := w.Layout.Strip > 0
	f.Lanes, legend = leastLanes, min(w.Legend, 1)
	if byHand {
		goal = math.Max(height-w.Layout.Strip-legendHeight(legend), leastField)
	}
	fits := func(lanes, rows int) bool {
		return height-controlsHeight-f.stripHeight(lanes)-legendHeight(rows) >= goal
	}
	for _, most := range []int{firstRows, mostLanes} {
		for f.Lanes < min(w.Lanes, most) && fits(f.Lanes+1, legend) {
			f.Lanes++
		}
		for !byHand && legend < min(w.Legend, most) && fits(f.Lanes, legend+1) {
			legend++
		}
	}
	return legend
}

// dockWidth is the width of what stands beside the field: all that the field, as high as it is, cannot use, and never
// so much that the field has less than its share; or what a person chose.
func (f *frame) dockWidth(width, high, area float64, w wants) float64 {
	if w.Layout.Folded {
		return 0
	}
	room := math.Max(width-railWidth-edgeWidth, 0)
	most := math.Max(room-leastWide, 0)
	if w.Layout.Dock > 0 {
		return math.Min(math.Max(w.Layout.Dock, narrowDock), most)
	}
	floor, goal := w.Aspect*(high-underFloor-overFloor)+besideFloor, fieldGoal
	if w.Lesson {
		if area <= viewmodel.LeastWidth*viewmodel.LeastHeight {
			goal = leastGoal
		}
		floor = lessonFloor(floor, goal*area*w.Aspect, room)
	}
	spare := room - math.Max(floor, goal*area/math.Max(high, 1))
	return math.Min(math.Max(leastDock, math.Min(spare, mostDock)), most)
}

// lessonFloor is how wide the field is beside a lesson, which is to be read: no wider than the floor needs for its
// share of the window, and as the field's own share has it where a floor of this shape cannot have that.
func lessonFloor(floor, goal, room float64) float64 {
	needed := math.Ceil(math.Sqrt(goal)) + besideFloor
	if needed > room-leastDock {
		return 0
	}
	return math.Min(floor, needed)
}

// shareDock stacks what stands beside the field: a lesson, pages, a list, charts. What a person chose counts as far as
// each keeps its least height.
func (f *frame) shareDock(dock Rect, w wants) {
	if w.Layout.Folded {
		return
	}
	whole := dock.H
	if w.Lesson {
		f.Lesson = dock.Top(lessonHeight(dock.H, w))
		dock = dock.Below(f.Lesson.H)
	}
	section := func(natural, chosen float64) float64 {
		if chosen > 0 {
			return math.Max(chosen*whole, leastSection)
		}
		return math.Max(math.Min(natural, sectionShare*dock.H), leastSection)
	}
	pages, panel, charts := 0.0, 0.0, 0.0
	if w.Panel > 0 {
		panel = section(w.Panel, w.Layout.Panel)
	}
	unfolded := w.Charts > 0 && !w.Layout.NoCharts
	switch {
	case unfolded:
		charts = section(chartsHead+float64(w.Charts)*mostChart, w.Layout.Charts)
	case w.Charts > 0:
		charts = chartsHead
	}
	switch {
	case !w.Layout.NoPages:
		pages = math.Max(dock.H-panel-charts, tabHeight+leastSection)
		if over := pages + panel + charts - dock.H; over > 0 { // each gives by what it has beyond its least
			a, b := math.Max(panel-leastSection, 0), math.Max(charts-leastSection, 0)
			share := math.Min(over/math.Max(a+b, 1), 1)
			panel, charts = panel-a*share, charts-b*share
			pages = math.Max(dock.H-panel-charts, 0)
		}
	case panel > 0:
		pages, charts = tabHeight, math.Min(charts, math.Max(dock.H-tabHeight-leastSection, 0))
		panel = dock.H - pages - charts
	case unfolded:
		pages, charts = tabHeight, dock.H-tabHeight
	default:
		pages = dock.H - charts // nothing but heads
	}
	f.Notebook = dock.Top(pages)
	f.Panel = dock.Below(pages).Top(panel)
	f.Charts = dock.Below(pages + panel)
	if unfolded {
		room := math.Max(f.Charts.H-chartsHead, 0)
		f.Chart = room / math.Min(math.Max(math.Floor(room/leastChart), 1), float64(w.Charts))
	}
}

// lessonHeight is the lesson's part of what stands beside the field: what a person chose, else somewhat more than
// half, less where a list or charts are open too, all that folded pages leave.
func lessonHeight(dock float64, w wants) float64 {
	others := tabHeight + leastSection
	open := w.Panel > 0 || w.Charts > 0 && !w.Layout.NoCharts
	switch {
	case w.Layout.NoLesson:
		return math.Min(tabHeight, dock)
	case w.Layout.NoPages && !open:
		return math.Max(dock-tabHeight-chartsHead, 0)
	case w.Layout.NoPages:
		others = tabHeight + leastSection
	case open:
		others += leastSection
	}
	share := lessonShare
	if open {
		share = lessonBeside
	}
	if w.Layout.Lesson > 0 {
		share = w.Layout.Lesson
	}
	return math.Max(math.Min(share*dock, dock-others), math.Min(leastSection, dock))
}

// ChartCount is how many charts there is room for.
func (f frame) ChartCount() int {
	if f.Chart <= 0 {
		return 0
	}
	return int(math.Round((f.Charts.H - chartsHead) / f.Chart))
}

// parts are those of the window by name: together they cover it.
func (f frame) parts() map[string]Rect {
	return map[string]Rect{"bar": f.Bar, "rail": f.Rail, "field": f.Field, "legend": f.Legend, "notebook": f.Notebook,
		"lesson": f.Lesson, "controls": f.Controls, "strip": f.Strip, "edge": f.Edge, "panel": f.Panel,
		"charts": f.Charts, "note": f.Note, "desk": f.Desk, "things": f.Things, "values": f.Values}
}
