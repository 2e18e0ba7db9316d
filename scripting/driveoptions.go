package scripting

import (
	"math"

	"chalkfield/scripting/motion"

	lua "github.com/yuin/gopher-lua"
)

// driveOptions are a motion's options as Lua gives them.
type driveOptions struct {
	motion.Options
	background bool
	way        motion.Way
}

// optionUnit is the unit of an option in Lua, and the numbers that can be meant in it: others are a slip of the unit.
type optionUnit struct {
	name            string
	si              float64
	least, greatest float64
}

// The greatest values are far beyond any robot, and below motion.Reach, where the motions' own check begins.
var (
	seconds               = optionUnit{"s", 1, 0, 1000}
	millimetres           = optionUnit{"mm", mm, 0, reach / mm}
	degrees               = optionUnit{"deg", deg, 0, 36_000}
	millimetresPerSecond  = optionUnit{"mm/s", mm, 1, 50_000}
	degreesPerSecond      = optionUnit{"deg/s", deg, 0.1, 36_000}
	millimetresPerSecond2 = optionUnit{"mm/s^2", mm, 1, 1_000_000}
	degreesPerSecond2     = optionUnit{"deg/s^2", deg, 0.1, 57_000}
)

// within is a value above zero that can be meant in its unit.
func (c call) within(v lua.LValue, what string, u optionUnit) float64 {
	x := c.positive(v, what)
	switch {
	case x < u.least:
		c.fail("%s is %.6g, which is too small: it is in %s, and %.6g is the least", what, x, u.name, u.least)
	case x > u.greatest:
		c.tooLarge(x, what, u)
	}
	return x
}

// signed is a number of either sign that can be meant in its unit.
func (c call) signed(n int, what string, u optionUnit) float64 {
	x := c.number(n, what)
	if math.Abs(x) > u.greatest {
		c.tooLarge(x, what, u)
	}
	return x
}

func (c call) tooLarge(x float64, what string, u optionUnit) {
	c.fail("%s is %.6g %s, which is too large: the greatest allowed is %.6g", what, x, u.name, u.greatest)
}

// driveOptions reads {speed = mm/s, accel = mm/s^2, timeout = s, within = mm, reverse = true, gains = {...}, ...}. For
// a motion that only turns, speed, accel and within are in degrees.
func (c call) driveOptions(n int, turning bool) driveOptions {
	var o driveOptions
	above := func(into *float64, what string, u optionUnit) func(lua.LValue) {
		return func(v lua.LValue) { *into = c.within(v, what, u) * u.si }
	}
	flag := func(into *bool, what string) func(lua.LValue) {
		return func(v lua.LValue) { *into = c.truth(v, what) }
	}
	known := map[string]func(lua.LValue){
		"timeout": above(&o.Timeout, "timeout", seconds), "reverse": flag(&o.Reverse, "reverse"),
		"background": flag(&o.background, "background"), "jump": flag(&o.Jump, "jump"),
		"gains": func(v lua.LValue) { o.Gains = c.gains(v) },
	}
	if turning {
		known["speed"], known["accel"] = above(&o.TurnRate, "speed", degreesPerSecond),
			above(&o.TurnAccel, "accel", degreesPerSecond2)
		known["within"] = above(&o.WithinAngle, "within", degrees)
		known["way"] = func(v lua.LValue) { o.way = c.way(v) }
	} else {
		known["speed"], known["accel"] = above(&o.Speed, "speed", millimetresPerSecond),
			above(&o.Accel, "accel", millimetresPerSecond2)
		known["turn_speed"], known["turn_accel"] = above(&o.TurnRate, "turn_speed", degreesPerSecond),
			above(&o.TurnAccel, "turn_accel", degreesPerSecond2)
		known["within"], known["within_angle"] = above(&o.Within, "within", millimetres),
			above(&o.WithinAngle, "within_angle", degrees)
		known["exit"] = above(&o.Exit, "exit", millimetresPerSecond)
	}
	c.fieldsOf(c.Get(n), "options", known)
	return o
}

func (c call) gains(v lua.LValue) motion.Gains {
	var g motion.Gains
	gain := func(into *float64, what string) func(lua.LValue) {
		return func(v lua.LValue) {
			if *into = c.finite(v, what); *into < 0 || *into > motion.Reach {
				c.fail("%s is %.6g: write a number from 0 to %.6g", what, *into, motion.Reach)
			}
		}
	}
	c.fieldsOf(v, "gains", map[string]func(lua.LValue){
		"along": gain(&g.AlongP, "gain along"), "heading": gain(&g.HeadingP, "gain heading"),
		"damping": gain(&g.HeadingD, "gain damping"),
	})
	return g
}

func (c call) way(v lua.LValue) motion.Way {
	switch v {
	case lua.LString("left"):
		return motion.CounterClockwise
	case lua.LString("right"):
		return motion.Clockwise
	case lua.LString("shortest"):
		return motion.Shortest
	}
	c.fail(`way must be "left", "right" or "shortest"`)
	return motion.Shortest
}
