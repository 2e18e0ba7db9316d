package scripting

import (
	"chalkfield/scripting/motion"

	lua "github.com/yuin/gopher-lua"
)

// driveOptions are a motion's options as Lua gives them.
type driveOptions struct {
	motion.Options
	background bool
	way        motion.Way
}

// driveOptions reads {speed = mm/s, accel = mm/s^2, timeout = s, within = mm, reverse = true, gains = {...}, ...}. For a
// motion that only turns, speed, accel and within are in degrees.
func (c call) driveOptions(n int, turning bool) driveOptions {
	var o driveOptions
	above := func(into *float64, what string, unit float64) func(lua.LValue) {
		return func(v lua.LValue) { *into = c.positive(v, what) * unit }
	}
	flag := func(into *bool, what string) func(lua.LValue) {
		return func(v lua.LValue) { *into = c.truth(v, what) }
	}
	known := map[string]func(lua.LValue){
		"timeout": above(&o.Timeout, "timeout", 1), "reverse": flag(&o.Reverse, "reverse"), "background": flag(&o.background, "background"),
		"gains": func(v lua.LValue) { o.Gains = c.gains(v) },
	}
	if turning {
		known["speed"], known["accel"] = above(&o.TurnRate, "speed", deg), above(&o.TurnAccel, "accel", deg)
		known["within"] = above(&o.WithinAngle, "within", deg)
		known["way"] = func(v lua.LValue) { o.way = c.way(v) }
	} else {
		known["speed"], known["accel"] = above(&o.Speed, "speed", mm), above(&o.Accel, "accel", mm)
		known["turn_speed"], known["turn_accel"] = above(&o.TurnRate, "turn_speed", deg), above(&o.TurnAccel, "turn_accel", deg)
		known["within"], known["within_angle"] = above(&o.Within, "within", mm), above(&o.WithinAngle, "within_angle", deg)
		known["exit"] = above(&o.Exit, "exit", mm)
	}
	c.fieldsOf(c.Get(n), "options", known)
	return o
}

func (c call) gains(v lua.LValue) motion.Gains {
	var g motion.Gains
	gain := func(into *float64, what string) func(lua.LValue) {
		return func(v lua.LValue) { *into = c.finite(v, what) }
	}
	c.fieldsOf(v, "gains", map[string]func(lua.LValue){
		"along": gain(&g.AlongP, "gain along"), "heading": gain(&g.HeadingP, "gain heading"), "damping": gain(&g.HeadingD, "gain damping"),
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
