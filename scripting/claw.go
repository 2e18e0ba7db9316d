package scripting

import "chalkfield/sim/robot"

var clawCalls = []partCall{
	{"out()", "swings out, to the piece that it is to take", command(robot.Deploy)},
	{"back()", "swings back", command(robot.Stow)},
	{"grab()", "closes on a piece", command(robot.Shut)},
	{"drop()", "opens: the piece falls", command(robot.Open)},
	{"place()", "puts the piece into the goal before it", command(robot.Place)},
	{"give()", "puts the piece back on the conveyor", command(robot.Give)},
	{"holding()", "whether it holds a piece", isHolding},
	{"count()", "pieces in it, 0 or 1", pieceCount},
	{"is_out()", "whether it is all the way out", isOut},
	{"is_shut()", "whether it is shut or closing", isShut},
	pistonCall,
}
