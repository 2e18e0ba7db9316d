package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
)

// The solver starts each step from the last step's impulses. After an impact these are far too great, and in a chain of
// contacts five iterations do not take all of it back, so that energy would appear from nothing. Steps with an impact,
// and the one after, get more iterations.
const (
	joltIterations = 80
	joltSpeed      = 0.15 // m/s: change of velocity in a step, or closing speed, that counts as an impact
)

// jolts looks out for impacts on one body.
type jolts struct {
	space *cp.Space
	last  cp.Vector // m/s: velocity a step ago
}

// look compares the velocity with that of a step ago.
func (j *jolts) look(v cp.Vector) {
	if math.Abs(v.X-j.last.X)+math.Abs(v.Y-j.last.Y) > joltSpeed {
		j.space.Iterations = joltIterations
	}
	j.last = v
}

// feel looks at a contact of this step.
func (j *jolts) feel(arb *cp.Arbiter) {
	if !arb.IsFirstContact() || j.space.Iterations == joltIterations {
		return
	}
	a, b := arb.Bodies()
	set := arb.ContactPointSet()
	at := set.Points[0].PointA
	if a.VelocityAtWorldPoint(at).Sub(b.VelocityAtWorldPoint(at)).Dot(set.Normal) > joltSpeed {
		j.space.Iterations = joltIterations
	}
}
