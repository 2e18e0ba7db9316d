package sim

import (
	"chalkfield/fields"
	"chalkfield/internal/geom"

	"github.com/jakecoffman/cp/v2"
	"gonum.org/v1/gonum/spatial/r2"
)

// wallDepth is how far walls reach outwards, m, where there is room. A body would have to go half of it in one step,
// 50 m/s, to come out at the back.
const wallDepth = 0.2

// addWalls puts a solid strip outside each edge of the floor.
func addWalls(s *cp.Space, f *fields.Field) {
	for i := range f.Floor {
		wall := polygonShape(s.StaticBody, strip(f.Floor, i))
		wall.SetFriction(f.Surface.WallFriction)
		wall.SetElasticity(f.Surface.WallRestitution)
		s.AddShape(wall)
	}
}

// strip is the solid behind edge i: as deep as it can be without coming out on the floor again where the floor is
// concave.
func strip(floor geom.Polygon, i int) geom.Polygon {
	depth := wallDepth
	for depth > 2.5*rounding && overlapsFloor(strips(floor, i, depth), floor) {
		depth /= 2
	}
	return strips(floor, i, depth)
}

// strips is the strip of a given depth. It reaches around outer corners, so that no gap is left between neighbours.
func strips(floor geom.Polygon, i int, depth float64) geom.Polygon {
	n := len(floor)
	a, b := floor[i], floor[(i+1)%n]
	along := r2.Unit(r2.Sub(b, a))
	out := r2.Scale(depth, geom.Vec{X: along.Y, Y: -along.X})
	from, to := r2.Add(a, out), r2.Add(b, out)
	if r2.Cross(r2.Sub(a, floor[(i+n-1)%n]), along) > 0 {
		from = r2.Sub(from, r2.Scale(depth, along))
	}
	if r2.Cross(along, r2.Sub(floor[(i+2)%n], b)) > 0 {
		to = r2.Add(to, r2.Scale(depth, along))
	}
	return geom.Polygon{a, from, to, b}
}

// overlapsFloor reports whether the outer part of a strip comes out on the floor.
func overlapsFloor(strip, floor geom.Polygon) bool {
	const parts = 64
	for side := range 3 {
		a, b := strip[side], strip[side+1]
		for k := range parts + 1 {
			p := r2.Add(a, r2.Scale(float64(k)/parts, r2.Sub(b, a)))
			if floor.Contains(p) && floor.Distance(p) > rounding/4 {
				return true
			}
		}
	}
	return false
}
