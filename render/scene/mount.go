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
	Eyes  []EyeMount
}

// PartMount is a mechanism's place.
type PartMount struct {
	At       geom.Pose // heading: outwards; conveyor: from the intake end along it
	Width    float64   // m across the heading
	Length   float64   // m: conveyor, arm
	Elevator bool      // a lift whose value is a height in m, from Low to High
	Low      float64
	High     float64
	Name     string
	Ends     []robot.End
}

// RayMount is a distance sensor's place and its index among the record's sensors.
type RayMount struct {
	Sensor int
	At     geom.Pose
}

// EyeMount is the place of a sensor of marks, and its name, with which those of its numbers begin.
type EyeMount struct {
	Name string
	At   geom.Pose
}

// MountOf reads the places from a robot file.
func MountOf(spec *robot.Robot) Mount {
	body := spec.Chassis.Shape()
	var m Mount
	for _, part := range spec.Parts {
		at := partMount(body, part)
		at.Name, at.Ends = part.Name, part.Ends(spec)
		m.Parts = append(m.Parts, at)
	}
	for i, sensor := range spec.Sensors {
		if sensor.Kind == robot.Distance {
			m.Rays = append(m.Rays, RayMount{i, sensor.Distance.At})
		}
		if sensor.Kind == robot.Mark {
			m.Eyes = append(m.Eyes, EyeMount{sensor.Name, sensor.Mark.At})
		}
	}
	return m
}

func partMount(body geom.Polygon, part robot.Part) PartMount {
	at := guessPart(body, string(part.Kind))
	if place := kinds[part.Kind].place; place != nil {
		place(&at, body, part)
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

// guessMount places mechanisms where machines usually have them: the intake before, the clamp behind, the claw at the
// left.
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
	if usual := kinds[robot.Kind(kind)].usual; usual != nil {
		usual(&at, low, high)
	}
	return at
}
