package scripting

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// Activity is what the main task spends its time on. While it waits with the drive base commanded directly, it moves.
func (h *Host) Activity() record.Activity {
	for _, t := range h.tasks {
		if t.lane != 0 || t.wait == nil {
			continue
		}
		if does := t.wait.activity(); does != record.Waiting {
			return does
		}
		return h.driving
	}
	return record.Idle
}

// Lines are the lines of the routine file that the tasks stand at, by number of the task; 0 where there is none.
func (h *Host) Lines() []int {
	var lines []int
	for _, t := range h.tasks {
		if !t.started || t.ended {
			continue
		}
		for len(lines) <= t.lane {
			lines = append(lines, 0)
		}
		if lines[t.lane] = sandbox.LineIn(t.thread, h.program.Name); t.outside {
			lines[t.lane] = h.guest.line()
		}
	}
	return lines
}

// Where is the file and line at which the routine stands: that of the main task, or else of the oldest one.
func (h *Host) Where() (number int, file string, line int) {
	for _, t := range h.tasks {
		if t.started && !t.ended {
			at := h.placeOf(t)
			return t.lane, at.file, at.line
		}
	}
	return 0, "", 0
}

// placeOf is where a task stands.
func (h *Host) placeOf(t *task) (at place) {
	if t.outside {
		return h.guest.at
	}
	at.file, at.line = sandbox.Where(t.thread)
	return at
}

// here is where what runs on a thread stands.
func (h *Host) here(L *lua.LState) (at place) {
	if t := h.running; t != nil && t.outside {
		return h.guest.at
	}
	at.file, at.line = sandbox.Where(L)
	return at
}

// Plan is the curve of the drive motion under way in the field's frame, in metres; nil without one.
func (h *Host) Plan() []geom.Vec {
	if h.drive == nil {
		return nil
	}
	return h.drive.motion.Plan()
}

// Want is the speed along the heading (m/s) and the turning rate (rad/s) that the drive motion asks for.
func (h *Host) Want() (along, turn float64) {
	if h.drive == nil {
		return 0, 0
	}
	return h.drive.motion.Want()
}
