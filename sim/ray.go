package sim

import (
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
)

// ray is how far it is from a place of the robot's frame along its heading to what stands there, m, at most far. It
// sees walls, pieces, pushable goals and other robots, not the robot itself nor the goal that it holds.
func (r *Robot) ray(from geom.Pose, far float64) float64 {
	p := r.Pose().Compose(from)
	u := geom.Unit(p.Heading)
	return r.world.space.FirstHit(cp.Vector{X: p.X, Y: p.Y}, cp.Vector{X: u.X, Y: u.Y}, far, r.filter())
}
