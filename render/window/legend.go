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
	rows int // that it would take, as last drawn
}

const legendRow = 18.0

func (l *legend) want(w *wants) {
	w.Legend = l.rows
}

// place opens, at a click on the legend, the list that has all of it.
func (l *legend) place() {
	if l.frame.Legend.H > 0 {
		a := l.action("layers")
		l.add(element{Name: "legend", Rect: l.frame.Legend, Bare: true, Tip: "all marks, and " + a.told(), Do: a.do})
	}
}

// draw keeps the rows it needs for the next frame. What has no room is left out, and it says so.
func (l *legend) draw() {
	area := l.frame.Legend
	rows := l.marks()
	places, needed := flow(rows, l.frame.Field.W-16)
	if needed != l.rows {
		l.rows, l.stale = needed, true
	}
	if area.H == 0 {
		return
	}
	l.fill(area, l.panel)
	room := int((area.H - 3) / legendRow)
	if _, lines := flow(rows, area.W-16); lines > room {
		rows, places = shortLegend(rows, area.W-16, room)
	}
	for i, at := range places {
		x, y := area.X+8+at.X, area.Y+2+at.Y
		l.drawer.Swatch(l.pen, rows[i], paint.Box{Left: x, Top: y + 3, Right: x + 22, Bottom: y + legendRow - 3})
		l.words(rows[i].Words, Rect{X: x + 28, Y: y, W: at.Width, H: legendRow}, small, false, scene.Chalk)
	}
}

// marks are the scene's rows of a legend and those of what only the window draws.
func (s *shared) marks() []scene.LegendRow {
	if s.model.Now == nil || s.drawn == nil || len(s.drawn.Furniture.Legend) == 0 {
		return nil
	}
	rows := s.drawn.Furniture.Legend
	rows = rows[:len(rows):len(rows)]
	if s.model.ShowsBefore() {
		_, words := s.model.Compares()
		rows = append(rows, scene.LegendRow{Words: words, Line: scene.Pen{Width: 2.5, Colour: s.pale}})
	}
	if len(s.model.Ways()) > 0 {
		rows = append(rows, scene.LegendRow{Words: "good in the study", Line: s.wayPen(true, false)},
			scene.LegendRow{Words: "not good", Line: s.wayPen(false, false)})
	}
	if s.model.Tab == viewmodel.EventsTab && s.frame.Notebook.H > tabHeight { // only that page marks it
		shape, _ := scene.EventMark(record.PhaseStart)
		rows = append(rows, scene.LegendRow{Words: "start of a phase", Shape: shape, Fill: s.accent})
	}
	return rows
}

// shortLegend keeps as many rows as there are lines for, with a last one that tells how many are missing.
func shortLegend(rows []scene.LegendRow, width float64, lines int) ([]scene.LegendRow, []legendPlace) {
	for n := len(rows) - 1; n > 0; n-- {
		kept := append(rows[:n:n], scene.LegendRow{Words: fmt.Sprintf("%d more: L lists all", len(rows)-n),
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
