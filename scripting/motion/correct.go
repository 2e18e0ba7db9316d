package motion

import (
	"math"

	"chalkfield/internal/geom"
)

// corrections is how often a motion may correct an end that it missed sideways.
const corrections = 2

// correct adds legs that turn towards the end (or the back to it, whichever is less), roll there straight and, for a
// pose, turn to its heading. When the corrections are used up the motion ends. Exit speeds do not come here.
func (m *Motion) correct() Why {
	m.arrival.aside = 0
	if m.arrival.corrected++; m.arrival.corrected > corrections {
		return TimedOut
	}
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
	if m.kind == toPose {
		m.addLine(m.now.at, target, reverse)
		m.legs = append(m.legs, newTurn(&m.ability, &reading{heading: heading}, m.goal.Heading, Shortest))
	} else {
		m.addApproach(target, bearing, reverse)
	}
	m.leg++
	m.legs[m.leg].begin(&m.now)
	return ""
}
