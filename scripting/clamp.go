package scripting

import "chalkfield/sim/robot"

var clampMethods = map[string]method{
	"shut": command(robot.Shut), "open": command(robot.Open), "holding": isHolding, "is_shut": isShut, "moving": isMoving,
}
