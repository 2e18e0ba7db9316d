// Package scripting runs a Lua routine against a robot: sandbox, scheduler and the routine API. It knows no physics: it
// commands a Machine and reads its measurements.
package scripting

import (
	"chalkfield/internal/geom"
	"chalkfield/scripting/motion"
)

// Machine is one robot as its routine may know it: commands in, measurements out, never the truth. Commands hold until
// the next one; the machine limits them to what it can do. SI units and radians.
type Machine interface {
	motion.Plant // drive base: model, belief, wheel speeds, volts

	// SetCoasting says what the trains do at 0 V: coast, or brake.
	SetCoasting(coasts bool)
	// SetBelief tells the odometry where the robot is.
	SetBelief(geom.Pose)
	// Battery is the terminal voltage.
	Battery() float64
	// Air is the reservoir's gauge pressure in Pa, 0 without pneumatics.
	Air() float64

	// Parts lists the mechanisms; an index into it names a part below.
	Parts() []Part
	// Do commands a part. A command that the part's kind does not have is ignored: the host offers none.
	Do(part int, c Command)
	// Look reads a part's state.
	Look(part int) Status

	// Sensors lists the sensors; an index into it names a sensor below.
	Sensors() []Sensor
	// Read gives the sensor's latest reading in its unit (m, rad, or 0/1).
	Read(sensor int) float64
}

// Part is a mechanism's name and kind ("intake", "conveyor", "clamp", "scorer", "claw", "lift").
type Part struct {
	Name, Kind string
	Heights    []Height // lift: named positions
	Elevator   bool     // lift: positions in m, not rad
	Low, High  float64  // lift: its end stops, rad or m; equal where the machine does not tell
}

// Height is a lift's named position in rad, or m for an elevator.
type Height struct {
	Name string
	At   float64
}

// Sensor is a sensor's name and kind (see robotfile.SensorKind).
type Sensor struct {
	Name, Kind string
	Linear     bool // rotation sensor of an elevator: it reads m, not rad
}

// Command is what a routine asks of a part. Verb decides which number counts.
type Command struct {
	Verb  Verb
	Value float64 // Volts: V; Target: rad or m
}

// Verb of a Command.
type Verb int

const (
	Volts  Verb = iota // intake, conveyor, lift: run the motor at Value volts
	Hold               // conveyor: keep the next piece at the holding sensor; lift: stay at the present position
	Target             // lift: closed loop to Value
	Shut               // clamp: close; claw: close on a piece
	Open               // clamp: open; claw: let go
	Deploy             // claw: out
	Stow               // claw: in
	Give               // claw: put the piece back on the conveyor
	Place              // claw: put the piece into the goal before it
)

// Status is what a part's own sensors tell.
type Status struct {
	Count   int     // conveyor: pieces on it; claw: 0 or 1
	Holding bool    // clamp: a goal; claw: a piece; conveyor: a piece stands at its hold
	Shut    bool    // clamp, claw
	Out     bool    // claw: deployed
	Moving  bool    // piston under way, conveyor carrying, lift not there yet
	Jammed  bool    // conveyor, scorer
	Stalled bool    // lift, intake: motor at its limit and not moving
	Value   float64 // lift: sensed position, rad or m; intake, conveyor: speed, m/s
	Target  float64 // lift
	Volts   float64
	Amps    float64
	Scored  int // scorer: pieces it has put into goals
}
