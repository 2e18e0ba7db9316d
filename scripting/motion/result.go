package motion

// Result is how a motion ended.
type Result struct {
	OK  bool // Why is Arrived
	Why Why
	// what was left: Ahead: m along the line, negative past the end; Face: rad, signed; else m to the end point
	Left float64
	Took float64 // s from Start to the end

	Overshoot float64 // how far past its end it went at most: m along the direction of travel; Face: rad
	Settle    float64 // s from the end of the plan to the end of the motion
	Planned   float64 // s that the plan takes
}

// Why a motion ended.
type Why string

const (
	Arrived Why = "arrived" // at the end, within the tolerance
	// not within the tolerance when its time was used up, or when it had come to rest beside the end
	TimedOut  Why = "timeout"
	Stalled   Why = "stalled"   // commanded, but the robot did not move
	Cancelled Why = "cancelled" // by Cancel
)
