package window

import "math"

// panel is the list beside the field, if one is open: it has the keys while a person uses it, and stays when they turn
// to other things.
type panel struct{ list }

func newPanel(s *shared) *panel {
	p := &panel{}
	p.list = list{shared: s, card: func() *card { return s.beside }, box: func(int) Rect { return s.frame.Panel },
		close: s.closeBeside, leave: func() { s.focus = false }, ground: p.placeGround}
	return p
}

func (p *panel) want(w *wants) {
	if p.beside != nil {
		rows := p.beside.list()
		foot := p.allFootLines(p.beside, rows, math.Max(p.frame.Panel.W, leastDock)-24)
		w.Panel = cardHead + footHeight(foot) + float64(max(len(rows), 1))*cardRowH
	}
}

// placeGround: a click anywhere on the list gives it the keys.
func (p *panel) placeGround(box Rect) {
	if p.frame.Panel.H == 0 {
		return
	}
	p.add(element{Name: "panel", Rect: box, Bare: true, Do: func() { p.focus = true }})
	p.add(p.closer(box, "close panel", "close this list"))
}

func (p *panel) point() {
	inside := p.frame.Panel.Contains(p.hand.X, p.hand.Y)
	if p.shared.card == nil && p.hand.Pressed && !inside {
		p.focus = false
	}
	if p.shared.card == nil {
		p.list.point()
	}
}

func (p *panel) draw() {
	box := p.frame.Panel
	if p.beside == nil || box.H == 0 {
		return
	}
	p.paintIn(p.beside, p.beside.list(), box, p.focus)
	top := p.edge
	if p.focus {
		top = p.accent
	}
	p.pen.Rect(box.X, box.Y, box.W, 1, top)
	p.drawCloser("close panel")
}

// lay shows a list beside the field and gives it the keys. The one that is there already is closed, unless it has no
// keys yet.
func (s *shared) lay(c *card) {
	if s.beside != nil && s.beside.name == c.name && s.focus {
		s.closeBeside()
		return
	}
	s.card, s.beside, s.focus = nil, c, true
	c.settle(c.list())
	l := s.memory.Layout
	l.Open, l.Folded = c.name, false
	s.memory.Divide(l)
}

func (s *shared) closeBeside() {
	s.beside, s.focus = nil, false
	l := s.memory.Layout
	l.Open = ""
	s.memory.Divide(l)
}
