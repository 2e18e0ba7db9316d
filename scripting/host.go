package scripting

import (
	"fmt"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/history"
	"chalkfield/scripting/sandbox"
	"chalkfield/sim/robot"

	lua "github.com/yuin/gopher-lua"
)

// Phase is which of its functions a routine runs.
type Phase int

const (
	Auto Phase = iota
	Driver
)

func (p Phase) String() string {
	if p == Driver {
		return "driver"
	}
	return "auto"
}

// Env is what a host needs to know of the rehearsal.
type Env struct {
	Sink   func(record.Event) // takes what the routine leaves; nil: dropped
	Params map[string]float64 // values for param(), by name
	Tile   float64            // m: what `tile` means; 0: DefaultTile
	// maps a routine's coordinates to the field's, so that one written for one side can be played from the other
	Frame  geom.Symmetry
	Floor  geom.Polygon // of the field, in its frame, m; nil: not told
	Marks  []Mark       // of the field, in its order
	Twins  [2]string    // sides that change places, because the routine is played from the other one; "": none do
	Charge float64      // V: what the charged battery has; 0: not told
	Side   string       // that the robot plays for; "": not told
	Robot  int          // index of the robot, for events
	Seed   uint64       // of math.random

	History *history.History // takes what the routine does, tick by tick; nil: nobody asks
}

// Mark is a mark of the field as the routine knows it: by its name and place in the routine's own coordinates, m.
type Mark struct {
	Name string
	At   geom.Vec
}

// Host runs one routine on one robot. One goroutine at a time may call it; Close must be called at the end.
type Host struct {
	program *Program
	machine Machine
	env     Env
	box     *sandbox.Box
	routine routine
	guest   *guest // nil: the routine is Lua
	loading bool
	bot     *lua.LUserData
	classes classes
	homes   []home // where a name may stand that another thing does not have
	pad     *pad
	params  []Param
	signals signals
	loaded  map[string]lua.LValue // what modules returned

	phase   Phase
	begun   bool    // a phase is under way
	now     float64 // s: of the last Tick
	tasks   []*task // alive, in order of creation
	running *task   // whose Lua runs now
	turn    chan struct{}
	lanes   [maxTasks]bool
	drive   *job            // the drive motion under way
	driving record.Activity // what volts, arcade, tank or rate have the robot do; Waiting: nothing
	parts   []robot.Part
	given   []Given // in this tick
	// V: what the trains were told directly, in the place of any motion
	trainVolts [2]float64
	failed     bool // in this tick
	counts     counts
	warned     map[warned]bool
}

// routine is what a routine file returned.
type routine struct {
	title, side  string
	start        *geom.Pose
	auto, driver *lua.LFunction
}

// NewHost reads the routine into a fresh Lua world. An error is the file's: it names file and line.
func (p *Program) NewHost(m Machine, env Env) (*Host, error) { return newHost(p, m, env) }

// newHost makes a host; without a machine the routine's functions cannot be run.
func newHost(p *Program, m Machine, env Env) (*Host, error) {
	if env.Tile == 0 {
		env.Tile = DefaultTile
	}
	h := &Host{program: p, machine: m, env: env, turn: make(chan struct{}), loaded: map[string]lua.LValue{},
		warned: map[warned]bool{}, driving: record.Waiting}
	setting := sandbox.Setting{Limits: sandbox.DefaultLimits(), Seed: [2]uint64{env.Seed, uint64(env.Robot)},
		Print: h.print}
	if env.History != nil {
		setting.Ran = env.History.Ran
	}
	box, err := sandbox.New(setting)
	if err != nil {
		return nil, err
	}
	h.box = box
	box.Keep(h)
	h.openGlobals()
	if m != nil {
		h.parts = m.Parts()
		if err := h.openBot(); err != nil {
			return nil, err
		}
	}
	if p.Foreign() {
		h.guest = newGuest(h)
	}
	if err := h.load(); err != nil {
		return nil, err
	}
	return h, nil
}

// Held lists the Lua values that Go holds, for the sandbox's heap estimate.
func (h *Host) Held() []lua.LValue {
	var list []lua.LValue
	for _, fn := range []*lua.LFunction{h.routine.auto, h.routine.driver} {
		if fn != nil {
			list = append(list, fn)
		}
	}
	for _, t := range h.tasks {
		list = append(list, t.Held()...)
	}
	for _, v := range h.loaded {
		list = append(list, v)
	}
	if h.pad != nil {
		list = append(list, h.pad.Held()...)
	}
	return list
}

// load runs the file itself and reads the routine it returns. A driver function that is lent is read before, so that it
// finds the globals as they are at first.
func (h *Host) load() error {
	h.loading = true
	defer func() { h.loading = false }()
	var hand *lua.LFunction
	if h.program.hand != nil {
		lent, err := h.read(h.program.hand)
		if err != nil {
			return err
		}
		hand = lent.driver
	}
	own, err := h.own()
	if err != nil {
		return err
	}
	h.routine = *own
	if hand != nil {
		h.routine.driver = hand
	}
	return nil
}

// own is what the routine itself gives; a program outside has no functions.
func (h *Host) own() (*routine, error) {
	if h.guest == nil {
		return h.read(h.program.main)
	}
	for _, p := range h.program.Params {
		if _, err := h.use(p); err != nil {
			return nil, fmt.Errorf("%s: param: %w", h.program.Name, err)
		}
	}
	return &routine{title: h.program.Title, side: h.program.Side, start: h.program.Start}, nil
}

func (h *Host) read(file *sandbox.Source) (*routine, error) {
	result, failure := h.runAlone(h.box.Function(file))
	if failure != nil {
		return nil, failure
	}
	if ud, is := result.(*lua.LUserData); is {
		if r, is := ud.Value.(*routine); is {
			return r, nil
		}
	}
	return nil, fmt.Errorf("%s: the file must end in: return routine { ... }", file.Name)
}

// runAlone runs a function to its end on a goroutine of its own.
func (h *Host) runAlone(fn *lua.LFunction) (result lua.LValue, failure error) {
	thread := h.box.NewThread()
	defer h.box.Drop(thread)
	done := make(chan struct{})
	var err *sandbox.Error
	go func() {
		defer close(done)
		result, err = h.box.Call(thread, fn)
	}()
	<-done
	if broken := h.box.TakeBreak(); broken != nil {
		err = broken
	}
	if err != nil {
		return nil, err
	}
	return result, nil
}

// Begin ends the tasks of the phase before and has the routine's function for this one start with the next Tick. A
// routine without that function does nothing.
func (h *Host) Begin(phase Phase) {
	if h.begun {
		h.Stop()
	}
	h.begun, h.phase = true, phase
	if h.env.History != nil {
		h.env.History.Forget()
	}
	fn, args := h.routine.auto, []lua.LValue{h.bot}
	if phase == Driver {
		h.pad = newPad()
		fn, args = h.routine.driver, []lua.LValue{h.bot, h.newPadObject()}
	}
	switch {
	case fn != nil:
		born := place{fn.Proto.SourceName, fn.Proto.LineDefined}
		h.addTask(&task{host: h, main: true, name: phase.String(), fn: fn, args: args, born: born})
	case h.guest != nil && h.guest.drives(phase):
		h.addTask(&task{host: h, main: true, outside: true, name: phase.String(),
			fn: h.box.State().NewFunction(h.guest.play)})
	}
}

// SetPad gives the driver's controls for the next Tick.
func (h *Host) SetPad(s PadState) {
	if h.pad != nil {
		h.pad.set(s)
	}
}

// Tick is one control tick at a time since the start of the session, in seconds. It updates the drive motion, starts
// what buttons are bound to, and then resumes every task whose wait is over, in order of creation.
func (h *Host) Tick(now float64) {
	h.now, h.failed, h.signals.said, h.given = now, false, 0, h.given[:0]
	if h.env.History != nil {
		h.env.History.Begin(now)
	}
	h.box.Refill()
	h.updateDrive()
	h.startMacros()
	for i := 0; i < len(h.tasks) && !h.failed; i++ { // tasks may be added on the way
		if t := h.tasks[i]; t.ready() {
			h.run(t)
		}
	}
	h.forgetEnded()
	if h.pad != nil {
		h.pad.settle()
	}
	if h.env.History != nil {
		h.observe()
	}
}

// Stop ends all tasks, as a phase's end does, and commands the robot to stop.
func (h *Host) Stop() {
	h.endTasks(record.Over)
	h.halt()
	h.pad, h.begun = nil, false
}

// Close ends every goroutine. The host must not be used afterwards.
func (h *Host) Close() {
	h.endTasks(record.Over)
	if h.guest != nil {
		h.guest.close()
	}
}

// Done reports whether nothing of the routine is under way or can still begin in this phase.
func (h *Host) Done() bool {
	return len(h.tasks) == 0 && h.drive == nil && (h.pad == nil || len(h.pad.bindings) == 0)
}

// Params are the parameters that the routine has asked for so far, in order.
func (h *Host) Params() []Param { return h.params }

// period is the length of a control tick in seconds.
func (h *Host) period() float64 {
	if h.machine != nil {
		if p := h.machine.Model().Period; p > 0 {
			return p
		}
	}
	return 0.01
}

// mirrored reports whether the robot must do everything the other way round: in the autonomous phase of a routine that
// is played in a mirror. A driver steers the robot itself, not its mirror image.
func (h *Host) mirrored() bool { return h.env.Frame.Flips() && h.phase == Auto }
