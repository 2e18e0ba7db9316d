package window

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// status is the line at the bottom.
type status struct {
	*shared
	note note
}

func (s *status) want(w *wants) {
	s.note = s.now()
	w.Note = s.note.more()
}

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

// now is work under way, or the last thing to say. A long message has several lines; its height is kept free for
// it.
func (s *status) now() note {
	n := note{bad: s.model.Notice.Bad, share: -1}
	words := s.model.Notice.Text
	if share, busy := s.model.Busy(); busy {
		n.bad, n.share = false, math.Min(share, 1)
		words = fmt.Sprintf("Rehearsing, %.0f %%. Esc gives it up.", 100*share)
	}
	for _, line := range strings.Split(words, "\n") {
		n.lines = append(n.lines, paint.Wrap(line, s.width-n.left()-12, normal, n.bad, noteMost)...)
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

// draw writes the note. What went wrong stands out by being dark on light, with a cross before it.
func (s *status) draw() {
	n, r := s.note, s.frame.Note
	ground, letters := panel, scene.Chalk
	if n.bad {
		ground, letters = scene.Chalk, scene.Plate
	}
	s.fill(r, ground)
	if n.share >= 0 {
		s.pen.Rect(r.X, r.Y, r.W*n.share, 3, s.tint.Accent)
	}
	if n.bad {
		s.drawer.Mark(s.pen, scene.Cross, pointAt(r.X+18, r.Y+13), 6, letters, scene.Pen{})
	}
	for i, line := range n.lines {
		row := Rect{X: r.X + n.left(), Y: r.Y + 4 + float64(i)*noteRow, W: r.W - n.left() - 12, H: noteRow}
		s.words(line, row, normal, n.bad, letters)
	}
}
