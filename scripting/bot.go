package scripting

import (
	"fmt"
	"math"
	"slices"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// classes are the kinds of object that a routine meets.
type classes struct {
	drive, motion, task, pid, profile, slew, pad *class
	parts, sensors                               map[string]*class // by kind
	pose, result                                 *lua.LTable       // metatables of what where() and motions return
}

func (h *Host) openClasses() {
	h.classes = classes{
		task:    h.newClass("a task", taskMethods(), nil),
		pid:     h.newClass("a pid", pidMethods(), nil),
		profile: h.newClass("a profile", profileMethods(), nil),
		slew:    h.newClass("a slew", slewMethods(), nil),
	}
}

// openBot builds `bot`: the drive base, the mechanisms and the sensors under their names in the robot file.
func (h *Host) openBot() error {
	h.classes.drive = h.newClass("bot.drive", driveMethods(), nil)
	h.classes.motion = h.newClass("a motion", motionMethods(), motionFields())
	h.classes.pad = h.newClass("the pad", padMethods(), padFields())
	h.classes.pose, h.classes.result = h.told("a pose", poseText, "x", "y", "heading"),
		h.told("a result", resultText, "ok", "why", "left", "took", "overshoot", "settle", "planned")
	h.classes.parts, h.classes.sensors = map[string]*class{}, map[string]*class{}

	own := h.box.State().CreateTable(0, len(h.parts)+8)
	names := []string{}
	set := func(name string, v lua.LValue) {
		own.RawSetString(name, v)
		names = append(names, name)
	}
	set("drive", h.newObject(h.classes.drive, "bot.drive", 0, nil))
	h.homes = []home{{"bot.drive", h.classes.drive.names, true}}
	sense, err := h.openSensors()
	if err != nil {
		return err
	}
	set("sense", sense)
	for _, f := range botFunctions {
		set(f.name, h.box.State().NewFunction(h.botFunction(f.name, f.fn)))
	}
	builtIn := len(names)
	for i, part := range h.parts {
		if slices.Contains(names, part.Name) {
			return fmt.Errorf("%s: the robot calls a mechanism %q, which is taken in a routine (%s): give it another name in "+
				"the robot file",
				h.program.Name, part.Name, strings.Join(names[:builtIn], ", "))
		}
		set(part.Name, h.newObject(h.partClass(part), "bot."+part.Name, i, nil))
		h.homes = append(h.homes, home{"bot." + part.Name, h.partClass(part).names, true})
	}
	h.homes = append(h.homes, home{"bot", names, false})
	h.bot = h.closed(own, "bot", "the robot", names)
	return nil
}

// told is a metatable that gives a table a text, and an error for a name that such tables never have.
func (h *Host) told(what string, text func(t *lua.LTable) string, names ...string) *lua.LTable {
	L := h.box.State()
	metas := L.CreateTable(0, 2)
	metas.RawSetString("__index", L.NewFunction(func(L *lua.LState) int {
		if name, is := L.Get(2).(lua.LString); is && !slices.Contains(names, string(name)) {
			L.RaiseError("%s has no %q: %s", what, string(name), h.suggest("", string(name), names))
		}
		L.Push(lua.LNil)
		return 1
	}))
	metas.RawSetString("__tostring", L.NewFunction(func(L *lua.LState) int {
		L.Push(lua.LString(text(L.CheckTable(1))))
		return 1
	}))
	return metas
}

func poseText(t *lua.LTable) string {
	return fmt.Sprintf("(%s, %s) heading %s", shown(t, "x"), shown(t, "y"), shown(t, "heading"))
}

func resultText(t *lua.LTable) string {
	return fmt.Sprintf("%s after %s s, %s left", shown(t, "why"), shown(t, "took"), shown(t, "left"))
}

// shown is a member of a table for people: a number to two places.
func shown(t *lua.LTable, name string) string {
	v := t.RawGetString(name)
	if n, is := v.(lua.LNumber); is {
		return fmt.Sprintf("%g", math.Round(float64(n)*100)/100)
	}
	if s, is := v.(lua.LString); is {
		return string(s)
	}
	return v.Type().String()
}

// closed makes a thing that holds the named values and tells which there are when another is asked for.
func (h *Host) closed(own *lua.LTable, owner, what string, names []string) *lua.LUserData {
	L := h.box.State()
	unknown := L.CreateTable(0, 1)
	unknown.RawSetString("__index", L.NewFunction(func(L *lua.LState) int {
		name := L.Get(2).String()
		L.RaiseError("%s has no %q: %s", what, name, h.suggest(owner, name, names))
		return 0
	}))
	own.Metatable = unknown
	metas := L.CreateTable(0, 3)
	metas.RawSetString("__index", own)
	metas.RawSetString("__newindex", L.NewFunction(func(L *lua.LState) int {
		L.RaiseError("%s cannot be changed: %q is not yours to set", owner, L.Get(2).String())
		return 0
	}))
	metas.RawSetString("__metatable", lua.LFalse)
	return &lua.LUserData{Value: nil, Env: L.G.Global, Metatable: metas}
}

// botFunctions are called with a dot: bot.where().
var botFunctions = []struct {
	name string
	fn   method
}{
	{"where", tellWhere}, {"here", setWhere}, {"battery", tellBattery}, {"air", tellAir},
}

// botFunction accepts a colon as well.
func (h *Host) botFunction(name string, fn method) lua.LGFunction {
	self := &object{owner: "bot"}
	return func(L *lua.LState) int {
		if L.Get(1) == h.bot {
			L.Remove(1)
		}
		return fn(call{L, h, self, name})
	}
}

// tellWhere is the belief in the routine's frame.
func tellWhere(c call) int {
	p := c.host.env.Frame.Pose(c.host.machine.Belief())
	t := c.CreateTable(0, 3)
	t.Metatable = c.host.classes.pose
	t.RawSetString("x", lua.LNumber(p.X/mm))
	t.RawSetString("y", lua.LNumber(p.Y/mm))
	t.RawSetString("heading", lua.LNumber(p.Heading/deg))
	c.Push(t)
	return 1
}

// setWhere sets the belief.
func setWhere(c call) int {
	p, _ := c.poseAt(1, "the pose")
	p = c.host.env.Frame.Pose(p)
	c.host.machine.SetBelief(p)
	c.host.gavePose(p)
	return 0
}

func tellBattery(c call) int { return c.pushNumber(c.host.machine.Terminal()) }

// tellAir is the reservoir's pressure in kPa.
func tellAir(c call) int { return c.pushNumber(c.host.machine.Air() / 1000) }
