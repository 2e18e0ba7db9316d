package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/window/viewmodel"
)

// arrange moves things before a run.
type arrange struct {
	*fieldView
	drag drag
}

func (a *arrange) point() {
	if !a.hand.Down { // a quick click goes down and up in one update: then it is no longer down in the next
		a.end()
	}
	a.follow()
	if a.clicked(viewmodel.Arrange) {
		a.begin()
	}
}

// drag is a thing being dragged in arranging.
type drag struct {
	thing   viewmodel.Thing
	grip    geom.Vec // m: where on the thing it was taken, in the field's frame from its middle
	pose    geom.Pose
	turning bool // the pointer turns it instead of moving it
}

// begin takes the thing pointed at; with Shift it will be turned.
func (a *arrange) begin() {
	if a.model.Time != 0 { // things are moved where they stand before the run
		a.model.GoTo(0)
		a.model.Say("Back at the start: what stands here can be dragged now.")
		return
	}
	thing := a.aim.thing
	why := a.model.Movable(thing)
	if thing.Kind == viewmodel.ZoneThing || thing.Kind == viewmodel.LineThing || thing.Kind == viewmodel.FloorThing ||
		thing == viewmodel.Nothing {
		a.model.Select(viewmodel.Nothing)
		return
	}
	if why != "" {
		a.model.Warn("Not moved: " + why + ".")
		return
	}
	pose, ok := a.model.Now.PoseOf(thing, a.model.Time)
	if !ok {
		return
	}
	a.model.Select(thing)
	a.drag = drag{thing: thing, pose: pose, turning: a.hand.Shift, grip: geom.Vec{X: a.aim.at.X - pose.X, Y: a.aim.at.Y -
		pose.Y}}
}

// follow moves what is dragged with the pointer, as far as the floor reaches.
func (a *arrange) follow() {
	if a.drag.thing == viewmodel.Nothing {
		return
	}
	at, pose := a.view.Place(a.pointer()), a.drag.pose
	switch {
	case !a.drag.turning:
		to := a.snapped(geom.Vec{X: at.X - a.drag.grip.X, Y: at.Y - a.drag.grip.Y})
		pose.X, pose.Y = to.X, to.Y
	case math.Hypot(at.X-pose.X, at.Y-pose.Y) > 0.02:
		if !a.hand.Alt {
			at = viewmodel.SnapTurn(pose.At(), at)
		}
		pose.Heading = math.Atan2(at.Y-pose.Y, at.X-pose.X)
	default:
		return
	}
	if inside, ok := a.model.Inside(a.drag.thing, pose); ok {
		a.drag.pose = inside
	}
}

// snapped is where the thing goes: with its place in the files on lines of what is near, unless Alt is held.
func (a *arrange) snapped(to geom.Vec) geom.Vec {
	was, shown := a.model.Now.PoseOf(a.drag.thing, a.model.Time)
	stands, ok := a.model.Standing(a.drag.thing)
	if a.hand.Alt || !shown || !ok {
		return to
	}
	drawn := geom.Vec{X: stands.X - was.X, Y: stands.Y - was.Y} // by the spread
	on := a.model.SnapBeside(a.drag.thing, geom.Vec{X: to.X + drawn.X, Y: to.Y + drawn.Y}, handleReach/a.view.Scale)
	return geom.Vec{X: on.X - drawn.X, Y: on.Y - drawn.Y}
}

// end puts the thing down and rehearses; a click that moved nothing only selects.
func (a *arrange) end() {
	d := a.drag
	a.drag = drag{}
	if d.thing == viewmodel.Nothing || a.model.Now == nil {
		return
	}
	was, ok := a.model.Now.PoseOf(d.thing, a.model.Time)
	if !ok || math.Hypot(d.pose.X-was.X, d.pose.Y-was.Y) < 0.002 &&
		math.Abs(geom.WrapAngle(d.pose.Heading-was.Heading)) < 0.002 {
		return
	}
	// What stands in the files differs from what is shown by what the spread drew: move by the same amount.
	stands, ok := a.model.Standing(d.thing)
	if !ok {
		return
	}
	a.model.Move(d.thing, geom.Pose{
		X: stands.X + d.pose.X - was.X, Y: stands.Y + d.pose.Y - was.Y, Heading: stands.Heading + d.pose.Heading -
			was.Heading,
	})
}

// step is how far a key moves a thing, m: ten times as far with Shift.
func (a *arrange) step() float64 {
	if a.model.Units == units.Inch {
		return 0.5 * 0.0254
	}
	return keyStep
}

// nudge moves or turns the selected thing by keys.
func (a *arrange) nudge(dx, dy, turn float64) {
	thing := a.model.Selected
	if thing == viewmodel.Nothing || a.model.Now == nil {
		a.model.Say("Nothing is selected: Tab chooses the next thing that can be moved.")
		return
	}
	pose, ok := a.model.Standing(thing)
	if !ok {
		return
	}
	a.model.Move(thing, geom.Pose{X: pose.X + dx, Y: pose.Y + dy, Heading: pose.Heading + turn})
}

// pastePlace moves the selected thing to a place. It keeps its heading where the place has none.
func (g *game) pastePlace(at geom.Pose, turned bool) {
	thing := g.model.Selected
	if g.field.aim.valid && g.model.Movable(g.field.aim.thing) == "" {
		thing = g.field.aim.thing
	}
	stands, ok := g.model.Standing(thing)
	if thing == viewmodel.Nothing || !ok {
		g.model.Say("Select the robot, a piece or a goal first: it is moved to the place pasted.")
		return
	}
	if !turned {
		at.Heading = stands.Heading
	}
	if g.model.Mode != viewmodel.Arrange {
		g.setMode(viewmodel.Arrange)
	}
	g.model.Select(thing)
	g.model.Move(thing, at)
}

// draw shows what is dragged as an outline with its coordinates.
func (a *arrange) draw() {
	d := a.drag
	if d.thing == viewmodel.Nothing || a.model.Now == nil {
		return
	}
	a.clip(a.frame.Field)
	shape := a.model.Now.Outline(d.thing)
	corners := make([]geom.Vec, len(shape))
	for i, v := range shape {
		corners[i] = a.view.Pixel(d.pose.ToWorld(v))
	}
	a.pen.Stroke([][]geom.Vec{corners}, true, 2, a.accent)
	at := a.view.Pixel(d.pose.At())
	tip := a.view.Pixel(d.pose.ToWorld(geom.Vec{X: a.model.Now.Extent(d.thing)}))
	a.pen.Segment(at.X, at.Y, tip.X, tip.Y, 2, a.accent)
	a.plate(viewmodel.PoseWords(a.model.Units, d.pose),
		geom.Vec{X: at.X, Y: at.Y - a.model.Now.Extent(d.thing)*a.view.Scale - 18})
	a.pen.Unclip()
}
