package scripting

import (
	"fmt"

	"chalkfield/internal/base/record"

	lua "github.com/yuin/gopher-lua"
)

// What a routine may leave in a record.
const (
	maxEvents  = 20_000 // of a rehearsal; beyond it the routine fails
	maxNotes   = 1_000  // notes and printed lines; beyond it they are dropped
	noteLength = 500    // bytes of one
)

// counts is how much the routine has left so far.
type counts struct{ events, notes int }

// emit stamps an event with time and robot and sends it.
func (h *Host) emit(e record.Event) {
	h.counts.events++
	e.T, e.Robot = h.now, h.env.Robot
	if h.env.Sink != nil {
		h.env.Sink(e)
	}
}

// say emits an event of the running task, at the line where it stands. A routine that says too much fails.
func (h *Host) say(L *lua.LState, e record.Event) {
	h.mayStillSpeak(L)
	if t := h.running; t != nil {
		e.Task = t.lane
	}
	at := h.here(L)
	e.File, e.Line = at.file, at.line
	h.emit(e)
}

// mayStillSpeak raises an error once a routine has left too many events.
func (h *Host) mayStillSpeak(L *lua.LState) {
	if h.counts.events >= maxEvents {
		L.RaiseError("more than %d events in a rehearsal: are motions or tasks begun in an endless loop?", maxEvents)
	}
}

// write leaves a note or a printed line, up to a number; then it warns once.
func (h *Host) write(L *lua.LState, kind record.Kind, text string) {
	h.counts.notes++
	switch {
	case h.counts.notes > maxNotes+1:
		return
	case h.counts.notes == maxNotes+1:
		h.say(L, record.Event{Kind: record.Warning, What: "note",
			Text:    fmt.Sprintf("note, print: no more lines are kept, the limit is %d", maxNotes),
			Instead: "leave a note when something changes, not in every tick"})
		return
	case len(text) > noteLength:
		text = text[:noteLength] + "..."
	}
	h.say(L, record.Event{Kind: kind, Text: text})
}

func (h *Host) print(L *lua.LState, text string) { h.write(L, record.Print, text) }
