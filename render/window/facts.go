package window

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// facts tell about what is pointed at or selected.
type facts struct {
	*fieldView
	out io.Writer // where a place goes that no clipboard took
}

const (
	factRow  = 16.0
	factName = 70.0
	factMost = 5  // facts told near a thing: the page of the robot and the routine tell more
	factGap  = 10 // points between a thing and what is told of it
)

// asked is the thing that the facts are about: what is pointed at, else what is selected.
func (f *facts) asked() (viewmodel.Thing, geom.Vec) {
	if thing := f.aim.thing; f.aim.valid && thing != viewmodel.Nothing && thing.Kind != viewmodel.FloorThing {
		return thing, f.aim.at
	}
	if f.model.Selected == viewmodel.Nothing {
		return f.aim.thing, f.aim.at
	}
	return f.model.Selected, f.aim.at
}

// factCard is what is told about a thing, and where.
type factCard struct {
	name  string
	facts []viewmodel.Fact
	box   Rect
}

// now tells about the thing asked after, beside it. Without facts there is no card.
func (f *facts) now() (factCard, bool) {
	if _, held := f.model.Held(); f.model.Now == nil || held { // nothing is asked after while a number is turned
		return factCard{}, false
	}
	over := f.under()
	handle := over != nil && strings.HasPrefix(over.Name, "handle ")
	if menu := f.card != nil && f.card.menu != nil; menu || handle { // these tell of the place
		return factCard{}, false
	}
	thing, at := f.asked()
	facts, lua := f.model.Facts(thing, f.model.Time, at)
	if len(facts) == 0 || f.model.Mode == viewmodel.Drive || thing.Kind == viewmodel.FloorThing {
		return factCard{}, false
	}
	facts = facts[:min(len(facts), factMost)]
	name := f.model.NameOf(thing)
	if lua != "" {
		name += "   (C copies the place)"
	}
	around := 0.0
	if pose, ok := f.model.Now.PoseOf(thing, f.model.Time); ok {
		at, around = pose.At(), f.model.Now.Extent(thing)
	}
	return factCard{name, facts, f.box(name, facts, f.view.Pixel(at), around*f.view.Scale+factGap)}, true
}

// cover is the part of the field that the card of facts will cover.
func (f *facts) cover() []paint.Box {
	c, ok := f.now()
	if !ok {
		return nil
	}
	return []paint.Box{{Left: c.box.X, Top: c.box.Y, Right: c.box.Right(), Bottom: c.box.Bottom()}}
}

func (f *facts) draw() {
	c, ok := f.now()
	if !ok {
		return
	}
	box := c.box
	f.fill(box, f.panel)
	f.pen.Rect(box.X, box.Y, 3, box.H, f.accent)
	row := Rect{X: box.X + 10, Y: box.Y + 3, W: box.W - 16, H: factRow}
	f.words(c.name, row, small, true, scene.Chalk)
	for _, fact := range c.facts {
		row.Y += factRow
		f.words(fact.Name, row.Left(factName), small, false, scene.Dust)
		f.words(fact.Value, row.Rest(factName), small, false, scene.Chalk)
	}
}

// box is beside a thing: on the side where it has room, and as near as the field lets.
func (f *facts) box(name string, facts []viewmodel.Fact, at geom.Vec, around float64) Rect {
	area := f.frame.Field.Inset(4)
	width := paint.Width(paint.Clean(name), small, true)
	for _, fact := range facts {
		width = math.Max(width, factName+paint.Width(paint.Clean(fact.Value), small, false))
	}
	width = math.Min(width+18, area.W)
	height := math.Min(float64(len(facts)+1)*factRow+6, area.H)
	box := Rect{W: width, H: height}
	within := func(x, least, most float64) float64 { return geom.Clamp(x, least, math.Max(least, most)) }
	box.Y = within(at.Y-height/2, area.Y, area.Bottom()-height)
	switch {
	case at.X+around+width <= area.Right():
		box.X = at.X + around
	case at.X-around-width >= area.X:
		box.X = at.X - around - width
	default:
		box.X = within(at.X-width/2, area.X, area.Right()-width)
		box.Y = at.Y + around
		if box.Bottom() > area.Bottom() {
			box.Y = within(at.Y-around-height, area.Y, area.Bottom()-height)
		}
	}
	return box
}

// copyPlace copies the Lua of what is asked after. Where there is no clipboard the text goes to standard output, and
// the note at the bottom says so and shows it.
func (f *facts) copyPlace() {
	thing, at := f.asked()
	_, lua := f.model.Facts(thing, f.model.Time, at)
	if f.model.Mode == viewmodel.Measure && f.model.Measured.Points > 0 {
		lua = viewmodel.LuaPoint(f.model.Measured.B)
	}
	if lua == "" {
		f.model.Say("Point at a thing, or select one with Tab, to copy its place.")
		return
	}
	if err := toClipboard(lua); err != nil {
		fmt.Fprintln(f.out, lua)
		f.model.Say(fmt.Sprintf("%s   (printed on standard output: %v)", lua, err))
		return
	}
	f.model.Say("Copied " + lua)
}
