package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
)

// The solver starts each step from the last step's impulses. After an impact these are far too great, and in a chain of
// contacts five iterations do not take all of it back, so that energy would appear from nothing. Steps with an impact,
// and the one after, get more iterations.
const (
	impactIterations = 80
	impactSpeed      = 0.15 // m/s: change of velocity in a step, or closing speed, that counts as an impact
)

// impacts looks out for impacts on one body.
type impacts struct {
	space *cp.Space
	last  cp.Vector // m/s: velocity a step ago
}

// look compares the velocity with that of a step ago.
func (j *impacts) look(v cp.Vector) {
	if math.Abs(v.X-j.last.X)+math.Abs(v.Y-j.last.Y) > impactSpeed {
		j.space.Iterations = impactIterations
	}
	j.last = v
}

// meets looks at a contact of this step.
func (j *impacts) meets(arb *cp.Arbiter) {
	if !arb.IsFirstContact() || j.space.Iterations == impactIterations {
		return
	}
	a, b := arb.Bodies()
	set := arb.ContactPointSet()
	at := set.Points[0].PointA
	if a.VelocityAtWorldPoint(at).Sub(b.VelocityAtWorldPoint(at)).Dot(set.Normal) > impactSpeed {
		j.space.Iterations = impactIterations
	}
}
