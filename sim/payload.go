package sim

import (
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// load makes the robot feel a held mass (kg) at a point of its frame, or moves or, with mass 0, removes it; body names
// it. Mass, centre of mass, inertia and wheel loads follow. Momentum is not touched: see take.
func (r *Robot) load(body int, mass float64, at geom.Vec) {
	kept := r.payload[:0]
	for _, c := range r.payload {
		if c.body != body {
			kept = append(kept, c)
		}
	}
	r.payload = kept
	if mass > 0 {
		r.payload = append(r.payload, cargo{body, mass, at})
	}
	r.rebalance()
}

// rebalance sums mass, centre and inertia (parallel axes), keeping the motion of the robot's origin.
func (r *Robot) rebalance() {
	c := r.Spec.Chassis
	mass, moment := c.Mass, geom.Scale(c.Mass, c.Centre)
	for _, p := range r.payload {
		mass += p.mass
		moment = r2.Add(moment, geom.Scale(p.mass, p.at))
	}
	pose := r.Pose()
	vx, vy, omega := r.Velocity()
	r.centre = geom.Scale(1/mass, moment)
	inertia := chassisInertia(c) + float64(c.Mass*geom.Norm2(r2.Sub(c.Centre, r.centre)))
	for _, p := range r.payload {
		inertia += float64(p.mass * geom.Norm2(r2.Sub(p.at, r.centre)))
	}
	r.body.SetMass(mass)
	r.body.SetMoment(inertia)
	setOrigin(r.body, r.centre, pose)
	arm := geom.Rotate(r.centre, pose.Heading)
	r.body.SetVelocity(vx-float64(omega*arm.Y), vy+float64(omega*arm.X))
	r.reshape()
	r.drive.centre(r.Spec.Wheels, r.centre)
	r.balance.settle(r.centre, r.drive.height)
	for _, j := range r.joints {
		j.anchor()
	}
}

// reshape moves the collision shape so that the outline stays with the robot's origin.
func (r *Robot) reshape() {
	in := inset(shifted(r.outline, geom.Scale(-1, r.centre)), rounding)
	corners := make([]cp.Vector, len(in))
	for i, v := range in {
		corners[i] = vector(v)
	}
	r.shape.Class.(*cp.PolyShape).SetVerts(len(corners), corners)
	r.shape.CacheBB() // the engine would only in its next step, and may be asked before
}
