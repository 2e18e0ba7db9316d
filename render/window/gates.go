package window

import (
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// gates draws a course's gates over the field, with the order in which they are driven through; the next one stands
// out.
type gates struct{ *fieldView }

const gatePlate = 18.0

func (g *gates) draw() {
	p := g.model.Lesson()
	if p == nil || p.Course == nil || g.model.Now == nil || g.model.Now.Setup.Field == nil {
		return
	}
	driven, _ := g.model.Course()
	g.clip(g.frame.Field)
	defer g.pen.Unclip()
	for i, gate := range p.Course.Gates {
		from, to := g.view.Pixel(gate.From), g.view.Pixel(gate.To)
		line, width, colour := []geom.Vec{from, to}, 2.0, scene.Chalk
		switch {
		case i < driven.Crossed:
			width, colour = 1.2, scene.Dust
		case i == driven.Crossed:
			width, colour = 4, g.accent
		}
		if i == driven.Crossed {
			g.pen.Stroke([][]geom.Vec{line}, false, width, colour)
		} else {
			g.pen.Stroke(paint.Dashes(line, scene.Dashed), false, width, colour)
		}
		middle := geom.Vec{X: (from.X + to.X) / 2, Y: (from.Y + to.Y) / 2}
		plate := Rect{X: middle.X - gatePlate/2, Y: middle.Y - gatePlate/2, W: gatePlate, H: gatePlate}
		g.fill(plate, g.panel)
		g.centred(strconv.Itoa(i+1), plate, small, true, colour)
	}
}
