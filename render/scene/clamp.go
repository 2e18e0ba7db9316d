package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var clampKind = kind{
	usual: behind,
	place: func(at *PartMount, body geom.Polygon, p robot.Part) { at.At = edge(body, p.Clamp.At) },
	state: (*bench).clamp,
	file: func(d *drawing, p robot.Part, at geom.Pose) (geom.Vec, float64) {
		d.clamp(p.Clamp, at)
		return at.At(), 0.012
	},
	value: func(*robot.Part) Value { return Value{Name: "shut", Unit: truths.Unit, Scale: 1, Truth: true} },
	says: func(s record.PartSample, _, held string) string {
		if s.Value > 0 {
			return "shut" + held
		}
		return "open" + held
	},
}

// behind puts a mechanism at the back edge.
func behind(at *PartMount, low, _ geom.Vec) { at.At = geom.Pose{X: low.X, Heading: math.Pi} }

// clamp is two jaws, apart when open, closing when shut.
func (k *bench) clamp(state record.PartSample) {
	root, tip, pen := 0.30*k.at.Width, 0.62*k.at.Width, k.rest
	if state.Value >= 0.5 {
		tip, pen = 0.18*k.at.Width, k.busy
		pen.Width = 3
	}
	long := 0.28 * k.at.Width
	k.line(pen, geom.Vec{X: long, Y: tip}, geom.Vec{Y: root}, geom.Vec{Y: -root}, geom.Vec{X: long, Y: -tip})
}

// clamp is two jaws at the body's edge, and the place of the goal's centre when it is held.
func (d *drawing) clamp(c *robot.Clamp, edge geom.Pose) {
	const root, tip, long = 0.06, 0.085, 0.04 // how the jaws are drawn; robot files do not give it
	d.line(Pen{Width: 3, Colour: Accent}, edge, geom.Vec{X: long, Y: tip}, geom.Vec{Y: root}, geom.Vec{Y: -root},
		geom.Vec{X: long, Y: -tip})
	d.item(Item{Kind: Mark, Shape: Cross, At: c.At.At(), Radius: Size{Pixels: 6}, Fill: Accent, Avoid: true})
	d.explain(LegendRow{Words: "goal held: its centre", Shape: Cross, Fill: Accent})
	d.reached(c.At.At())
}
