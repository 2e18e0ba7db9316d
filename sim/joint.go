package sim

import (
	"math"
	"slices"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
)

// joint holds a goal rigidly to a robot (a closed clamp): the goal stays a body on the floor, with its mass, friction
// and contacts, but does not touch the robot. While the joint draws the goal in, it never pulls harder than its limits.
type joint struct {
	robot *Robot
	at    geom.Vec       // of the goal's origin, robot frame
	pin   *cp.Constraint // keeps the places together
	turn  *cp.Constraint // keeps the headings together
}

// join clamps a goal so that its origin comes to stand at a pose of the robot's frame, with at most a force (N) and a
// torque (N m).
func (w *World) join(r *Robot, goal *Body, at geom.Pose, force, torque float64) *joint {
	from, to := sub(at.At(), r.centre), sub(geom.Vec{}, goal.centre)
	j := &joint{robot: r, at: at.At(), pin: cp.NewPivotJoint2(r.body, goal.body, from, to)}
	// The headings are kept as whole turns apart as they are now.
	apart := goal.body.Angle() - r.body.Angle()
	phase := at.Heading + float64(2*math.Pi*math.Round((apart-at.Heading)/(2*math.Pi)))
	j.turn = cp.NewGearJoint(r.body, goal.body, phase, 1)
	for _, c := range []*cp.Constraint{j.pin, j.turn} {
		c.SetCollideBodies(false)
		w.space.AddConstraint(c)
	}
	j.limit(force, torque)
	r.joints = append(r.joints, j)
	return j
}

// anchor follows the robot's centre of mass, from which the engine measures.
func (j *joint) anchor() {
	j.pin.Class.(*cp.PivotJoint).AnchorA = sub(j.at, j.robot.centre)
}

// limit sets the greatest force (N) and torque (N m).
func (j *joint) limit(force, torque float64) {
	j.pin.SetMaxForce(force)
	j.turn.SetMaxForce(torque)
}

// part lets the goal go.
func (j *joint) part() {
	space := j.robot.world.space
	space.RemoveConstraint(j.turn)
	space.RemoveConstraint(j.pin)
	j.robot.joints = slices.DeleteFunc(j.robot.joints, func(k *joint) bool { return k == j })
}

func sub(a, b geom.Vec) cp.Vector { return cp.Vector{X: a.X - b.X, Y: a.Y - b.Y} }
