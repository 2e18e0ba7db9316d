// Package history keeps what a routine did in a rehearsal, tick by tick: which lines ran, and what its variables held.
// Keeping it changes nothing of what happens.
package history

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// slack absorbs rounding in times, in seconds.
const slack = 1e-6

// History is what a routine did, tick by tick: the variables of its tasks, and the lines that ran.
type History struct {
	Moments []Moment         // each is other than the one before, and holds until the next
	Files   map[string]Lines // by file, the lines that ran
	Left    int              // bytes that may still be kept
	Full    float64          // s: what came from then on is not kept; 0: all is

	tick   int32      // of the control tick under way
	failed *TaskState // what the routine failed in, as it was then
}

// Usual is how many bytes a history keeps, as an estimate.
const Usual = 96 << 20

// New makes one that keeps a number of bytes at most.
func New(bytes int) *History {
	return &History{Files: map[string]Lines{}, Left: bytes}
}

// Moment is a routine as it stood from a time on, when the Lua of that control tick had run.
type Moment struct {
	T       float64      `json:"since"` // s since the start of the session
	Tasks   []*TaskState `json:"tasks"`
	Globals []*Variable  `json:"globals,omitempty"` // that the routine's files set
}

// TaskState is a task at a moment.
type TaskState struct {
	Number int      `json:"task"` // as in events
	Name   string   `json:"name"`
	Failed bool     `json:"failed,omitempty"` // with an error, here
	Frames []*Frame `json:"functions"`        // innermost first
}

// Called is how a task is spoken of: "auto", "task 2".
func (t *TaskState) Called() string {
	if t.Number == 0 {
		return t.Name
	}
	return fmt.Sprintf("%s %d", t.Name, t.Number)
}

// Frame is a function under way.
type Frame struct {
	File     string      `json:"file"`
	Line     int         `json:"line"`    // at which it stands
	Defined  int         `json:"defined"` // the line that its definition begins with; 0: it is the file itself
	Called   string      `json:"called"`  // what its caller calls it
	Locals   []*Variable `json:"locals"`
	Upvalues []*Variable `json:"upvalues,omitempty"` // locals of functions around it
}

// At is the routine as it stood at a time; false before its first tick and where nothing was kept.
func (h *History) At(t float64) (Moment, bool) {
	if h.Full > 0 && t >= h.Full-slack {
		return Moment{}, false
	}
	i, found := slices.BinarySearchFunc(h.Moments, t, func(m Moment, t float64) int { return cmp.Compare(m.T, t+slack) })
	if found {
		i++
	}
	if i == 0 {
		return Moment{}, false
	}
	return h.Moments[i-1], true
}

// keeps reports whether there is room.
func (h *History) keeps() bool { return h.Full == 0 }

// spend takes bytes, and ends the keeping at a time when there are no more.
func (h *History) spend(bytes int, now float64) {
	if h.Left -= bytes; h.Left < 0 && h.keeps() {
		h.Full = math.Max(now, slack)
	}
}

// Estimated bytes of what is kept.
const (
	bytesMoment   = 80
	bytesTask     = 64
	bytesFrame    = 128
	bytesPointer  = 8
	bytesVariable = 112
	bytesSpan     = 8
)

// Task is a task that lives, as the host has it.
type Task struct {
	Number int
	Name   string
	Frames []sandbox.Frame // innermost first
}

// Words says what a thing of the host's is.
type Words func(*lua.LUserData) string

// Begin is called when a control tick begins.
func (h *History) Begin(now float64) { h.tick = tickOf(now) }

// Forget is called when a phase begins: what failed in the one before is over.
func (h *History) Forget() { h.failed = nil }

// Take keeps what tasks hold when a tick's Lua has run.
func (h *History) Take(now float64, tasks []Task, globals []sandbox.Variable, words Words) {
	if !h.keeps() {
		return
	}
	last := Moment{}
	if n := len(h.Moments); n > 0 {
		last = h.Moments[n-1]
	}
	s := snapshot{words: words}
	m := Moment{T: now, Globals: s.list(globals, last.Globals)}
	for _, t := range tasks {
		h.stand(t.Frames)
		m.Tasks = append(m.Tasks, s.task(t, last.Tasks))
	}
	if h.failed != nil {
		m.Tasks = append(m.Tasks, h.failed)
	}
	if len(h.Moments) == 0 || !slices.Equal(m.Tasks, last.Tasks) || !slices.Equal(m.Globals, last.Globals) {
		h.Moments = append(h.Moments, m)
		s.bytes += bytesMoment + bytesPointer*len(m.Tasks)
	}
	h.spend(s.bytes, now)
}

// Fail keeps a task as it was when its error came: it is shown until the phase ends.
func (h *History) Fail(now float64, t Task, words Words) {
	if !h.keeps() {
		return
	}
	s := snapshot{words: words}
	h.failed = s.task(t, nil)
	h.failed.Failed = true
	h.spend(s.bytes, now)
}

// task is a task's state: the one of the moment before where nothing of it is other.
func (s *snapshot) task(t Task, before []*TaskState) *TaskState {
	old := &TaskState{}
	if i := slices.IndexFunc(before, func(b *TaskState) bool { return b.Number == t.Number }); i >= 0 {
		old = before[i]
	}
	state := &TaskState{Number: t.Number, Name: t.Name}
	for i, f := range t.Frames {
		was := &Frame{}
		if k := len(old.Frames) - len(t.Frames) + i; k >= 0 { // by its depth: the outermost stays
			was = old.Frames[k]
		}
		state.Frames = append(state.Frames, s.frame(f, was))
	}
	if old.Name == state.Name && slices.Equal(old.Frames, state.Frames) {
		return old
	}
	s.bytes += bytesTask + bytesPointer*len(state.Frames)
	return state
}

// frame is a function under way: the old one where nothing is other.
func (s *snapshot) frame(f sandbox.Frame, old *Frame) *Frame {
	now := Frame{File: f.File, Line: f.Line, Defined: f.Defined, Called: f.Called,
		Locals: s.list(f.Locals, old.Locals), Upvalues: s.list(f.Upvalues, old.Upvalues)}
	if old.File == now.File && old.Line == now.Line && old.Defined == now.Defined && old.Called == now.Called &&
		slices.Equal(old.Locals, now.Locals) && slices.Equal(old.Upvalues, now.Upvalues) {
		return old
	}
	s.bytes += bytesFrame
	return &now
}
