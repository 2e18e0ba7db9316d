// Package plan says where each part of the window is, for any size. It is arithmetic only, so that a test can show that
// nothing overlaps or leaves the window.
//
// Logical points, x right, y down.
package plan

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

// Wants is what the parts ask for.
type Wants struct {
	Lanes    int     // tasks in the time strip
	Charts   int     // signals shown
	Notebook bool    // the pages beside the field are open
	Note     float64 // height of the note's lines after its first
}

// Frame is where the parts are.
type Frame struct {
	Bar      Rect // title and score
	Rail     Rect // buttons
	Field    Rect
	Notebook Rect // empty when closed
	Controls Rect // play, speed, time
	Strip    Rect // ruler and rows of the time strip; the gutter is its left part
	Lanes    int  // tasks that the strip has room for
	Charts   Rect // signals, under the strip and as wide; empty when none
	Chart    float64
	Note     Rect // one line at the bottom, more for a long message
	Gutter   float64
}

// Sizes of the parts, points.
const (
	BarHeight      = 40
	RailWidth      = 88
	NoteHeight     = 26
	ControlsHeight = 36
	RulerHeight    = 20
	RowHeight      = 18
	GutterWidth    = 104
	leastNotebook  = 300
	mostNotebook   = 620
	leastField     = 240 // high
	fieldShare     = 0.6 // of the height under the bar
	leastChart     = 64
	mostChart      = 130
	leastLanes     = 1
	mostLanes      = 6
)

// Rows of the strip that are always there: ruler with phases, field events, notes, score.
const fixedRows = 3

// New lays the window out.
func New(width, height float64, w Wants) Frame {
	whole := Rect{0, 0, width, height}
	f := Frame{Bar: whole.Top(BarHeight), Gutter: GutterWidth}
	note := NoteHeight + w.Note
	f.Note = Rect{0, height - note, width, note}
	middle := Rect{0, BarHeight, width, height - BarHeight - note}
	desk := f.deskHeight(middle.H, w)
	lower := Rect{0, middle.Bottom() - desk, width, desk}
	upper := middle.Top(middle.H - desk)
	f.Rail = upper.Left(RailWidth)
	f.Field = upper.Rest(RailWidth)
	if w.Notebook {
		notebook := math.Min(mostNotebook, math.Max(leastNotebook, 0.32*width))
		f.Notebook = Rect{upper.Right() - notebook, upper.Y, notebook, upper.H}
		f.Field.W -= notebook
	}
	f.Controls = lower.Top(ControlsHeight)
	f.Strip = lower.Below(ControlsHeight).Top(stripHeight(f.Lanes))
	f.Charts = lower.Below(ControlsHeight + f.Strip.H)
	return f
}

func stripHeight(lanes int) float64 { return RulerHeight + float64(fixedRows+lanes)*RowHeight + 6 }

// deskHeight shares the height between the field and what is under it: first the strip with a lane, then charts at their
// least height, then more lanes, then higher charts, as long as the field keeps its share.
func (f *Frame) deskHeight(height float64, w Wants) float64 {
	room := height - math.Max(leastField, fieldShare*height) - ControlsHeight // for strip and charts
	most := height - leastField - ControlsHeight                              // the same, if need be
	charts := w.Charts
	for charts > 0 && stripHeight(leastLanes)+float64(charts)*leastChart > math.Max(room, most) {
		charts--
	}
	f.Lanes = leastLanes
	for f.Lanes < min(w.Lanes, mostLanes) && stripHeight(f.Lanes+1)+float64(charts)*leastChart <= room {
		f.Lanes++
	}
	f.Chart = leastChart
	if charts > 0 {
		f.Chart = math.Max(leastChart, math.Min(mostChart, (room-stripHeight(f.Lanes))/float64(charts)))
	}
	return ControlsHeight + stripHeight(f.Lanes) + float64(charts)*f.Chart
}

// ChartCount is how many charts there is room for.
func (f Frame) ChartCount() int { return int(math.Round(f.Charts.H / f.Chart)) }
