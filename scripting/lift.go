package scripting

import (
	"chalkfield/internal/base/wording"
	"chalkfield/sim/robot"

	lua "github.com/yuin/gopher-lua"
)

var liftCalls = []partCall{
	{"to(height)", "goes there by its own loop, while the routine goes on", liftTo},
	{"reach(height, timeout)", "goes there and waits, 3 s if no timeout is given; returns `{ok, why, left, took}`",
		liftReach},
	{"volts(v)", "raw volts until the next command", runVolts},
	{"hold()", "stays where it is", command(robot.Hold)},
	{"stop()", "0 V", command(robot.Volts)},
	{"at(height)", "whether it is there; `at()`: where it was sent", liftAt},
	{"angle()", "an arm's degrees", liftAngle},
	{"height()", "an elevator's mm", liftHeight},
	{"moving()", "whether it is not yet where it was sent", isMoving},
	{"stalled()", "whether its motor pushes hard and does not move", isStalled},
	ampsCall, heatCall,
}

func (c call) lift() *robot.Lift { return c.host.parts[c.object.index].Lift }

// liftTimeout is how long reach waits when it is not told, in seconds.
const liftTimeout = 3.0

// liftUnit is that of a lift's positions in Lua: degrees, or millimetres for an elevator.
func liftUnit(l *robot.Lift) float64 {
	if l.Elevator {
		return mm
	}
	return deg
}

// notOf is the call that a lift of the other form answers.
func notOf(l *robot.Lift) string {
	if l.Elevator {
		return "angle"
	}
	return "height"
}

// position reads the name of a height, or a number.
func (c call) position(n int) float64 {
	l := c.lift()
	unit := liftUnit(l)
	name, is := c.Get(n).(lua.LString)
	if !is {
		at := c.number(n, "the position") * unit
		const rounding = 1e-9
		if l.Low < l.High && (at < l.Low-rounding || at > l.High+rounding) {
			c.fail("%.4g is outside what the lift can do: %.4g to %.4g", at/unit, l.Low/unit, l.High/unit)
		}
		return at
	}
	names := make([]string, len(l.Heights))
	for i, height := range l.Heights {
		if height.Name == string(name) {
			return height.At
		}
		names[i] = height.Name
	}
	c.fail("the robot file names no height %q: %s", string(name), wording.Instead(string(name), names))
	return 0
}

// liftTo has the lift's own loop take it to a position; the task goes on at once.
func liftTo(c call) int {
	if c.Get(3) != lua.LNil {
		c.fail("takes a position only: to wait until it is there, use reach")
	}
	return c.do(robot.Target, c.position(2))
}

// liftReach is liftTo, and waits until the lift is there. It returns a table like a motion's.
func liftReach(c call) int {
	target, timeout := c.position(2), c.optional(3, "the timeout", liftTimeout)
	c.do(robot.Target, target)
	begin, fresh := c.host.now, true
	return c.await(watchPart{part: c.object.index, until: begin + timeout, fresh: &fresh}, false, func() outcome {
		s := c.status()
		o := outcome{Why: "arrived", Left: (target - s.Value) / liftUnit(c.lift()), Took: c.host.now - begin}
		switch {
		case s.Target != target:
			o.Why = "cancelled" // somebody else has given it another command
		case s.Stalled && s.Moving:
			o.Why = "stalled"
		case s.Moving:
			o.Why = "timeout"
		}
		return o
	})
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
	if c.lift().Elevator {
		c.fail("this lift is an elevator: use height()")
	}
	return c.pushNumber(c.status().Value / deg)
}

func liftHeight(c call) int {
	if !c.lift().Elevator {
		c.fail("this lift is an arm: use angle()")
	}
	return c.pushNumber(c.status().Value / mm)
}
