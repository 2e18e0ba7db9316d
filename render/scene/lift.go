package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var liftKind = kind{
	place: func(at *PartMount, _ geom.Polygon, p robot.Part) {
		at.Elevator, at.Low, at.High = p.Lift.Elevator, p.Lift.Low, p.Lift.High
		if p.Lift.Arm > 0 {
			at.Length = p.Lift.Arm
		}
	},
	state: (*bench).lift,
	file:  func(d *drawing, _ robot.Part, _ geom.Pose) (geom.Vec, float64) { return d.lift(), 0.028 },
	value: liftValue,
	says:  func(_ record.PartSample, value, _ string) string { return "at " + value },
}

// liftValue is a height for an elevator, an angle for an arm.
func liftValue(p *robot.Part) Value {
	q := Value{Name: "position", Unit: "rad or m", Scale: 1}
	switch {
	case p == nil || p.Lift == nil:
	case p.Lift.Elevator:
		q = lengths
		q.Name = "height"
	default:
		q = angles
		q.Name = "angle"
	}
	return q
}

// lift is a dial in the robot's rear corner: its hand is the arm's angle, 0 level to the front; an elevator's is a
// gauge.
func (k *bench) lift(state record.PartSample) {
	low, high := k.robot.low, k.robot.high
	radius := 0.13 * math.Min(high.X-low.X, high.Y-low.Y)
	k.at.At = geom.Pose{X: low.X + 1.5*radius, Y: low.Y + 1.5*radius}
	frame := k.pose.Compose(k.at.At)
	if k.at.Elevator {
		share := 0.0
		if k.at.High > k.at.Low {
			share = geom.Clamp((state.Value-k.at.Low)/(k.at.High-k.at.Low), 0, 1)
		}
		k.line(k.rest, geom.Vec{X: -radius}, geom.Vec{X: radius})
		k.line(Pen{Width: 4, Colour: Chalk}, geom.Vec{X: -radius}, geom.Vec{X: radius * (2*share - 1)})
		return
	}
	k.layer.add(Item{Kind: Disc, At: frame.At(), Radius: Size{Metres: radius}, Fill: Plate, Pen: k.rest})
	hand := geom.Unit(state.Value)
	k.line(k.busy, geom.Vec{}, geom.Vec{X: hand.X * radius, Y: hand.Y * radius})
}

// lift is the dial that it has in pictures of runs: a robot file does not say where it stands.
func (d *drawing) lift() geom.Vec {
	const radius = 0.025
	low, _ := d.body.Bounds()
	at := d.body.Nearest(geom.Vec{X: low.X + 2*radius, Y: 0.45 * low.Y})
	d.item(Item{Kind: Disc, At: at, Radius: Size{Metres: radius}, Fill: Plate, Pen: partPen, Avoid: true})
	d.line(partPen, geom.Pose{X: at.X, Y: at.Y}, geom.Vec{}, geom.Vec{X: radius * 0.8, Y: radius * 0.45})
	return at
}
