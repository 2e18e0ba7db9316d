package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var intakeKind = kind{
	usual: func(at *PartMount, _, high geom.Vec) { at.At = geom.Pose{X: high.X} },
	place: func(at *PartMount, _ geom.Polygon, p robot.Part) {
		if mouth := p.Intake.Mouth; len(mouth) >= 3 {
			middle := mouth.Centroid()
			at.At = geom.Pose{X: middle.X, Y: middle.Y, Heading: p.Intake.Facing}
			low, high := mouth.Placed(geom.Pose{Heading: -p.Intake.Facing}).Bounds()
			at.Width = high.Y - low.Y
		}
	},
	state: (*bench).intake,
	file: func(d *drawing, p robot.Part, at geom.Pose) (geom.Vec, float64) {
		d.item(Item{Kind: Area, Points: p.Intake.Mouth, Pen: Pen{Width: 2, Colour: Accent, Dash: Dashed}, Avoid: true})
		d.item(Item{Kind: Mark, Shape: Dart, At: at.At(), Heading: p.Intake.Facing + math.Pi, Radius: Size{Metres: 0.013},
			Fill: Accent, Avoid: true})
		for _, v := range p.Intake.Mouth {
			d.reached(v)
		}
		return at.At(), 0.012
	},
	value: func(*robot.Part) Value { return Value{Name: "roller speed", Unit: "mm/s", Scale: 1000} },
}

// rollerMoves is the roller surface speed from which an intake counts as running, m/s.
const rollerMoves = 0.02

// intake is a roller; it runs in or out as its darts point.
func (k *bench) intake(state record.PartSample) {
	half := k.at.Width / 2
	running := math.Abs(state.Value) > rollerMoves
	pen := k.rest
	if running {
		pen = k.busy
		pen.Width = 3
	}
	k.line(pen, geom.Vec{Y: -half}, geom.Vec{Y: half})
	if !running {
		return
	}
	frame := k.pose.Compose(k.at.At)
	inwards := frame.Heading + math.Pi
	if state.Value < 0 {
		inwards = frame.Heading
	}
	for _, y := range []float64{-0.6, 0.6} {
		k.layer.add(Item{Kind: Mark, Shape: Dart, At: frame.ToWorld(geom.Vec{X: 0.14 * k.at.Width, Y: y * half}),
			Heading: inwards,
			Radius:  Size{Metres: 0.09 * k.at.Width, Pixels: 1}, Fill: Chalk})
	}
}
