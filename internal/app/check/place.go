package check

import (
	"fmt"
	"math"

	"chalkfield/internal/base/record"
)

// standing is where the routine stood at a time: its main task, or another that was still at work. Once it has ended,
// it is where it last did something.
func (j *judgement) standing(t float64) (file string, line int, ended bool) {
	i := max(0, min(int(math.Round(t/record.SamplePeriod)), len(j.record.Samples)-1))
	for _, line := range j.record.Samples[i].Robots[own].Lines {
		if line > 0 {
			return j.robot().Routine.Name, line, false
		}
	}
	for k := range j.record.Events {
		e := &j.record.Events[k]
		switch {
		case e.T > t || e.Robot != own:
		case e.Kind == record.TaskEnd || e.Kind == record.Failure:
			ended = true
		case e.Line > 0:
			file, line = e.File, e.Line
		}
	}
	return file, line, ended
}

// driving is the line that commanded the drive at a time: of the motion under way, or else where the routine stood.
func (j *judgement) driving(t float64) (file string, line int, ended bool) {
	var motion *record.Event
	for k := range j.record.Events {
		e := &j.record.Events[k]
		switch {
		case e.T > t || e.Robot != own:
		case e.Kind == record.MotionStart:
			motion = e
		case e.Kind == record.MotionEnd:
			motion = nil
		}
	}
	if motion != nil {
		return motion.File, motion.Line, false
	}
	return j.standing(t)
}

// ran is "line 14", with the file where it is not the routine's own.
func (j *judgement) ran(file string, line int) string {
	if file == j.robot().Routine.Name {
		return fmt.Sprintf("line %d", line)
	}
	return fmt.Sprintf("%s:%d", file, line)
}
