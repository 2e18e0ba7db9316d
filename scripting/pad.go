package scripting

import (
	"slices"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// PadState is a driver's controller at one moment.
type PadState struct {
	LeftX, LeftY, RightX, RightY float64  // sticks, -1..1, y forward, x right
	Buttons                      []string // names of the buttons that are down, sorted
}

// Buttons are the names that a pad's buttons have.
var Buttons = []string{"a", "b", "x", "y", "up", "down", "left", "right", "l1", "l2", "r1", "r2"}

// Axes are the names of the sticks' axes.
var Axes = []string{"left_x", "left_y", "right_x", "right_y"}

// pad is the controller as a routine meets it, with its macros.
type pad struct {
	state, before PadState
	bindings      []*binding
	settled       bool // the phase's first tick is over
}

// binding is a macro: a function that a button starts.
type binding struct {
	button string
	fn     *lua.LFunction
	born   place
	task   *task // the last one started
}

// Macro is what a routine has bound to a button, and where in its files.
type Macro struct {
	Button, File string
	Line         int
}

// Macros are those bound in this phase, in the order of their first binding.
func (h *Host) Macros() []Macro {
	if h.pad == nil {
		return nil
	}
	list := make([]Macro, len(h.pad.bindings))
	for i, b := range h.pad.bindings {
		list[i] = Macro{b.button, b.born.file, b.born.line}
	}
	return list
}

func newPad() *pad { return &pad{} }

func (p *pad) set(s PadState) {
	s.Buttons = slices.Clone(s.Buttons)
	p.state = s
}

// settle makes what is held now no longer newly pressed.
func (p *pad) settle() { p.before, p.settled = p.state, true }

func (p *pad) held(button string) bool { return slices.Contains(p.state.Buttons, button) }

func (p *pad) pressed(button string) bool {
	return p.held(button) && !slices.Contains(p.before.Buttons, button)
}

func (p *pad) released(button string) bool {
	return !p.held(button) && slices.Contains(p.before.Buttons, button)
}

func (p *pad) axis(name string) float64 {
	switch name {
	case "left_x":
		return p.state.LeftX
	case "left_y":
		return p.state.LeftY
	case "right_x":
		return p.state.RightX
	}
	return p.state.RightY
}

// Held lists the macros' functions, for the heap estimate.
func (p *pad) Held() []lua.LValue {
	list := make([]lua.LValue, len(p.bindings))
	for i, b := range p.bindings {
		list[i] = b.fn
	}
	return list
}

// startMacros starts what is bound to buttons that have just been pressed. A macro that still runs is left alone.
func (h *Host) startMacros() {
	if h.pad == nil {
		return
	}
	for _, button := range Buttons {
		if h.pad.pressed(button) {
			h.emit(record.Event{Kind: record.PressedKey, What: button})
		}
	}
	for _, b := range h.pad.bindings {
		if h.pad.pressed(b.button) {
			h.startMacro(b)
		}
	}
}

func (h *Host) startMacro(b *binding) {
	if idle := b.task == nil || b.task.ended; idle && h.freeLane() != 0 {
		b.task = &task{host: h, name: "macro", macro: b.button, fn: b.fn, args: []lua.LValue{h.bot}, born: b.born}
		h.addTask(b.task)
	}
}

func (h *Host) newPadObject() *lua.LUserData { return h.newObject(h.classes.pad, "pad", 0, h.pad) }

// button is an argument that names a button.
func (c call) button(n int) string {
	name := c.text(n, "the button")
	if !slices.Contains(Buttons, name) {
		c.fail("there is no button %q: %s", name, wording.Instead(name, Buttons))
	}
	return name
}

func padMethods() map[string]method {
	of := func(c call) *pad { return c.object.value.(*pad) }
	return map[string]method{
		"held":     func(c call) int { return c.pushBool(of(c).held(c.button(2))) },
		"pressed":  func(c call) int { return c.pushBool(of(c).pressed(c.button(2))) },
		"released": func(c call) int { return c.pushBool(of(c).released(c.button(2))) },
		"axis": func(c call) int {
			name := c.text(2, "the axis")
			if !slices.Contains(Axes, name) {
				c.fail("there is no axis %q: %s", name, wording.Instead(name, Axes))
			}
			return c.pushNumber(of(c).axis(name))
		},
		"bind": bindMacro,
	}
}

// bindMacro is pad:bind(button, fn). A button has one macro: the last one bound.
func bindMacro(c call) int {
	p := c.object.value.(*pad)
	b := &binding{button: c.button(2), fn: c.function(3, "the macro")}
	b.born.file, b.born.line = sandbox.Where(c.LState)
	for i, known := range p.bindings {
		if known.button == b.button {
			b.task = known.task
			p.bindings[i] = b
			return 0
		}
	}
	p.bindings = append(p.bindings, b)
	if !p.settled && p.pressed(b.button) { // pressed as the phase began, before anything could be bound
		c.host.startMacro(b)
	}
	return 0
}

// padFields are the axes: pad.left_y.
func padFields() map[string]func(c call) lua.LValue {
	fields := map[string]func(c call) lua.LValue{}
	for _, name := range Axes {
		fields[name] = func(c call) lua.LValue { return lua.LNumber(c.object.value.(*pad).axis(name)) }
	}
	return fields
}
