package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Polygon is a simple polygon's corners in order, without a repeated last corner.
type Polygon []Vec

// Rect is the axis-parallel rectangle between two opposite corners, counter-clockwise.
func Rect(a, b Vec) Polygon {
	x0, x1 := math.Min(a.X, b.X), math.Max(a.X, b.X)
	y0, y1 := math.Min(a.Y, b.Y), math.Max(a.Y, b.Y)
	return Polygon{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// Area is signed: positive for counter-clockwise corners (shoelace formula).
func (p Polygon) Area() float64 {
	var twice float64
	for i, a := range p {
		twice += Cross(a, p[(i+1)%len(p)])
	}
	return float64(twice / 2)
}

// Contains reports whether v lies inside or on the edge (ray crossing; an edge within 1e-12 m counts as inside).
func (p Polygon) Contains(v Vec) bool {
	inside := false
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if DistanceToSegment(v, a, b) < 1e-12 {
			return true
		}
		if (a.Y > v.Y) != (b.Y > v.Y) && v.X < a.X+float64((v.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)) {
			inside = !inside
		}
	}
	return inside
}

// Distance is how far v is from the polygon's edge, in metres, whether inside or out.
func (p Polygon) Distance(v Vec) float64 {
	best := math.Inf(1)
	for i, a := range p {
		best = math.Min(best, DistanceToSegment(v, a, p[(i+1)%len(p)]))
	}
	return best
}

// Placed is the polygon moved from a body's own frame to the field's.
func (p Polygon) Placed(at Pose) Polygon {
	out := make(Polygon, len(p))
	for i, v := range p {
		out[i] = at.ToWorld(v)
	}
	return out
}

// Bounds are the least and greatest coordinates.
func (p Polygon) Bounds() (low, high Vec) {
	low, high = Vec{X: math.Inf(1), Y: math.Inf(1)}, Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, v := range p {
		low = Vec{X: math.Min(low.X, v.X), Y: math.Min(low.Y, v.Y)}
		high = Vec{X: math.Max(high.X, v.X), Y: math.Max(high.Y, v.Y)}
	}
	return low, high
}

// DistanceToSegment is how far v is from the segment a-b, in metres.
func DistanceToSegment(v, a, b Vec) float64 {
	return Norm(r2.Sub(v, NearestOnSegment(v, a, b)))
}

// NearestOnSegment is the point of the segment a-b that is nearest to v, in metres.
func NearestOnSegment(v, a, b Vec) Vec {
	along := r2.Sub(b, a)
	length2 := Norm2(along)
	if length2 == 0 {
		return a
	}
	t := Clamp(Dot(r2.Sub(v, a), along)/length2, 0, 1)
	return r2.Add(a, Scale(t, along))
}
