package viewmodel

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

// Inside moves a thing that stands partly off the floor onto it, as the walls would: by whole millimetres, as little as
// it takes. It reports false when there is no room for its shape where it ends.
func (d *Model) Inside(thing Thing, at geom.Pose) (geom.Pose, bool) {
	if d.Now == nil || d.Setup.Field == nil || len(d.Setup.Field.Floor) < 3 {
		return at, true
	}
	return inside(d.Setup.Field, d.Now.Outline(thing), at)
}

func inside(f *fields.Field, shape geom.Polygon, at geom.Pose) (geom.Pose, bool) {
	const most = 40 // pushes: a corner of the floor takes two
	at = snapped(at)
	for range most {
		push := deepest(f.Floor, shape.Placed(at))
		if push == (geom.Vec{}) {
			return at, true
		}
		at.X, at.Y = wholeMillimetres(at.X+outwards(push.X)), wholeMillimetres(at.Y+outwards(push.Y))
	}
	return at, false
}

// deepest is the push that brings the corner farthest off the floor to its edge, or an edge over the floor's own corner
// where that juts in; zero for a shape that is all on the floor.
func deepest(floor, shape geom.Polygon) geom.Vec {
	const touch = 1e-6 // m
	var push geom.Vec
	far := touch
	consider := func(v geom.Vec) {
		if length := math.Hypot(v.X, v.Y); length > far {
			push, far = v, length
		}
	}
	for _, corner := range shape {
		if !floor.Contains(corner) {
			near := nearestOn(floor, corner)
			consider(geom.Vec{X: near.X - corner.X, Y: near.Y - corner.Y})
		}
	}
	for _, corner := range floor {
		if shape.Contains(corner) {
			near := nearestOn(shape, corner)
			consider(geom.Vec{X: corner.X - near.X, Y: corner.Y - near.Y})
		}
	}
	return push
}

// nearestOn is the point of a polygon's edges that is nearest to a place.
func nearestOn(p geom.Polygon, v geom.Vec) geom.Vec {
	best, least := v, math.Inf(1)
	for i, a := range p {
		at := geom.NearestOnSegment(v, a, p[(i+1)%len(p)])
		if gap := math.Hypot(v.X-at.X, v.Y-at.Y); gap < least {
			best, least = at, gap
		}
	}
	return best
}

// outwards rounds a push up to whole millimetres, so that it is never too small.
func outwards(m float64) float64 {
	return math.Copysign(math.Ceil(math.Abs(1000*m)-1e-6)/1000, m)
}

func wholeMillimetres(m float64) float64 { return math.Round(1000*m) / 1000 }
