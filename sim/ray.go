package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
)

// ray is how far it is from a place of the robot's frame along its heading to what stands there, m, at most far. It sees
// walls, pieces, pushable goals and other robots, not the robot itself nor the goal that it holds.
func (r *Robot) ray(from geom.Pose, far float64) float64 {
	p := r.Pose().Compose(from)
	u := geom.Unit(p.Heading)
	l := look{
		world: r.world, filter: r.filter(), along: cp.Vector{X: u.X, Y: u.Y}, far: far, least: 1,
		from: cp.Vector{X: p.X, Y: p.Y}, to: cp.Vector{X: p.X + float64(far*u.X), Y: p.Y + float64(far*u.Y)},
	}
	for _, b := range r.world.bodies {
		if b.body != nil && b.shape.Space() != nil && l.near(b.body.Position(), b.reach) {
			l.try(b.shape)
		}
	}
	for _, other := range r.world.robots {
		l.try(other.shape)
	}
	for _, wall := range r.world.walls {
		l.try(wall)
	}
	return far * l.least
}

// look is a line of sight. It goes through the world's own lists, not through the engine's tree: that makes garbage for
// each shape on its way, and a circle about a body is left out sooner than a branch.
type look struct {
	world    *World
	filter   cp.ShapeFilter
	from, to cp.Vector
	along    cp.Vector // unit vector
	far      float64   // m: from from to to
	least    float64   // share of the way to the nearest thing so far
}

// near reports whether the line comes as close to a place as reach, in m.
func (l *look) near(at cp.Vector, reach float64) bool {
	x, y := at.X-l.from.X, at.Y-l.from.Y
	along := float64(x*l.along.X) + float64(y*l.along.Y)
	aside := float64(x*l.along.Y) - float64(y*l.along.X)
	return along > -reach && along < l.far+reach && math.Abs(aside) < reach
}

// try looks for a shape on the way.
func (l *look) try(s *cp.Shape) {
	if s.Filter.Reject(l.filter) || !l.meets(s.BB()) {
		return
	}
	hit := &l.world.hit
	if s.SegmentQuery(l.from, l.to, 0, hit) {
		l.least = min(l.least, hit.Alpha)
	}
}

// meets reports whether the line's bounds meet a shape's.
func (l *look) meets(b cp.BB) bool {
	return min(l.from.X, l.to.X) <= b.R && max(l.from.X, l.to.X) >= b.L &&
		min(l.from.Y, l.to.Y) <= b.T && max(l.from.Y, l.to.Y) >= b.B
}
