package scripting

import "chalkfield/sim/robot"

var clampCalls = []partCall{
	{"shut()", "closes on a goal before it", command(robot.Shut)},
	{"open()", "lets go", command(robot.Open)},
	{"holding()", "whether it holds a goal", isHolding},
	{"is_shut()", "whether it is shut or closing", isShut},
	pistonCall,
}
