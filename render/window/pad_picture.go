package window

import (
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/scripting"
)

// padPicture is a driver's pad as it is drawn: its buttons and sticks in a rectangle.
type padPicture struct {
	at   Rect
	unit float64 // points of one of its units: it is 100 wide
}

// padShape is its height by its width.
const padShape = 0.56

// padButton is a button on the picture, by its middle and half its width and height, points.
type padButton struct {
	middle     geom.Vec
	wide, high float64
}

func (b padButton) box() Rect {
	return Rect{X: b.middle.X - b.wide, Y: b.middle.Y - b.high, W: 2 * b.wide, H: 2 * b.high}
}

// padPlaces are where the buttons are on a picture 100 wide, with half their width and height.
var padPlaces = map[string][4]float64{
	"l2": {17, 5, 14, 4}, "l1": {17, 14.5, 14, 4}, "r2": {83, 5, 14, 4}, "r1": {83, 14.5, 14, 4},
	"up": {17, 24.5, 4.6, 4.6}, "down": {17, 43.5, 4.6, 4.6}, "left": {7.5, 34, 4.6, 4.6}, "right": {26.5, 34, 4.6, 4.6},
	"y": {83, 24.5, 4.6, 4.6}, "a": {83, 43.5, 4.6, 4.6}, "x": {73.5, 34, 4.6, 4.6}, "b": {92.5, 34, 4.6, 4.6},
}

// padArrows are the ways in which the arrows of those buttons point that have one for a name.
var padArrows = map[string]geom.Vec{"up": {Y: -1}, "down": {Y: 1}, "left": {X: -1}, "right": {X: 1}}

// padLetters is the size of letters on the picture, points.
const padLetters = 11.0

// newPadPicture is the largest that a rectangle has room for, in its middle.
func newPadPicture(in Rect) padPicture {
	wide := min(in.W, in.H/padShape)
	at := Rect{X: in.X + (in.W-wide)/2, Y: in.Y, W: wide, H: wide * padShape}
	return padPicture{at: at, unit: wide / 100}
}

func (p padPicture) point(x, y float64) geom.Vec {
	return geom.Vec{X: p.at.X + x*p.unit, Y: p.at.Y + y*p.unit}
}

// button is where one is.
func (p padPicture) button(name string) padButton {
	of := padPlaces[name]
	return padButton{p.point(of[0], of[1]), of[2] * p.unit, of[3] * p.unit}
}

// drawPad draws the pad with what is held on it.
func (d *desk) drawPad() {
	p := d.pad
	for _, name := range scripting.Buttons {
		ground, ink := d.raised, scene.Chalk
		if slices.Contains(d.shown.Buttons, name) {
			ground, ink = d.accent, scene.Plate
		}
		b := p.button(name)
		if way, arrow := padArrows[name]; arrow {
			d.fill(b.box(), ground)
			d.drawArrow(b, way, ink)
			continue
		}
		if b.wide > b.high {
			d.fill(b.box(), ground)
		} else {
			d.pen.Disc(b.middle, b.wide, ground)
		}
		d.pen.Write(name, b.middle.X-paint.Width(name, padLetters, true)/2, b.middle.Y+0.33*padLetters, face(true),
			padLetters, ink)
	}
	d.drawPadStick(p.point(41, 47), geom.Vec{X: d.shown.LeftX, Y: d.shown.LeftY})
	d.drawPadStick(p.point(59, 47), geom.Vec{X: d.shown.RightX, Y: d.shown.RightY})
}

func (d *desk) drawArrow(b padButton, way geom.Vec, ink scene.Colour) {
	size := 0.5 * b.wide
	at := func(along, across float64) geom.Vec {
		return geom.Vec{X: b.middle.X + size*(along*way.X-across*way.Y), Y: b.middle.Y + size*(along*way.Y+across*way.X)}
	}
	d.pen.Fill([]geom.Vec{at(1, 0), at(-0.8, 1), at(-0.8, -1)}, ink)
}

// drawPadStick draws a stick of the pad about its middle.
func (d *desk) drawPadStick(middle, way geom.Vec) {
	radius := 8 * d.pad.unit
	d.pen.Ring(middle, radius, 1.5, d.edge)
	ink := scene.Dust
	if way != (geom.Vec{}) {
		ink = d.accent
	}
	d.pen.Disc(geom.Vec{X: middle.X + way.X*radius*0.6, Y: middle.Y - way.Y*radius*0.6}, radius*0.5, ink)
}
