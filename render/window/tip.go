package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene/paint"
)

// tip tells what a button does, and by which key, when the pointer rests on it.
type tip struct {
	*shared
	on    string  // the button pointed at
	rests float64 // s that the pointer has rested on it
	axis  func() float64
}

const (
	tipAfter = 0.5   // s
	tipWidth = 460.0 // points of words in a line at most
	axisRoom = 100.0 // from the buttons to an axis whose numbers no tip hides
)

func (t *tip) point() {
	e := t.under()
	if e == nil || e.Tip == "" || t.hand.Down || t.hand.X != t.hand.lastX || t.hand.Y != t.hand.lastY {
		t.stale = t.stale || t.rests >= tipAfter
		t.on, t.rests = "", 0
		return
	}
	if e.Name != t.on {
		t.on, t.rests = e.Name, 0
	}
	before := t.rests
	t.rests += t.passed
	t.stale = t.stale || before < tipAfter && t.rests >= tipAfter
}

func (t *tip) draw() {
	e := t.under()
	if t.rests < tipAfter || e == nil || e.Name != t.on {
		return
	}
	lines := paint.Wrap(e.Tip, math.Min(tipWidth, t.width-30), small, false, noteMost)
	width := 0.0
	for _, line := range lines {
		width = math.Max(width, paint.Width(line, small, false)+17)
	}
	box := t.box(e.Rect, width, float64(len(lines))*footRow+7)
	t.boxed(lines, box, t.hovered, t.edge)
}

// box is beside a tall column of buttons, else under the button or over it.
func (t *tip) box(of Rect, width, height float64) Rect {
	box := Rect{X: of.X, Y: of.Bottom() + 4, W: width, H: height}
	if of.X < t.frame.Rail.Right() && of.Y >= t.frame.Rail.Y && of.Bottom() <= t.frame.Rail.Bottom() {
		box.X, box.Y = t.frame.Rail.Right()+4, of.Y+(of.H-height)/2
		if axis := t.axis(); axis > box.X && axis < box.X+axisRoom { // its numbers stay to be read
			box.X = axis + 4
		}
	}
	if box.Bottom() > t.height-2 {
		box.Y = of.Y - height - 4
	}
	box.X = geom.Clamp(box.X, 2, math.Max(2, t.width-width-2))
	return box
}
