package sim

import (
	"slices"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// take brings a piece into a robot, at a pose of its frame. From the floor or out of a goal, the two go on with their
// joint momentum; a piece that was held already moved with its holder, and what it may bring along is left out.
func (w *World) take(b *Body, r *Robot, at geom.Pose) {
	brought := r.body.Velocity()
	if b.Holder == record.OnFloor {
		brought = b.body.Velocity()
	} else if g := b.Holder.Goal(); g >= 0 {
		brought = w.bodies[g].motion()
	}
	w.release(b)
	b.Holder, b.at, b.Scorer = record.HeldByRobot(r.Index), at, r.Side
	momentum := r.body.Velocity().Mult(r.body.Mass()).Add(brought.Mult(b.mass))
	r.load(b.ID, b.mass, at.At())
	push(r.body, momentum.Sub(r.body.Velocity().Mult(r.body.Mass())), 0)
}

// carry moves a held piece to another pose of its robot's frame.
func (w *World) carry(b *Body, at geom.Pose) {
	b.at = at
	w.robots[b.Holder.Robot()].load(b.ID, b.mass, at.At())
}

// putInGoal puts a piece into a goal, at a pose of the goal's frame.
func (w *World) putInGoal(b, goal *Body, at geom.Pose) {
	w.release(b)
	b.Holder, b.at = record.InGoal(goal.ID), at
	goal.stack = append(goal.stack, b)
	goal.weigh(goal.load + b.mass)
}

// drop puts a piece onto the floor at a pose of the field, with a velocity (m/s). The recoil on what threw it is left
// out: a piece weighs a hundredth of a robot.
func (w *World) drop(b *Body, at geom.Pose, v geom.Vec) {
	w.release(b)
	b.Holder = record.OnFloor
	b.stand(at)
	b.body.SetVelocityVector(cp.Vector{X: v.X, Y: v.Y})
}

// release takes a piece from wherever it is; it is then nowhere until put.
func (w *World) release(b *Body) {
	switch {
	case b.Holder.Robot() >= 0:
		w.robots[b.Holder.Robot()].load(b.ID, 0, geom.Vec{})
	case b.Holder.Goal() >= 0:
		w.bodies[b.Holder.Goal()].yield(b)
	case b.Holder.Person() >= 0:
	default:
		b.lift()
	}
}

// yield takes a piece out of a goal.
func (b *Body) yield(piece *Body) {
	at := slices.Index(b.stack, piece)
	b.stack = slices.Delete(b.stack, at, at+1)
	if b.crooked == piece {
		b.crooked = nil
	}
	load := b.load - piece.mass
	if len(b.stack) == 0 {
		load = 0 // and not what rounding left
	}
	b.weigh(load)
}

// top is the piece that came into a goal last, nil for none.
func (b *Body) top() *Body {
	if len(b.stack) == 0 {
		return nil
	}
	return b.stack[len(b.stack)-1]
}

// motion is the velocity of a goal's centre of mass, m/s.
func (b *Body) motion() cp.Vector {
	if b.body == nil {
		return cp.Vector{}
	}
	return b.body.Velocity()
}
