package window

import (
	"fmt"

	"chalkfield/render/scene"
	"chalkfield/render/window/plan"
)

// drawNote writes the line at the bottom: work under way, or the last thing to say. What went wrong stands out by being
// dark on light, with a cross before it.
func (g *game) drawNote() {
	r := g.frame.Note
	ground, letters := panel, scene.Chalk
	words := g.desk.Notice.Text
	share, busy := g.desk.Busy()
	switch {
	case busy:
		words = fmt.Sprintf("Rehearsing, %.0f %%. Esc gives it up.", 100*share)
	case g.desk.Notice.Bad:
		ground, letters = scene.Chalk, scene.Plate
	}
	g.pen.Rect(r.X, r.Y, r.W, r.H, ground)
	if busy {
		g.pen.Rect(r.X, r.Y, r.W*share, 3, scene.Accent)
	}
	inner := plan.Rect{X: r.X + 12, Y: r.Y, W: r.W - 24, H: r.H}
	if g.desk.Notice.Bad && !busy {
		g.drawer.Mark(g.pen, scene.Cross, pointAt(inner.X+6, r.Y+r.H/2), 6, letters, scene.Pen{})
		inner = inner.Rest(20)
	}
	g.words(words, inner, normal, g.desk.Notice.Bad && !busy, letters)
}
