package window

import (
	"math"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// dividers are the lines between parts that can be dragged; a double click puts one back.
type dividers struct {
	*shared
	taken  string  // that is dragged; "": none
	last   string  // that was pressed last, for a double click
	since  float64 // s since then
	cursor ebiten.CursorShapeType
}

const (
	edgeButton  = 40.0 // high: the button on the edge that folds what stands beside the field
	dividerGrip = 3.0  // points on both sides of a divider at which it is taken
	doubleClick = 0.5  // s from press to press
)

// divider is one of them.
type divider struct {
	name   string
	at     Rect // where it is taken
	across bool // it parts left from right
	drag   func(l *viewmodel.Layout, x, y float64)
	reset  func(l *viewmodel.Layout)
}

// list is the dividers that there are now.
func (d *dividers) list() []divider {
	f := &d.frame
	switch {
	case f.Things.H > 0:
		return d.building()
	case f.Edge.W == 0: // somebody drives: all has its place
		return nil
	}
	dock := Rect{f.Edge.Right(), f.Edge.Y, d.width - f.Edge.Right(), f.Edge.H}
	all := []divider{
		{"beside the field", f.Edge.Below(edgeButton), true,
			func(l *viewmodel.Layout, x, _ float64) {
				l.Dock, l.Folded = math.Max(d.width-x-edgeWidth/2, 1), d.width-x < narrowDock/2
			}, func(l *viewmodel.Layout) { l.Dock, l.Folded = 0, false }},
		{"under the field", level(f.Controls, f.Controls.Y), false,
			func(l *viewmodel.Layout, _, y float64) { l.Strip = math.Max(f.Strip.Bottom()-y, 1) },
			func(l *viewmodel.Layout) { l.Strip = 0 }},
	}
	if f.Lesson.H > tabHeight && !d.memory.Layout.NoPages {
		all = append(all, divider{"under the lesson", level(f.Lesson, f.Lesson.Bottom()), false,
			func(l *viewmodel.Layout, _, y float64) { l.Lesson = geom.Clamp((y-f.Lesson.Y)/dock.H, 0.01, 1) },
			func(l *viewmodel.Layout) { l.Lesson = 0 }})
	}
	if f.Panel.H > 0 && !d.memory.Layout.NoPages {
		all = append(all, divider{"over the list", level(f.Panel, f.Panel.Y), false,
			func(l *viewmodel.Layout, _, y float64) { l.Panel = geom.Clamp((f.Panel.Bottom()-y)/dock.H, 0.01, 1) },
			func(l *viewmodel.Layout) { l.Panel = 0 }})
	}
	if f.Chart > 0 && (f.Panel.H > 0 || !d.memory.Layout.NoPages) {
		all = append(all, divider{"over the charts", level(f.Charts, f.Charts.Y), false,
			func(l *viewmodel.Layout, _, y float64) { l.Charts = geom.Clamp((f.Charts.Bottom()-y)/dock.H, 0.01, 1) },
			func(l *viewmodel.Layout) { l.Charts = 0 }})
	}
	return all
}

// building is the dividers while something is built.
func (d *dividers) building() []divider {
	things, values := d.frame.Things, d.frame.Values
	high := values.Bottom() - things.Y
	return []divider{
		{"beside what is built", Rect{things.X - dividerGrip, things.Y, 2 * dividerGrip, high}, true,
			func(l *viewmodel.Layout, x, _ float64) { l.Lists = math.Max(d.width-x, 1) },
			func(l *viewmodel.Layout) { l.Lists = 0 }},
		{"under the list of things", level(values, values.Y), false,
			func(l *viewmodel.Layout, _, y float64) { l.Things = geom.Clamp((y-things.Y)/high, 0.01, 1) },
			func(l *viewmodel.Layout) { l.Things = 0 }},
	}
}

// level is where a divider at a height is taken.
func level(over Rect, y float64) Rect { return Rect{over.X, y - dividerGrip, over.W, 2 * dividerGrip} }

// under is the divider at the pointer.
func (d *dividers) under() (divider, bool) {
	for _, one := range d.list() {
		if one.name == d.taken || d.taken == "" && d.card == nil && one.at.Contains(d.hand.X, d.hand.Y) {
			return one, true
		}
	}
	return divider{}, false
}

// place keeps clicks on a divider from what lies under it.
func (d *dividers) place() {
	for _, one := range d.list() {
		d.add(element{Name: "divider " + one.name, Rect: one.at, Bare: true, Do: func() { d.take(one) }})
	}
}

// take begins a drag, or puts the divider back at a second press soon after the first.
func (d *dividers) take(one divider) {
	if d.last == one.name && d.since < doubleClick {
		d.change(one.reset)
		d.last = ""
		return
	}
	d.taken, d.last, d.since = one.name, one.name, 0
}

func (d *dividers) change(how func(*viewmodel.Layout)) {
	l := d.memory.Layout
	how(&l)
	d.memory.Divide(l)
}

func (d *dividers) point() {
	d.since += d.passed
	if !d.hand.Down {
		d.taken = ""
	}
	moved := d.hand.X != d.hand.lastX || d.hand.Y != d.hand.lastY
	one, over := d.under()
	if d.taken != "" && over && moved {
		d.change(func(l *viewmodel.Layout) { one.drag(l, d.hand.X, d.hand.Y) })
	}
	d.shape(one, over)
}

// shape gives the pointer the look of what it would do.
func (d *dividers) shape(one divider, over bool) {
	shape := ebiten.CursorShapeDefault
	switch {
	case over && one.across:
		shape = ebiten.CursorShapeEWResize
	case over:
		shape = ebiten.CursorShapeNSResize
	}
	if shape != d.cursor {
		d.cursor = shape
		ebiten.SetCursorShape(shape)
	}
}

// draw paints the edge beside the field, and the divider that is taken.
func (d *dividers) draw() {
	if edge := d.frame.Edge; edge.W > 0 {
		d.drawEdge(edge)
	}
	if one, over := d.under(); over {
		line, middle := one.at, one.at.X+one.at.W/2
		if one.across {
			line = Rect{middle - 1, line.Y, 2, line.H}
		} else {
			line = Rect{line.X, line.Y + dividerGrip - 1, line.W, 2}
		}
		d.fill(line, d.accent)
	}
}

// drawEdge paints the edge beside the field with the button that folds it.
func (d *dividers) drawEdge(edge Rect) {
	d.fill(edge, d.panel)
	button := edge.Top(edgeButton)
	d.fill(button, d.shared.ground(button))
	arrow, x := 3.0, edge.X+edge.W/2
	if d.memory.Layout.Folded {
		arrow = -arrow
	}
	y := button.Y + button.H/2
	d.pen.Fill([]geom.Vec{{X: x - arrow, Y: y - 5}, {X: x + arrow, Y: y}, {X: x - arrow, Y: y + 5}}, scene.Chalk)
	for i := -1.0; i <= 1; i++ {
		d.pen.Disc(geom.Vec{X: x, Y: edge.Y + edge.H/2 + 7*i}, 1.5, d.faint)
	}
}
