package scripting

import "chalkfield/sim/robot"

var spinnerMethods = map[string]method{"run": runVolts, "stop": command(robot.Volts), "speed": surfaceSpeed}
