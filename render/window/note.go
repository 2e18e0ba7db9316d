package window

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

const (
	noteRow  = 18.0
	noteMost = 8 // lines that a message has at most
)

// note is what the line at the bottom says now.
type note struct {
	lines []string
	bad   bool
	share float64 // of the work under way; negative: none
}

// noteNow is work under way, or the last thing to say. A long message has several lines; its height is kept free for
// it.
func (g *game) noteNow() note {
	n := note{bad: g.model.Notice.Bad, share: -1}
	words := g.model.Notice.Text
	if share, busy := g.model.Busy(); busy {
		n.bad, n.share = false, math.Min(share, 1)
		words = fmt.Sprintf("Rehearsing, %.0f %%. Esc gives it up.", 100*share)
	}
	for _, line := range strings.Split(words, "\n") {
		n.lines = append(n.lines, paint.Wrap(line, g.width-n.left()-12, normal, n.bad, noteMost)...)
	}
	n.lines = n.lines[:min(len(n.lines), noteMost)]
	return n
}

// left is where the words begin: after the cross of what went wrong.
func (n note) left() float64 {
	if n.bad {
		return 32
	}
	return 12
}

// more is the height that the lines after the first need.
func (n note) more() float64 { return float64(max(len(n.lines)-1, 0)) * noteRow }

// drawNote writes the note. What went wrong stands out by being dark on light, with a cross before it.
func (g *game) drawNote() {
	n, r := g.note, g.frame.Note
	ground, letters := panel, scene.Chalk
	if n.bad {
		ground, letters = scene.Chalk, scene.Plate
	}
	g.pen.Rect(r.X, r.Y, r.W, r.H, ground)
	if n.share >= 0 {
		g.pen.Rect(r.X, r.Y, r.W*n.share, 3, g.tint.Accent)
	}
	if n.bad {
		g.drawer.Mark(g.pen, scene.Cross, pointAt(r.X+18, r.Y+13), 6, letters, scene.Pen{})
	}
	for i, line := range n.lines {
		row := Rect{X: r.X + n.left(), Y: r.Y + 4 + float64(i)*noteRow, W: r.W - n.left() - 12, H: noteRow}
		g.words(line, row, normal, n.bad, letters)
	}
}
