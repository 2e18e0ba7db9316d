package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// floorFriction is the Coulomb friction of one piece or goal on the floor: a constraint of the engine's solver, so that
// it acts together with contacts. A free body loses mu g dt of speed a step, and stops at zero; a pushed one stays
// where it is until the push exceeds the limit. Sliding and spinning share the friction as slideSpin says.
type floorFriction struct {
	body   *cp.Body
	mu     float64
	radius float64 // m: 3/2 of the torque arm in pure spin

	limit   float64   // N s: mu m g dt
	linear  cp.Vector // N s: impulse of this step so far
	angular float64   // N m s
	touched bool      // the body has contacts: iterate with them
	still   bool      // it has no speed
	done    bool
	meet    func(*cp.Arbiter)
	struck  func(*cp.Arbiter) // looks at each contact too; nil: nobody does
	impacts impacts
}

// newFloorFriction is that of a body with a torque arm (m) in pure spin.
func (w *World) newFloorFriction(body *cp.Body, mu, arm float64) *floorFriction {
	f := &floorFriction{body: body, mu: mu, radius: 1.5 * arm, impacts: impacts{space: w.space}}
	f.meet = func(arb *cp.Arbiter) {
		f.touched = true
		f.impacts.meets(arb)
		if f.struck != nil {
			f.struck(arb)
		}
		if f.still && deep(arb) {
			f.body.Activate() // it must not fall asleep before the engine has moved it out
		}
	}
	return f
}

// PreStep prepares a step of dt.
func (f *floorFriction) PreStep(dt float64) {
	f.limit = f.mu * f.body.Mass() * Gravity * dt
	f.touched, f.done = false, false
	v := f.body.Velocity()
	f.still = v == (cp.Vector{})
	f.impacts.look(v)
	f.body.EachArbiter(f.meet)
	if !f.touched {
		f.linear, f.angular = cp.Vector{}, 0
	}
}

// deep reports whether two shapes overlap by more than the engine leaves alone.
func deep(arb *cp.Arbiter) bool {
	set := arb.ContactPointSet()
	for i := range set.Count {
		if set.Points[i].Distance < -2*slop {
			return true
		}
	}
	return false
}

// ApplyCachedImpulse starts from the last step's impulse, which is what a steady push needs again.
func (f *floorFriction) ApplyCachedImpulse(scale float64) {
	f.linear, f.angular = f.linear.Mult(scale), f.angular*scale
	if f.linear != (cp.Vector{}) || f.angular != 0 {
		f.hold(f.linear, f.angular)
	}
}

// ApplyImpulse replaces the impulse by the one that fits the velocity which the body would have without it.
func (f *floorFriction) ApplyImpulse(float64) {
	if f.done {
		return
	}
	v, w := f.body.Velocity(), f.body.AngularVelocity()
	if v == (cp.Vector{}) && w == 0 {
		return
	}
	m, i := f.body.Mass(), f.body.Moment()
	p := v.Mult(m).Sub(f.linear) // momentum without friction
	l := float64(i*w) - f.angular
	linear, angular := f.answer(p, l, m, i)
	f.hold(linear.Sub(f.linear), angular-f.angular)
	f.linear, f.angular = linear, angular
	f.done = !f.touched
}

// answer is the friction impulse against a momentum p and an angular momentum l: all of it if friction can hold it,
// otherwise what sliding friction gives.
func (f *floorFriction) answer(p cp.Vector, l, m, i float64) (cp.Vector, float64) {
	size, spin := p.Length(), math.Abs(l)
	if rim := spin / f.radius; size+rim <= f.limit*discFriction.limit(size, rim) {
		return p.Neg(), -l
	}
	force, torque := discFriction.at(size/m, f.radius*spin/i)
	var linear cp.Vector
	if size > 0 {
		linear = p.Mult(-min(1, force*f.limit/size))
	}
	return linear, -math.Copysign(min(spin, torque*f.limit*f.radius), l)
}

// GetImpulse is the size of the linear impulse, as the engine's interface wants it.
func (f *floorFriction) GetImpulse() float64 { return f.linear.Length() }

// hold gives the body an impulse (N s) at its centre of mass and an angular impulse (N m s), as push does, but without
// waking it and what it touches unless it makes it turn faster: two bodies that stand and press on one another are held
// apart by friction in every step, and would be awake for ever. The engine judges by their speed whether they may
// sleep.
func (f *floorFriction) hold(linear cp.Vector, angular float64) {
	v, w := f.body.Velocity(), f.body.AngularVelocity()
	faster := w + angular/f.body.Moment()
	if math.Abs(faster) > math.Abs(w) {
		push(f.body, linear, angular)
		return
	}
	left := 1.0 // of the turning rate; the engine slows both motions by it, so that the linear one is made up for
	if w != 0 {
		left = faster / w
	}
	to := v.Add(linear.Mult(1 / f.body.Mass()))
	cp.BodyUpdateVelocity(f.body, to.Sub(v.Mult(left)), left, 1)
}

// push gives a body an impulse (N s) at its centre of mass and an angular impulse (N m s).
func push(body *cp.Body, linear cp.Vector, angular float64) {
	body.SetVelocityVector(body.Velocity().Add(linear.Mult(1 / body.Mass())))
	body.SetAngularVelocity(body.AngularVelocity() + angular/body.Moment())
}

// torqueArm is the mean distance of a shape's area from its centroid, m: the arm of its friction torque in pure spin
// under even pressure. Midpoint rule on triangles from the centroid; a disc gives 2R/3.
func torqueArm(p geom.Polygon) float64 {
	const n = 64
	var sum float64
	for i, a := range p {
		b := p[(i+1)%len(p)]
		area := (float64(a.X*b.Y) - float64(a.Y*b.X)) / 2
		// Along the ray to a point c of the edge, distance grows evenly: its mean over the triangle's slice is 2/3 |c|.
		for k := range n {
			t := (float64(k) + 0.5) / n
			sum += float64(float64(area/n) * 2 / 3 * portable.Hypot(a.X+float64(t*(b.X-a.X)), a.Y+float64(t*(b.Y-a.Y))))
		}
	}
	return sum / p.Area()
}
