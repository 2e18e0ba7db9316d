package geom

import (
	"math"

	"chalkfield/internal/base/portable"
)

// sliver is the area in m^2 of what is left out of a polygon that is cut: far below anything on a floor.
const sliver = 1e-12

// Minus is what is left of a convex polygon without another one, as convex polygons that do not overlap. Both
// counter-clockwise.
func (p Polygon) Minus(q Polygon) (rest []Polygon) {
	for i, a := range q {
		b := q[(i+1)%len(q)]
		if out := p.cut(b, a); out.Area() > sliver {
			rest = append(rest, out)
		}
		if p = p.cut(a, b); p.Area() <= sliver {
			break
		}
	}
	return rest
}

// cut is the part of a convex polygon that lies left of the line from a to b (Sutherland and Hodgman 1974, from
// memory).
func (p Polygon) cut(a, b Vec) (out Polygon) {
	along := Vec{X: b.X - a.X, Y: b.Y - a.Y}
	side := func(v Vec) float64 { return Cross(along, Vec{X: v.X - a.X, Y: v.Y - a.Y}) }
	for i, v := range p {
		w := p[(i+1)%len(p)]
		from, to := side(v), side(w)
		if from >= 0 {
			out = append(out, v)
		}
		if from > 0 && to < 0 || from < 0 && to > 0 {
			t := from / (from - to)
			out = append(out, Vec{X: v.X + float64(t*(w.X-v.X)), Y: v.Y + float64(t*(w.Y-v.Y))})
		}
	}
	return out
}

// InDisc is the area in m^2 that a polygon, counter-clockwise, has in common with a disc: the sum over its edges of
// what the triangle from the disc's centre to the edge has, with its sign.
func (p Polygon) InDisc(centre Vec, radius float64) (area float64) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		area += edgeInDisc(Vec{X: a.X - centre.X, Y: a.Y - centre.Y}, Vec{X: b.X - centre.X, Y: b.Y - centre.Y}, radius)
	}
	return area
}

// edgeInDisc is the area that the triangle from the origin to an edge has in common with a disc about the origin: the
// triangle to the part of the edge in the disc, and the sectors to those before and behind it.
func edgeInDisc(a, b Vec, radius float64) float64 {
	sector := func(v, w Vec) float64 {
		return float64(radius * radius / 2 * portable.Atan2(Cross(v, w), Dot(v, w)))
	}
	along := Vec{X: b.X - a.X, Y: b.Y - a.Y}
	// |a + t along| = radius, solved for t
	square, half := Norm2(along), Dot(a, along)
	root := float64(half*half) - float64(square*(Norm2(a)-float64(radius*radius)))
	if root <= 0 || square == 0 {
		return sector(a, b)
	}
	root = math.Sqrt(root)
	in, out := (-half-root)/square, (-half+root)/square
	if in >= 1 || out <= 0 {
		return sector(a, b)
	}
	from, to, before, behind := a, b, 0.0, 0.0
	if in > 0 {
		from = Vec{X: a.X + float64(in*along.X), Y: a.Y + float64(in*along.Y)}
		before = sector(a, from)
	}
	if out < 1 {
		to = Vec{X: a.X + float64(out*along.X), Y: a.Y + float64(out*along.Y)}
		behind = sector(to, b)
	}
	return before + float64(Cross(from, to)/2) + behind
}
