package scripting

import (
	"errors"
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// openGlobals sets what a routine has beside Lua's own library.
func (h *Host) openGlobals() {
	L := h.box.State()
	functions := []struct {
		name string
		fn   method
	}{
		{"routine", readRoutine}, {"require", requireModule}, {"param", readParam},
		{"choice", readChoice}, {"order", readOrder}, {"whether", readWhether},
		{"wait", waitFor}, {"await", awaitTruth}, {"task", beginTask}, {"clock", tellTime}, {"note", leaveNote},
		{"signal", recordSignal}, {"result", giveResult},
		{"pid", newPID}, {"profile", newProfile}, {"slew", newSlew},
	}
	for _, f := range functions {
		h.box.Global(f.name, L.NewFunction(func(L *lua.LState) int { return f.fn(call{L, h, nil, f.name}) }))
	}
	for _, u := range []struct {
		name  string
		value float64
	}{
		{"mm", 1}, {"cm", 10}, {"m", 1000}, {"inch", 25.4}, {"tile", h.env.Tile / mm}, {"deg", 1}, {"rad", 1 / deg},
		{"turn", 360},
	} {
		h.box.Global(u.name, lua.LNumber(u.value))
	}
	h.openClasses()
}

// readRoutine is routine{...}: it checks the table and marks it as what the file returns.
func readRoutine(c call) int {
	if !c.host.loading {
		c.fail("a file has one routine, which it returns at its end")
	}
	if _, is := c.Get(1).(*lua.LTable); !is {
		c.fail("takes a table: routine { title = ..., auto = function(bot) ... end }")
	}
	r := &routine{}
	function := func(into **lua.LFunction, what string) func(lua.LValue) {
		return func(v lua.LValue) {
			fn, is := v.(*lua.LFunction)
			if !is {
				c.fail("%s must be a function, not %s", what, kindOf(v))
			}
			*into = fn
		}
	}
	text := func(into *string, what string) func(lua.LValue) {
		return func(v lua.LValue) {
			s, is := v.(lua.LString)
			if !is {
				c.fail("%s must be a text, not %s", what, kindOf(v))
			}
			*into = string(s)
		}
	}
	c.fieldsOf(c.Get(1), "the routine", map[string]func(lua.LValue){
		"title": text(&r.title, "title"), "side": text(&r.side, "side"),
		"auto": function(&r.auto, "auto"), "driver": function(&r.driver, "driver"),
		"start": func(v lua.LValue) { r.start = c.startPose(v) },
	})
	if r.auto == nil && r.driver == nil {
		c.fail("has neither auto = function(bot) ... end nor driver = function(bot, pad) ... end")
	}
	c.Push(&lua.LUserData{Value: r, Env: c.host.box.State().G.Global, Metatable: lua.LNil})
	return 1
}

func (c call) startPose(v lua.LValue) *geom.Pose {
	t, is := v.(*lua.LTable)
	if !is {
		c.fail("start must be a table such as {x = 600, y = 450, heading = 90}, not %s", kindOf(v))
	}
	at := c.pointOf(t, "start")
	heading := member(t, "heading", 3)
	if heading == lua.LNil {
		c.fail("start needs a heading: {x = 600, y = 450, heading = 90}")
	}
	return &geom.Pose{X: at.X, Y: at.Y, Heading: geom.WrapAngle(c.finite(heading, "start's heading") * deg)}
}

// requireModule is require: each file runs once in a host.
func requireModule(c call) int {
	name := c.text(1, "the name")
	if v, has := c.host.loaded[name]; has {
		if v == nil {
			c.fail("%q requires itself", name)
		}
		c.Push(v)
		return 1
	}
	source := c.host.program.modules[name]
	if source == nil {
		c.fail("%q was not found when the routine was read: write the name as a plain text in the call, as in "+
			"require \"arm\"", name)
	}
	c.host.loaded[name] = nil
	c.Push(c.host.box.Function(source))
	c.Call(0, 1)
	v := c.Get(-1)
	if v == lua.LNil {
		v = lua.LTrue
	}
	c.host.loaded[name] = v
	c.Push(v)
	return 1
}

// maxParams is how many parameters a routine may have.
const maxParams = 200

// readParam is param(name, default, min, max): the value from outside if there is one.
func readParam(c call) int {
	h := c.host
	for n := 2; n <= 4; n++ {
		if c.Get(n) == lua.LNil {
			c.fail(`needs a name, a default, a least and a greatest value, as in param("turn_gain", 0.1, 0, 0.5)`)
		}
	}
	p := Param{Name: c.text(1, "the name"), Default: c.number(2, "the default"), Min: c.number(3, "the least value"),
		Max: c.number(4, "the greatest value")}
	if wrong := p.wrong(); wrong != "" {
		c.fail("%s", wrong)
	}
	used, err := h.use(p)
	c.mustDo(err)
	return c.pushNumber(used)
}

// use is the value in force of a parameter that is asked for.
func (h *Host) use(p Param) (float64, error) {
	p.Used = p.Default
	if v, given := h.env.Params[p.Name]; given {
		p.Used = v
	}
	if wrong := p.takes(p.Used); wrong != "" {
		return 0, errors.New(wrong)
	}
	for _, known := range h.params {
		if known.Name == p.Name {
			if !known.same(p) {
				return 0, fmt.Errorf("%q is used twice with different values", p.Name)
			}
			return p.Used, nil
		}
	}
	if len(h.params) == maxParams {
		return 0, fmt.Errorf("more than %d parameters", maxParams)
	}
	h.params = append(h.params, p)
	return p.Used, nil
}

// inTask is the task that calls; waiting and moving are for tasks only.
func (c call) inTask() *task {
	t := c.host.running
	if t == nil || t.thread != c.LState {
		c.fail("works only while auto or driver runs, not while the file is read")
	}
	return t
}

// waitFor is wait(seconds); without a number it waits for the next control tick.
func waitFor(c call) int {
	seconds := c.optional(1, "the time", 0)
	if seconds < 0 {
		c.fail("the time must not be negative: it is %.6g s", seconds)
	}
	t := c.inTask()
	if seconds == 0 {
		t.pause(poll{})
	} else {
		t.pause(sleep{until: c.host.now + seconds})
	}
	return 0
}

// awaitTruth is await(fn, timeout): it asks fn now and once every tick until it is true or time is up. It runs fn on
// the task's own thread, so fn may itself wait.
func awaitTruth(c call) int {
	fn, timeout := c.function(1, "the condition"), c.optional(2, "the timeout", math.Inf(1))
	t := c.inTask()
	until := c.host.now + timeout
	for {
		c.Push(fn)
		c.Call(0, 1)
		yes := lua.LVAsBool(c.Get(-1))
		c.Pop(1)
		if yes || c.host.now >= until-slack {
			return c.pushBool(yes)
		}
		t.pause(poll{asks: fn})
	}
}

// taskBytes is what a task's thread takes.
const taskBytes = 32 << 10

// beginTask is task(fn, ...): the task starts in this tick, after the ones that are there.
func beginTask(c call) int {
	h := c.host
	t := &task{host: h, fn: c.function(1, "what to do"), name: "task"}
	c.inTask()
	h.box.Hold(c.LState, taskBytes)
	h.mayStillSpeak(c.LState)
	if h.freeLane() == 0 {
		c.fail("there are already %d tasks at work", maxTasks)
	}
	for i := 2; i <= c.GetTop(); i++ {
		t.args = append(t.args, c.Get(i))
	}
	t.born.file, t.born.line = sandbox.Where(c.LState)
	h.addTask(t)
	c.Push(h.newObject(h.classes.task, "task", 0, t))
	return 1
}

func tellTime(c call) int { return c.pushNumber(c.host.now) }

func leaveNote(c call) int {
	c.host.write(c.LState, record.Note, string(sandbox.Text(c.LState, c.Get(1))))
	return 0
}

// taskMethods are those of what task() returns.
func taskMethods() map[string]method {
	of := func(c call) *task { return c.object.value.(*task) }
	return map[string]method{
		"done": func(c call) int { return c.pushBool(of(c).ended) },
		"join": func(c call) int {
			me := c.inTask()
			if of(c) == me {
				c.fail("a task cannot wait for its own end")
			}
			if !of(c).ended {
				me.pause(joinTask{of(c)})
			}
			return c.pushBool(of(c).outcome == record.Finished)
		},
		"cancel": func(c call) int {
			t := of(c)
			if t == c.inTask() {
				t.outcome = record.Cancelled
				sandbox.Quit(c.LState)
			}
			c.host.end(t, record.Cancelled)
			return 0
		},
	}
}
