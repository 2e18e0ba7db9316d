package motion

import (
	"math"

	"chalkfield/internal/geom"
)

// corrections is how often a motion may correct an end that it missed.
const corrections = 2

// correct adds legs that bring a robot to an end that it missed. When the corrections are used up the motion ends. A
// motion with an exit speed does not come here.
func (m *Motion) correct() Why {
	m.arrival.aside = 0
	if m.arrival.corrected++; m.arrival.corrected > corrections {
		return TimedOut
	}
	if m.placed() { // a pose's heading alone is off
		m.legs = append(m.legs, newTurn(&m.ability, &m.now, m.goal.Heading, Shortest))
	} else {
		m.addShuffle()
	}
	m.leg++
	m.legs[m.leg].begin(&m.now)
	return ""
}

// addShuffle adds a turn towards the end or the back to it, whichever is less, a straight roll there and, for a pose, a
// turn to its heading.
func (m *Motion) addShuffle() {
	target := m.goal.At()
	if m.kind == toPose {
		target = m.pivotAt(m.goal)
	}
	heading := bearingOf(m.now.pose(), target)
	reverse := math.Abs(geom.WrapAngle(heading-m.now.heading)) > math.Pi/2
	bearing := heading
	if reverse {
		heading -= math.Pi
	}
	m.legs = append(m.legs, newTurn(&m.ability, &m.now, heading, Shortest))
	if m.kind == toPoint {
		m.addApproach(target, bearing, reverse)
		return
	}
	m.addLine(m.now.at, target, reverse)
	m.legs = append(m.legs, newTurn(&m.ability, &reading{heading: heading}, m.goal.Heading, Shortest))
}
