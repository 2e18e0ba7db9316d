package sim

import (
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// take brings a piece into a robot, at a pose of its frame. From the floor, the two go on with their joint momentum; a
// piece that was held already moved with its holder, and what it may bring along is left out.
func (w *World) take(b *Body, r *Robot, at geom.Pose) {
	brought := r.body.Velocity()
	if b.Holder == record.OnFloor {
		brought = b.body.Velocity()
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
		goal := w.bodies[b.Holder.Goal()]
		goal.weigh(goal.load - b.mass)
	default:
		b.lift()
	}
}
