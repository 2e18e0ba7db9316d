package window

import (
	"cmp"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// part is a piece of the window: the field, the time strip, a card. It has the state that only it has, and shares the
// rest. The window asks every part what it wants room for, lets it say where it can be clicked, gives it the pointer,
// the one in front first, and lets it draw, the one in front last.
type part interface {
	want(*wants)
	place()
	point()
	draw()
}

// shared is what the parts of the window have in common. A part that wants no room of its own, has nothing to click or
// does nothing with the pointer has these methods of it.
type shared struct {
	look
	model         *viewmodel.Model
	memory        viewmodel.Settings
	hand          hand
	actions       []action
	width, height float64 // logical points
	frame         frame
	write         func()       // writes what of the routine is in hand
	elements      []element    // what can be clicked, as placed in this Update; the last lies on top
	card          *card        // what lies over the window; nil: nothing
	beside        *card        // the list beside the field; nil: none
	focus         bool         // that list has the keys
	aside         bool         // the notebook's pages are shown during a drive
	passed        float64      // s since the Update before
	stale         bool         // something may have changed since the last Draw: hands moved, or time passed
	drawn         *scene.Scene // of this moment; valid until the field is drawn again
	numbered      *viewmodel.Run
	runCount      int // number of that run, for prints
}

func (*shared) want(*wants) {}
func (*shared) place()      {}
func (*shared) point()      {}

// action is the one of a name.
func (s *shared) action(name string) action {
	return s.actions[slices.IndexFunc(s.actions, func(a action) bool { return a.name == name })]
}

// named is an element that does the action of a name, and tells its keys.
func (s *shared) named(name string) element {
	a := s.action(name)
	e := element{Name: name, Label: capital(cmp.Or(a.label, name)), Hint: a.keys[0].String(), Tip: a.told(), Do: a.do,
		Off: a.can != nil && !a.can()}
	if capital(a.does) == e.Label && a.keyWords() == e.Hint { // the button says that itself
		e.Tip = ""
	}
	return e
}

// add places an element.
func (s *shared) add(e element) { s.elements = append(s.elements, e) }

// under gives the topmost element at the pointer.
func (s *shared) under() *element {
	for i := len(s.elements) - 1; i >= 0; i-- {
		if s.elements[i].Rect.Contains(s.hand.X, s.hand.Y) {
			return &s.elements[i]
		}
	}
	return nil
}

// putsBack reports whether the pointer is on the menu's row that puts back what is in hand.
func (s *shared) putsBack() bool {
	e := s.under()
	return e != nil && s.card != nil && e.Name == "row "+s.action("let go").does
}

func (s *shared) show(c *card) {
	s.card = c
	c.settle(c.list())
}

func (s *shared) closeCard() {
	if s.card != nil {
		s.card = s.card.under
	}
}

// front is the card that has the keys: over the window, or beside the field; nil: none has.
func (s *shared) front() *card {
	if s.card == nil && s.focus && s.frame.Panel.H > 0 {
		return s.beside
	}
	return s.card
}

// pointer is where the pointer is on the screen.
func (s *shared) pointer() geom.Vec { return geom.Vec{X: s.hand.X, Y: s.hand.Y} }

// runPrint is what drawings of a run as a whole depend on.
func (s *shared) runPrint(run *viewmodel.Run) print {
	if s.numbered != run {
		s.numbered, s.runCount = run, s.runCount+1
	}
	return noPrint.ints(s.runCount, len(run.Record.Samples), len(run.Record.Events), int(s.model.Units))
}

// element is something that can be clicked. It is placed anew in every Update.
type element struct {
	Name  string // for the state dump and tests
	Rect  Rect
	Label string
	Hint  string // its key, drawn under the label where there is room
	Tip   string // what it does, with its key: told when the pointer rests on it
	On    bool   // what it stands for is chosen
	Off   bool   // it does nothing now
	Bare  bool   // drawn by its part of the window, here only for clicking
	Do    func()
}

// drawButtons paints an area with the elements in it that have a look of their own, by way of its kept drawing.
func (s *shared) drawButtons(kept *still, area Rect) {
	over := s.under()
	content := noPrint.rect(area)
	var buttons []*element
	for i := range s.elements {
		if e := &s.elements[i]; !e.Bare && area.Contains(e.Rect.X, e.Rect.Y) {
			buttons = append(buttons, e)
			content = content.rect(e.Rect).text(e.Label).flag(e.On).flag(e.Off).flag(e == over)
		}
	}
	s.drawStill(kept, content, func() {
		s.fill(area, s.panel)
		for _, e := range buttons {
			s.drawButton(e, e == over)
		}
	})
}

func (s *shared) drawButton(e *element, over bool) {
	ground, letters := s.raised, scene.Chalk
	switch {
	case e.Off:
		ground, letters = s.panel, s.faint
	case e.On:
		ground = s.chosen
	case over:
		ground = s.hovered
	}
	r := e.Rect
	s.fill(r, ground)
	if e.On {
		s.pen.Rect(r.X, r.Y, 3, r.H, s.accent)
	}
	switch {
	case e.Hint == "":
		size := normal
		if paint.Width(e.Label, size, e.On) > r.W-12 {
			size = small
		}
		s.centred(e.Label, r, size, e.On, letters)
		return
	}
	s.centred(e.Label, Rect{X: r.X, Y: r.Y + 2, W: r.W, H: r.H * 0.55}, small, e.On, letters)
	s.centred(e.Hint, Rect{X: r.X, Y: r.Y + r.H*0.5, W: r.W, H: r.H * 0.45}, small, false, scene.Dust)
}

// ground is that of something to click: another under the pointer.
func (s *shared) ground(r Rect) scene.Colour {
	if r.Contains(s.hand.X, s.hand.Y) {
		return s.hovered
	}
	return s.raised
}
