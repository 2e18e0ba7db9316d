// Package rehearse runs ONE rehearsal: it wires a field, robots, routines and a seed together, owns the clock, and
// writes the record. The window, the checks and the studies all call it, so that what is seen is what CI checks.
package rehearse

import (
	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/scripting/history"
	"chalkfield/sim"
	"chalkfield/sim/robot"
)

// The clock.
const (
	ControlTick = sim.ControlTick // s

	ticksPerSecond = 100
)

// Setup is everything that determines a record.
type Setup struct {
	Field    *fields.Field
	Entrants []Entrant          // the first is the robot under test
	Session  string             // name of a session of the field; "" for its first
	Seed     uint64             // draws the spread and every noise
	Nominal  bool               // draw nothing: ideal placement, no noise
	Params   map[string]float64 // values for the routines' param(), by name

	// Sparse leaves of the samples only the last and the robots' ways, and tells no changes of the score: a study of many
	// rehearsals reads nothing else. It changes nothing of what happens.
	Sparse bool
	Fine   bool // samples at every tick: for who reads loops that are as quick, and writes no record

	// s: of the physics, a whole part of ControlTick; 0: what the world takes. A test sees by it what errors do.
	step float64
}

// Entrant is one robot and what it does. Exactly one of Routine and Replay is set, or neither for a robot that stands.
type Entrant struct {
	Robot   *robot.Robot
	Known   *robot.Robot // what its controllers take it for; nil: what it is
	Routine *scripting.Program
	Replay  *record.Record // drives along the first robot's path of a record
	Side    string         // side's name; "" for the routine's own, else the field's first
	Start   *geom.Pose     // instead of the routine's start
	Pad     Pad            // who drives in a driver phase; nil: nobody touches the pad

	// takes what the routine does, tick by tick; it changes nothing of what happens. nil: nobody asks
	History *history.History
}

// Pad is a driver's controller.
type Pad interface {
	// At gives the controls at a time since the start of the session. Called once per control tick.
	At(t float64) scripting.PadState
}
