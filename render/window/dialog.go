package window

import (
	"math"

	"chalkfield/render/scene"
)

// dialog is the card that lies over the window, if one does.
type dialog struct{ list }

const cardWidth = 620.0

func newDialog(s *shared) *dialog {
	d := &dialog{}
	d.list = list{shared: s, card: func() *card { return s.card }, box: d.centre, close: s.closeCard,
		leave: s.closeCard, ground: d.placeGround}
	return d
}

// centre is where the card lies: in the middle of the window, or at its place.
func (d *dialog) centre(rows int) Rect {
	if c := d.shared.card; c != nil && c.menu != nil {
		return d.menuBox(c, c.list())
	}
	width := math.Min(cardWidth, d.width-40)
	height := math.Min(cardHead+cardFoot+footRow+float64(max(rows, 1))*cardRowH, d.height-40)
	return Rect{X: (d.width - width) / 2, Y: (d.height - height) / 2, W: width, H: height}
}

func (d *dialog) placeGround(box Rect) {
	d.add(element{Name: "outside", Rect: Rect{W: d.width, H: d.height}, Bare: true, Do: d.closeCard})
	d.add(element{Name: "card", Rect: box, Bare: true, Do: func() {}})
	if d.shared.card.menu == nil {
		d.add(d.closer(box, "close card", "close this card (Esc)"))
	}
}

func (d *dialog) draw() {
	c := d.shared.card
	if c == nil {
		return
	}
	rows := c.list()
	box := d.centre(len(rows))
	if c.menu == nil {
		shade := scene.Slate
		shade.A = 150
		d.pen.Rect(0, 0, d.width+1, d.height+1, shade)
	}
	d.pen.Rect(box.X-1, box.Y-1, box.W+2, box.H+2, d.edge)
	d.paintIn(c, rows, box, true)
	d.drawCloser("close card")
}
