package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

const (
	factRow   = 18.0
	factName  = 78.0
	factWidth = 320.0
)

// asked is the thing that the facts are about: what is pointed at, else what is selected.
func (g *game) asked() (viewmodel.Thing, geom.Vec) {
	if thing := g.aim.thing; g.aim.valid && thing != viewmodel.Nothing && thing.Kind != viewmodel.FloorThing {
		return thing, g.aim.at
	}
	if g.model.Selected == viewmodel.Nothing {
		return g.aim.thing, g.aim.at
	}
	return g.model.Selected, g.aim.at
}

// factCard is what is told about a thing, and where.
type factCard struct {
	name  string
	facts []viewmodel.Fact
	box   Rect
}

// factsNow tells about the thing asked after, in the corner of the field that is farthest from it. Without facts there
// is no card.
func (g *game) factsNow() (factCard, bool) {
	thing, at := g.asked()
	facts, lua := g.model.Facts(thing, g.model.Time, at)
	if len(facts) == 0 || g.model.Mode == viewmodel.Drive || thing.Kind == viewmodel.FloorThing {
		return factCard{}, false
	}
	name := g.model.NameOf(thing)
	if lua != "" {
		name += "   (C copies the place as Lua)"
	}
	if pose, ok := g.model.Now.PoseOf(thing, g.model.Time); ok {
		at = pose.At()
	}
	return factCard{name, facts, g.factBox(facts, at)}, true
}

// factsCover is the part of the field that the card of facts will cover.
func (g *game) factsCover() []paint.Box {
	c, ok := g.factsNow()
	if !ok {
		return nil
	}
	return []paint.Box{{Left: c.box.X, Top: c.box.Y, Right: c.box.Right(), Bottom: c.box.Bottom()}}
}

func (g *game) drawFacts() {
	c, ok := g.factsNow()
	if !ok {
		return
	}
	box := c.box
	g.pen.Rect(box.X, box.Y, box.W, box.H, panel)
	g.pen.Rect(box.X, box.Y, 3, box.H, g.tint.Accent)
	row := Rect{X: box.X + 12, Y: box.Y + 6, W: box.W - 20, H: factRow}
	g.words(c.name, row, normal, true, scene.Chalk)
	for _, fact := range c.facts {
		if row.Y += factRow; row.Bottom() > box.Bottom() {
			return // a very low field
		}
		g.words(fact.Name, row.Left(factName), small, false, scene.Dust)
		g.words(fact.Value, row.Rest(factName), small, false, scene.Chalk)
	}
}

func (g *game) factBox(facts []viewmodel.Fact, at geom.Vec) Rect {
	area := g.frame.Field
	area.H -= g.field.legend
	width := math.Min(g.factsWidth(facts), area.W-16)
	height := math.Min(float64(len(facts)+1)*factRow+12, area.H-16)
	box := Rect{X: area.X + 8, Y: area.Bottom() - height - 8, W: width, H: height}
	pixel := g.field.view.Pixel(at)
	if pixel.X < area.X+area.W/2 {
		box.X = area.Right() - width - 8
	}
	if pixel.Y > area.Y+area.H/2 {
		box.Y = area.Y + 8
	}
	return box
}

// factsWidth is the width that the longest value needs.
func (g *game) factsWidth(facts []viewmodel.Fact) float64 {
	width := factWidth
	for _, fact := range facts {
		width = math.Max(width, factName+paint.Width(fact.Value, small, false)+24)
	}
	return math.Min(width, 0.6*g.frame.Field.W)
}
