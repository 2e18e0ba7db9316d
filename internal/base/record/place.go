package record

import "math"

// Standing is where a robot's routine stood at a time: its main task, or another that was still at work. Once it has
// ended, it is where it last did something.
func (r *Record) Standing(robot int, t float64) (file string, line int, ended bool) {
	i := max(0, min(int(math.Round(t/SamplePeriod)), len(r.Samples)-1))
	for _, line := range r.Samples[i].Robots[robot].Lines {
		if line > 0 {
			return r.fileOf(robot), line, false
		}
	}
	for k := range r.Events {
		e := &r.Events[k]
		switch {
		case e.T > t || e.Robot != robot:
		case e.Kind == TaskEnd || e.Kind == Failure:
			ended = true
		case e.Line > 0:
			file, line = e.File, e.Line
		}
	}
	return file, line, ended
}

// fileOf is the file that the lines of samples are of: the routine's, and of a program, whose name is its command, the
// first that it tells.
func (r *Record) fileOf(robot int) string {
	if h := &r.Header.Robots[robot]; !h.Outside {
		return h.Routine.Name
	}
	for k := range r.Events {
		if e := &r.Events[k]; e.Robot == robot && e.Line > 0 {
			return e.File
		}
	}
	return r.Header.Robots[robot].Routine.Name
}

// Driving is the line that commanded a robot's drive at a time: of the motion under way, or else where the routine
// stood.
func (r *Record) Driving(robot int, t float64) (file string, line int, ended bool) {
	var motion *Event
	for k := range r.Events {
		e := &r.Events[k]
		switch {
		case e.T > t || e.Robot != robot:
		case e.Kind == MotionStart:
			motion = e
		case e.Kind == MotionEnd:
			motion = nil
		}
	}
	if motion != nil {
		return motion.File, motion.Line, false
	}
	return r.Standing(robot, t)
}
