package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// drawScene draws the ground, then what belongs to other moments or runs, then all the rest with every label.
func (g *game) drawScene(run *viewmodel.Run) {
	ground, rest := g.split()
	v, area := g.field.view, g.frame.Field
	axes := g.axesOf(area)
	rest.Layers[0].Labels = append(rest.Layers[0].Labels, axes.labels...)
	content := noPrint.items(ground.Layers).number(v.Scale).number(v.Origin.X).number(v.Origin.Y).number(g.density).rect(area)
	g.drawStill(&g.resting, content, area, func() {
		g.drawFieldGround()
		g.pen.Clip(area.X, area.Y, area.W, area.H)
		g.drawer.Draw(g.pen, &ground, v)
		g.pen.Unclip()
	})
	g.pen.Clip(area.X, area.Y, area.W, area.H)
	g.drawBefore()
	if g.model.Mode == viewmodel.Arrange {
		g.drawWay(&g.arranger, run, math.Inf(1), scene.Pen{Width: 2, Colour: g.tint.Accent})
	}
	g.drawTicks(axes)
	g.drawer.Items(g.pen, &rest, v)
	g.drawSelection() // under the labels: its corners must not strike words through
	g.drawer.Covered = g.factsCover()
	g.drawer.Labels(g.pen, &rest, v)
	g.drawer.Covered = nil
	g.pen.Unclip()
}

// split parts the scene into what seldom changes (ground, goals and pieces) and the rest. The labels all go with the
// rest, because they keep off each other, and so do unseen copies of what they keep off.
func (g *game) split() (ground, rest scene.Scene) {
	ground, rest = *g.drawn, *g.drawn
	first := len(g.drawn.Layers)
	var unseen scene.Layer
	for i, layer := range g.drawn.Layers {
		if layer.Overlay >= scene.Plan {
			first = i
			break
		}
		unseen.Labels = withoutAxes(unseen.Labels, layer.Labels)
		for _, item := range layer.Items {
			if item.Avoid {
				item.Fill, item.Pen, item.Shades = scene.Colour{}, scene.Pen{}, nil
				unseen.Items = append(unseen.Items, item)
			}
		}
	}
	ground.Layers = make([]scene.Layer, first)
	for i, layer := range g.drawn.Layers[:first] {
		ground.Layers[i] = scene.Layer{Overlay: layer.Overlay, Items: layer.Items}
	}
	rest.Layers = append([]scene.Layer{unseen}, g.drawn.Layers[first:]...)
	return ground, rest
}

// paleInk draws the run before.
var paleInk = scene.Colour{R: scene.Dust.R, G: scene.Dust.G, B: scene.Dust.B, A: 190}

// drawBefore draws the way of the run before, and where its robot was at this time, faintly. While things are arranged
// the whole way is shown.
func (g *game) drawBefore() {
	if !g.showsBefore() {
		return
	}
	before := g.model.Before
	until := g.model.Time
	if g.model.Mode == viewmodel.Arrange {
		until = math.Inf(1)
	}
	pen := scene.Pen{Width: 2.5, Colour: paleInk}
	g.drawWay(&g.paler, before, until, pen)
	if pose, ok := before.PoseOf(viewmodel.Thing{Kind: viewmodel.RobotThing, Index: g.model.Robot}, g.model.Time); ok {
		shape := before.Outline(viewmodel.Thing{Kind: viewmodel.RobotThing, Index: g.model.Robot}).Placed(pose)
		g.drawItems(scene.Item{Kind: scene.Area, Points: shape, Pen: scene.Pen{Width: 1.5, Colour: paleInk,
			Dash: scene.Dashed}})
	}
}

func (g *game) showsBefore() bool { return g.model.Before != nil && g.model.Pale && !g.model.Driving() }

// drawWay draws a run's trail with one pen, until a time.
func (g *game) drawWay(b *scene.Builder, run *viewmodel.Run, until float64, pen scene.Pen) {
	until = math.Min(until, run.Index.End())
	way := b.Build(scene.Input{
		Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: until,
		Options: scene.Options{Show: scene.Trail, Focus: g.model.Robot},
	})
	for _, layer := range way.Layers {
		for _, item := range layer.Items {
			if len(item.Shades) > 0 { // only the robot spoken of is drawn in shades
				g.drawItems(scene.Item{Kind: scene.Line, Points: append([]geom.Vec(nil), item.Points...), Pen: pen})
			}
		}
	}
}

func (g *game) drawItems(items ...scene.Item) {
	g.drawer.Draw(g.pen, &scene.Scene{Layers: []scene.Layer{{Items: items}}}, g.field.view)
}
