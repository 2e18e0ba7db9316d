package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// drag is a thing being dragged in arranging.
type drag struct {
	thing   viewmodel.Thing
	grip    geom.Vec // m: where on the thing it was taken, in the field's frame from its middle
	pose    geom.Pose
	turning bool // the pointer turns it instead of moving it
}

// beginDrag takes the thing pointed at; with Shift it will be turned.
func (g *game) beginDrag() {
	if g.model.Time != 0 { // things are moved where they stand before the run
		g.model.GoTo(0)
		g.model.Say("Back at the start: what stands here can be dragged now.")
		return
	}
	thing := g.aim.thing
	why := g.model.Movable(thing)
	if thing.Kind == viewmodel.ZoneThing || thing.Kind == viewmodel.LineThing || thing.Kind == viewmodel.FloorThing ||
		thing == viewmodel.Nothing {
		g.model.Select(viewmodel.Nothing)
		return
	}
	if why != "" {
		g.model.Warn("Not moved: " + why + ".")
		return
	}
	pose, ok := g.model.Now.PoseOf(thing, g.model.Time)
	if !ok {
		return
	}
	g.model.Select(thing)
	g.drag = drag{thing: thing, pose: pose, turning: g.hand.Shift, grip: geom.Vec{X: g.aim.at.X - pose.X, Y: g.aim.at.Y -
		pose.Y}}
}

// followDrag moves what is dragged with the pointer, as far as the floor reaches.
func (g *game) followDrag() {
	if g.drag.thing == viewmodel.Nothing {
		return
	}
	at, pose := g.field.view.Place(g.pointer()), g.drag.pose
	switch {
	case !g.drag.turning:
		pose.X, pose.Y = at.X-g.drag.grip.X, at.Y-g.drag.grip.Y
	case math.Hypot(at.X-pose.X, at.Y-pose.Y) > 0.02:
		pose.Heading = math.Atan2(at.Y-pose.Y, at.X-pose.X)
	default:
		return
	}
	if inside, ok := g.model.Inside(g.drag.thing, pose); ok {
		g.drag.pose = inside
	}
}

// endDrag puts the thing down and rehearses; a click that moved nothing only selects.
func (g *game) endDrag() {
	d := g.drag
	g.drag = drag{}
	if d.thing == viewmodel.Nothing || g.model.Now == nil {
		return
	}
	was, ok := g.model.Now.PoseOf(d.thing, g.model.Time)
	if !ok || math.Hypot(d.pose.X-was.X, d.pose.Y-was.Y) < 0.002 &&
		math.Abs(geom.WrapAngle(d.pose.Heading-was.Heading)) < 0.002 {
		return
	}
	// What stands in the files differs from what is shown by what the spread drew: move by the same amount.
	stands, ok := g.model.Standing(d.thing)
	if !ok {
		return
	}
	g.model.Move(d.thing, geom.Pose{
		X: stands.X + d.pose.X - was.X, Y: stands.Y + d.pose.Y - was.Y, Heading: stands.Heading + d.pose.Heading -
			was.Heading,
	})
}

// nudge moves or turns the selected thing by keys.
func (g *game) nudge(dx, dy, turn float64) {
	thing := g.model.Selected
	if thing == viewmodel.Nothing || g.model.Now == nil {
		g.model.Say("Nothing is selected: Tab chooses the next thing that can be moved.")
		return
	}
	pose, ok := g.model.Standing(thing)
	if !ok {
		return
	}
	g.model.Move(thing, geom.Pose{X: pose.X + dx, Y: pose.Y + dy, Heading: pose.Heading + turn})
}

// drawDrag draws what is dragged as an outline with its coordinates.
func (g *game) drawDrag() {
	d := g.drag
	if d.thing == viewmodel.Nothing || g.model.Now == nil {
		return
	}
	shape := g.model.Now.Outline(d.thing)
	corners := make([]geom.Vec, len(shape))
	for i, v := range shape {
		corners[i] = g.field.view.Pixel(d.pose.ToWorld(v))
	}
	g.pen.Stroke([][]geom.Vec{corners}, true, 2, g.tint.Accent)
	at := g.field.view.Pixel(d.pose.At())
	tip := g.field.view.Pixel(d.pose.ToWorld(geom.Vec{X: g.model.Now.Extent(d.thing)}))
	g.pen.Segment(at.X, at.Y, tip.X, tip.Y, 2, g.tint.Accent)
	g.plate(viewmodel.LuaPose(d.pose), geom.Vec{X: at.X, Y: at.Y - g.model.Now.Extent(d.thing)*g.field.view.Scale - 18})
}
