package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/portable"
)

// leastCreep is the least creep (m/s) that a file may have.
const leastCreep = 0.005

// staticFriction is the static friction of a tyre.
type staticFriction struct {
	along, across float64 // friction coefficients where it slides
	static        float64 // times as much where it does not
}

// stick gives each tyre its friction in a step by how its wheel slipped as that began, at the robot's velocity and
// turning rate in its own frame.
func (d *driveline) stick(v cp.Vector, turn float64) {
	for i := range d.wheels {
		w := &d.wheels[i]
		if w.sticky == nil {
			continue
		}
		x, y := v.X-float64(turn*w.at.Y), v.Y+float64(turn*w.at.X)
		rim := w.on.began * w.radius
		creep := d.creep * min(1, max(portable.Hypot(x, y), math.Abs(rim))/rollingFor)
		f := w.sticky.factor(x-float64(rim), y, creep, max(d.creep, leastCreep))
		w.along, w.across = w.sticky.along*f, w.sticky.across*f
	}
}

// factor is by how much a tyre holds more than one that slides, at slip speeds u along and s across (m/s): static up to
// its creep, and beyond as Stribeck's curve falls off, 1 + (static - 1) e^-(v/fades)^2 for v beyond the creep, fades
// that of a tyre that rolls (Armstrong-Helouvry, Dupont, Canudas de Wit 1994, see robot.Drive's Breakaway, for the
// curve's form; that a tyre falls off within its creep again is common practice, no source).
//
// Slip counts by what it costs: the speed at which the greater of its frictions would lose what both lose. So an omni
// wheel that its rollers let slip sideways still sticks along.
func (t *staticFriction) factor(u, s, creep, fades float64) float64 {
	most := max(t.along, t.across)
	beyond := portable.Hypot(u*t.along/most, s*t.across/most) - creep
	if beyond <= 0 {
		return t.static
	}
	share := beyond / fades
	return 1 + float64((t.static-1)*portable.Exp(-share*share))
}
