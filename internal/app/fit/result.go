// Package fit estimates a robot file's values from the logs of a real robot: the rehearsal's own physics is driven by
// the volts that were logged, and what it does is compared with what the log says it did (output error).
//
// A log is a recording (recording.go) with drives (drives.go) of signals and ends (signals.go, ends.go);
// stage.simulate drives a machine (simulate.go) whose values the rows change (rows.go, extras.go). An estimation
// starts (begin.go), fits the rows (estimation.go, chord.go), judges how well each is told (slopes.go, told.go),
// leaves each drive out once (held_out.go) and tells what it found (tell.go, remarks.go, sensors.go, battery.go).
// file.go writes it into the file.
//
// SI units and radians throughout; keys are those of the robot file.
package fit

import (
	"encoding/json"
	"math"
)

// Result is what the logs tell of a robot.
type Result struct {
	Robot      string      `json:"robot"` // title of the robot file
	Logs       []Source    `json:"logs"`
	Parameters []Parameter `json:"parameters"` // in the order of the robot file
	Drives     []Drive     `json:"drives"`
	Unclear    []Unclear   `json:"unclear"`
	// what a team should know, in words: "the left side is 3 % weaker than the right one"
	Findings []string `json:"findings"`
	Warnings []string `json:"warnings"` // why not to trust it: residuals that are not noise, a log that looks wrong
	Rounds   int      `json:"rounds"`   // of the solver
	Seconds  float64  `json:"seconds"`  // of driving that was used
}

// Source is a log that was used.
type Source struct {
	Name    string  `json:"name"`
	SHA256  string  `json:"sha256"`
	Seconds float64 `json:"seconds"`
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
	Key      string    `json:"key"`  // as the user names it: "drive.drag", "wheels.radius left"
	Unit     string    `json:"unit"` // SI; "" for a bare number
	Before   float64   `json:"before"`
	After    float64   `json:"after"`
	Low      float64   `json:"low"` // 95 % interval; both 0 where there is none
	High     float64   `json:"high"`
	State    State     `json:"state"`
	Why      string    `json:"why"`      // words about the state; "" for a fitted one
	Settings []Setting `json:"settings"` // what to write into the file
	// how far it may be off beside others of its kind, whose mean the file keeps: as many digits are written; 0: the
	// interval
	beside float64
}

// Setting is a place in the robot file and what to write there.
type Setting struct {
	Path  string  `json:"path"` // as internal/base/tomlfile names it: "wheels[0].radius"
	Value float64 `json:"value"`
	Unit  string  `json:"unit"` // SI; "" for a bare number
}

// Drive is a stretch of a log that was used.
type Drive struct {
	Log      string  `json:"log"`
	What     string  `json:"what"` // "step forwards"
	From     float64 `json:"from"` // s of the log
	To       float64 `json:"to"`
	Way      float64 `json:"way"`                // m that the middle went, all of it counted forwards
	SidesWay float64 `json:"-"`                  // m that a side went, the mean of both, all of it counted forwards
	Noise    float64 `json:"noise"`              // the error of speed that the sensors' noise alone makes
	Before   Errors  `json:"before"`             // of the file as it was
	After    Errors  `json:"after"`              // of the new one
	HeldOut  *Errors `json:"held_out,omitempty"` // of a fit to all other drives; nil where it was not left out
	Traces   []Trace `json:"-"`
}

// Errors are how far a prediction lies from a drive.
type Errors struct {
	Speed   float64  `json:"speed"`             // root of the mean square, share of the drive's own root mean square speed
	End     *float64 `json:"end,omitempty"`     // m between the ends; nil where the log tells no place
	Heading *float64 `json:"heading,omitempty"` // rad at the end; nil where the log tells none
}

// Trace is one signal of a drive: what was logged, and what was predicted before and after.
type Trace struct {
	Name   string    `json:"name"` // "left speed", SI unit
	Unit   string    `json:"unit"`
	Time   []float64 `json:"time"`
	Logged []float64 `json:"logged"`
	Before []float64 `json:"before"`
	After  []float64 `json:"after"`
	Noise  float64   `json:"noise"` // standard deviation of the signal's noise
}

// MarshalJSON leaves out what is no number: the speed of a drive without any.
func (e Errors) MarshalJSON() ([]byte, error) {
	known := struct {
		Speed   *float64 `json:"speed,omitempty"`
		End     *float64 `json:"end,omitempty"`
		Heading *float64 `json:"heading,omitempty"`
	}{&e.Speed, e.End, e.Heading}
	for _, x := range []**float64{&known.Speed, &known.End, &known.Heading} {
		if *x != nil && (math.IsNaN(**x) || math.IsInf(**x, 0)) {
			*x = nil
		}
	}
	return json.Marshal(known)
}

// Unclear names what the logs cannot tell apart, and what would.
type Unclear struct {
	Keys []string `json:"keys"`
	Why  string   `json:"why"`  // "a heavier robot with stronger motors would drive the same"
	Cure string   `json:"cure"` // "weigh it and say --hold chassis.mass, or drive hard_start"
}
