package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Mount is where a robot's mechanisms and distance sensors are, in its own frame. A record does not hold it; the robot
// file does.
type Mount struct {
	Parts []PartMount // in the order of the header's parts
	Rays  []RayMount
}

// PartMount is a mechanism's place.
type PartMount struct {
	At       geom.Pose // heading: outwards; conveyor: from the intake end along it
	Width    float64   // m across the heading
	Length   float64   // m: conveyor, arm
	Elevator bool      // a lift whose value is a height in m, from Low to High
	Low      float64
	High     float64
}

// RayMount is a distance sensor's place and its index among the record's sensors.
type RayMount struct {
	Sensor int
	At     geom.Pose
}

// MountOf reads the places from a robot file.
func MountOf(spec *robot.Robot) Mount {
	body := geom.Rect(geom.Vec{X: -spec.Chassis.Length / 2, Y: -spec.Chassis.Width / 2}, geom.Vec{X: spec.Chassis.Length / 2, Y: spec.Chassis.Width / 2})
	var m Mount
	for _, part := range spec.Parts {
		m.Parts = append(m.Parts, partMount(body, part))
	}
	for i, sensor := range spec.Sensors {
		if sensor.Kind == robot.Distance {
			m.Rays = append(m.Rays, RayMount{i, sensor.Distance.At})
		}
	}
	return m
}

func partMount(body geom.Polygon, part robot.Part) PartMount {
	at := guessPart(body, string(part.Kind))
	switch {
	case part.Intake != nil && len(part.Intake.Mouth) >= 3:
		low, high := part.Intake.Mouth.Bounds()
		middle := part.Intake.Mouth.Centroid()
		at.At, at.Width = geom.Pose{X: middle.X, Y: middle.Y, Heading: outwards(middle)}, math.Max(high.Y-low.Y, high.X-low.X)
	case part.Conveyor != nil:
		from, to := part.Conveyor.Exit, part.Conveyor.Out.At()
		if length := distance(from, to); length > 0 {
			at.At, at.Length = geom.Pose{X: from.X, Y: from.Y, Heading: math.Atan2(to.Y-from.Y, to.X-from.X)}, length
		}
	case part.Clamp != nil:
		at.At = edge(body, part.Clamp.At)
	case part.Scorer != nil:
		at.At = part.Scorer.At
	case part.Claw != nil:
		at.At = edge(body, geom.Pose{X: part.Claw.At.X, Y: part.Claw.At.Y, Heading: outwards(part.Claw.At.At())})
		at.Length = distance(at.At.At(), part.Claw.At.At())
	case part.Lift != nil:
		at.Elevator, at.Low, at.High = part.Lift.Elevator, part.Lift.Low, part.Lift.High
		if part.Lift.Arm > 0 {
			at.Length = part.Lift.Arm
		}
	}
	return at
}

// outwards is the direction of an axis, nearest to that of a place as seen from the origin.
func outwards(v geom.Vec) float64 {
	return math.Round(math.Atan2(v.Y, v.X)/(math.Pi/2)) * (math.Pi / 2)
}

// edge moves a pose against or along its heading onto the outline's farthest reach in that direction.
func edge(outline geom.Polygon, at geom.Pose) geom.Pose {
	forward := at.Forward()
	far := math.Inf(-1)
	for _, v := range outline {
		far = math.Max(far, v.X*forward.X+v.Y*forward.Y)
	}
	move := far - (at.X*forward.X + at.Y*forward.Y)
	return geom.Pose{X: at.X + move*forward.X, Y: at.Y + move*forward.Y, Heading: at.Heading}
}

// guessMount places mechanisms where machines usually have them: the intake before, the clamp behind, the claw at the left.
func guessMount(robot record.Robot, outline geom.Polygon) Mount {
	m := Mount{Parts: make([]PartMount, len(robot.Parts))}
	for i, part := range robot.Parts {
		m.Parts[i] = guessPart(outline, part.Kind)
	}
	return m
}

func guessPart(outline geom.Polygon, kind string) PartMount {
	low, high := outline.Bounds()
	length, width := high.X-low.X, high.Y-low.Y
	at := PartMount{Width: 0.55 * width, Length: 0.5 * length, Low: -math.Pi / 2, High: math.Pi / 2}
	switch robot.Kind(kind) {
	case robot.KindIntake:
		at.At = geom.Pose{X: high.X}
	case robot.KindConveyor:
		at.At, at.Length = geom.Pose{X: high.X - 0.2*length, Heading: math.Pi}, 0.6*length
	case robot.KindClamp, robot.KindScorer:
		at.At = geom.Pose{X: low.X, Heading: math.Pi}
	case robot.KindClaw:
		at.At = geom.Pose{Y: high.Y, Heading: math.Pi / 2}
	}
	return at
}
