package picture

import (
	"fmt"
	"math"

	"chalkfield/internal/app/worth"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Worth draws a field with what its things are worth: discs, the larger the more points a second, with the number by
// which a table calls them; and the way to the best.
func Worth(in units.System, r *worth.Result, width float64) Drawing {
	s := scene.Build(scene.Input{Units: in, Field: r.Field})
	d, page := laid(s, int(width))
	field := d.Draw
	d.Title = r.Title + ": what it is worth"
	d.Draw = func(to paint.Painter) {
		field(to)
		drawWorth(to, &page.View, r)
	}
	return d
}

// worthRadius is that of the best one's disc, pixels; the least has a third of it.
const worthRadius = 15.0

// nameHigh is half of a zone's name, and air, pixels.
const nameHigh = 12.0

func drawWorth(to paint.Painter, view *paint.View, r *worth.Result) {
	if len(r.Tasks) == 0 || r.Tasks[0].PerSecond <= 0 {
		return
	}
	best := r.Tasks[0]
	way := []geom.Vec{view.Pixel(r.Start.At())}
	for _, p := range best.Drive.Poses {
		way = append(way, view.Pixel(p.At()))
	}
	new(paint.Drawer).Stroke(to, way, false, scene.Pen{Width: 2, Colour: scene.Accent, Dash: scene.Dashed})
	taken := map[geom.Vec]bool{}
	for i, t := range r.Tasks {
		if t.PerSecond <= 0 || taken[t.At] { // a thing has the number of its best task
			continue
		}
		taken[t.At] = true
		at, radius := view.Pixel(t.At), worthRadius*math.Max(1.0/3, math.Sqrt(t.PerSecond/best.PerSecond))
		if t.Thing == "robot" { // a zone, whose name stands in its middle
			at.Y -= worthRadius + nameHigh
		}
		to.Disc(at, radius, scene.Accent)
		text := fmt.Sprint(i + 1)
		half := paint.Width(text, smallSize, true) / 2
		if half > radius-1 {
			to.Disc(at, half+2, scene.Accent)
		}
		to.Text(paint.Text{Words: text, At: geom.Vec{X: at.X - half, Y: at.Y + 4}, Size: smallSize, Bold: true,
			Colour: scene.Slate, On: scene.Accent})
	}
}
