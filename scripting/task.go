package scripting

import (
	"chalkfield/internal/base/record"
	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// maxTasks is how many tasks may be alive at once.
const maxTasks = 64

// task is one strand of a routine: a Lua thread on a goroutine of its own, so that it can wait anywhere, even where Go
// code stands between (pcall, metamethods, iterators, comparisons of table.sort). Exactly one goroutine runs at a time:
// the one that holds the turn hands it over and waits until it gets it back.
type task struct {
	host  *Host
	name  string
	macro string // the button whose macro it is
	lane  int    // number in events: 0 for the main task, else the lowest that is free
	main  bool
	// a program outside decides what it does
	outside bool
	thread  *lua.LState
	fn      *lua.LFunction
	args    []lua.LValue
	born    place

	started, ended, killed bool
	wait                   waiter // nil: wants to run
	outcome                record.Reason
	failure                *sandbox.Error
	resume                 chan bool // false: end
	gone                   chan struct{}
}

// place is a line of a routine file.
type place struct {
	file string
	line int
}

// waiter is what a task waits for.
type waiter interface {
	over(h *Host) bool
	activity() record.Activity
	abandon(h *Host) // the task ends while it waits
}

// addTask queues a task behind all others.
func (h *Host) addTask(t *task) {
	if !t.main {
		t.lane = h.freeLane()
	}
	h.lanes[t.lane] = true
	h.tasks = append(h.tasks, t)
}

// freeLane is the lowest number that no living task has, 0 aside; 0 when all are taken.
func (h *Host) freeLane() int {
	for lane := 1; lane < maxTasks; lane++ {
		if !h.lanes[lane] {
			return lane
		}
	}
	return 0
}

// Held lists what the task was begun with, for the heap estimate. An ended task has nothing.
func (t *task) Held() []lua.LValue {
	if t.fn == nil {
		return nil
	}
	return append([]lua.LValue{t.fn}, t.args...)
}

func (t *task) ready() bool { return !t.ended && (t.wait == nil || t.wait.over(t.host)) }

// run hands the turn to a task until it waits or ends.
func (h *Host) run(t *task) {
	before := h.running
	h.running, t.wait = t, nil
	if t.started {
		t.resume <- true
	} else {
		t.start()
	}
	<-h.turn
	h.running = before
	if t.ended {
		h.settle(t)
	}
}

func (t *task) start() {
	t.started = true
	t.resume, t.gone = make(chan bool), make(chan struct{})
	t.thread = t.host.box.NewThread()
	t.host.emit(record.Event{Kind: record.TaskStart, Task: t.lane, File: t.born.file, Line: t.born.line, What: t.name,
		Macro: t.macro})
	go t.body()
}

// body is the task's goroutine.
func (t *task) body() {
	defer t.leave() // also when the sandbox ends the goroutine
	_, t.failure = t.host.box.Call(t.thread, t.fn, t.args...)
	if t.failure != nil && t.outside {
		t.host.guest.blame(t.failure)
	}
}

func (t *task) leave() {
	t.ended = true
	if t.killed {
		close(t.gone)
		return
	}
	t.host.turn <- struct{}{}
}

// pause hands the turn back until the wait is over. It runs on the task's goroutine.
func (t *task) pause(w waiter) {
	t.wait = w
	t.host.turn <- struct{}{}
	if !<-t.resume {
		sandbox.Quit(t.thread)
	}
}

// settle closes the account of a task that has ended by itself.
func (h *Host) settle(t *task) {
	if broken := h.box.TakeBreak(); broken != nil {
		t.failure = broken
	}
	if t.failure != nil {
		h.fail(t)
		return
	}
	if t.outcome == "" {
		t.outcome = record.Finished
	}
	h.bury(t)
}

// bury frees what a task had and tells of its end.
func (h *Host) bury(t *task) {
	h.lanes[t.lane] = false
	if t.thread != nil {
		h.box.Drop(t.thread)
		h.emit(record.Event{Kind: record.TaskEnd, Task: t.lane, File: t.born.file, Line: t.born.line, What: t.name,
			Macro: t.macro, Reason: t.outcome})
	}
	t.thread, t.fn, t.args = nil, nil, nil // a handle may live on
}

// end ends a task from outside; the caller holds the turn.
func (h *Host) end(t *task, outcome record.Reason) {
	if t.ended {
		return
	}
	t.outcome, t.ended = outcome, true
	if w := t.wait; w != nil {
		w.abandon(h)
	}
	if t.started {
		t.killed = true
		t.resume <- false
		<-t.gone
	}
	h.bury(t)
}

// endTasks ends all tasks that are alive.
func (h *Host) endTasks(outcome record.Reason) {
	for _, t := range h.tasks {
		h.end(t, outcome)
	}
	h.tasks = h.tasks[:0]
}

// forgetEnded keeps the living tasks.
func (h *Host) forgetEnded() {
	alive := h.tasks[:0]
	for _, t := range h.tasks {
		if !t.ended {
			alive = append(alive, t)
		}
	}
	clear(h.tasks[len(alive):])
	h.tasks = alive
}

// fail ends the phase for the routine: an error in any task ends them all, and the robot stops.
func (h *Host) fail(t *task) {
	h.failed = true
	e := t.failure
	h.emit(record.Event{Kind: record.Failure, Task: t.lane, File: e.File, Line: e.Line, What: t.name, Macro: t.macro,
		Text: e.Message, Trace: e.Traceback()})
	h.observeFailure(t)
	t.outcome = record.Failed
	h.bury(t)
	for _, other := range h.tasks {
		h.end(other, record.Failed)
	}
	h.halt()
}
