package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// Dock arrives at a pose by a smooth curve, a Bezier curve that is straight along the heading at both ends. Of several
// such curves, with and without a turn on the spot before them, it drives the quickest; where all are tight it goes
// straight to a point 250 mm before the pose, turns, and goes straight in. A pose nearer than a quarter of the track it
// reaches by turn, roll, turn. With Reverse it arrives backwards, ending in the same pose.
func Dock(at geom.Pose, o Options) (*Motion, error) {
	const name = "dock"
	if err := checkPoint(name, "pose", at.At()); err != nil {
		return nil, err
	}
	if err := finite(name, "pose: heading", at.Heading); err != nil {
		return nil, err
	}
	if err := o.noExit(name); err != nil {
		return nil, err
	}
	m, err := newMotion(name, o)
	if err != nil {
		return nil, err
	}
	m.kind = toPose
	m.lay = func(m *Motion) error {
		m.goal = at
		m.layDock(at)
		return nil
	}
	return m, nil
}

// approachPlan is one curved way to the pose: a turn if wanted, and a curve with these arms.
type approachPlan struct {
	turns         bool
	heading       float64 // of travel at the start of the curve
	first, second float64 // m: control arms
	seconds       float64
}

func (m *Motion) layDock(at geom.Pose) {
	pivot := m.pivotAt(at)
	from := travelling(m.now.pose(), m.options.Reverse)
	to := travelling(geom.Pose{X: pivot.X, Y: pivot.Y, Heading: at.Heading}, m.options.Reverse)
	distance := portable.Hypot(to.X-from.X, to.Y-from.Y)
	if distance <= m.within {
		if math.Abs(geom.WrapAngle(at.Heading-m.now.heading)) > m.withinAngle {
			m.legs = append(m.legs, newTurn(&m.ability, &m.now, at.Heading, Shortest))
		}
		return
	}
	if distance < m.ability.Track/4 { // no room for a curve
		m.addShuffle(at)
		return
	}
	best := m.quickest(from, to, distance)
	if m.layStraightIn(from, to, best.seconds) {
		return
	}
	if best.turns {
		m.legs = append(m.legs, newTurn(&m.ability, &m.now, best.heading-m.back(), Shortest))
	}
	start := geom.Pose{X: from.X, Y: from.Y, Heading: best.heading}
	m.addCurve(start, m.options.Reverse, func(c *curve, start geom.Pose) {
		c.bow(start, to, best.first, best.second, fine)
	})
}

// planned is the time that legs take together, s.
func planned(legs []leg) float64 {
	seconds := 0.0
	for _, l := range legs {
		seconds += l.seconds()
	}
	return seconds
}

// runIn is the straight way before a pose that layStraightIn takes, m.
const runIn = 0.25

// layStraightIn goes to a point before the pose, turns, and goes straight in: what is left when curves would be tight.
// It reports whether that is as quick as another way of so many seconds, else it lays nothing.
func (m *Motion) layStraightIn(from, to geom.Pose, other float64) bool {
	before := to.ToWorld(geom.Vec{X: -runIn})
	heading, length := from.Heading, portable.Hypot(before.X-from.X, before.Y-from.Y)
	seconds := m.ability.least(runIn, 0)
	var first *turnLeg
	if length > m.within {
		heading = portable.Atan2(before.Y-from.Y, before.X-from.X)
		first = newTurn(&m.ability, &m.now, heading-m.back(), Shortest)
		seconds += first.seconds() + m.ability.least(length, 0)
	}
	second := newTurn(&m.ability, &reading{heading: heading - m.back()}, to.Heading-m.back(), Shortest)
	if seconds += second.seconds(); seconds > other {
		return false
	}
	if first != nil {
		m.legs = append(m.legs, first)
		m.addLine(from.At(), before, m.options.Reverse)
	}
	m.legs = append(m.legs, second)
	start := geom.Pose{X: before.X, Y: before.Y, Heading: to.Heading}
	m.addCurve(start, m.options.Reverse, func(c *curve, start geom.Pose) {
		step := portable.Hypot(to.X-start.X, to.Y-start.Y) / 5
		c.bow(start, to, step, step, fine)
	})
	if planned(m.legs) < other {
		return true
	}
	m.legs = m.legs[:0]
	return false
}

// addCurve adds a leg from a pose of travel; lay lays it, again if the leg begins elsewhere.
func (m *Motion) addCurve(from geom.Pose, reverse bool, lay func(c *curve, from geom.Pose)) *curveLeg {
	leg := &curveLeg{a: &m.ability, reverse: reverse, exit: m.options.Exit, lay: lay}
	lay(&leg.curve, from)
	speed := 0.0
	if len(m.legs) == 0 {
		speed = leg.forward(&m.now)
	}
	leg.plan(speed)
	m.legs = append(m.legs, leg)
	return leg
}

var (
	// arms are the steps of the control points that quickest tries, as shares of the distance.
	arms = [...]float64{0.12, 0.2, 0.3, 0.45}
	// asides are the directions to start in that quickest tries, off the bearing of the pose, rad.
	asides = [...]float64{0, -0.4, 0.4, -0.8, 0.8, -1.2, 1.2}
)

// kink is the change of heading between two nodes beyond which a trial curve is no smooth curve, rad.
const kink = 0.5

// quickest compares curves: from the present heading, and after turns towards the pose and aside of it.
func (m *Motion) quickest(from, to geom.Pose, distance float64) approachPlan {
	best := approachPlan{seconds: math.Inf(1)}
	trial, turn := curveLeg{a: &m.ability, reverse: m.options.Reverse}, turnLeg{a: &m.ability}
	try := func(p approachPlan, turning, speed float64) {
		start := geom.Pose{X: from.X, Y: from.Y, Heading: p.heading}
		soonest := turning + m.ability.least(distance, speed)
		for _, p.first = range arms {
			for _, p.second = range arms {
				if soonest > best.seconds {
					return
				}
				first, second := p.first*distance, p.second*distance
				if turning+m.ability.least(shortest(controls(start, to, first, second)), speed) > best.seconds {
					continue
				}
				if !trial.curve.bowWithin(start, to, first, second, coarse, kink, m.ability.tightest) ||
					turning+m.ability.least(trial.curve.length(), speed) > best.seconds {
					continue
				}
				trial.plan(speed)
				if p.seconds = turning + trial.seconds(); p.seconds < best.seconds {
					best = p
				}
			}
		}
	}
	try(approachPlan{heading: from.Heading}, 0, trial.forward(&m.now))
	bearing := portable.Atan2(to.Y-from.Y, to.X-from.X)
	for _, aside := range asides {
		p := approachPlan{turns: true, heading: bearing + aside}
		turn.target = p.heading - m.back()
		turn.begin(&m.now)
		try(p, turn.seconds(), 0)
	}
	best.first *= distance
	best.second *= distance
	return best
}
