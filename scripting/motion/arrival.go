package motion

import (
	"math"
)

// When a motion counts as arrived.
const (
	restSpeed  = 0.05 // m/s: slower counts as standing, for the robot and, in turning, for its wheels
	restTime   = 0.02 // s within the tolerance and standing
	graceTime  = 0.06 // s within the tolerance after the plan's end, standing or not
	sideFactor = 3.0  // times Within: the tolerance sideways, where a differential drive cannot correct at once
	giveUpTime = 0.12 // s standing outside the sideways tolerance after the plan's end
)

// arrival keeps the times by which a motion ends.
type arrival struct {
	sinceOver float64 // s since the plan's end
	inside    float64 // s within the tolerance
	aside     float64 // s standing beside the end
	corrected int
}

// passed reports whether a leg that another follows is finished: no settling, the next leg takes the rest along.
func (m *Motion) passed() bool {
	p := &m.stand
	if m.legs[m.leg].turns() {
		return p.over && math.Abs(p.angle) <= 2*m.withinAngle
	}
	return p.over && math.Abs(p.along) <= 2*m.within && math.Abs(m.now.along) < 2*restSpeed
}

// judge tells whether the last leg, and with it the motion, is at its end. It may add correcting legs instead.
func (m *Motion) judge() Why {
	p, dt := &m.stand, m.now.dt
	if m.kind == forEver {
		return ""
	}
	if p.over {
		m.arrival.sinceOver += dt
	}
	if m.options.Exit > 0 && !m.legs[m.leg].turns() {
		return arrivedIf(p.near && p.along <= 0)
	}
	standing := m.standing()
	if p.near && m.inside() {
		m.arrival.inside += dt
		return arrivedIf(standing && m.arrival.inside >= restTime || p.over && m.arrival.inside >= graceTime)
	}
	m.arrival.inside = 0
	if !p.over || !standing || !m.beside() {
		m.arrival.aside = 0
		return ""
	}
	if m.arrival.aside += dt; m.arrival.aside < giveUpTime {
		return ""
	}
	return m.correct()
}

func arrivedIf(there bool) Why {
	if there {
		return Arrived
	}
	return ""
}

func (m *Motion) standing() bool {
	return math.Abs(m.now.along) < restSpeed && math.Abs(m.now.turn)*m.ability.Track/2 < restSpeed
}

// inside reports whether the end is within the tolerance: Within along the way, three times that across it. A distance
// that is driven along a line has no end across it; a heading counts where it was asked for.
func (m *Motion) inside() bool {
	p := &m.stand
	switch m.kind {
	case toHeading:
		return math.Abs(p.angle) <= m.withinAngle
	case alongLine:
		return math.Abs(p.along) <= m.within && math.Abs(p.angle) <= 2*m.withinAngle
	}
	if m.legs[m.leg].turns() { // the last turn of a Dock, or of a correction
		return math.Abs(p.angle) <= m.withinAngle && m.left() <= sideFactor*m.within
	}
	in := math.Abs(p.along) <= m.within && math.Abs(p.across) <= sideFactor*m.within
	return in && (m.kind == toPoint || math.Abs(p.angle) <= m.withinAngle)
}

// beside reports whether the robot stands where only a correction brings it to the end.
func (m *Motion) beside() bool {
	if m.kind != toPoint && m.kind != toPose {
		return false
	}
	if m.legs[m.leg].turns() {
		return math.Abs(m.stand.angle) <= m.withinAngle && m.left() > sideFactor*m.within
	}
	return math.Abs(m.stand.along) <= m.within && math.Abs(m.stand.across) > sideFactor*m.within
}
