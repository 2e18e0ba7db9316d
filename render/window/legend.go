package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// legend explains the marks on the field, in rows under it.
type legend struct {
	*shared
	height float64 // that it took when last drawn, points
}

const legendRow = 19.0

func (l *legend) want(w *wants) { w.Legend = l.height }

// legendShare is how much of the field's height the legend may take.
const legendShare = 0.3

// driveLegend is how many rows it has during a drive, used or not.
const driveLegend = 2

// draw keeps the height it needs for the next frame. In a low field the last rows are left out, and it says so.
func (l *legend) draw() {
	rows := l.rows()
	area := l.frame.Field
	area.H += l.frame.Legend.H
	room := max(int((legendShare*area.H-6)/legendRow), 1)
	rows, places, lines := l.lines(rows, area.W-16, room)
	height := 0.0
	if lines > 0 {
		height = float64(lines)*legendRow + 6
	}
	if height != l.height {
		l.height, l.stale = height, true
	}
	if len(places) == 0 {
		return
	}
	l.pen.Rect(area.X, area.Bottom()-height, area.W, height, l.panel)
	for i, at := range places {
		x, y := area.X+8+at.X, area.Bottom()-height+3+at.Y
		l.drawer.Swatch(l.pen, rows[i], paint.Box{Left: x, Top: y + 3, Right: x + 22, Bottom: y + legendRow - 3})
		l.words(rows[i].Words, Rect{X: x + 28, Y: y, W: at.Width, H: legendRow}, small, false, scene.Chalk)
	}
}

// lines places the rows in as many lines as there is room for. In a drive new marks come while it lasts, and the
// field must not change its size under the driver: there the lines are always the same.
func (l *legend) lines(rows []scene.LegendRow, width float64, room int) ([]scene.LegendRow, []legendPlace, int) {
	if l.model.Driving() {
		room = min(room, driveLegend)
	}
	places, lines := flow(rows, width)
	if lines > room {
		rows, places = shortLegend(rows, width, room)
		lines = room
	}
	if l.model.Driving() && lines > 0 {
		lines = room
	}
	return rows, places, lines
}

// rows are the scene's rows and those of what only the window draws.
func (l *legend) rows() []scene.LegendRow {
	if l.model.Now == nil || len(l.drawn.Furniture.Legend) == 0 {
		return nil
	}
	rows := l.drawn.Furniture.Legend
	rows = rows[:len(rows):len(rows)]
	if l.model.ShowsBefore() {
		rows = append(rows, scene.LegendRow{Words: "the run before", Line: scene.Pen{Width: 2.5, Colour: l.pale}})
	}
	if l.model.Tab == viewmodel.EventsTab && l.frame.Notebook.W > 0 { // only that page marks it
		shape, _ := scene.EventMark(record.PhaseStart)
		rows = append(rows, scene.LegendRow{Words: "start of a phase", Shape: shape, Fill: l.accent})
	}
	return rows
}

// shortLegend keeps as many rows as there are lines for, with a last one that tells how many are missing.
func shortLegend(rows []scene.LegendRow, width float64, lines int) ([]scene.LegendRow, []legendPlace) {
	for n := len(rows) - 1; n > 0; n-- {
		kept := append(rows[:n:n], scene.LegendRow{Words: fmt.Sprintf("%d more in a larger window", len(rows)-n),
			Shape: scene.Plus, Fill: scene.Dust})
		if places, needed := flow(kept, width); needed <= lines {
			return kept, places
		}
	}
	return nil, nil
}

type legendPlace struct{ X, Y, Width float64 }

// flow places the rows one after the other, in as many lines as it takes.
func flow(rows []scene.LegendRow, width float64) ([]legendPlace, int) {
	var places []legendPlace
	x, line := 0.0, 0
	for _, row := range rows {
		words := math.Min(paint.Width(row.Words, small, false)+1, width-28)
		if x > 0 && x+28+words > width {
			x, line = 0, line+1
		}
		places = append(places, legendPlace{x, float64(line) * legendRow, words})
		x += 28 + words + 18
	}
	if len(places) == 0 {
		return nil, 0
	}
	return places, line + 1
}
