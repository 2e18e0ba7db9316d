package window

import (
	"math"

	"chalkfield/internal/base/geom"
)

// newBuildFrame lays the window out while a field is built: the field, and beside it the list of what it has over the
// values of what is chosen.
func newBuildFrame(width, height float64, w wants) frame {
	whole := Rect{0, 0, width, height}
	f := frame{Bar: whole.Top(barHeight), Gutter: leastGutter, Row: rowHeight}
	note := noteHeight + math.Max(w.Note, noteRow) // news must not move what is drawn
	f.Note = Rect{0, height - note, width, note}
	middle := Rect{0, barHeight, width, math.Max(0, height-barHeight-note)}
	f.Rail = middle.Left(railWidth)
	w.Layout.Folded, w.Layout.Dock = false, w.Layout.Lists
	dock := f.dockWidth(width, middle.H, width*height, w)
	f.Field = middle.Rest(railWidth)
	f.Field.W -= dock
	beside := Rect{f.Field.Right(), middle.Y, dock, middle.H}
	things := geom.Clamp(beside.H-w.Values, thingsShare*beside.H, mostThings*beside.H)
	if share := w.Layout.Things; share > 0 {
		things = geom.Clamp(share*beside.H, leastLists, beside.H-leastLists)
	}
	f.Things = beside.Top(math.Round(things))
	f.Values = beside.Below(f.Things.H)
	return f
}

// thingsShare and mostThings are how much of the height beside the field the list of things has, at least and at most:
// it has what the values leave. leastLists is the height of each of both that a person leaves it, points.
const thingsShare, mostThings, leastLists = 0.5, 0.7, 100.0
