package scripting

import "chalkfield/sim/robot"

var intakeCalls = []partCall{
	{"run(volts)", "turns the rollers, inwards where the volts are positive, until the next command", runVolts},
	{"stop()", "0 V", command(robot.Volts)},
	{"speed()", "mm/s of the rollers' surface", surfaceSpeed},
	ampsCall, heatCall,
	{"stalled()", "whether a piece that cannot enter has blocked the rollers for 0.25 s", isStalled},
}
