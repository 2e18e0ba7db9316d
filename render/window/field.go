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

// fieldView is what part of the field is seen: zoom 1 shows all of it.
type fieldView struct {
	zoom   float64
	centre geom.Vec // m: middle of the view, counts when zoom is not 1
	view   paint.View
	legend float64 // height that the legend takes, points
}

const (
	mostZoom  = 12.0
	zoomStep  = 1.25
	legendRow = 19.0
)

// placeField works out the view. Its picture is drawn by drawField.
func (g *game) placeField() {
	low, high, ok := g.extents()
	if !ok {
		return
	}
	area := g.frame.Field
	area.H = math.Max(area.H-g.field.legend, 1)
	box := paint.Box{Left: area.X, Top: area.Y, Right: area.Right(), Bottom: area.Bottom()}
	view := g.fitWithAxes(low, high, box)
	if g.field.zoom != 1 {
		view.Scale *= g.field.zoom
		view.Origin = geom.Vec{
			X: (box.Left+box.Right)/2 - view.Scale*g.field.centre.X,
			Y: (box.Top+box.Bottom)/2 + view.Scale*g.field.centre.Y,
		}
	}
	g.field.view = view
}

// extents are what a scene of the run shows.
func (g *game) extents() (low, high geom.Vec, ok bool) {
	if g.drawn != nil && g.model.Now != nil {
		return g.drawn.Low, g.drawn.High, true
	}
	if f := g.model.Setup.Field; f != nil {
		low, high = f.Floor.Bounds()
		return low, high, true
	}
	return low, high, false
}

// zoomAt changes the zoom so that the place under a point of the screen stays there.
func (g *game) zoomAt(at geom.Vec, factor float64) {
	place := g.field.view.Place(at)
	next := geom.Clamp(g.field.zoom*factor, 1, mostZoom)
	scale := g.field.view.Scale * next / g.field.zoom
	box := g.field.view.Area
	g.field.centre = geom.Vec{
		X: place.X - (at.X-(box.Left+box.Right)/2)/scale,
		Y: place.Y + (at.Y-(box.Top+box.Bottom)/2)/scale,
	}
	g.field.zoom = next
	g.stale = true
}

// panBy moves the view by points of the screen.
func (g *game) panBy(dx, dy float64) {
	if g.field.zoom == 1 {
		return
	}
	g.field.centre.X -= dx / g.field.view.Scale
	g.field.centre.Y += dy / g.field.view.Scale
	g.stale = true
}

// drawField paints the field and what lies over it.
func (g *game) drawField() {
	area := g.frame.Field
	run := g.model.Now
	if run == nil {
		g.drawFieldGround()
		g.drawNothing()
		return
	}
	g.buildScene(run)
	g.placeField()
	g.drawScene(run)
	g.pen.Clip(area.X, area.Y, area.W, area.H)
	g.drawOver()
	g.pen.Unclip()
	g.drawLegend()
	g.drawFacts()
}

func (g *game) drawFieldGround() {
	area := g.frame.Field
	g.pen.Rect(area.X, area.Y, area.W, area.H, scene.Slate)
}

// buildScene makes the scene of this moment.
func (g *game) buildScene(run *viewmodel.Run) {
	if g.mountsOf != run {
		g.mountsOf, g.mounts = run, nil
		for _, e := range run.Setup.Entrants {
			if e.Robot != nil {
				g.mounts = append(g.mounts, scene.MountOf(e.Robot))
			}
		}
		if len(g.mounts) != len(run.Record.Header.Robots) {
			g.mounts = nil
		}
	}
	g.drawn = g.builder.Build(scene.Input{
		Field: run.Setup.Field, Record: run.Record, Index: run.Index, Mounts: g.mounts, T: g.model.Time,
		Options: scene.Options{Show: g.model.Overlays &^ scene.ScoreBox, Focus: g.model.Robot},
	})
}

// legendShare is how much of the field's height the legend may take.
const legendShare = 0.3

// driveLegend is how many rows it has during a drive, used or not.
const driveLegend = 2

// drawLegend explains the marks in rows under the field, and keeps the height it needs for the next frame. In a low
// field the last rows are left out, and it says so.
func (g *game) drawLegend() {
	rows := g.legendRows()
	area := g.frame.Field
	room := max(int((legendShare*area.H-6)/legendRow), 1)
	rows, places, lines := g.legendLines(rows, area.W-16, room)
	height := 0.0
	if lines > 0 {
		height = float64(lines)*legendRow + 6
	}
	if height != g.field.legend {
		g.field.legend, g.stale = height, true
	}
	if len(places) == 0 {
		return
	}
	g.pen.Rect(area.X, area.Bottom()-height, area.W, height, panel)
	for i, at := range places {
		x, y := area.X+8+at.X, area.Bottom()-height+3+at.Y
		g.drawer.Swatch(g.pen, rows[i], paint.Box{Left: x, Top: y + 3, Right: x + 22, Bottom: y + legendRow - 3})
		g.words(rows[i].Words, Rect{X: x + 28, Y: y, W: at.Width, H: legendRow}, small, false, scene.Chalk)
	}
}

// legendLines places the rows in as many lines as there is room for. In a drive new marks come while it lasts, and the
// field must not change its size under the driver: there the lines are always the same.
func (g *game) legendLines(rows []scene.LegendRow, width float64, room int) ([]scene.LegendRow, []legendPlace, int) {
	if g.model.Driving() {
		room = min(room, driveLegend)
	}
	places, lines := flow(rows, width)
	if lines > room {
		rows, places = shortLegend(rows, width, room)
		lines = room
	}
	if g.model.Driving() && lines > 0 {
		lines = room
	}
	return rows, places, lines
}

// legendRows are the scene's rows and those of what only the window draws.
func (g *game) legendRows() []scene.LegendRow {
	rows := g.drawn.Furniture.Legend
	if len(rows) == 0 {
		return nil
	}
	rows = rows[:len(rows):len(rows)]
	if g.showsBefore() {
		rows = append(rows, scene.LegendRow{Words: "the run before", Line: scene.Pen{Width: 2.5, Colour: paleInk}})
	}
	if g.model.Tab == viewmodel.EventsTab && g.notebook { // only that page marks it
		shape, _ := scene.EventMark(record.PhaseStart)
		rows = append(rows, scene.LegendRow{Words: "start of a phase", Shape: shape, Fill: g.tint.Accent})
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
