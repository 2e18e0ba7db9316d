package scripting

import (
	"strings"

	"chalkfield/sim/robot"
)

// partCalls are what a routine can call on each kind of mechanism.
var partCalls = map[robot.Kind][]partCall{
	robot.KindIntake: intakeCalls, robot.KindConveyor: conveyorCalls, robot.KindClamp: clampCalls,
	robot.KindScorer: scorerCalls, robot.KindClaw: clawCalls, robot.KindLift: liftCalls,
	robot.KindGate: gateCalls,
}

// partCall is one of them: how it is written, what it does or tells, in a line, and the method that does it.
type partCall struct {
	form, does string
	method     method
}

// name is what stands before the argument list.
func (p partCall) name() string { name, _, _ := strings.Cut(p.form, "("); return name }

// Call is a call that a routine can make, as it is written for a robot, and what it does or tells, in a line.
type Call struct{ Form, Does string }

// Calls lists the calls of a robot's mechanisms and sensors.
func Calls(r *robot.Robot) (list []Call) {
	for _, p := range r.Parts {
		for _, c := range partCalls[p.Kind] {
			if p.Lift == nil || c.name() != notOf(p.Lift) {
				list = append(list, Call{"bot." + p.Name + ":" + c.form, c.does})
			}
		}
	}
	for _, s := range r.Sensors {
		m := sensorMethods[s.Kind]
		list = append(list, Call{"bot.sense." + s.Name + ":" + m.name + "()", m.reading})
		for _, more := range moreSensorCalls[s.Kind] {
			list = append(list, Call{"bot.sense." + s.Name + ":" + more.form, more.does})
		}
	}
	return list
}

// partClass is the class of a mechanism's kind.
func (h *Host) partClass(p robot.Part) *class {
	key := string(p.Kind)
	if h.classes.parts[key] == nil {
		methods := map[string]method{}
		for _, c := range partCalls[p.Kind] {
			methods[c.name()] = c.method
		}
		h.classes.parts[key] = h.newClass(article(key), methods, nil)
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
	c.gave(verb, value)
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

// Calls that several kinds have.
var (
	ampsCall = partCall{"amps()", "A through its motor", func(c call) int { return c.pushNumber(c.status().Amps) }}
	heatCall = partCall{"heat()", "how hot its motor is, 0 to 1: from 0.8 on its current falls",
		func(c call) int { return c.pushNumber(c.status().Heat) }}
	pistonCall = partCall{"moving()", "whether its piston is under way", isMoving}
)

var (
	isHolding = tells(func(s robot.Status) bool { return s.Holding })
	isMoving  = tells(func(s robot.Status) bool { return s.Moving })
	isJammed  = tells(func(s robot.Status) bool { return s.Jammed })
	isStalled = tells(func(s robot.Status) bool { return s.Stalled })
	isShut    = tells(func(s robot.Status) bool { return s.Shut })
	isOut     = tells(func(s robot.Status) bool { return s.Out })
)

func pieceCount(c call) int { return c.pushNumber(float64(c.status().Count)) }
