package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var clawKind = kind{
	usual: func(at *PartMount, _, high geom.Vec) { at.At = geom.Pose{Y: high.Y, Heading: math.Pi / 2} },
	place: func(at *PartMount, body geom.Polygon, p robot.Part) {
		mouth := p.Claw.At.At()
		at.At = edge(body, geom.Pose{X: mouth.X, Y: mouth.Y, Heading: outwards(mouth)})
		at.Length = distance(at.At.At(), mouth)
	},
	state: (*bench).claw,
	file: func(d *drawing, p robot.Part, _ geom.Pose) (geom.Vec, float64) {
		d.claw(p.Claw)
		return p.Claw.At.At(), 0.03
	},
	says: func(s record.PartSample, _, held string) string {
		if s.Body < 0 {
			return "empty"
		}
		return "closed" + held
	},
}

// claw is two fingers, drawn beyond the outline when it is out.
func (k *bench) claw(state record.PartSample) {
	wide := 0.12 * (k.robot.high.X - k.robot.low.X)
	if !state.Out && state.Body < 0 {
		k.line(k.rest, geom.Vec{X: -wide, Y: -wide}, geom.Vec{Y: -wide}, geom.Vec{Y: wide}, geom.Vec{X: -wide, Y: wide})
		return
	}
	out := math.Max(k.at.Length, wide)
	k.line(k.busy, geom.Vec{}, geom.Vec{X: out * 0.5})
	k.line(k.busy, geom.Vec{X: out + wide, Y: wide}, geom.Vec{X: out * 0.5, Y: wide}, geom.Vec{X: out * 0.5, Y: -wide},
		geom.Vec{X: out + wide, Y: -wide})
	if id := state.Body; id >= 0 && id < len(k.b.bodies) && !k.b.bodies[id].goal {
		piece := &k.b.bodies[id]
		at := k.pose.Compose(k.at.At).ToWorld(geom.Vec{X: out + wide})
		k.layer.add(Item{Kind: Disc, At: at, Radius: Size{Metres: piece.radius * 0.6}, Fill: piece.fill,
			Pen: Pen{Width: 1.5, Colour: piece.line}})
	}
}

// claw is two fingers about the place of the piece that it takes.
func (d *drawing) claw(c *robot.Claw) {
	const wide = 0.03
	d.line(partPen, c.At, geom.Vec{X: wide, Y: wide}, geom.Vec{X: -wide / 2, Y: wide}, geom.Vec{X: -wide / 2, Y: -wide},
		geom.Vec{X: wide, Y: -wide})
	d.item(Item{Kind: Mark, Shape: Diamond, At: c.At.At(), Radius: Size{Pixels: 5}, Fill: Accent, Avoid: true})
	d.explain(LegendRow{Words: "piece held: the claw's place, deployed", Shape: Diamond, Fill: Accent})
	d.reached(c.At.At())
}
