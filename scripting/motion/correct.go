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
	end := m.goal.At()
	heading := math.Atan2(end.Y-m.now.at.Y, end.X-m.now.at.X)
	reverse := math.Abs(geom.WrapAngle(heading-m.now.heading)) > math.Pi/2
	if reverse {
		heading -= math.Pi
	}
	turn := newTurn(&m.ability, &m.now, heading, Shortest)
	roll := &curveLeg{a: &m.ability, reverse: reverse}
	roll.lay = func(c *curve, start geom.Pose) { c.line(start.At(), end) }
	roll.lay(&roll.curve, m.now.pose())
	roll.plan(0)
	m.legs = append(m.legs, turn, roll)
	if m.kind == toPose {
		m.legs = append(m.legs, newTurn(&m.ability, &reading{heading: heading}, m.goal.Heading, Shortest))
	}
	m.leg++
	m.legs[m.leg].begin(&m.now)
	return ""
}
