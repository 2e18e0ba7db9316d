package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
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
	if m.left() <= m.within {
		return
	}
	from := travelling(m.now.pose(), m.options.Reverse)
	bearing := bearingOf(from, at)
	off := math.Abs(geom.WrapAngle(bearing - from.Heading))
	if off <= straight {
		m.addApproach(at, bearing, m.options.Reverse)
		return
	}
	turn := newTurn(&m.ability, &m.now, bearing-m.back(), Shortest)
	m.legs = append(m.legs, turn)
	line := m.addApproach(at, bearing, m.options.Reverse)
	if off > driveOff {
		return
	}
	end := line.curve.end()
	swing := &curveLeg{a: &m.ability, reverse: line.reverse, exit: m.options.Exit}
	swing.curve.swing(travelling(m.now.pose(), line.reverse), end)
	swing.plan(swing.forward(&m.now))
	if swing.seconds() <= turn.seconds()+line.seconds() && swing.curve.sharpest() < kink {
		m.legs = append(m.legs[:0], swing)
	}
}

// bearingOf is the direction from a pose to a point; that of the pose if the point lies on it.
func bearingOf(from geom.Pose, at geom.Vec) float64 {
	if portable.Hypot(at.X-from.X, at.Y-from.Y) < apart {
		return from.Heading
	}
	return portable.Atan2(at.Y-from.Y, at.X-from.X)
}

// addApproach adds a straight leg of a robot that then travels towards a bearing, so that its own point (not the pivot)
// ends at a point on the line. If that lies behind, the leg goes the other way.
func (m *Motion) addApproach(at geom.Vec, bearing float64, reverse bool) *curveLeg {
	end := geom.Pose{X: at.X, Y: at.Y, Heading: bearing}.ToWorld(geom.Vec{X: leadOf(m.ability.Pivot, reverse)})
	behind := geom.Pose{X: m.now.at.X, Y: m.now.at.Y, Heading: bearing}.ToLocal(end).X < 0
	return m.addLine(m.now.at, end, reverse != behind)
}
