package scripting

import (
	lua "github.com/yuin/gopher-lua"
)

// partClass is the class of a mechanism's kind.
func (h *Host) partClass(p Part) *class {
	key := p.Kind
	methods := map[string]map[string]method{
		"intake": intakeMethods, "conveyor": conveyorMethods, "clamp": clampMethods,
		"scorer": scorerMethods, "claw": clawMethods, "lift": liftMethods,
	}[p.Kind]
	if h.classes.parts[key] == nil {
		h.classes.parts[key] = h.newClass(article(p.Kind), methods, nil)
	}
	return h.classes.parts[key]
}

func article(word string) string {
	if word != "" && (word[0] == 'a' || word[0] == 'e' || word[0] == 'i' || word[0] == 'o' || word[0] == 'u') {
		return "an " + word
	}
	return "a " + word
}

func (c call) part() Part     { return c.host.parts[c.object.index] }
func (c call) status() Status { return c.host.machine.Look(c.object.index) }

// do commands the mechanism; only a running phase may.
func (c call) do(verb Verb, value float64) int {
	c.inTask()
	c.host.machine.Do(c.object.index, Command{Verb: verb, Value: value})
	return 0
}

// command is a method without arguments that gives one command.
func command(v Verb) method { return func(c call) int { return c.do(v, 0) } }

// tells is a method that reports a truth about the mechanism.
func tells(of func(Status) bool) method {
	return func(c call) int { return c.pushBool(of(c.status())) }
}

func runVolts(c call) int { return c.do(Volts, c.volts(2, "the volts")) }

// surfaceSpeed is in mm/s.
func surfaceSpeed(c call) int { return c.pushNumber(c.status().Value / mm) }

func partAmps(c call) int { return c.pushNumber(c.status().Amps) }

var (
	isHolding = tells(func(s Status) bool { return s.Holding })
	isMoving  = tells(func(s Status) bool { return s.Moving })
	isJammed  = tells(func(s Status) bool { return s.Jammed })
	isStalled = tells(func(s Status) bool { return s.Stalled })
	isShut    = tells(func(s Status) bool { return s.Shut })
	isOut     = tells(func(s Status) bool { return s.Out })
)

func pieceCount(c call) int { return c.pushNumber(float64(c.status().Count)) }

var intakeMethods = map[string]method{
	"run": runVolts, "stop": command(Volts), "speed": surfaceSpeed, "amps": partAmps, "stalled": isStalled,
}

var conveyorMethods = map[string]method{
	"run": runVolts, "stop": command(Volts), "hold": command(Hold), "count": pieceCount, "holding": isHolding,
	"jammed": isJammed, "moving": isMoving, "speed": surfaceSpeed, "amps": partAmps,
}

var clampMethods = map[string]method{
	"shut": command(Shut), "open": command(Open), "holding": isHolding, "is_shut": isShut, "moving": isMoving,
}

var scorerMethods = map[string]method{
	"scored": func(c call) int { return c.pushNumber(float64(c.status().Scored)) }, "jammed": isJammed,
}

var clawMethods = map[string]method{
	"out": command(Deploy), "back": command(Stow), "grab": command(Shut), "drop": command(Open), "place": command(Place),
	"give": command(Give), "holding": isHolding, "is_out": isOut, "is_shut": isShut, "moving": isMoving, "count": pieceCount,
}

var liftMethods = map[string]method{
	"to": liftTo, "reach": liftReach, "at": liftAt, "angle": liftAngle, "height": liftHeight, "volts": runVolts, "stop": command(Volts),
	"hold": command(Hold), "moving": isMoving, "stalled": isStalled, "amps": partAmps,
}

// liftTimeout is how long reach waits when it is not told, in seconds.
const liftTimeout = 3.0

// unit of a lift's positions in Lua: degrees, or millimetres for an elevator.
func (p Part) unit() float64 {
	if p.Elevator {
		return mm
	}
	return deg
}

// position reads the name of a height, or a number.
func (c call) position(n int) float64 {
	p := c.part()
	name, is := c.Get(n).(lua.LString)
	if !is {
		at := c.number(n, "the position") * p.unit()
		const rounding = 1e-9
		if p.Low < p.High && (at < p.Low-rounding || at > p.High+rounding) {
			c.fail("%.4g is outside what the lift can do: %.4g to %.4g", at/p.unit(), p.Low/p.unit(), p.High/p.unit())
		}
		return at
	}
	names := make([]string, len(p.Heights))
	for i, height := range p.Heights {
		if height.Name == string(name) {
			return height.At
		}
		names[i] = height.Name
	}
	c.fail("the robot file names no height %q%s", string(name), choices(string(name), names))
	return 0
}

// liftTo has the lift's own loop take it to a position; the task goes on at once.
func liftTo(c call) int {
	if c.Get(3) != lua.LNil {
		c.fail("takes a position only: to wait until it is there, use reach")
	}
	return c.do(Target, c.position(2))
}

// liftReach is liftTo, and waits until the lift is there. It returns a table like a motion's.
func liftReach(c call) int {
	target, timeout := c.position(2), c.optional(3, "the timeout", liftTimeout)
	t := c.inTask()
	c.do(Target, target)
	begin, fresh := c.host.now, true
	t.pause(watchPart{part: c.object.index, until: begin + timeout, fresh: &fresh})
	s := c.status()
	why := "arrived"
	switch {
	case s.Target != target:
		why = "cancelled" // somebody else has given it another command
	case s.Stalled && s.Moving:
		why = "stalled"
	case s.Moving:
		why = "timeout"
	}
	r := c.CreateTable(0, 4)
	r.Metatable = c.host.classes.result
	r.RawSetString("ok", lua.LBool(why == "arrived"))
	r.RawSetString("why", lua.LString(why))
	r.RawSetString("left", lua.LNumber((target-s.Value)/c.part().unit()))
	r.RawSetString("took", lua.LNumber(c.host.now-begin))
	c.Push(r)
	return 1
}

// liftAt reports whether the lift is at a position, or at the one it was sent to.
func liftAt(c call) int {
	s := c.status()
	if c.Get(2) == lua.LNil {
		return c.pushBool(!s.Moving)
	}
	return c.pushBool(!s.Moving && s.Target == c.position(2))
}

func liftAngle(c call) int {
	if c.part().Elevator {
		c.fail("this lift is an elevator: use height()")
	}
	return c.pushNumber(c.status().Value / deg)
}

func liftHeight(c call) int {
	if !c.part().Elevator {
		c.fail("this lift is an arm: use angle()")
	}
	return c.pushNumber(c.status().Value / mm)
}
