package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Body is a piece or a goal. A piece on the floor and a pushable goal have a body in the engine. A fixed goal has none:
// wall mounts hang above the floor and nothing runs into them. A piece that a robot or a goal holds has none either: it
// moves with its holder and weighs on it. One that waits with a person is not on the field yet.
type Body struct {
	ID     int // index in World.Bodies
	Name   string
	Goal   bool
	Kind   int // index of the field's PieceKinds or GoalKinds
	Side   int // -1: neither's
	Scorer int // the side whose robot touched or placed it last, -1: none yet
	Holder record.Holder

	world   *World
	at      geom.Pose // in the holder's frame while held; of a fixed goal and with a person: on the field
	body    *cp.Body  // nil: fixed goal
	shape   *cp.Shape
	floor   *floorFriction
	rub     *cp.Constraint // floor as the engine holds it
	mass    float64        // kg, own
	inertia float64        // kg m^2, own, about the centre of mass
	load    float64        // kg of pieces inside

	stack   []*Body // goal: the pieces in it, the last one last
	gripped bool    // goal: a clamp holds it
	crooked *Body   // goal: the piece on top that landed crooked, or nil

	outline geom.Polygon // own frame; nil: disc
	centre  geom.Vec     // of mass, own frame
	radius  float64      // of the circle around it, m
}

// Pose is where the body is now, its heading not wrapped.
func (b *Body) Pose() geom.Pose {
	switch {
	case b.Holder.Robot() >= 0:
		return b.world.robots[b.Holder.Robot()].Pose().Compose(b.at)
	case b.Holder.Goal() >= 0:
		return b.world.bodies[b.Holder.Goal()].Pose().Compose(b.at)
	case b.body == nil || b.Holder.Person() >= 0:
		return b.at
	}
	return originOf(b.body, b.centre)
}

// Velocity of the body's centre (m/s) and its turning rate (rad/s); zero while held.
func (b *Body) Velocity() (vx, vy, omega float64) {
	if b.body == nil || b.Holder != record.OnFloor {
		return 0, 0, 0
	}
	return originVelocity(b.body, b.centre)
}

// Fixed reports whether the body is a fixed goal.
func (b *Body) Fixed() bool { return b.body == nil }

// Radius is that of the circle around the body, m.
func (b *Body) Radius() float64 { return b.radius }

// Outline is the body's polygon in its own frame, nil for a disc.
func (b *Body) Outline() geom.Polygon { return b.outline }

// Asleep reports whether the engine lets the body rest.
func (b *Body) Asleep() bool { return b.body != nil && b.body.IsSleeping() }

// newPiece makes piece i of the field, standing at a pose.
func (w *World) newPiece(i int, at geom.Pose, friction float64) *Body {
	p := w.field.Pieces[i]
	k := w.field.PieceKinds[p.Kind]
	b := &Body{ID: len(w.bodies), Name: p.Name, Kind: p.Kind, Side: p.Side, Scorer: -1, world: w, mass: k.Mass,
		radius: k.Radius}
	arm := 2 * k.Radius / 3 // uniform disc
	b.inertia = k.Mass * k.Radius * k.Radius / 2
	if k.Corners > 0 {
		b.outline = k.Outline()
		arm, b.inertia = torqueArm(b.outline), b.outline.Inertia(k.Mass)
	}
	b.body = newBody(k.Mass, b.inertia)
	if b.outline == nil {
		b.shape = cp.NewCircle(b.body, k.Radius, cp.Vector{})
	} else {
		b.shape = polygonShape(b.body, b.outline)
	}
	b.dress(k.Friction, k.Restitution, k.FloorFriction*friction, arm)
	b.stand(at)
	return b
}

// newGoal makes goal i of the field, standing at a pose. It collides as the convex hull of its outline.
func (w *World) newGoal(i int, at geom.Pose, friction float64) *Body {
	g := w.field.Goals[i]
	k := w.field.GoalKinds[g.Kind]
	b := &Body{ID: len(w.bodies), Name: g.Name, Goal: true, Kind: g.Kind, Side: g.Side, Scorer: -1, world: w,
		mass: k.Mass, outline: k.Shape}
	for _, v := range k.Shape {
		b.radius = math.Max(b.radius, geom.Norm(v))
	}
	if k.Fixed {
		b.at = at
		return b
	}
	b.centre = k.Shape.Centroid()
	about := shifted(k.Shape, geom.Scale(-1, b.centre))
	b.inertia = about.Inertia(k.Mass)
	b.body = newBody(k.Mass, b.inertia)
	b.shape = polygonShape(b.body, hull(about))
	b.dress(k.Friction, k.Restitution, k.FloorFriction*friction, torqueArm(about))
	if k.Spills > 0 {
		b.floor.struck = b.struck
	}
	b.stand(at)
	return b
}

// dress gives the shape its surface and the body its floor friction.
func (b *Body) dress(friction, restitution float64, mu, arm float64) {
	b.body.UserData = b
	b.shape.SetFriction(friction)
	b.shape.SetElasticity(restitution)
	b.floor = b.world.newFloorFriction(b.body, mu, arm)
	b.rub = cp.NewConstraint(b.floor, b.body, b.world.ground)
}

// stand puts the body on the floor, at rest.
func (b *Body) stand(at geom.Pose) {
	setOrigin(b.body, b.centre, at)
	b.body.SetVelocity(0, 0)
	b.body.SetAngularVelocity(0)
	b.world.space.AddBody(b.body)
	b.world.space.AddShape(b.shape)
	b.world.space.AddConstraint(b.rub)
}

// lift takes the body off the floor.
func (b *Body) lift() {
	b.world.space.RemoveConstraint(b.rub)
	b.world.space.RemoveShape(b.shape)
	b.world.space.RemoveBody(b.body)
}

// weigh sets the mass of what is inside a goal; it is taken to lie like the goal's own mass.
func (b *Body) weigh(load float64) {
	b.load = load
	if b.body == nil {
		return
	}
	b.body.SetMass(b.mass + load)
	b.body.SetMoment(b.inertia * (b.mass + load) / b.mass)
}
