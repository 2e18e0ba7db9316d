package scripting

import "chalkfield/sim/robot"

var clawMethods = map[string]method{
	"out": command(robot.Deploy), "back": command(robot.Stow), "grab": command(robot.Shut), "drop": command(robot.Open),
	"place": command(robot.Place),
	"give":  command(robot.Give), "holding": isHolding, "is_out": isOut, "is_shut": isShut, "moving": isMoving,
	"count": pieceCount,
}
