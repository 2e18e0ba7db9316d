package sim

import (
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
)

// ray is how far it is from a place of the robot's frame along its heading to what stands there, m, at most far. It
// sees walls, pieces, pushable goals and other robots, not the robot itself nor the goal that it holds.
func (r *Robot) ray(from geom.Pose, far float64) float64 {
	p, rot := r.Pose(), r.body.Rotation()
	at := cp.Vector{X: p.X + float64(rot.X*from.X) - float64(rot.Y*from.Y),
		Y: p.Y + float64(rot.Y*from.X) + float64(rot.X*from.Y)}
	u := geom.Unit(p.Heading + from.Heading)
	return r.world.space.FirstHitBeside(r.shape, at, vector(u), far, r.filter())
}
