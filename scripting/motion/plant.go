// Package motion holds the drive motions and the controllers they are built on: profiles, PID, slew limits, and the
// motions ahead, face, visit, dock and trace. A motion works from the belief and commands volts; it knows no Lua and no
// physics.
package motion

import (
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Plant is a drive base as a motion may know it. SI units and radians.
type Plant interface {
	// Model is what the robot file says of the machine; default gains come from it.
	Model() robot.Model
	// Belief is the pose that the odometry reports.
	Belief() geom.Pose
	// BeliefSpeed is the speed along the heading (m/s) and the turning rate (rad/s) that the odometry reports.
	BeliefSpeed() (along, turn float64)
	// MeasuredWheelSpeeds are the surface speeds of the left and right trains, m/s.
	MeasuredWheelSpeeds() (left, right float64)
	// Terminal is the battery's voltage under load: what SetDriveVolts can give at most, V.
	Terminal() float64
	// SetDriveVolts commands the two trains; the machine clamps to what the battery gives.
	SetDriveVolts(left, right float64)
}
