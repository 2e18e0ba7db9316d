package viewmodel

import (
	"fmt"

	"chalkfield/internal/base/geom"
	"chalkfield/scripting"
)

// NewRoutine is the text of an empty routine that starts where that of the run shown does; false: there is none.
func (d *Model) NewRoutine(title string) (text string, ok bool) {
	if d.Now == nil || d.Fault != nil || !d.hasRoutine() {
		return "", false
	}
	at, ok := d.Standing(Thing{RobotThing, 0})
	return RoutineFrom(title, d.Setup.Entrants[0].Routine.Side, d.asWritten(at)), ok
}

// RoutineLike is the text of an empty routine that starts where another does; false: that does not say where.
func RoutineLike(title string, other *scripting.Program) (text string, ok bool) {
	if other.Start == nil {
		return "", false
	}
	return RoutineFrom(title, other.Side, *other.Start), true
}

// RoutineFrom is the text of an empty routine.
func RoutineFrom(title, side string, start geom.Pose) string {
	if side != "" {
		side = fmt.Sprintf("  side = %q,\n", side)
	}
	return fmt.Sprintf("-- The right button on the field, or Ctrl+L, adds what the robot does next.\nreturn routine {\n"+
		"  title = %q,\n%s  start = %s,\n  auto = function(bot)\n  end,\n}\n", title, side, LuaPose(start))
}
