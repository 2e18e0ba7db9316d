// Package fit estimates a robot file's values from the logs of a real robot: the rehearsal's own physics is driven by
// the volts that were logged, and what it does is compared with what the log says it did (output error).
//
// SI units and radians throughout; keys are those of the robot file.
package fit

// Result is what the logs tell of a robot.
type Result struct {
	Robot      string // title of the robot file
	Logs       []Source
	Parameters []Parameter // in the order of the robot file
	Drives     []Drive
	Unclear    []Unclear
	Findings   []string // what a team should know, in words: "the left side is 3 % weaker than the right one"
	Warnings   []string // why not to trust it: residuals that are not noise, a log that looks wrong
	Rounds     int      // of the solver
	Seconds    float64  // of driving that was used
}

// Source is a log that was used.
type Source struct {
	Name, SHA256 string
	Seconds      float64
}

// State is what became of a parameter.
type State string

const (
	Fitted  State = "fitted"
	Held    State = "held"    // by the user
	Untold  State = "untold"  // the logs do not tell it: its value is the file's
	Shared  State = "shared"  // the logs tell it only together with another: its value is the file's
	Derived State = "derived" // follows from others, such as a stall current from torque and speed
)

// Parameter is a value of the robot file, or a factor on several that stand together.
type Parameter struct {
	Key       string // as the user names it: "drive.drag", "wheels.radius left"
	Unit      string // SI; "" for a bare number
	Before    float64
	After     float64
	Low, High float64 // 95 % interval; both 0 where there is none
	State     State
	Why       string    // words about the state; "" for a fitted one
	Settings  []Setting // what to write into the file
}

// Setting is a place in the robot file and what to write there.
type Setting struct {
	Path  string // as internal/base/tomlfile names it: "wheels[0].radius"
	Value float64
	Unit  string // SI; "" for a bare number
}

// Drive is a stretch of a log that was used.
type Drive struct {
	Log      string
	What     string  // "step forwards"
	From, To float64 // s of the log
	Way      float64 // m that the middle went, all of it counted forwards
	Before   Errors  // of the file as it was
	After    Errors  // of the new one
	HeldOut  *Errors // of a fit to all other drives; nil where it was not left out
	Traces   []Trace
}

// Errors are how far a prediction lies from a drive.
type Errors struct {
	Speed   float64  // root of the mean square, share of the drive's own root mean square speed
	End     *float64 // m between the ends; nil where the log tells no place
	Heading *float64 // rad at the end; nil where the log tells none
}

// Trace is one signal of a drive: what was logged, and what was predicted before and after.
type Trace struct {
	Name, Unit                  string // "left speed", SI unit
	Time, Logged, Before, After []float64
	Noise                       float64 // standard deviation of the signal's noise
}

// Unclear names what the logs cannot tell apart, and what would.
type Unclear struct {
	Keys []string
	Why  string // "a heavier robot with stronger motors would drive the same"
	Cure string // "weigh it and say --hold chassis.mass, or drive hard_start"
}
