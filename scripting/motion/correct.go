package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// corrections is how often a motion may correct an end that it missed.
const corrections = 2

// worthIt is the miss from which it is corrected, in times Within. A smaller one is left, and told: to go back and come
// in again may do more harm than it, with a load in tow or a wall near by.
const worthIt = 6.0

// A correction goes back this far before the end: runUpShare times the miss, within these bounds, m.
const (
	runUpShare = 3.0
	runUpLeast = 0.20
	runUpMost  = 0.60
)

// correct adds legs that bring a robot to an end that it missed. When the corrections are used up the motion ends. A
// motion with an exit speed does not come here.
func (m *Motion) correct() Why {
	m.arrival.aside = 0
	m.arrival.corrected++
	placed := m.placed()
	if m.arrival.corrected > corrections || !placed && m.left() < worthIt*m.within {
		return TimedOut
	}
	before := len(m.legs)
	if placed { // a pose's heading alone is off
		m.legs = append(m.legs, newTurn(&m.ability, &m.now, m.goal.Heading, Shortest))
	} else {
		m.addRunUp()
	}
	if m.options.Timeout == 0 {
		m.timeout += float64(timeoutFactor * planned(m.legs[before:]))
	}
	m.leg++
	m.legs[m.leg].begin(&m.now)
	return ""
}

// addRunUp adds a gentle curve back onto the line through the end, and a straight run in. A turn on the spot would be
// shorter, but it sweeps what the robot tows.
func (m *Motion) addRunUp() {
	end := m.goal
	if m.kind == toPoint {
		end.Heading = m.now.heading
	}
	pivot := m.pivotAt(end)
	to := travelling(geom.Pose{X: pivot.X, Y: pivot.Y, Heading: end.Heading}, m.options.Reverse)
	miss := portable.Hypot(to.X-m.now.at.X, to.Y-m.now.at.Y)
	before := to.ToWorld(geom.Vec{X: -geom.Clamp(runUpShare*miss, runUpLeast, runUpMost)})
	away := travelling(geom.Pose{X: before.X, Y: before.Y, Heading: end.Heading}, !m.options.Reverse)
	bow := func(end geom.Pose) func(*curve, geom.Pose) {
		return func(c *curve, start geom.Pose) {
			step := portable.Hypot(end.X-start.X, end.Y-start.Y) / 5
			c.bow(start, end, step, step, fine)
		}
	}
	m.addCurve(travelling(m.now.pose(), !m.options.Reverse), !m.options.Reverse, bow(away))
	m.addCurve(geom.Pose{X: before.X, Y: before.Y, Heading: to.Heading}, m.options.Reverse, bow(to))
}

// addShuffle adds a turn towards a near pose or the back to it, whichever is less, a straight roll there and a turn to
// its heading.
func (m *Motion) addShuffle(at geom.Pose) {
	target := m.pivotAt(at)
	heading := bearingOf(m.now.pose(), target)
	reverse := math.Abs(geom.WrapAngle(heading-m.now.heading)) > math.Pi/2
	if reverse {
		heading -= math.Pi
	}
	m.legs = append(m.legs, newTurn(&m.ability, &m.now, heading, Shortest))
	m.addLine(m.now.at, target, reverse)
	m.legs = append(m.legs, newTurn(&m.ability, &reading{heading: heading}, at.Heading, Shortest))
}
