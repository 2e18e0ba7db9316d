package sandbox

import (
	"fmt"
	"time"

	lua "github.com/yuin/gopher-lua"
)

// meter counts what all threads of a box use together.
type meter struct {
	limits  Limits
	given   int64 // steps given at the last Refill
	left    int64 // steps left of those
	total   int64 // steps left in the life of the box, as of the last Refill
	held    int64 // bytes held at the last heap estimate
	charged int64 // bytes charged since then
}

func newMeter(l Limits) meter {
	m := meter{limits: l, total: l.Total}
	m.give(l.Load)
	return m
}

func (m *meter) give(steps int64) {
	m.total -= m.given - m.left
	m.given = min(steps, m.total)
	m.left = m.given
}

// Refill gives the next tick its steps.
func (b *Box) Refill() { b.meter.give(b.meter.limits.Tick) }

// Charge takes steps for work that Go does on behalf of Lua.
func (b *Box) Charge(L *lua.LState, steps int) { b.charge(L, steps) }

// Hold charges memory that Go takes on behalf of Lua.
func (b *Box) Hold(L *lua.LState, bytes int) { b.hold(L, bytes) }

// charge takes steps for work that one instruction or library call does.
func (b *Box) charge(L *lua.LState, steps int) {
	b.meter.left -= int64(steps)
	if b.meter.left < 0 {
		b.outOfSteps(L)
	}
}

func (b *Box) outOfSteps(L *lua.LState) {
	m := &b.meter
	if m.given >= m.total { // a heap estimate may have taken from the total
		b.breakdown(L, fmt.Sprintf("more than %d steps altogether", m.limits.Total))
	}
	b.breakdown(L, fmt.Sprintf("more than %d steps without a wait: is there a loop that never waits?", m.given))
}

// hold charges memory that is about to be taken, and the work of filling it and of clearing up.
func (b *Box) hold(L *lua.LState, bytes int) {
	m := &b.meter
	m.charged += int64(bytes)
	if m.charged > m.limits.Memory/2 || m.held+int64(bytes) > m.limits.Memory {
		b.takeCensus(L, int64(bytes))
	}
	b.charge(L, bytes/bytesPerStep)
}

// stepsPerVisit is what looking at one value in a heap estimate costs. It comes off the total, not the tick: a heap
// estimate is due when it is due, and must not end a tick that is within its budget.
const stepsPerVisit = 5

// takeCensus measures what is held and breaks the run when that and the bytes about to be taken are too much.
func (b *Box) takeCensus(L *lua.LState, coming int64) {
	m := &b.meter
	bytes, visits := b.estimateHeap()
	m.held, m.charged = bytes, coming
	m.total -= int64(visits) * stepsPerVisit
	if m.held+coming > m.limits.Memory {
		b.breakdown(L, fmt.Sprintf("the routine holds more than %d MB", m.limits.Memory>>20))
	}
}

// watch is the context that a thread asks before every instruction.
type watch struct {
	box     *Box
	state   *lua.LState
	running **frame
	values  *registry
}

// Done counts the instruction that the thread is about to run, and looks at it if it can cost more than a step. The
// channel is always nil, so gopher-lua goes on; what must not go on ends in here.
func (w *watch) Done() <-chan struct{} {
	b := w.box
	b.meter.left--
	if b.meter.left < 0 {
		b.outOfSteps(w.state)
	}
	f := *w.running
	inst := f.Fn.Proto.Code[f.Pc-1]
	if inspect := inspectors[inst>>26]; inspect != nil {
		inspect(w, f, inst)
	}
	return nil
}

// The rest of context.Context is not used by gopher-lua while Done is nil.
func (w *watch) Deadline() (time.Time, bool) { return time.Time{}, false }
func (w *watch) Err() error                  { return nil }
func (w *watch) Value(any) any               { return nil }
