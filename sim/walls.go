package sim

import (
	"chalkfield/fields"
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// wallDepth is how far walls reach outwards, m, where there is room. A body would have to go half of it in one step,
	// 50 m/s, to come out at the back.
	wallDepth = 0.2
	// thinnest is the depth of a wall where there is no room, as at the tip of a fin.
	thinnest = 2.5 * rounding
)

// addWalls puts a solid strip outside each edge of the floor.
func addWalls(s *cp.Space, f *fields.Field) {
	floor := newBounded(f.Floor)
	for i := range f.Floor {
		wall := polygonShape(s.StaticBody, strip(floor, i))
		wall.SetFriction(f.Surface.WallFriction)
		wall.SetElasticity(f.Surface.WallRestitution)
		s.AddShape(wall)
	}
}

// bounded is a floor and its bounds.
type bounded struct {
	geom.Polygon
	low, high geom.Vec
}

func newBounded(floor geom.Polygon) bounded {
	low, high := floor.Bounds()
	return bounded{floor, low, high}
}

// strip is the solid behind edge i: at each end as deep as it can be without coming out on the floor again where the
// floor is concave. It reaches around outer corners, so that no gap is left between neighbours.
func strip(g bounded, i int) geom.Polygon {
	floor, n := g.Polygon, len(g.Polygon)
	a, b := floor[i], floor[(i+1)%n]
	along := geom.Direction(r2.Sub(b, a))
	out := geom.Vec{X: along.Y, Y: -along.X}
	atA, atB := room(g, a, out), room(g, b, out)
	reachA, reachB := 0.0, 0.0
	if geom.Cross(r2.Sub(a, floor[(i+n-1)%n]), along) > 0 {
		reachA = wallDepth
	}
	if geom.Cross(along, r2.Sub(floor[(i+2)%n], b)) > 0 {
		reachB = wallDepth
	}
	for {
		from := r2.Sub(r2.Add(a, geom.Scale(atA, out)), geom.Scale(min(reachA, atA), along))
		to := r2.Add(r2.Add(b, geom.Scale(atB, out)), geom.Scale(min(reachB, atB), along))
		shape := geom.Polygon{a, from, to, b}
		if max(atA, atB) <= thinnest || !overlapsFloor(shape, g) {
			return shape
		}
		atA, atB = max(thinnest, 0.8*atA), max(thinnest, 0.8*atB)
	}
}

// room is how deep the wall may be behind a point.
func room(floor bounded, at, out geom.Vec) float64 {
	const step = 0.001
	for t := thinnest; t < wallDepth; t += step {
		if onFloor(floor, r2.Add(at, geom.Scale(t, out))) {
			return max(thinnest, t-2*step)
		}
	}
	return wallDepth
}

// overlapsFloor reports whether the outer sides of a strip come out on the floor.
func overlapsFloor(strip geom.Polygon, floor bounded) bool {
	const parts = 64
	for side := range 3 {
		a, b := strip[side], strip[side+1]
		for k := range parts + 1 {
			if onFloor(floor, r2.Add(a, geom.Scale(float64(k)/parts, r2.Sub(b, a)))) {
				return true
			}
		}
	}
	return false
}

// onFloor reports whether a point is well on the floor, farther from its edge than the thinnest wall is deep.
func onFloor(floor bounded, p geom.Vec) bool {
	within := p.X > floor.low.X && p.X < floor.high.X && p.Y > floor.low.Y && p.Y < floor.high.Y
	return within && floor.Contains(p) && floor.Distance(p) > thinnest
}
