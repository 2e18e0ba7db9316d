// Package motion holds the drive motions and the controllers they are built on: profiles, PID, slew limits, and the
// motions ahead, face, visit, dock and trace. A motion works from the belief and commands volts; it knows no Lua and no
// physics.
package motion

import "chalkfield/internal/geom"

// Plant is a drive base as a motion may know it. SI units and radians.
type Plant interface {
	// Model is what the robot file says of the machine; default gains come from it.
	Model() Model
	// Belief is the pose that the odometry reports.
	Belief() geom.Pose
	// BeliefSpeed is the speed along the heading (m/s) and the turning rate (rad/s) that the odometry reports.
	BeliefSpeed() (along, turn float64)
	// WheelSpeeds are the measured surface speeds of the left and right trains, m/s.
	WheelSpeeds() (left, right float64)
	// Battery is the terminal voltage: what DriveVolts can give at most, V.
	Battery() float64
	// DriveVolts commands the two trains; the machine clamps to what the battery gives.
	DriveVolts(left, right float64)
}

// Model is what default gains are computed from.
type Model struct {
	Mass      float64 // kg
	Inertia   float64 // kg m^2 about the vertical axis
	Track     float64 // m: effective track width
	FreeSpeed float64 // m/s at Volts
	Volts     float64 // V, nominal
	KV, KA    float64 // V per m/s and V per m/s^2, straight ahead, per train
	TurnKV    float64 // V per rad/s of turning, per train (scrub in steady turning included)
	TurnKA    float64 // V per rad/s^2
	KS        float64 // V to overcome friction
	TurnKS    float64 // V to overcome turning scrub
	Grip      float64 // m/s^2: greatest acceleration along the heading that the tyres hold
	SideGrip  float64 // m/s^2: greatest sideways acceleration that they hold
	Tip       float64 // m/s^2: acceleration along, either way, at which it would tip; 0: never
	SideTip   float64 // m/s^2: likewise to the side
	Period    float64 // s: control tick

	// Pivot is the point about which the base turns on the spot, m ahead of the point that poses speak of: the traction
	// wheels' axle where the other wheels are omni wheels. Motions plan the way of this point.
	Pivot float64

	// Defaults of the robot file, 0 where they are to be computed.
	Speed, Accel, TurnRate, TurnAccel float64
	AlongP, HeadingP, HeadingD        float64
}
