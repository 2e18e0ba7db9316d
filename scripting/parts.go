package scripting

import "chalkfield/sim/robot"

// partMethods are the methods of each kind of mechanism.
var partMethods = map[robot.Kind]map[string]method{
	robot.KindIntake: intakeMethods, robot.KindConveyor: conveyorMethods, robot.KindClamp: clampMethods,
	robot.KindScorer: scorerMethods, robot.KindClaw: clawMethods, robot.KindLift: liftMethods,
}

// partClass is the class of a mechanism's kind.
func (h *Host) partClass(p robot.Part) *class {
	key := string(p.Kind)
	if h.classes.parts[key] == nil {
		h.classes.parts[key] = h.newClass(article(key), partMethods[p.Kind], nil)
	}
	return h.classes.parts[key]
}

func article(word string) string {
	if word != "" && (word[0] == 'a' || word[0] == 'e' || word[0] == 'i' || word[0] == 'o' || word[0] == 'u') {
		return "an " + word
	}
	return "a " + word
}

func (c call) status() robot.Status { return c.host.machine.Look(c.object.index) }

// do commands the mechanism; only a running phase may.
func (c call) do(verb robot.Verb, value float64) int {
	c.inTask()
	c.host.machine.Do(c.object.index, robot.Command{Verb: verb, Value: value})
	return 0
}

// command is a method without arguments that gives one command.
func command(v robot.Verb) method { return func(c call) int { return c.do(v, 0) } }

// tells is a method that reports a truth about the mechanism.
func tells(of func(robot.Status) bool) method {
	return func(c call) int { return c.pushBool(of(c.status())) }
}

func runVolts(c call) int { return c.do(robot.Volts, c.volts(2, "the volts")) }

// surfaceSpeed is in mm/s.
func surfaceSpeed(c call) int { return c.pushNumber(c.status().Value / mm) }

func partAmps(c call) int { return c.pushNumber(c.status().Amps) }

func partHeat(c call) int { return c.pushNumber(c.status().Heat) }

var (
	isHolding = tells(func(s robot.Status) bool { return s.Holding })
	isMoving  = tells(func(s robot.Status) bool { return s.Moving })
	isJammed  = tells(func(s robot.Status) bool { return s.Jammed })
	isStalled = tells(func(s robot.Status) bool { return s.Stalled })
	isShut    = tells(func(s robot.Status) bool { return s.Shut })
	isOut     = tells(func(s robot.Status) bool { return s.Out })
)

func pieceCount(c call) int { return c.pushNumber(float64(c.status().Count)) }
