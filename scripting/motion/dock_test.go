package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/property"
)

// everyCurve is quickest without a bound: it lays and times every curve.
func everyCurve(m *Motion, from, to geom.Pose, distance float64) approachPlan {
	best := approachPlan{seconds: math.Inf(1)}
	leg := curveLeg{a: &m.ability, reverse: m.options.Reverse}
	try := func(p approachPlan, turning, speed float64) {
		for _, p.first = range arms {
			for _, p.second = range arms {
				start := geom.Pose{X: from.X, Y: from.Y, Heading: p.heading}
				leg.curve.bow(start, to, p.first*distance, p.second*distance, coarse)
				tight := 0.0
				for _, n := range leg.curve.nodes {
					tight = max(tight, math.Abs(n.bend))
				}
				if leg.curve.sharpest() > kink || tight > m.ability.tightest {
					continue
				}
				leg.plan(speed)
				if p.seconds = turning + leg.seconds(); p.seconds < best.seconds {
					best = p
				}
			}
		}
	}
	try(approachPlan{heading: from.Heading}, 0, leg.forward(&m.now))
	bearing := portable.Atan2(to.Y-from.Y, to.X-from.X)
	for _, aside := range asides {
		p := approachPlan{turns: true, heading: bearing + aside}
		try(p, newTurn(&m.ability, &m.now, p.heading-m.back(), Shortest).seconds(), 0)
	}
	best.first, best.second = best.first*distance, best.second*distance
	return best
}

// What bounds leave out is never the quickest: to the bit the plan of the search that leaves nothing out.
func TestTheQuickestCurveIsFound(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		m := drawMachine(t)
		m.pose.Heading, m.vx, m.w = number("heading", -3, 3), number("speed", -1, 2), number("turning", -3, 3)
		at := geom.Pose{X: number("x", -3, 3), Y: number("y", -3, 3), Heading: number("end heading", -3, 3)}
		dock, err := Dock(at, Options{
			Reverse: rapid.Bool().Draw(t, "reverse"), Speed: number("greatest speed", 0, 2), Accel: number("accel", 0, 5),
		})
		if err != nil {
			t.Fatal(err)
		}
		if err := dock.Start(m); err != nil {
			t.Fatal(err)
		}
		from := travelling(dock.now.pose(), dock.options.Reverse)
		to := travelling(at, dock.options.Reverse)
		distance := portable.Hypot(to.X-from.X, to.Y-from.Y)
		if distance < dock.ability.Track/4 {
			t.Skip("no room for a curve")
		}
		if got, want := dock.quickest(from, to, distance), everyCurve(dock, from, to, distance); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	})
}
