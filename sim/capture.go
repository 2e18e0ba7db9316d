package sim

import (
	"fmt"
	"math"
	"math/rand/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim/sensing"
)

// captureModel decides whether a mechanism that acts on a goal succeeds.
type captureModel struct {
	offset, angle float64 // m, rad: each alone at which half of the tries succeed
	softness      float64
	chance        *rand.Rand // nil: sharp
}

func newCaptureModel(w *World, name string, offset, angle, softness float64) captureModel {
	a := captureModel{offset: offset, angle: angle, softness: softness}
	if !w.nominal && softness > 0 {
		a.chance = sensing.Stream(w.seed, name)
	}
	return a
}

// Captures is the probability of success at a joint miss: a logistic curve, one half at 1, from 90 % to 10 % within the
// softness (a logistic falls from 0.9 to 0.1 over 2 ln 9 of its scale). The curve's shape is our choice; that good aim
// succeeds and poor aim fails is common practice, no source.
func Captures(miss, softness float64) float64 {
	if softness == 0 {
		if miss <= 1 {
			return 1
		}
		return 0
	}
	return 1 / (1 + portable.Exp((miss-1)*2*portable.Log(9)/softness))
}

// probability of success for a goal that is off by a distance and an angle: their joint miss is
// m = hypot(offset/Offset, angle/Angle).
func (a captureModel) probability(offset, angle float64) float64 {
	return Captures(portable.Hypot(offset/a.offset, angle/a.angle), a.softness)
}

// missedBy says how far off a goal was, and what the mechanism can take.
func (a captureModel) missedBy(offset, angle float64) string {
	takes := "half of the tries succeed at"
	if a.softness == 0 {
		takes = "it takes up to"
	}
	return fmt.Sprintf("%.0f mm and %.1f deg off, %s %.0f mm or %.1f deg", 1000*offset, math.Abs(angle)*180/math.Pi,
		takes, 1000*a.offset, a.angle*180/math.Pi)
}

// succeeds draws. Without chance, and in a nominal world, what is at least as likely as not happens.
func (a captureModel) succeeds(offset, angle float64) bool {
	p := a.probability(offset, angle)
	if a.chance == nil {
		return p >= 0.5
	}
	return a.chance.Float64() < p
}

// faceError is how far, in rad with sign, a polygon has to turn so that its nearest edge faces a direction: the angle
// from the edge's outward normal to it. heading is the polygon's own.
func faceError(p geom.Polygon, heading, direction float64) float64 {
	best := math.Inf(1)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		normal := portable.Atan2(-(b.X - a.X), b.Y-a.Y) // of an edge walked counter-clockwise
		if e := geom.WrapAngle(direction - heading - normal); math.Abs(e) < math.Abs(best) {
			best = e
		}
	}
	return best
}
