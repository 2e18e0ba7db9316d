package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// When a motion counts as arrived.
const (
	restSpeed  = 0.05 // m/s: slower counts as standing, for the robot and, in turning, for its wheels
	graceTime  = 0.06 // s within the tolerance at the plan's end
	sideFactor = 3.0  // times Within: the tolerance sideways, where a differential drive cannot correct at once
	giveUpTime = 0.12 // s standing outside the tolerance after the plan's end, where the leg has done what it can
	creepTime  = 0.40 // s, the same where the leg still closes a gap
)

// arrival keeps the times by which a motion ends.
type arrival struct {
	sinceOver float64 // s since the plan's end
	inside    float64 // s within the tolerance
	aside     float64 // s standing outside the tolerance
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
	if p.near && m.inside() {
		m.arrival.inside += dt
		return arrivedIf(p.over && m.arrival.inside >= graceTime)
	}
	m.arrival.inside = 0
	if !p.over || !m.standing() || !m.correctable() {
		m.arrival.aside = 0
		return ""
	}
	m.arrival.aside += dt
	if m.arrival.aside < giveUpTime || m.creeping() && m.arrival.aside < creepTime {
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

// gap is the end as seen from the robot: ahead and to the left, m.
func (m *Motion) gap() geom.Vec {
	at := m.robot()
	return geom.Pose{X: at.X, Y: at.Y, Heading: m.now.heading}.ToLocal(m.goal.At())
}

// inside reports whether the end is within the tolerance: Within along the heading, three times that across it. A
// distance that is driven along a line has no end across it; a heading counts where it was asked for.
func (m *Motion) inside() bool {
	switch m.kind {
	case toHeading:
		return math.Abs(m.stand.angle) <= m.withinAngle
	case alongLine:
		return math.Abs(m.left()) <= m.within && math.Abs(m.stand.angle) <= 2*m.withinAngle
	}
	if m.kind == toPose && math.Abs(geom.WrapAngle(m.goal.Heading-m.now.heading)) > m.withinAngle {
		return false
	}
	return m.placed()
}

// placed reports whether the robot's point is within the tolerance of the end.
func (m *Motion) placed() bool {
	gap := m.gap()
	if m.legs[m.leg].turns() { // the last turn of a Dock moves nothing along
		return portable.Hypot(gap.X, gap.Y) <= sideFactor*m.within
	}
	return math.Abs(gap.X) <= m.within && math.Abs(gap.Y) <= sideFactor*m.within
}

// correctable reports whether turning and rolling could bring the robot to its end.
func (m *Motion) correctable() bool { return m.kind == toPoint || m.kind == toPose }

// creeping reports whether the present leg is still about to close a gap by itself.
func (m *Motion) creeping() bool {
	return math.Abs(m.stand.along) > m.within || math.Abs(m.stand.angle) > m.withinAngle && m.kind == toPose
}
