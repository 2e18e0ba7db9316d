package scene

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var scorerKind = kind{
	usual: behind,
	place: func(at *PartMount, _ geom.Polygon, p robot.Part) { at.At = p.Scorer.At },
	file: func(d *drawing, p robot.Part, _ geom.Pose) (geom.Vec, float64) {
		at := p.Scorer.At
		d.item(Item{Kind: Mark, Shape: Dart, At: at.At(), Heading: at.Heading, Radius: Size{Metres: 0.014}, Fill: Accent,
			Avoid: true})
		d.reached(at.At())
		return at.At(), 0.012
	},
	value: func(*robot.Part) Value { return Value{Name: "pieces scored", Scale: 1} },
	says:  func(_ record.PartSample, value, _ string) string { return value + " scored" },
}
