package window

import "testing"

// toy is a part that takes the wheel at the bottom of the window and has a button.
type toy struct {
	*shared
	pressed, turned, drawn int
}

func (p *toy) want(w *wants) { w.Note += 30 }

func (p *toy) place() {
	p.add(element{Name: "toy", Rect: p.frame.Note.Top(20), Bare: true, Do: func() { p.pressed++ }})
}

func (p *toy) point() {
	if p.hand.WheelY != 0 {
		p.turned++
		p.hand.WheelY = 0
	}
}

func (p *toy) draw() { p.drawn++ }

// A part that is added has room, a button and the pointer before those behind it, and is drawn after them.
func TestAPartIsAddedByItself(t *testing.T) {
	g := handed(t)
	g.step(hand{})
	room, zoom := g.frame.Note.H, g.field.zoom
	part := &toy{shared: g.shared}
	g.parts = append(g.parts, part)
	g.step(hand{})
	r := g.element(t, "toy").Rect
	g.step(hand{X: r.X + 5, Y: r.Y + 5, Pressed: true, Down: true})
	middle := g.field.middle()
	g.step(hand{X: middle.X, Y: middle.Y, WheelY: 1})
	g.draws(t, "with a toy")
	if g.frame.Note.H != room+30 || part.pressed != 1 || part.turned != 1 || part.drawn == 0 || g.field.zoom != zoom {
		t.Errorf("note %g high, before %g; toy %+v; field's zoom %g", g.frame.Note.H, room, *part, g.field.zoom)
	}
	part.turned = 0
	g.parts = g.parts[:len(g.parts)-1]
	if g.step(hand{X: middle.X, Y: middle.Y, WheelY: 1}); part.turned != 0 || g.field.zoom == zoom {
		t.Errorf("without the toy the wheel does not reach the field: zoom %g", g.field.zoom)
	}
}
