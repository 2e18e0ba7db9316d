package motion

import (
	"math"

	"chalkfield/internal/geom"
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
		end := from.Out(geom.Vec{X: distance})
		m.goal = geom.Pose{X: end.X, Y: end.Y, Heading: from.Heading}
		if distance > m.within {
			m.addLine(from, distance)
		}
		return nil
	}
	return m, nil
}

// addLine adds a straight leg in the direction of travel. Where it is laid anew it aims at the same end.
func (m *Motion) addLine(from geom.Pose, length float64) {
	leg := &curveLeg{a: &m.ability, reverse: m.options.Reverse, exit: m.options.Exit}
	leg.curve.line(from, length, fine)
	end := leg.curve.end().At()
	leg.lay = func(c *curve, at geom.Pose) { layTowards(c, at.At(), end) }
	speed := 0.0
	if len(m.legs) == 0 {
		speed = leg.forward(&m.now)
	}
	leg.plan(speed)
	m.legs = append(m.legs, leg)
}

// layTowards lays a line from a point to a point.
func layTowards(c *curve, from, to geom.Vec) {
	heading := math.Atan2(to.Y-from.Y, to.X-from.X)
	c.line(geom.Pose{X: from.X, Y: from.Y, Heading: heading}, math.Hypot(to.X-from.X, to.Y-from.Y), fine)
}
