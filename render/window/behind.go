package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// behind is a run that is shown behind another: the one before, or the one beside it.
type behind struct {
	builder *scene.Builder
	now     *viewmodel.Run
	run     *viewmodel.Run // nil: none is shown
	robot   int
	pale    scene.Colour
}

// behind is the one shown now.
func (f *field) behind(b *scene.Builder) behind {
	h := behind{builder: b, now: f.model.Now, robot: f.model.Robot, pale: f.pale}
	if f.model.ShowsBefore() {
		h.run, _ = f.model.Compares()
	}
	return h
}

// items are its way until a time and, for where it was at another, its robot. They are valid until the next of the same
// builder.
func (h behind) items(t, until float64) []scene.Item {
	if h.run == nil {
		return nil
	}
	items := wayOf(h.builder, h.run, h.robot, until, scene.Pen{Width: 2.5, Colour: h.pale})
	if other := h.now.Other; other != nil {
		return append(items, h.beside(other, t)...)
	}
	thing := viewmodel.Thing{Kind: viewmodel.RobotThing, Index: h.robot}
	if pose, ok := h.run.PoseOf(thing, t); ok {
		items = append(items, scene.Item{Kind: scene.Area, Points: h.run.Outline(thing).Placed(pose),
			Pen: scene.Pen{Width: 1.5, Colour: h.pale, Dash: scene.Dashed}})
	}
	return items
}

// beside is the robot of the run beside, paler, and where the two parted.
func (h behind) beside(other *viewmodel.OtherRun, t float64) (items []scene.Item) {
	s := h.builder.Build(scene.Input{Field: other.Setup.Field, Record: other.Record, Index: other.Index,
		Mounts: other.Mounts, T: math.Min(t, other.Index.End()), Options: scene.Options{Show: scene.Robots}})
	for _, layer := range s.Layers {
		for _, item := range layer.Items {
			item.Fill, item.Pen.Colour = paled(item.Fill), paled(item.Pen.Colour)
			items = append(items, item)
		}
	}
	if other.Parts > t {
		return items
	}
	for _, run := range []*viewmodel.Run{h.now, other.Run} {
		if pose, ok := run.PoseOf(viewmodel.Thing{Kind: viewmodel.RobotThing}, other.Parts); ok {
			items = append(items, scene.Item{Kind: scene.Disc, At: pose.At(), Radius: scene.Size{Pixels: 7},
				Pen: scene.Pen{Width: 2, Colour: scene.Chalk}})
		}
	}
	return items
}

// paled is a colour half on its way to the floor's; nothing stays nothing.
func paled(c scene.Colour) scene.Colour {
	if c.A == 0 {
		return c
	}
	return scene.Mix(c, scene.SlateTop, 0.5)
}

// wayOf is a robot's trail in a run with one pen, until a time.
func wayOf(b *scene.Builder, run *viewmodel.Run, robot int, until float64, pen scene.Pen) (items []scene.Item) {
	way := b.Build(scene.Input{
		Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: math.Min(until, run.Index.End()),
		Options: scene.Options{Show: scene.Trail, Focus: robot},
	})
	for _, layer := range way.Layers {
		for _, item := range layer.Items {
			if len(item.Shades) > 0 { // only the robot spoken of is drawn in shades
				items = append(items, scene.Item{Kind: scene.Line, Points: append([]geom.Vec(nil), item.Points...), Pen: pen})
			}
		}
	}
	return items
}
