package motion

import (
	"math"

	"chalkfield/internal/geom"
)

// Dock arrives at a pose by a smooth curve, a cubic Bezier tangent to the heading at both ends. Of several such curves,
// with and without a turn on the spot before them, it drives the quickest. With Reverse it arrives backwards, ending in
// the same pose.
func Dock(at geom.Pose, o Options) (*Motion, error) {
	const name = "dock"
	if err := checkPoint(name, "pose", at.At()); err != nil {
		return nil, err
	}
	if err := finite(name, "pose: heading", at.Heading); err != nil {
		return nil, err
	}
	if o.Exit != 0 {
		return nil, &ArgumentError{name, "exit", "is not for a motion that ends in a pose"}
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

// approachPlan is one way to the pose.
type approachPlan struct {
	turns         bool
	heading       float64 // of travel at the start of the curve
	first, second float64 // m: control arms
	seconds       float64
}

func (m *Motion) layDock(at geom.Pose) {
	from, to := travelling(m.now.pose(), m.options.Reverse), travelling(at, m.options.Reverse)
	distance := math.Hypot(to.X-from.X, to.Y-from.Y)
	if distance <= m.within {
		if math.Abs(geom.WrapAngle(at.Heading-m.now.heading)) > m.withinAngle {
			m.legs = append(m.legs, newTurn(&m.ability, &m.now, at.Heading, Shortest))
		}
		return
	}
	if distance < m.ability.Track/2 { // too near for a curve: turn, roll, turn
		m.layShuffle(at)
		return
	}
	best := m.quickest(from, to, distance)
	if best.turns {
		m.legs = append(m.legs, newTurn(&m.ability, &m.now, best.heading-m.back(), Shortest))
	}
	leg := &curveLeg{a: &m.ability, reverse: m.options.Reverse}
	leg.lay = func(c *curve, start geom.Pose) { c.bow(start, to, best.first, best.second, fine) }
	leg.lay(&leg.curve, geom.Pose{X: from.X, Y: from.Y, Heading: best.heading})
	leg.plan(m.startSpeed(leg))
	m.legs = append(m.legs, leg)
}

// startSpeed is the speed with which a leg begins that is about to be added.
func (m *Motion) startSpeed(l *curveLeg) float64 {
	if len(m.legs) > 0 {
		return 0
	}
	return l.forward(&m.now)
}

// arms are the lengths of the control arms that quickest tries, as shares of the distance.
var arms = [...]float64{0.25, 0.4, 0.6, 0.9}

// quickest compares the plans: from the present heading, after a turn towards the pose, and after turns towards points
// before it on its axis.
func (m *Motion) quickest(from, to geom.Pose, distance float64) approachPlan {
	headings := []float64{from.Heading, math.Atan2(to.Y-from.Y, to.X-from.X)}
	for _, back := range arms[1:] {
		p := to.Out(geom.Vec{X: -back * distance})
		headings = append(headings, math.Atan2(p.Y-from.Y, p.X-from.X))
	}
	best := approachPlan{seconds: math.Inf(1)}
	trial := curveLeg{a: &m.ability, reverse: m.options.Reverse}
	for i, heading := range headings {
		p := approachPlan{turns: i > 0, heading: heading}
		speed, turning := trial.forward(&m.now), 0.0
		if p.turns {
			speed = 0
			turning = newTurn(&m.ability, &m.now, heading-m.back(), Shortest).seconds()
		}
		for _, p.first = range arms {
			for _, p.second = range arms {
				trial.curve.bow(geom.Pose{X: from.X, Y: from.Y, Heading: heading}, to, p.first*distance, p.second*distance, coarse)
				trial.plan(speed)
				if p.seconds = turning + trial.seconds(); p.seconds < best.seconds {
					best = p
				}
			}
		}
	}
	best.first *= distance
	best.second *= distance
	return best
}

// layShuffle goes to a near pose by a turn, a straight roll (forwards or backwards, whichever turns less), and a turn.
func (m *Motion) layShuffle(at geom.Pose) {
	bearing := math.Atan2(at.Y-m.now.at.Y, at.X-m.now.at.X)
	reverse := math.Abs(geom.WrapAngle(bearing-m.now.heading)) > math.Pi/2
	heading := bearing
	if reverse {
		heading -= math.Pi
	}
	m.legs = append(m.legs, newTurn(&m.ability, &m.now, heading, Shortest))
	leg := &curveLeg{a: &m.ability, reverse: reverse}
	leg.lay = func(c *curve, start geom.Pose) { layTowards(c, start.At(), at.At()) }
	leg.lay(&leg.curve, m.now.pose())
	leg.plan(0)
	m.legs = append(m.legs, leg)
	if m.kind == toPose {
		m.legs = append(m.legs, newTurn(&m.ability, &reading{heading: heading}, at.Heading, Shortest))
	}
}
