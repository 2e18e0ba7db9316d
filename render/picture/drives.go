package picture

import (
	"fmt"
	"math"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Sizes of the picture of test drives, everyday pixels.
const (
	drivesMargin = 16.0
	drivesGap    = 18.0
	drivesLine   = 17.0
)

// Drives draws test drives, a room each: where the robot starts, its way, and the rectangle that all rehearsed robots
// stayed in.
func Drives(in units.System, p *testdrive.Plan, width float64) Drawing {
	columns := max(1, int(width/360))
	each := (width - 2*drivesMargin - float64(columns-1)*drivesGap) / float64(columns)
	scale := each / p.Room.Length
	tall := scale*p.Room.Width + 2*drivesLine + drivesGap
	rows := (len(p.Drives) + columns - 1) / columns
	head := onPage(width - 2*drivesMargin).Print(&report.Document{Title: p.Title() + ", in a room of " + p.Room.In(in),
		Head: []string{"solid: outline at the start, with its front; dashed: no rehearsal left it; line: the way of the " +
			"outline's middle"}})
	top := drivesMargin + head.Height + drivesLine/2
	return Drawing{Title: p.Title(), Width: width, Height: math.Ceil(top + float64(rows)*tall), Ground: scene.Slate,
		Draw: func(to paint.Painter) {
			head.Draw(to, new(paint.Drawer), geom.Vec{X: drivesMargin, Y: drivesMargin}, 0, top)
			for i := range p.Drives {
				at := geom.Vec{X: drivesMargin + float64(i%columns)*(each+drivesGap), Y: top + float64(i/columns)*tall}
				drawDrive(to, in, p, &p.Drives[i], at, scale)
			}
		}}
}

// drawDrive draws one in its room, whose upper left corner, with the heading's lines above, is at a place.
func drawDrive(to paint.Painter, in units.System, p *testdrive.Plan, d *testdrive.Drive, at geom.Vec, scale float64) {
	most := scale * p.Room.Length
	words(to, paint.Fit(paint.Clean(d.Name), most, smallSize, true), at.X, at.Y+smallSize, smallSize, true, scene.Chalk)
	start := fmt.Sprintf("starts at %s, %s %s", in.Number("%.0f mm", d.Start.X), in.Number("%.0f mm", d.Start.Y),
		in.Name("mm"))
	words(to, paint.Fit(start, most, smallSize, false), at.X, at.Y+drivesLine+smallSize, smallSize, false, scene.Dust)
	floor := geom.Vec{X: at.X, Y: at.Y + 2*drivesLine + 4 + scale*p.Room.Width} // its lower left corner
	spot := func(v geom.Vec) geom.Vec { return geom.Vec{X: floor.X + scale*v.X, Y: floor.Y - scale*v.Y} }
	all := func(from []geom.Vec) []geom.Vec {
		out := make([]geom.Vec, len(from))
		for i, v := range from {
			out[i] = spot(v)
		}
		return out
	}
	room := all(geom.Rect(geom.Vec{}, geom.Vec{X: p.Room.Length, Y: p.Room.Width}))
	to.Fill(room, scene.SlateTop)
	to.Stroke([][]geom.Vec{room}, true, 1.5, scene.Dust)
	new(paint.Drawer).Stroke(to, all(geom.Rect(d.Reach[0], d.Reach[1])), true,
		scene.Pen{Width: 1.2, Colour: scene.Accent, Dash: scene.Dashed})
	way := make([]geom.Vec, len(d.Path))
	for i, pose := range d.Path {
		way[i] = pose.At()
	}
	to.Stroke([][]geom.Vec{all(way)}, false, 2, scene.Accent)
	c := p.Robot.Chassis
	outline := geom.Rect(geom.Vec{X: -c.Length / 2, Y: -c.Width / 2}, geom.Vec{X: c.Length / 2, Y: c.Width / 2})
	to.Stroke([][]geom.Vec{all(outline.Placed(d.Start))}, true, 1.5, scene.Chalk)
	front := []geom.Vec{d.Start.ToWorld(geom.Vec{X: c.Length / 4, Y: -c.Width / 6}),
		d.Start.ToWorld(geom.Vec{X: c.Length / 2.3}), d.Start.ToWorld(geom.Vec{X: c.Length / 4, Y: c.Width / 6})}
	to.Stroke([][]geom.Vec{all(front)}, false, 1.5, scene.Chalk)
	to.Disc(spot(d.Start.At()), 3, scene.Chalk)
}
