package scripting

import "chalkfield/sim/robot"

var intakeMethods = map[string]method{
	"run": runVolts, "stop": command(robot.Volts), "speed": surfaceSpeed, "amps": partAmps, "heat": partHeat,
	"stalled": isStalled,
}
