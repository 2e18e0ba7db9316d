package window

import "math"

// Sizes while somebody drives, points.
const (
	leastDesk = 180 // wide
	mostDesk  = 400
)

// newDriveFrame lays the window out while somebody drives: the field as large as it can be, the driver's desk in what
// it leaves beside, the last seconds under it. What else stands beside the field is folded, but for the notebook's
// tabs, or its pages where they are asked for.
func newDriveFrame(width, height float64, w wants) frame {
	whole := Rect{0, 0, width, height}
	f := frame{Bar: whole.Top(barHeight), Gutter: leastGutter, Row: thinRow, Lanes: driveLanes}
	if height < lowWindow {
		f.Lanes = lowLanes
	}
	note := noteHeight + math.Max(w.Note, noteRow) // news must not change the field's size under the driver
	f.Note = Rect{0, height - note, width, note}
	middle := Rect{0, barHeight, width, math.Max(0, height-barHeight-note)}
	f.Rail = middle.Left(railWidth)
	high := math.Max(middle.H-f.stripHeight(f.Lanes), 0)
	floor := w.Aspect*(high-underFloor-overFloor) + besideFloor
	room := math.Max(width-railWidth, 0)
	desk := math.Min(math.Max(room-floor, leastDesk), math.Min(mostDesk, room))
	centre := middle.Rest(railWidth)
	centre.W -= desk
	f.Field, f.Strip = centre.Top(high), centre.Below(high)
	beside := Rect{centre.Right(), middle.Y, desk, middle.H}
	pages := float64(tabHeight)
	if w.Aside {
		pages = math.Max(beside.H/2, tabHeight)
	}
	f.Desk, f.Notebook = beside.Top(beside.H-pages), beside.Below(beside.H-pages)
	return f
}
