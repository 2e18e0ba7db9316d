package sim

import (
	"math"

	"chalkfield/internal/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// depth is how deep two convex counter-clockwise polygons overlap, in m; negative: they are apart by at least that
// along some edge's normal (separating axis theorem).
func depth(a, b geom.Polygon) float64 {
	return math.Min(-gap(a, b), -gap(b, a))
}

// gap is the greatest distance of all of b outside one edge of a.
func gap(a, b geom.Polygon) float64 {
	best := math.Inf(-1)
	for i, v := range a {
		along := geom.Direction(r2.Sub(a[(i+1)%len(a)], v))
		out := geom.Vec{X: along.Y, Y: -along.X}
		nearest := math.Inf(1)
		for _, u := range b {
			nearest = math.Min(nearest, geom.Dot(out, r2.Sub(u, v)))
		}
		best = math.Max(best, nearest)
	}
	return best
}

// discDepth is how deep a disc reaches into a polygon.
func discDepth(p geom.Polygon, at geom.Vec, radius float64) float64 {
	d := p.Distance(at)
	if p.Contains(at) {
		return radius + d
	}
	return radius - d
}
