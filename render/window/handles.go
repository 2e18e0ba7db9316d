package window

import (
	"fmt"
	"math"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// handles are the places on the field that numbers of the routine make: dragging one turns its numbers.
type handles struct {
	*fieldView
	numbers *numbers
	taken   *viewmodel.Handle // in hand, where it is now; nil: none
	began   viewmodel.Handle  // as it was taken
	grip    geom.Vec          // m: where it was taken, from its place
	moved   bool
}

const (
	handleReach = 9.0  // points about a handle in which it is taken
	plateOff    = 40.0 // points over a handle in hand at which it is told what comes of it
)

// shown are the handles to draw; while one is in hand it alone, so that nothing lies over it.
func (h *handles) shown() []viewmodel.Handle {
	if h.taken != nil {
		return []viewmodel.Handle{*h.taken}
	}
	if h.numbers.held() || h.view.Scale == 0 {
		return nil
	}
	return h.model.HandlesNow()
}

func (h *handles) place() {
	for _, one := range h.shown() {
		at := h.view.Pixel(one.At)
		r := Rect{X: at.X - handleReach, Y: at.Y - handleReach, W: 2 * handleReach, H: 2 * handleReach}
		if h.frame.Field.Contains(at.X, at.Y) {
			h.add(element{Name: "handle " + one.Name(), Rect: r, Tip: handleTip(one), Bare: true, Do: func() { h.take(one) }})
		}
	}
}

// handleTip tells what a handle is of.
func handleTip(h viewmodel.Handle) string {
	if h.Why != "" {
		return fmt.Sprintf("%s, line %d: its %s is %s", h.Motion, h.Line, h.Kind, h.Why)
	}
	return fmt.Sprintf("%s, line %d: drag its %s (Alt: onto nothing near); letting go writes it", h.Motion, h.Line, h.Kind)
}

func (h *handles) take(one viewmodel.Handle) {
	if h.taken != nil {
		return
	}
	if err := h.model.HoldHandle(one); err != nil {
		h.model.Say(capital(err.Error()) + ".")
		return
	}
	h.began, h.taken, h.moved = one, &one, false
	place := h.view.Place(h.pointer())
	h.grip = geom.Vec{X: place.X - one.At.X, Y: place.Y - one.At.Y}
	h.numbers.notebook.lightLine(one.Line)
}

func (h *handles) point() {
	if h.taken == nil {
		return
	}
	if _, held := h.model.Held(); !held {
		h.taken = nil
		return
	}
	if !h.hand.Down {
		if h.taken = nil; !h.moved && h.began.Starts() { // a click on the robot, which stands there
			h.model.Select(viewmodel.Thing{Kind: viewmodel.RobotThing})
		}
		h.numbers.write()
		return
	}
	if h.hand.X != h.hand.lastX || h.hand.Y != h.hand.lastY {
		h.moved = true
		place := h.view.Place(h.pointer())
		now := h.model.MoveHandle(h.began, h.snapped(geom.Vec{X: place.X - h.grip.X, Y: place.Y - h.grip.Y}))
		h.taken = &now
	}
}

// snapped is a place brought onto what is near, unless Alt is held.
func (h *handles) snapped(to geom.Vec) geom.Vec {
	switch {
	case h.hand.Alt:
		return to
	case h.began.Kind == viewmodel.TurnHandle:
		return viewmodel.SnapTurn(h.began.About.At(), to)
	}
	return h.model.Snap(to, handleReach/h.view.Scale)
}

// keys: Esc puts the handle back.
func (h *handles) keys() {
	for _, key := range h.hand.Keys {
		if key == ebiten.KeyEscape {
			h.taken = nil
			h.model.Drop()
			return
		}
	}
}

// cover is what the handles will cover: words under them could not be read.
func (h *handles) cover() (boxes []paint.Box) {
	for _, one := range h.shown() {
		at := h.view.Pixel(one.At)
		boxes = append(boxes, paint.Box{Left: at.X, Top: at.Y, Right: at.X, Bottom: at.Y}.Grown(8))
	}
	return boxes
}

func (h *handles) draw() {
	h.clip(h.frame.Field)
	over := h.under()
	for _, one := range h.shown() {
		bright := h.taken != nil || over != nil && over.Name == "handle "+one.Name()
		h.drawHandle(one, bright)
	}
	if h.taken != nil {
		e, _ := h.model.Held()
		at := h.view.Pixel(h.taken.At)
		words := fmt.Sprintf("%s %s", h.taken.Motion, e.New)
		if outcome := h.model.Outcome(); outcome != "" {
			words += ": " + outcome
		}
		if err := h.model.Refused(); err != nil {
			words = viewmodel.FaultOf(err).Short()
		}
		h.plate(words, geom.Vec{X: at.X, Y: at.Y - plateOff})
	}
	h.pen.Unclip()
}

// drawHandle draws a ring for a point, an arm with a ring for a turn, a bar across the way for a distance; pale where
// nothing can be dragged.
func (h *handles) drawHandle(one viewmodel.Handle, bright bool) {
	c, size := h.accent, 6.0
	if one.Why != "" {
		c = h.pale
	}
	if bright {
		size = 8
	}
	at, about := h.view.Pixel(one.At), h.view.Pixel(one.About.At())
	switch one.Kind {
	case viewmodel.PullHandle:
		h.pen.Segment(about.X, about.Y, at.X, at.Y, 1.5, c)
		sin, cos := math.Sincos(one.About.Heading)
		h.pen.Segment(at.X-sin*size*1.5, at.Y-cos*size*1.5, at.X+sin*size*1.5, at.Y+cos*size*1.5, 4, c)
	case viewmodel.TurnHandle:
		h.pen.Segment(about.X, about.Y, at.X, at.Y, 1.5, c)
		h.ring(at, size-1, c)
	default:
		h.ring(at, size, c)
	}
}

func (h *handles) ring(at geom.Vec, size float64, c scene.Colour) {
	h.pen.Disc(at, size+2.5, scene.Slate)
	h.pen.Disc(at, size, c)
	h.pen.Disc(at, size-2.5, scene.Slate)
	h.pen.Disc(at, 1.5, c)
}
