package canvas

import (
	"math"

	"chalkfield/internal/base/geom"
)

// turning is twice the signed area: positive when the corners go clockwise as seen with y down.
func turning(corners []geom.Vec) float64 {
	var twice float64
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		twice += a.X*b.Y - a.Y*b.X
	}
	return twice
}

func reverse(corners []geom.Vec) {
	for i, j := 0, len(corners)-1; i < j; i, j = i+1, j-1 {
		corners[i], corners[j] = corners[j], corners[i]
	}
}

func cross(a, b, c geom.Vec) float64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

// convex reports whether a polygon of positive turning has no corner that bends inwards.
func convex(corners []geom.Vec) bool {
	n := len(corners)
	for i := range corners {
		if cross(corners[i], corners[(i+1)%n], corners[(i+2)%n]) < -1e-9 {
			return false
		}
	}
	return true
}

// miter is the displacement of a corner that moves both its edges outwards by one pixel, its length capped where the
// corner is sharp. Edges of no length count as the other one.
func miter(before, at, after geom.Vec) geom.Vec {
	in, hasIn := direction(before, at)
	out, hasOut := direction(at, after)
	switch {
	case !hasIn && !hasOut:
		return geom.Vec{}
	case !hasIn:
		in = out
	case !hasOut:
		out = in
	}
	normal := geom.Vec{X: in.Y + out.Y, Y: -in.X - out.X} // sum of the two outward unit normals
	length2 := normal.X*normal.X + normal.Y*normal.Y
	if length2 < 0.25 { // nearly a reversal: the true miter would shoot off
		return geom.Vec{X: in.Y, Y: -in.X}
	}
	return geom.Vec{X: 2 * normal.X / length2, Y: 2 * normal.Y / length2}
}

func direction(a, b geom.Vec) (geom.Vec, bool) {
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	if length < 1e-9 {
		return geom.Vec{}, false
	}
	return geom.Vec{X: (b.X - a.X) / length, Y: (b.Y - a.Y) / length}, true
}

// ears cuts a simple polygon of positive turning into triangles of corner indices (ear clipping: G. Meisters, Polygons
// have ears, 1975). A polygon that crosses itself gives some triangles and no endless loop.
func ears(corners []geom.Vec) [][3]int {
	left := make([]int, len(corners))
	for i := range left {
		left[i] = i
	}
	var cut [][3]int
	for i, tries := 0, 0; len(left) > 3 && tries < len(left); {
		n := len(left)
		a, b, c := left[(i+n-1)%n], left[i%n], left[(i+1)%n]
		if isEar(corners, left, a, b, c) {
			cut = append(cut, [3]int{a, b, c})
			left = append(left[:i%n], left[i%n+1:]...)
			i, tries = i%n, 0
			continue
		}
		i, tries = (i+1)%n, tries+1
	}
	return append(cut, [3]int{left[0], left[1], left[2]})
}

func isEar(corners []geom.Vec, left []int, a, b, c int) bool {
	if cross(corners[a], corners[b], corners[c]) <= 0 {
		return false
	}
	for _, i := range left {
		if i != a && i != b && i != c && inTriangle(corners[i], corners[a], corners[b], corners[c]) {
			return false
		}
	}
	return true
}

func inTriangle(v, a, b, c geom.Vec) bool {
	return cross(a, b, v) >= 0 && cross(b, c, v) >= 0 && cross(c, a, v) >= 0
}
