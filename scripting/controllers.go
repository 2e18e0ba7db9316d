package scripting

import (
	"chalkfield/scripting/motion"

	lua "github.com/yuin/gopher-lua"
)

// stopwatch tells a controller how long ago it was last asked.
type stopwatch struct {
	asked bool
	last  float64 // s
}

// elapsed is the time since the last call, or one control tick at the first; an argument overrides it.
func (w *stopwatch) elapsed(c call, n int) float64 {
	now := c.host.now
	dt := c.host.period()
	if w.asked {
		dt = now - w.last
	}
	w.asked, w.last = true, now
	if c.Get(n) != lua.LNil {
		return c.positive(c.Get(n), "the time step")
	}
	return dt
}

type luaPID struct {
	stopwatch
	*motion.PID
}

// settings reads a table of numbers into places.
func (c call) settings(places map[string]*float64) {
	readers := map[string]func(lua.LValue){}
	for name, into := range places {
		readers[name] = func(v lua.LValue) { *into = c.finite(v, name) }
	}
	if c.Get(1) == lua.LNil {
		c.fail("takes a table of settings")
	}
	c.fieldsOf(c.Get(1), "settings", readers)
}

// newPID is pid{p, i, d, filter, low, high}.
func newPID(c call) int {
	var s motion.PIDSettings
	c.settings(map[string]*float64{"p": &s.P, "i": &s.I, "d": &s.D, "filter": &s.Filter, "low": &s.Low, "high": &s.High})
	pid, err := motion.NewPID(s)
	if err != nil {
		c.RaiseError("%s", err)
	}
	c.Push(c.host.newObject(c.host.classes.pid, "pid", 0, &luaPID{PID: pid}))
	return 1
}

func pidMethods() map[string]method {
	of := func(c call) *luaPID { return c.object.value.(*luaPID) }
	return map[string]method{
		"update": func(c call) int {
			want, measured := c.number(2, "the wanted value"), c.number(3, "the measured value")
			return c.pushNumber(of(c).Update(want, measured, of(c).elapsed(c, 4)))
		},
		"terms": func(c call) int {
			p, i, d := of(c).Terms()
			c.Push(lua.LNumber(p))
			c.Push(lua.LNumber(i))
			c.Push(lua.LNumber(d))
			return 3
		},
		"reset": func(c call) int {
			of(c).Reset()
			of(c).stopwatch = stopwatch{}
			return 0
		},
	}
}

// newProfile is profile{distance, speed, accel, brake, from, to}, in the caller's unit.
func newProfile(c call) int {
	var distance, from, to float64
	var l motion.Limits
	c.settings(map[string]*float64{"distance": &distance, "from": &from, "to": &to, "speed": &l.Speed, "accel": &l.Accel,
		"brake": &l.Brake})
	p, err := motion.NewProfile(distance, from, to, l)
	if err != nil {
		c.RaiseError("%s", err)
	}
	c.Push(c.host.newObject(c.host.classes.profile, "profile", 0, &p))
	return 1
}

func profileMethods() map[string]method {
	return map[string]method{
		"seconds": func(c call) int { return c.pushNumber(c.object.value.(*motion.Profile).Seconds()) },
		"at": func(c call) int {
			place, speed, accel := c.object.value.(*motion.Profile).At(c.number(2, "the time"))
			c.Push(lua.LNumber(place))
			c.Push(lua.LNumber(speed))
			c.Push(lua.LNumber(accel))
			return 3
		},
	}
}

type luaSlew struct {
	stopwatch
	*motion.Slew
}

// newSlew is slew{rise, fall, start}: fall is rise if it is not given.
func newSlew(c call) int {
	var rise, fall, start float64
	c.settings(map[string]*float64{"rise": &rise, "fall": &fall, "start": &start})
	if fall == 0 {
		fall = rise
	}
	s, err := motion.NewSlew(start, rise, fall)
	if err != nil {
		c.RaiseError("%s", err)
	}
	c.Push(c.host.newObject(c.host.classes.slew, "slew", 0, &luaSlew{Slew: s}))
	return 1
}

func slewMethods() map[string]method {
	of := func(c call) *luaSlew { return c.object.value.(*luaSlew) }
	return map[string]method{
		"update": func(c call) int {
			want := c.number(2, "the wanted value")
			return c.pushNumber(of(c).Update(want, of(c).elapsed(c, 3)))
		},
		"value": func(c call) int { return c.pushNumber(of(c).Value()) },
	}
}
