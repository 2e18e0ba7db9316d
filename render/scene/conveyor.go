package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var conveyorKind = kind{
	usual: func(at *PartMount, low, high geom.Vec) {
		length := high.X - low.X
		at.At, at.Length = geom.Pose{X: high.X - 0.2*length, Heading: math.Pi}, 0.6*length
	},
	place: func(at *PartMount, _ geom.Polygon, p robot.Part) {
		from, to := p.Conveyor.Exit, p.Conveyor.Out.At()
		if length := distance(from, to); length > 0 {
			at.At, at.Length = geom.Pose{X: from.X, Y: from.Y, Heading: math.Atan2(to.Y-from.Y, to.X-from.X)}, length
		}
	},
	state: (*bench).conveyor,
	file:  func(d *drawing, p robot.Part, _ geom.Pose) (geom.Vec, float64) { return d.conveyor(p.Conveyor), 0.012 },
	says:  func(_ record.PartSample, value, _ string) string { return value + " on it" },
}

// conveyor is a pair of rails.
func (k *bench) conveyor(record.PartSample) {
	y := 0.28 * (k.robot.high.Y - k.robot.low.Y)
	k.line(k.rest, geom.Vec{Y: y}, geom.Vec{X: k.at.Length, Y: y})
	k.line(k.rest, geom.Vec{Y: -y}, geom.Vec{X: k.at.Length, Y: -y})
}

// conveyor is a belt from the intake end to the scoring end; it gives its middle.
func (d *drawing) conveyor(c *robot.Conveyor) geom.Vec {
	const halfWidth = 0.035 // robot files do not give it
	from, to := c.Exit, c.Out.At()
	length := distance(from, to)
	frame := geom.Pose{X: from.X, Y: from.Y, Heading: math.Atan2(to.Y-from.Y, to.X-from.X)}
	for _, y := range []float64{-halfWidth, halfWidth} {
		d.line(partPen, frame, geom.Vec{Y: y}, geom.Vec{X: length, Y: y})
	}
	for _, share := range []float64{0.2, 0.8} {
		d.item(Item{Kind: Mark, Shape: Dart, At: frame.ToWorld(geom.Vec{X: share * length}), Heading: frame.Heading,
			Radius: Size{Metres: 0.010}, Fill: Accent, Avoid: true})
	}
	d.reached(from)
	d.reached(to)
	return frame.ToWorld(geom.Vec{X: 0.62 * length, Y: halfWidth})
}
