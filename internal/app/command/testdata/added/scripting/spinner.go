package scripting

import "chalkfield/sim/robot"

var spinnerCalls = []partCall{
	{"run(volts)", "turns the disc until the next command", runVolts},
	{"stop()", "0 V", command(robot.Volts)},
	{"speed()", "mm/s of the rim", surfaceSpeed},
}
