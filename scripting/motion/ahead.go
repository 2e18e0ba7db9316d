package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// Ahead drives a distance in metres straight along the heading that the robot has at Start, holding heading and line. A
// negative distance, or a positive one with Reverse, drives backwards.
func Ahead(distance float64, o Options) (*Motion, error) {
	const name = "ahead"
	if err := finite(name, "distance", distance); err != nil {
		return nil, err
	}
	if distance < 0 {
		distance, o.Reverse = -distance, !o.Reverse
	}
	m, err := newMotion(name, o)
	if err != nil {
		return nil, err
	}
	m.kind = alongLine
	m.lay = func(m *Motion) error {
		from := travelling(m.now.pose(), o.Reverse)
		end := from.ToWorld(geom.Vec{X: distance})
		start := m.robot()
		m.goal = geom.Pose{X: start.X + end.X - from.X, Y: start.Y + end.Y - from.Y, Heading: from.Heading}
		if distance > m.within {
			m.addLine(from.At(), end, o.Reverse)
		}
		return nil
	}
	return m, nil
}

// addLine adds a straight leg of the pivot. Where it is laid anew it aims at the same end, in a swing if the robot does
// not look there.
func (m *Motion) addLine(from, to geom.Vec, reverse bool) *curveLeg {
	start := geom.Pose{X: from.X, Y: from.Y, Heading: portable.Atan2(to.Y-from.Y, to.X-from.X)}
	return m.addCurve(start, reverse, func(c *curve, start geom.Pose) {
		end := geom.Pose{X: to.X, Y: to.Y, Heading: bearingOf(start, to)}
		if off := math.Abs(geom.WrapAngle(end.Heading - start.Heading)); off > straight && off < driveOff {
			c.swing(start, end)
			return
		}
		c.line(start.At(), to)
	})
}
