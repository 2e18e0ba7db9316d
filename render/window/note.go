package window

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/plan"
)

const (
	noteRow  = 18.0
	noteMost = 8 // lines that a message has at most
)

// drawNote writes the line at the bottom: work under way, or the last thing to say. What went wrong stands out by being
// dark on light, with a cross before it. A message that is longer than the line grows upwards.
func (g *game) drawNote() {
	share, busy := g.desk.Busy()
	bad := g.desk.Notice.Bad && !busy
	words, left := g.desk.Notice.Text, 12.0
	if busy {
		words = fmt.Sprintf("Rehearsing, %.0f %%. Esc gives it up.", 100*share)
	}
	ground, letters := panel, scene.Chalk
	if bad {
		ground, letters, left = scene.Chalk, scene.Plate, 32
	}
	r := g.frame.Note
	var lines []string
	for _, line := range strings.Split(words, "\n") {
		lines = append(lines, paint.Wrap(line, r.W-left-12, normal, bad, noteMost)...)
	}
	lines = lines[:min(len(lines), noteMost)]
	if more := float64(len(lines)-1) * noteRow; more > 0 {
		r = plan.Rect{X: r.X, Y: r.Y - more, W: r.W, H: r.H + more}
	}
	g.pen.Rect(r.X, r.Y, r.W, r.H, ground)
	if busy {
		g.pen.Rect(r.X, r.Y, r.W*math.Min(share, 1), 3, scene.Accent)
	}
	if bad {
		g.drawer.Mark(g.pen, scene.Cross, pointAt(r.X+18, r.Y+13), 6, letters, scene.Pen{})
	}
	for i, line := range lines {
		row := plan.Rect{X: r.X + left, Y: r.Y + 4 + float64(i)*noteRow, W: r.W - left - 12, H: noteRow}
		g.words(line, row, normal, bad, letters)
	}
}
