package scripting

import (
	"errors"

	"chalkfield/internal/base/record"
	"chalkfield/scripting/motion"

	lua "github.com/yuin/gopher-lua"
)

// job is a drive motion that a routine has begun. The drive base has one at a time: another command cancels it.
type job struct {
	motion *motion.Motion
	lane   int
	born   place
	ended  bool
	flips  bool // the routine sees it in a mirror
}

// cancelDrive ends a motion if it is under way.
func (h *Host) cancelDrive(j *job) {
	if j == nil || j.ended {
		return
	}
	j.motion.Cancel()
	h.endDrive(j)
}

// endDrive tells of a motion's end.
func (h *Host) endDrive(j *job) {
	j.ended = true
	if h.drive == j {
		h.drive = nil
	}
	r := j.motion.Result()
	h.emit(record.Event{
		Kind: record.MotionEnd, Task: j.lane, File: j.born.file, Line: j.born.line, What: j.motion.Name(),
		Reason: reasonOf(j.motion.Name(), r),
		Took:   r.Took, Value: r.Left, Unit: unitOf(j.motion.Name()), Overshoot: r.Overshoot, Settle: r.Settle,
	})
}

// reasonOf is why a motion ended. That a rate is ended by the next command is no failure: it has no other end.
func reasonOf(name string, r motion.Result) record.Reason {
	if name == "rate" && r.Why == motion.Cancelled {
		return record.Held
	}
	return record.Reason(r.Why)
}

// unitOf what is left of a motion.
func unitOf(name string) string {
	if name == "face" {
		return "rad"
	}
	return "m"
}

// updateDrive is the motion's control tick.
func (h *Host) updateDrive() {
	if h.drive == nil {
		return
	}
	h.drive.motion.Update(h.period())
	if h.drive.motion.Done() {
		h.endDrive(h.drive)
	}
}

// planning is what planning a motion costs in steps: up to a millisecond.
const planning = 10_000

// begin starts a motion in the place of whatever drives, and gives it its first tick at once.
func (c call) begin(m *motion.Motion, err error, text string) *job {
	h := c.host
	t := c.inTask()
	c.mustDo(err)
	h.box.Charge(c.LState, planning)
	h.cancelDrive(h.drive)
	h.driving, h.trainVolts = record.Waiting, [2]float64{}
	c.host.say(c.LState, record.Event{Kind: record.MotionStart, What: m.Name(), Text: text})
	c.mustDo(m.Start(h.machine))
	j := &job{motion: m, lane: t.lane, flips: h.mirrored()}
	j.born = h.here(c.LState)
	h.drive = j
	h.updateDrive()
	return j
}

// mustDo raises a motion's error. The call names the motion already.
func (c call) mustDo(err error) {
	var wrong *motion.ArgumentError
	if errors.As(err, &wrong) {
		c.fail("%s %s", wrong.Argument, wrong.Problem)
	}
	if err != nil {
		c.fail("%s", err)
	}
}

// drive begins a motion and waits for its end, or returns a handle if it is to go on beside the task.
func (c call) drive(m *motion.Motion, err error, o driveOptions, text string) int {
	j := c.begin(m, err, text)
	if o.background && !c.inTask().outside {
		c.Push(c.host.newObject(c.host.classes.motion, "motion", 0, j))
		return 1
	}
	return c.await(joinMotion{job: j, owns: true}, j.ended, j.outcome)
}

// outcome is how a motion ended, or how it stands.
func (j *job) outcome() outcome {
	r := j.motion.Result()
	unit := mm
	if j.motion.Name() == "face" {
		unit = deg
		if j.flips {
			r.Left = -r.Left
		}
	}
	return outcome{Why: string(r.Why), Left: r.Left / unit, Took: r.Took,
		drive: true, Overshoot: r.Overshoot / unit, Settle: r.Settle, Planned: r.Planned}
}

// outcome is how something that takes time has ended, in a routine's units.
type outcome struct {
	Why        string
	Left, Took float64

	drive                      bool // a motion's: it has these too
	Overshoot, Settle, Planned float64
}

func (o outcome) ok() bool { return o.Why == string(motion.Arrived) }

// result is an outcome as Lua sees it.
func (c call) result(o outcome) *lua.LTable {
	t := c.CreateTable(0, 7)
	t.Metatable = c.host.classes.result
	t.RawSetString("ok", lua.LBool(o.ok()))
	t.RawSetString("why", lua.LString(o.Why))
	t.RawSetString("left", lua.LNumber(o.Left))
	t.RawSetString("took", lua.LNumber(o.Took))
	if o.drive {
		t.RawSetString("overshoot", lua.LNumber(o.Overshoot))
		t.RawSetString("settle", lua.LNumber(o.Settle))
		t.RawSetString("planned", lua.LNumber(o.Planned))
	}
	return t
}

// await has the task wait until something is over and gives Lua its outcome. A program outside goes on, and is told
// when it is over.
func (c call) await(w waiter, over bool, of func() outcome) int {
	t := c.inTask()
	if t.outside {
		g := c.host.guest
		g.pending = append(g.pending, &pending{wait: w, over: over, outcome: of})
		return 0
	}
	if !over {
		t.pause(w)
	}
	c.Push(c.result(of()))
	return 1
}

// motionMethods are those of a motion in the background.
func motionMethods() map[string]method {
	of := func(c call) *job { return c.object.value.(*job) }
	return map[string]method{
		"done": func(c call) int { return c.pushBool(of(c).ended) },
		"join": func(c call) int {
			if t := c.inTask(); !of(c).ended {
				t.pause(joinMotion{job: of(c)})
			}
			c.Push(c.result(of(c).outcome()))
			return 1
		},
		"cancel": func(c call) int {
			c.host.cancelDrive(of(c))
			return 0
		},
	}
}

// motionFields: result is how it stands now, and how it ended once it has.
func motionFields() map[string]func(c call) lua.LValue {
	return map[string]func(c call) lua.LValue{
		"result": func(c call) lua.LValue { return c.result(c.object.value.(*job).outcome()) },
	}
}
