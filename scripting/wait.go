package scripting

import (
	"chalkfield/internal/base/record"

	lua "github.com/yuin/gopher-lua"
)

// slack absorbs rounding in sums of ticks, in seconds.
const slack = 1e-6

// sleep waits for a time.
type sleep struct{ until float64 }

func (w sleep) over(h *Host) bool         { return h.now >= w.until-slack }
func (w sleep) activity() record.Activity { return record.Waiting }
func (w sleep) abandon(*Host)             {}

// poll waits for the next tick: the task then asks again.
type poll struct{ asks *lua.LFunction } // nil: nothing, it only waits

func (w poll) over(*Host) bool           { return true }
func (w poll) activity() record.Activity { return record.Waiting }
func (w poll) abandon(*Host)             {}

// joinTask waits for another task's end.
type joinTask struct{ other *task }

func (w joinTask) over(*Host) bool           { return w.other.ended }
func (w joinTask) activity() record.Activity { return record.Waiting }
func (w joinTask) abandon(*Host)             {}

// joinMotion waits for a drive motion's end. The task that owns the motion takes it along when it ends.
type joinMotion struct {
	job  *job
	owns bool
}

func (w joinMotion) over(*Host) bool { return w.job.ended }

func (w joinMotion) activity() record.Activity {
	if w.job.motion.Turning() {
		return record.Turning
	}
	return record.Moving
}

func (w joinMotion) abandon(h *Host) {
	if w.owns {
		h.cancelDrive(w.job)
	}
}

// watchPart waits until a mechanism is where it should be, or cannot get there, or time is up.
type watchPart struct {
	part  int
	until float64 // s
	fresh *bool   // the command has not reached the mechanism yet
}

func (w watchPart) over(h *Host) bool {
	if *w.fresh {
		*w.fresh = false
		return false
	}
	s := h.machine.Look(w.part)
	return !s.Moving || s.Stalled || h.now >= w.until-slack
}

func (w watchPart) activity() record.Activity { return record.Mechanism }
func (w watchPart) abandon(*Host)             {}
