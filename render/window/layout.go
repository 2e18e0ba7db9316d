package window

// Where each part of the window is, for any size: arithmetic only, so that a test can show that nothing overlaps or
// leaves the window. Logical points, x right, y down.

import "math"

// Rect is a place on the screen.
type Rect struct{ X, Y, W, H float64 }

// Right and Bottom are the far edges.
func (r Rect) Right() float64  { return r.X + r.W }
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Contains reports whether a point lies inside; the right and bottom edges belong to the neighbours.
func (r Rect) Contains(x, y float64) bool {
	return x >= r.X && x < r.Right() && y >= r.Y && y < r.Bottom()
}

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
	Lanes    int     // tasks in the time strip
	Charts   int     // signals shown
	Notebook bool    // the pages beside the field are open
	Note     float64 // height of the note's lines after its first
	Legend   float64 // height of the rows under the field
}

// frame is where the parts are.
type frame struct {
	Bar      Rect // title and score
	Rail     Rect // buttons
	Field    Rect
	Legend   Rect    // under the field
	Notebook Rect    // empty when closed
	Controls Rect    // play, speed, time
	Strip    Rect    // ruler and rows of the time strip; the gutter is its left part
	Lanes    int     // tasks that the strip has room for
	Lane     float64 // height of a task's row
	Charts   Rect    // signals, under the strip and as wide; empty when none
	Chart    float64
	Note     Rect // one line at the bottom, more for a long message
	Gutter   float64
}

// Sizes of the parts, points.
const (
	barHeight      = 40
	railWidth      = 88
	noteHeight     = 26
	controlsHeight = 36
	rulerHeight    = 20
	rowHeight      = 18
	thinRow        = 14 // of a task where rows of the usual height have no room
	leastGutter    = 104
	leastNotebook  = 300
	mostNotebook   = 620
	leastField     = 240 // high
	fieldShare     = 0.6 // of the height under the bar
	fieldGives     = 0.4 // what the field keeps of that height when many charts are wanted
	leastChart     = 64
	mostChart      = 130
	leastLanes     = 1
	mostLanes      = 8
)

// fixedRows are the rows of the strip that are always there, over the tasks: the field's events, notes, score.
const fixedRows = 3

// New lays the window out.
func newFrame(width, height float64, w wants) frame {
	whole := Rect{0, 0, width, height}
	f := frame{Bar: whole.Top(barHeight), Gutter: leastGutter}
	note := noteHeight + w.Note
	f.Note = Rect{0, height - note, width, note}
	middle := Rect{0, barHeight, width, height - barHeight - note}
	under := f.lowerHeight(middle.H, w)
	lower := Rect{0, middle.Bottom() - under, width, under}
	upper := middle.Top(middle.H - under)
	f.Rail = upper.Left(railWidth)
	f.Field = upper.Rest(railWidth)
	if w.Notebook {
		notebook := math.Min(mostNotebook, math.Max(leastNotebook, 0.32*width))
		f.Notebook = Rect{upper.Right() - notebook, upper.Y, notebook, upper.H}
		f.Field.W -= notebook
	}
	above := math.Max(f.Field.H-w.Legend, 1)
	f.Field, f.Legend = f.Field.Top(above), f.Field.Below(above)
	f.Controls = lower.Top(controlsHeight)
	f.Strip = lower.Below(controlsHeight).Top(stripHeight(f.Lanes, f.Lane))
	f.Charts = lower.Below(controlsHeight + f.Strip.H)
	return f
}

func stripHeight(lanes int, row float64) float64 {
	return rulerHeight + fixedRows*rowHeight + float64(lanes)*row + 6
}

// lowerHeight shares the height between the field and what is under it. All lanes come first, thinner ones if need be;
// the charts give way to them when the field has given of its height, the last one only where it has no more to give.
func (f *frame) lowerHeight(height float64, w wants) float64 {
	// for strip and charts
	left := func(field float64) float64 { return height - math.Max(leastField, field) - controlsHeight }
	usual := left(fieldShare * height)
	charts := f.shareOut(usual, left(fieldGives*height), left(leastField), w)
	f.Chart = leastChart
	if charts > 0 {
		f.Chart = math.Max(leastChart, math.Min(mostChart, (usual-stripHeight(f.Lanes, f.Lane))/float64(charts)))
	}
	return controlsHeight + stripHeight(f.Lanes, f.Lane) + float64(charts)*f.Chart
}

// shareOut chooses the lanes and their height, and gives the number of charts, in the usual room for strip and charts,
// or in more where that is not enough for all charts, or in most where it is not for one.
func (f *frame) shareOut(usual, more, most float64, w wants) (charts int) {
	f.Lanes = max(leastLanes, min(w.Lanes, mostLanes))
	fits := func(charts int, within float64) bool {
		return stripHeight(f.Lanes, f.Lane)+float64(charts)*leastChart <= within
	}
	for charts = w.Charts; charts >= min(1, w.Charts); charts-- {
		for _, room := range []float64{usual, more} {
			for _, f.Lane = range []float64{rowHeight, thinRow} {
				if fits(charts, room) {
					return charts
				}
			}
		}
	}
	for charts = min(1, w.Charts); charts >= 0; charts-- {
		if fits(charts, most) {
			return charts
		}
	}
	f.Lane = thinRow
	for f.Lanes > leastLanes && !fits(0, most) {
		f.Lanes--
	}
	return 0
}

// ChartCount is how many charts there is room for.
func (f frame) ChartCount() int { return int(math.Round(f.Charts.H / f.Chart)) }
