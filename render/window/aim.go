package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// aim is the place of the field that a person points at, with the pointer or with the keys.
type aim struct {
	at    geom.Vec // m
	valid bool
	thing viewmodel.Thing
	keyed bool // moved by keys: it stays until the pointer moves
}

// Reach of the pointer beyond a thing's edge, points.
const reach = 5.0

// aimNow finds what is pointed at.
func (g *game) aimNow() {
	over := g.frame.Field.Contains(g.hand.X, g.hand.Y) && g.card == nil
	moved := g.hand.X != g.hand.lastX || g.hand.Y != g.hand.lastY
	if moved || !g.aim.keyed {
		g.aim.keyed = false
		g.aim.valid = over && g.field.view.Scale > 0 && g.hand.Y < g.frame.Field.Bottom()-g.field.legend
		if g.aim.valid {
			g.aim.at = g.field.view.Place(g.pointer())
		}
	}
	g.aim.thing = viewmodel.Nothing
	if g.aim.valid && g.model.Now != nil {
		g.aim.thing = g.model.Now.ThingAt(g.aim.at, g.model.Time, reach/g.field.view.Scale)
		if g.model.Mode == viewmodel.Measure {
			g.model.MeasureTo(g.aim.at)
		}
	}
}

// keyAim moves the aim by keys, from the robot when there is none.
func (g *game) keyAim(dx, dy float64) {
	if !g.aim.valid {
		if pose, ok := g.robotPose(); ok {
			g.aim.at = pose.At()
		}
	}
	g.aim.at = geom.Vec{X: g.aim.at.X + dx, Y: g.aim.at.Y + dy}
	g.aim.valid, g.aim.keyed = true, true
}

func (g *game) robotPose() (geom.Pose, bool) {
	if g.model.Now == nil {
		return geom.Pose{}, false
	}
	return g.model.Now.PoseOf(viewmodel.Thing{Kind: viewmodel.RobotThing, Index: g.model.Robot}, g.model.Time)
}

// drawOver draws what belongs to the person, not to the record: aim, measure, what is dragged.
func (g *game) drawOver() {
	g.drawMeasure()
	g.drawDrag()
	if g.aim.keyed || g.model.Mode == viewmodel.Measure && g.aim.valid {
		g.drawCross(g.field.view.Pixel(g.aim.at))
	}
}

func (g *game) drawCross(at geom.Vec) {
	const arm = 9
	g.pen.Segment(at.X-arm, at.Y, at.X+arm, at.Y, 1.5, g.tint.Accent)
	g.pen.Segment(at.X, at.Y-arm, at.X, at.Y+arm, 1.5, g.tint.Accent)
}

// drawSelection draws corners about the thing selected, and in arranging about every thing that can be moved.
func (g *game) drawSelection() {
	if thing := g.model.Selected; thing != viewmodel.Nothing && g.model.Now != nil {
		if pose, ok := g.model.Now.PoseOf(thing, g.model.Time); ok {
			g.drawCorners(pose.At(), g.model.Now.Extent(thing)+0.02, g.tint.Accent, 2)
		}
	}
	if g.model.Mode != viewmodel.Arrange || g.model.Now == nil {
		return
	}
	for _, thing := range g.model.MovableThings() {
		if pose, ok := g.model.Now.PoseOf(thing, g.model.Time); ok && thing != g.model.Selected {
			g.drawCorners(pose.At(), g.model.Now.Extent(thing)+0.012, scene.Dust, 1)
		}
	}
}

func (g *game) drawCorners(at geom.Vec, half float64, c scene.Colour, width float64) {
	v := g.field.view
	p, d := v.Pixel(at), math.Max(half*v.Scale, 8)
	arm := math.Min(d*0.4, 14)
	for _, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := p.X+s[0]*d, p.Y+s[1]*d
		g.pen.Stroke([][]geom.Vec{{{X: x - s[0]*arm, Y: y}, {X: x, Y: y}, {X: x, Y: y - s[1]*arm}}}, false, width, c)
	}
}

func (g *game) drawMeasure() {
	m := g.model.Measured
	if m.Points == 0 || g.model.Mode != viewmodel.Measure {
		return
	}
	a, b := g.field.view.Pixel(m.A), g.field.view.Pixel(m.B)
	g.pen.Segment(a.X, a.Y, b.X, b.Y, 2, g.tint.Accent)
	g.pen.Disc(a, 4, g.tint.Accent)
	g.pen.Disc(b, 4, g.tint.Accent)
	g.plate(m.String(), geom.Vec{X: (a.X + b.X) / 2, Y: (a.Y+b.Y)/2 - 16})
}

// plate writes words on a plate centred at a point, kept within the field.
func (g *game) plate(words string, at geom.Vec) {
	const height = 22
	width := paint.Width(words, normal, true) + 16
	area := g.frame.Field
	x := geom.Clamp(at.X-width/2, area.X+2, math.Max(area.X+2, area.Right()-width-2))
	y := geom.Clamp(at.Y-height/2, area.Y+2, math.Max(area.Y+2, area.Bottom()-height-2))
	g.pen.Rect(x, y, width, height, panel)
	g.centred(words, Rect{X: x, Y: y, W: width, H: height}, normal, true, g.tint.Accent)
}
