package scripting

import "chalkfield/sim/robot"

var conveyorCalls = []partCall{
	{"run(volts)", "runs the belt, negative towards the intake, until the next command", runVolts},
	{"stop()", "0 V", command(robot.Volts)},
	{"hold()", "runs until a piece is at its optical sensor, and keeps it there", command(robot.Hold)},
	{"count()", "pieces on it", pieceCount},
	{"holding()", "whether a piece stands at the sensor after `hold`", isHolding},
	{"jammed()", "whether its first piece cannot leave", isJammed},
	{"moving()", "whether the belt moves", isMoving},
	{"speed()", "mm/s of the belt", surfaceSpeed},
	ampsCall, heatCall,
}
