package geom

import (
	"math"

	"chalkfield/internal/base/portable"

	"gonum.org/v1/gonum/spatial/r2"
)

// Regular is the regular polygon whose flats lie at a distance inner (m) from the origin; the middle of a flat looks
// along +x, so the polygon is its own mirror image about the x axis. Corners counter-clockwise.
func Regular(corners int, inner float64) Polygon {
	step := 2 * math.Pi / float64(corners)
	radius := inner / portable.Cos(step/2)
	out := make(Polygon, corners)
	for i := range out {
		out[i] = Scale(radius, Unit((float64(i)-0.5)*step))
	}
	return out
}

// AppendPlaced appends to dst the corners of p moved from a body's own frame to the field's, for callers that reuse
// memory.
func (p Polygon) AppendPlaced(dst Polygon, at Pose) Polygon {
	s, c := portable.Sincos(at.Heading)
	for _, v := range p {
		dst = append(dst, Vec{X: at.X + float64(c*v.X) - float64(s*v.Y), Y: at.Y + float64(s*v.X) + float64(c*v.Y)})
	}
	return dst
}

// Centroid is the centre of area of a simple polygon (from Green's theorem; Bourke 1988, from memory). Of a polygon
// without area it is the mean of the corners.
func (p Polygon) Centroid() Vec {
	var sum, corners Vec
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum = r2.Add(sum, Scale(Cross(a, b), r2.Add(a, b)))
		corners = r2.Add(corners, a)
	}
	area := p.Area()
	if math.Abs(area) <= straight {
		return Scale(1/float64(len(p)), corners)
	}
	return Scale(1/(6*area), sum)
}

// Inertia is the moment of a uniform polygon of a mass (kg) about its frame's origin, kg m^2: m/6 times the sum over
// the edges of (a x b)(a.a + a.b + b.b), over that of a x b (from Green's theorem; Bourke 1988, from memory).
func (p Polygon) Inertia(mass float64) float64 {
	var moment, area float64
	for i, a := range p {
		b := p[(i+1)%len(p)]
		c := Cross(a, b)
		moment += float64(c * (Dot(a, a) + Dot(a, b) + Dot(b, b)))
		area += c
	}
	return mass * moment / (6 * area)
}

// Nearest is the place in the polygon, or on its edge, that is nearest to v.
func (p Polygon) Nearest(v Vec) Vec {
	if p.Contains(v) {
		return v
	}
	best := p[0]
	for i, a := range p {
		if at := NearestOnSegment(v, a, p[(i+1)%len(p)]); Norm2(r2.Sub(at, v)) < Norm2(r2.Sub(best, v)) {
			best = at
		}
	}
	return best
}

// Simple reports whether no two edges meet except neighbours at their common corner.
func (p Polygon) Simple() bool {
	n := len(p)
	for i := range n {
		a, b := p[i], p[(i+1)%n]
		if a == b {
			return false
		}
		for j := i + 1; j < n; j++ {
			c, d := p[j], p[(j+1)%n]
			switch {
			case j == i+1 && n > 3 || i == 0 && j == n-1 && n > 3:
				// Neighbours share one corner; they may not fold back along each other.
				shared, one, two := b, a, d
				if j != i+1 {
					shared, one, two = a, b, c
				}
				u, v := r2.Sub(one, shared), r2.Sub(two, shared)
				if math.Abs(Cross(u, v)) <= straight && Dot(u, v) > 0 {
					return false
				}
			case n > 3 && SegmentsMeet(a, b, c, d):
				return false
			}
		}
	}
	return n > 3 || n == 3 && math.Abs(p.Area()) > straight
}

// Convex reports whether every corner turns the same way, counter-clockwise; straight corners are allowed.
func (p Polygon) Convex() bool {
	var turned float64
	for i, a := range p {
		b, c := p[(i+1)%len(p)], p[(i+2)%len(p)]
		u, v := r2.Sub(b, a), r2.Sub(c, b)
		if Cross(u, v) < -straight {
			return false
		}
		turned += portable.Atan2(Cross(u, v), Dot(u, v))
	}
	return len(p) >= 3 && math.Abs(turned-2*math.Pi) < 1e-6 // one turn: a star turns more often
}

// Holds reports whether all of q lies inside p or on its edge. Either may be concave.
func (p Polygon) Holds(q Polygon) bool {
	for _, v := range q {
		if !p.Contains(v) {
			return false
		}
	}
	for _, v := range p {
		if q.Contains(v) && q.Distance(v) > 1e-9 {
			return false
		}
	}
	return !p.edgesCross(q)
}

// Meets reports whether p and q have a point in common. Either may be concave.
func (p Polygon) Meets(q Polygon) bool {
	if p.Contains(q[0]) || q.Contains(p[0]) {
		return true
	}
	for i, a := range p {
		for j, c := range q {
			if SegmentsMeet(a, p[(i+1)%len(p)], c, q[(j+1)%len(q)]) {
				return true
			}
		}
	}
	return false
}

// edgesCross reports whether an edge of p and one of q pass through each other, which touching is not.
func (p Polygon) edgesCross(q Polygon) bool {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		for j, c := range q {
			d := q[(j+1)%len(q)]
			if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return true
			}
		}
	}
	return false
}

// Depth is how far two convex polygons lie in each other, in metres: the least distance that one must move to be free.
// It is negative when they are apart, and then no farther apart than they are (separating axes; Ericson, Real-Time
// Collision Detection, 5.2.1, from memory).
func Depth(p, q Polygon) float64 {
	return math.Min(leastOverlap(p, q), leastOverlap(q, p))
}

// leastOverlap looks along the normals of p's edges only. p counter-clockwise.
func leastOverlap(p, q Polygon) float64 {
	least := math.Inf(1)
	for i, a := range p {
		edge := r2.Sub(p[(i+1)%len(p)], a)
		if edge == (Vec{}) {
			continue
		}
		out := Direction(Vec{X: edge.Y, Y: -edge.X})
		deepest := math.Inf(-1)
		for _, v := range q {
			deepest = math.Max(deepest, -Dot(out, r2.Sub(v, a)))
		}
		least = math.Min(least, deepest)
	}
	return least
}

// SegmentsMeet reports whether the segments a-b and c-d have a point in common.
func SegmentsMeet(a, b, c, d Vec) bool {
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if s1*s2 < 0 && s3*s4 < 0 {
		return true
	}
	return s1 == 0 && between(a, b, c) || s2 == 0 && between(a, b, d) || s3 == 0 && between(c, d, a) || s4 == 0 &&
		between(c, d, b)
}

// straight is the cross product, in m^2, below which three points count as lying on one line: far above the rounding of
// coordinates of some metres (1e-15), far below anything that a floor plan means.
const straight = 1e-12

// side is 1 where v lies left of a-b, -1 right of it, 0 on the line.
func side(a, b, v Vec) float64 {
	switch x := Cross(r2.Sub(b, a), r2.Sub(v, a)); {
	case x > straight:
		return 1
	case x < -straight:
		return -1
	}
	return 0
}

// between reports whether v, known to be on the line a-b, lies within the segment.
func between(a, b, v Vec) bool {
	along := r2.Sub(b, a)
	t := Dot(r2.Sub(v, a), along)
	return -straight <= t && t <= Norm2(along)+straight
}
