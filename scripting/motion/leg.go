package motion

import (
	"math"

	"chalkfield/internal/base/geom"
)

// reading is what the plant reports at one tick.
type reading struct {
	at      geom.Vec // of the pivot, which moves only along the heading
	heading float64  // rad, continuous since Start
	along   float64  // m/s
	turn    float64  // rad/s
	dt      float64  // s, length of the tick
}

func (r *reading) pose() geom.Pose { return geom.Pose{X: r.at.X, Y: r.at.Y, Heading: r.heading} }

// progress is how a leg stands after a step.
type progress struct {
	over       bool    // the plan has run out: its reference stands at the end
	near       bool    // the reference is within endZone of the end
	along      float64 // m left along the direction of travel at the end; negative: past it
	angle      float64 // rad left to turn
	want       wanted
	overshoots float64 // how far past the end, m or rad, 0 before it
}

// wanted is what a leg's plan has at one moment.
type wanted struct {
	at geom.Pose // of the pivot, with the robot's heading
	setpoint
	rolling, braking float64 // m/s, m/s^2 along, left from before, which are no part of the plan
}

// endZone is the time before the end of a plan in which a motion may already be called finished, s.
const endZone = 0.05

// leg is a stretch of a motion that is either a turn on the spot, a curve, or a held rate.
type leg interface {
	// begin takes the robot as it is when the leg's turn has come.
	begin(now *reading)
	// step gives what the wheels shall do in this tick, and moves the plan on.
	step(now *reading) (setpoint, progress)
	// seconds is the planned time.
	seconds() float64
	// turns reports whether the leg only turns.
	turns() bool
	// outline appends the planned curve.
	outline(row []geom.Vec) []geom.Vec
}

// hold is how fast a plan's own time runs, 0..1, when the robot is an error behind it: full speed up to slack, standing
// at stop. It keeps the reference from running away from a robot that is weaker than its model or was pushed (time
// scaling along a path: Dahl & Nielsen, IEEE Trans. R&A 6(5), 1990).
func hold(behind, slack, stop float64) float64 {
	return geom.Clamp((stop-float64(behind))/(stop-slack), 0, 1)
}

// approach is the greatest start speed that still allows to stop within a distance.
func approach(speed, distance, brake float64) float64 {
	return geom.Clamp(speed, 0, 0.999*math.Sqrt(2*brake*math.Abs(distance)))
}
