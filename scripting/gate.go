package scripting

import "chalkfield/sim/robot"

var gateCalls = []partCall{
	{"open()", "bars the conveyor: pieces that come to it are thrown out", command(robot.Open)},
	{"shut()", "lets pieces pass", command(robot.Shut)},
	{"is_open()", "whether it is all the way open", isOut},
	{"moving()", "whether it is under way", isMoving},
	{"thrown()", "pieces thrown out since the start", pieceCount},
	{"jammed()", "whether a piece at it cannot leave", isJammed},
}
