package sandbox

import (
	"math/rand/v2"
	"runtime"
	"slices"

	lua "github.com/yuin/gopher-lua"
)

// Box is one Lua world: its globals, library and budget. It is not safe for concurrent use: its threads run one at a
// time, each on a goroutine of its own.
type Box struct {
	root    *lua.LState // holds the globals and runs nothing
	strings *lua.LTable // the string library, which methods of strings come from
	threads []*lua.LState
	held    []Holder
	sources map[string]*Source // by name, of the files that run in it
	meter   meter
	random  *rand.PCG
	print   func(L *lua.LState, text string)
	broken  *Error
	ran     func(file string, line int) // nil: nobody asks
	scopes  map[string]scopes           // of the files whose variables were asked for
}

// Setting is what a box is made with.
type Setting struct {
	Limits Limits
	Seed   [2]uint64                        // of math.random
	Print  func(L *lua.LState, text string) // where print goes; nil: nowhere
	Ran    func(file string, line int)      // is told of each line that begins to run; nil: nobody asks
}

// New makes a box with the library and nothing else in its globals.
func New(s Setting) (*Box, error) {
	if stateLayout.err != nil {
		return nil, stateLayout.err
	}
	b := &Box{
		root: lua.NewState(lua.Options{
			SkipOpenLibs: true, CallStackSize: s.Limits.Frames,
			RegistrySize: threadStart, RegistryGrowStep: threadGrowth, RegistryMaxSize: s.Limits.Values,
		}),
		meter:  newMeter(s.Limits),
		random: rand.NewPCG(s.Seed[0], s.Seed[1]),
		print:  s.Print, sources: map[string]*Source{}, ran: s.Ran, scopes: map[string]scopes{},
	}
	b.root.G.MainThread, b.root.G.CurrentThread = b.root, b.root
	b.openBase()
	b.openStrings()
	b.openTables()
	b.openMath()
	return b, nil
}

// State is for building values; no Lua may run on it.
func (b *Box) State() *lua.LState { return b.root }

// Global sets a global.
func (b *Box) Global(name string, v lua.LValue) { b.root.G.Global.RawSetString(name, v) }

// Keep has the heap estimate count what a Go value holds for the life of the box.
func (b *Box) Keep(h Holder) { b.held = append(b.held, h) }

// NewThread makes a thread to Call functions on.
func (b *Box) NewThread() *lua.LState {
	thread, _ := b.root.NewThread()
	thread.Panic = raise
	w := watch{box: b, state: thread, running: frameOf(thread), values: registryOf(thread)}
	if b.ran == nil {
		thread.SetContext(&w)
	} else {
		thread.SetContext(&follower{watch: w})
	}
	b.threads = append(b.threads, thread)
	return thread
}

// raise panics with the error on top of the stack: gopher-lua's own way, but without the text of a traceback, which
// describe makes from the frames.
func raise(L *lua.LState) {
	panic(&lua.ApiError{Type: lua.ApiErrorRun, Object: L.Get(-1)})
}

// Drop forgets a thread that will not run again.
func (b *Box) Drop(thread *lua.LState) {
	if i := slices.Index(b.threads, thread); i >= 0 {
		b.threads = slices.Delete(b.threads, i, i+1)
	}
}

// Call runs a function on a thread and returns its first result. If the budget breaks or the thread is told to Quit,
// the calling goroutine ends instead; TakeBreak then has the reason.
func (b *Box) Call(thread *lua.LState, fn lua.LValue, args ...lua.LValue) (result lua.LValue, err *Error) {
	defer func() {
		if r := recover(); r != nil {
			result, err = lua.LNil, describe(thread, r)
		}
	}()
	thread.Push(fn)
	for _, v := range args {
		thread.Push(v)
	}
	thread.Call(len(args), 1)
	result = thread.Get(-1)
	thread.Pop(1)
	return result, nil
}

// TakeBreak is why the budget broke since the last call, or nil.
func (b *Box) TakeBreak() *Error {
	e := b.broken
	b.broken = nil
	return e
}

// breakdown ends the run for good: no Lua of this goroutine runs any more, not even a pcall that waits for an error.
func (b *Box) breakdown(L *lua.LState, message string) {
	b.broken = describe(L, verdict(message))
	Quit(L)
}

// Quit ends the calling goroutine, which must be the one that runs the thread.
func Quit(L *lua.LState) {
	closeUpvalues(L)
	runtime.Goexit()
}

// closeUpvalues lets functions that outlive the thread keep the values of its locals and not the whole thread.
func closeUpvalues(L *lua.LState) {
	defer func() { _ = recover() }()
	L.RaiseError("ended") // the one public way to close them
}
