package scripting

import "chalkfield/sim/robot"

var conveyorMethods = map[string]method{
	"run": runVolts, "stop": command(robot.Volts), "hold": command(robot.Hold), "count": pieceCount, "holding": isHolding,
	"jammed": isJammed, "moving": isMoving, "speed": surfaceSpeed, "amps": partAmps, "heat": partHeat,
}
