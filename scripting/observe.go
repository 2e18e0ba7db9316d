package scripting

import (
	"fmt"
	"strings"

	"chalkfield/scripting/history"

	lua "github.com/yuin/gopher-lua"
)

// observe has the history keep what a tick's Lua has left.
func (h *Host) observe() {
	var tasks []history.Task
	for _, t := range h.tasks {
		if t.thread != nil && !t.ended && !t.outside {
			tasks = append(tasks, h.observed(t))
		}
	}
	h.env.History.Take(h.now, tasks, h.box.OwnGlobals(), h.objectWords)
}

// observeFailure has it keep a task as it stood when its error came.
func (h *Host) observeFailure(t *task) {
	if h.env.History != nil && t.thread != nil {
		h.env.History.Fail(h.now, h.observed(t), h.objectWords)
	}
}

// observed is a task with what it sees. An error is the compiler's, and no reason to end a rehearsal: there are no
// variables then.
func (h *Host) observed(t *task) history.Task {
	frames, _ := h.box.Frames(t.thread)
	return history.Task{Number: t.lane, Name: t.name, Frames: frames}
}

// objectWords says what a thing is, and how it stands.
func (h *Host) objectWords(ud *lua.LUserData) string {
	if ud == h.bot {
		return "the robot"
	}
	o, is := ud.Value.(*object)
	if !is {
		return "an object of Chalkfield"
	}
	switch of := o.value.(type) {
	case *job:
		return fmt.Sprintf("motion %s, %s", of.motion.Name(), standing(of.ended, string(of.motion.Result().Why)))
	case *task:
		return fmt.Sprintf("task %d, %s", of.lane, standing(of.ended, string(of.outcome)))
	}
	if strings.Contains(o.owner, ".") {
		return o.owner
	}
	return o.class.what
}

func standing(ended bool, how string) string {
	if !ended {
		return "under way"
	}
	return how
}
