package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// Way is the direction in which Face turns.
type Way int

const (
	Shortest         Way = iota // whichever is less
	CounterClockwise            // to the left
	Clockwise                   // to the right
)

// Face turns on the spot to a heading of the field, in radians. With Reverse the robot's back faces it. Options Speed
// and Accel do not count; TurnRate and TurnAccel do.
func Face(heading float64, way Way, o Options) (*Motion, error) {
	if err := finite("face", "heading", heading); err != nil {
		return nil, err
	}
	return newFace(way, o, func(*reading) (float64, bool) { return heading, true })
}

// FacePoint turns on the spot towards a point of the field; with Reverse it turns the back towards it. A point under
// the robot needs no turn.
func FacePoint(at geom.Vec, way Way, o Options) (*Motion, error) {
	if err := checkPoint("face", "point", at); err != nil {
		return nil, err
	}
	return newFace(way, o, func(now *reading) (float64, bool) {
		dx, dy := at.X-now.at.X, at.Y-now.at.Y
		return portable.Atan2(dy, dx), portable.Hypot(dx, dy) >= apart
	})
}

// newFace makes a Face whose heading is known at Start, if there is any.
func newFace(way Way, o Options, wanted func(now *reading) (heading float64, any bool)) (*Motion, error) {
	if way < Shortest || way > Clockwise {
		return nil, &ArgumentError{"face", "way", "must be Shortest, CounterClockwise or Clockwise"}
	}
	if err := o.noExit("face"); err != nil {
		return nil, err
	}
	m, err := newMotion("face", o)
	if err != nil {
		return nil, err
	}
	m.kind = toHeading
	m.lay = func(m *Motion) error {
		m.goal = m.now.pose()
		heading, any := wanted(&m.now)
		if !any {
			return nil
		}
		if o.Reverse {
			heading += math.Pi
		}
		delta := turnBetween(m.now.heading, heading, way)
		m.goal.Heading += delta
		if math.Abs(delta) > m.withinAngle {
			m.legs = append(m.legs, newTurn(&m.ability, &m.now, heading, way))
		}
		return nil
	}
	return m, nil
}

// checkPoint rejects points that are no place.
func checkPoint(of, argument string, p geom.Vec) error {
	if err := finite(of, argument+": x", p.X); err != nil {
		return err
	}
	return finite(of, argument+": y", p.Y)
}
