// Package scripting runs a Lua routine against a robot: sandbox, scheduler and the routine API. It knows no physics: it
// commands a Machine and reads its measurements.
package scripting

import (
	"chalkfield/internal/base/geom"
	"chalkfield/scripting/motion"
	"chalkfield/sim/robot"
)

// Machine is one robot as its routine may know it: commands in, measurements out, never the truth. Commands hold until
// the next one; the machine limits them to what it can do. SI units and radians.
type Machine interface {
	motion.Plant // drive base: model, belief, wheel speeds, volts

	// SetCoasting says what the trains do at 0 V: coast, or brake.
	SetCoasting(coasts bool)
	// StopMotors takes the volts off the drive and off every part that has a motor.
	StopMotors()
	// SetBelief tells the odometry where the robot is.
	SetBelief(geom.Pose)
	// Heat is that of the warmer train's motors, as a share of that to which their lasting current leads; 0: they do not
	// get hot.
	Heat() float64
	// Air is the reservoir's gauge pressure in Pa, 0 without pneumatics.
	Air() float64

	// Parts lists the mechanisms; an index into it names a part below.
	Parts() []robot.Part
	// Do commands a part. A command that the part's kind does not have is ignored: the host offers none.
	Do(part int, c robot.Command)
	// Look reads a part's state.
	Look(part int) robot.Status

	// Sensors lists the sensors; an index into it names a sensor below.
	Sensors() []robot.Sensor
	// Reading gives the sensor's latest reading in its unit (m, rad, or 0/1).
	Reading(sensor int) float64
	// PieceBefore is what an optical sensor tells of the piece before it: its kind, "" for no piece, and its side, ""
	// for neither's.
	PieceBefore(sensor int) (kind, side string)
	// Sights are where a mark sensor sees the field's marks, in their order. They are valid until the next call.
	Sights(sensor int) []robot.Sight
}
