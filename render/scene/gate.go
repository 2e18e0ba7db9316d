package scene

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var gateKind = kind{
	usual: func(at *PartMount, low, high geom.Vec) {
		at.At, at.Width = geom.Pose{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}, 0.2*(high.Y-low.Y)
	},
	place: func(at *PartMount, _ geom.Polygon, p robot.Part) { at.At, at.Width = p.Gate.At, gateWidth },
	state: (*bench).gate,
	file: func(d *drawing, p robot.Part, _ geom.Pose) (geom.Vec, float64) {
		d.gate(p.Gate)
		return p.Gate.At.At(), 0.03
	},
	value: func(*robot.Part) Value { return Value{Name: "open", Unit: truths.Unit, Scale: 1, Truth: true} },
	says: func(s record.PartSample, _, _ string) string {
		switch {
		case s.Out:
			return "open: throws out"
		case s.Value > 0:
			return "opening"
		}
		return "shut: lets pass"
	},
}

const gateWidth = 0.07 // m, as wide as a conveyor is drawn; robot files do not give it

// gate is a bar where it stands: across the way out when shut, across the belt, with a dart, when it throws out.
func (k *bench) gate(state record.PartSample) {
	half := k.at.Width / 2
	if !state.Out {
		k.line(k.rest, geom.Vec{X: half, Y: -half}, geom.Vec{X: half, Y: half})
		return
	}
	pen := k.busy
	pen.Width = 3
	k.line(pen, geom.Vec{X: -half, Y: -half}, geom.Vec{X: half, Y: half})
	at := k.pose.Compose(k.at.At)
	k.layer.add(Item{Kind: Mark, Shape: Dart, At: at.ToWorld(geom.Vec{X: 2 * half}), Heading: at.Heading,
		Radius: Size{Metres: half / 2}, Fill: Chalk})
}

// gate is a bar aslant over the belt, and the way of what is thrown out.
func (d *drawing) gate(g *robot.Gate) {
	const half = gateWidth / 2
	d.line(Pen{Width: 3, Colour: Accent}, g.At, geom.Vec{X: -half, Y: -half}, geom.Vec{X: half, Y: half})
	if g.Into >= 0 {
		return
	}
	out := g.Out.At()
	way := Pen{Width: 1.5, Colour: Accent, Dash: Dotted}
	d.line(way, geom.Pose{}, g.At.At(), out)
	d.explain(LegendRow{Words: "thrown out: the way of a piece", Line: way})
	d.item(Item{Kind: Mark, Shape: Dart, At: out, Heading: g.Out.Heading, Radius: Size{Metres: 0.012}, Fill: Accent,
		Avoid: true})
	d.reached(out)
}
