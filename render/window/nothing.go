package window

import (
	"strings"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// drawNothing says on the empty field why there is nothing to show. The line at the bottom may have other news since.
func (g *game) drawNothing() {
	area := g.frame.Field
	if g.model.Fault == nil {
		words := viewmodel.Cancelled
		if _, busy := g.model.Busy(); busy {
			words = "rehearsing ..."
		}
		g.centred(words, area, large, false, scene.Dust)
		return
	}
	page := area.Inset(24)
	lines := g.nothingLines(page.W)
	row := Rect{X: page.X, Y: page.Y + max(0, (page.H-float64(len(lines)+2)*noteRow)/2), W: page.W, H: noteRow}
	g.words("Nothing to show yet", row, large, true, scene.Chalk)
	row.Y += noteRow
	for _, line := range lines {
		if row.Y += noteRow; row.Bottom() > page.Bottom() {
			return // a very low field
		}
		g.words(line, row, normal, false, scene.Chalk)
	}
}

// nothingLines are the fault's whole message and the way on, wrapped.
func (g *game) nothingLines(width float64) []string {
	var lines []string
	for _, line := range strings.Split(g.model.Fault.Text, "\n") {
		lines = append(lines, paint.Wrap(line, width, normal, false, noteMost)...)
	}
	return append(lines, "", "O opens another file, R reads this one again.")
}
