package scripting

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/wording"

	lua "github.com/yuin/gopher-lua"
)

// Lua's units in SI: millimetres and degrees.
const (
	mm  = 1e-3
	deg = math.Pi / 180
)

// name is what the routine called.
func (c call) name() string {
	switch t := c.host.running; {
	case c.object == nil:
		return c.method
	case t != nil && t.outside:
		return c.object.owner + "." + c.method
	case c.object.owner == "bot":
		return "bot." + c.method
	}
	return c.object.owner + ":" + c.method
}

// fail raises an error about the call.
func (c call) fail(format string, args ...any) {
	c.RaiseError("%s: %s", c.name(), fmt.Sprintf(format, args...))
}

// number is a finite number argument.
func (c call) number(n int, what string) float64 { return c.finite(c.Get(n), what) }

// optional is a finite number argument, or its default if it is not given.
func (c call) optional(n int, what string, otherwise float64) float64 {
	if c.Get(n) == lua.LNil {
		return otherwise
	}
	return c.number(n, what)
}

// finite is a value that must be a finite number.
func (c call) finite(v lua.LValue, what string) float64 {
	x, is := v.(lua.LNumber)
	if !is {
		c.fail("%s must be a number, not %s", what, kindOf(v))
	}
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		c.fail("%s must be a finite number, not %v", what, float64(x))
	}
	return float64(x)
}

// reach is the largest distance or coordinate that a routine may give, in metres. A field is a few metres wide: more is
// a slip of the unit.
const reach = 50.0

// length is a value in millimetres, in metres.
func (c call) length(v lua.LValue, what string) float64 {
	x := c.finite(v, what) * mm
	if math.Abs(x) > reach {
		c.fail("%s is %.6g mm, which is too large: the greatest allowed is %.6g", what, x/mm, reach/mm)
	}
	return x
}

// positive is a value that must be a number above zero.
func (c call) positive(v lua.LValue, what string) float64 {
	x := c.finite(v, what)
	if x <= 0 {
		c.fail("%s must be above 0, not %.6g", what, x)
	}
	return x
}

// volts is a voltage that can be meant for the robot: what the battery does not give is cut off as on a real one, but
// twice that is a slip, such as a share in percent.
func (c call) volts(n int, what string) float64 {
	const usual = 24.0 // V: twice the usual battery
	x, greatest := c.number(n, what), math.Max(usual, 2*c.host.machine.Model().Volts)
	if math.Abs(x) > greatest {
		c.fail("%s are %.6g V, far more than the battery gives: write from %.6g to %.6g", what, x, -greatest, greatest)
	}
	c.warnOfVolts(x)
	return x
}

func (c call) text(n int, what string) string {
	s, is := c.Get(n).(lua.LString)
	if !is {
		c.fail("%s must be a text, not %s", what, kindOf(c.Get(n)))
	}
	return string(s)
}

func (c call) function(n int, what string) *lua.LFunction {
	fn, is := c.Get(n).(*lua.LFunction)
	if !is {
		c.fail("%s must be a function, not %s", what, kindOf(c.Get(n)))
	}
	return fn
}

// kindOf is a value's kind with an article, for messages.
func kindOf(v lua.LValue) string {
	switch v.Type() {
	case lua.LTNil:
		return "nil"
	case lua.LTString:
		return fmt.Sprintf("the text %.30q", v.String())
	}
	return "a " + v.Type().String()
}

// pointAt is a place in the routine's frame, in metres: two numbers from argument n on, or one table {x, y}. It returns
// the number of the next argument.
func (c call) pointAt(n int, what string) (geom.Vec, int) {
	if t, is := c.Get(n).(*lua.LTable); is {
		return c.pointOf(t, what), n + 1
	}
	return geom.Vec{X: c.length(c.Get(n), what+"'s x"), Y: c.length(c.Get(n+1), what+"'s y")}, n + 2
}

// pointOf reads {x = , y = } or {x, y}.
func (c call) pointOf(t *lua.LTable, what string) geom.Vec {
	return geom.Vec{X: c.length(member(t, "x", 1), what+"'s x"), Y: c.length(member(t, "y", 2), what+"'s y")}
}

// poseAt is a pose in the routine's frame: three numbers, or one table {x, y, heading}.
func (c call) poseAt(n int, what string) (geom.Pose, int) {
	if t, is := c.Get(n).(*lua.LTable); is {
		at := c.pointOf(t, what)
		return geom.Pose{X: at.X, Y: at.Y, Heading: c.finite(member(t, "heading", 3), what+"'s heading") * deg}, n + 1
	}
	at, _ := c.pointAt(n, what)
	return geom.Pose{X: at.X, Y: at.Y, Heading: c.number(n+2, what+"'s heading") * deg}, n + 3
}

// member is a table's named member, or else the one at an index.
func member(t *lua.LTable, name string, index int) lua.LValue {
	if v := t.RawGetString(name); v != lua.LNil {
		return v
	}
	return t.RawGetInt(index)
}

// fieldsOf reads a table of named settings. Each reader takes a value; a name without one is an error. A nil table is
// empty.
func (c call) fieldsOf(v lua.LValue, what string, readers map[string]func(lua.LValue)) {
	if v == lua.LNil {
		return
	}
	t, is := v.(*lua.LTable)
	if !is {
		c.fail("%s must be a table such as {%s = ...}, not %s", what, slices.Sorted(maps.Keys(readers))[0], kindOf(v))
	}
	for key, value := t.Next(lua.LNil); key != lua.LNil; key, value = t.Next(key) {
		name, known := key.String(), slices.Sorted(maps.Keys(readers))
		if key.Type() != lua.LTString {
			c.fail("%s has %s without a name: write its name and one = before it (known: %s)", what, kindOf(value),
				strings.Join(known, ", "))
		}
		read := readers[name]
		if read == nil {
			c.fail("%s has no %q: %s", what, name, wording.Instead(name, known))
		}
		read(value)
	}
}

func (c call) truth(v lua.LValue, what string) bool {
	b, is := v.(lua.LBool)
	if !is {
		c.fail("%s must be true or false, not %s", what, kindOf(v))
	}
	return bool(b)
}

// pushNumber and pushBool push one result.
func (c call) pushNumber(x float64) int {
	c.Push(lua.LNumber(x))
	return 1
}

func (c call) pushBool(b bool) int {
	c.Push(lua.LBool(b))
	return 1
}
