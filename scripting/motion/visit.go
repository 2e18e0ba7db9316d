package motion

import (
	"math"

	"chalkfield/internal/geom"
)

// driveOff is the angle between heading and point up to which Visit considers turning while it drives: beyond it the
// robot would swing far out of the line.
const driveOff = 50 * math.Pi / 180

// Visit drives to a point of the field; the heading at arrival is free. It turns while driving, or first if that is
// quicker or the point is more than 50 degrees off the heading.
func Visit(at geom.Vec, o Options) (*Motion, error) {
	const name = "visit"
	if err := checkPoint(name, "point", at); err != nil {
		return nil, err
	}
	m, err := newMotion(name, o)
	if err != nil {
		return nil, err
	}
	m.kind = toPoint
	m.lay = func(m *Motion) error {
		m.goal = geom.Pose{X: at.X, Y: at.Y}
		m.layVisit(at)
		return nil
	}
	return m, nil
}

func (m *Motion) layVisit(at geom.Vec) {
	from := travelling(m.now.pose(), m.options.Reverse)
	length := math.Hypot(at.X-from.X, at.Y-from.Y)
	if length <= m.within {
		return
	}
	bearing := math.Atan2(at.Y-from.Y, at.X-from.X)
	off := math.Abs(geom.WrapAngle(bearing - from.Heading))
	if off <= straight {
		m.addLine(from.At(), at)
		return
	}
	turn := newTurn(&m.ability, &m.now, bearing-m.back(), Shortest)
	m.legs = append(m.legs, turn)
	m.addLine(from.At(), at)
	if off > driveOff {
		return
	}
	to := geom.Pose{X: at.X, Y: at.Y, Heading: bearing}
	swing := &curveLeg{a: &m.ability, reverse: m.options.Reverse, exit: m.options.Exit}
	swing.curve.bow(from, to, 0.3*length, 0.3*length, fine)
	swing.plan(swing.forward(&m.now))
	if swing.seconds() <= turn.seconds()+m.lastCurve().seconds() {
		m.legs = append(m.legs[:0], swing)
	}
}
