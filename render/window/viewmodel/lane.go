package viewmodel

import (
	"math"
	"slices"

	"chalkfield/internal/base/record"
)

// Lane is one task of a routine along time, or all runs of a macro.
type Lane struct {
	Task     int
	Macro    string  // its button, "" for any other task
	From, To float64 // s, of the last run; To is +Inf for a task whose end the record does not tell
	Earlier  []Span  // runs of the macro before
	Motions  []Span
}

// Span is a motion within a lane.
type Span struct {
	From, To float64
	What     string        // the motion's name
	Why      record.Reason // why it ended; "" while it runs
	Line     int
}

// lanes reads the tasks of a robot's routine. The main task has no start event of its own in a record that has none: it
// begins with its first event.
func lanes(r *record.Record, robot int) []Lane {
	var list []Lane
	at := map[int]int{} // task to index in list
	find := func(e record.Event) *Lane {
		i, ok := at[e.Task]
		if ok && (e.Kind != record.TaskStart || math.IsInf(list[i].To, 1)) {
			return &list[i]
		}
		name := e.Macro
		before := func(l Lane) bool { return name != "" && l.Macro == name && !math.IsInf(l.To, 1) }
		if i = slices.IndexFunc(list, before); i >= 0 {
			list[i].again(e.T)
		} else {
			i = len(list)
			list = append(list, Lane{Task: e.Task, Macro: name, From: e.T, To: math.Inf(1)})
		}
		at[e.Task] = i
		return &list[i]
	}
	for _, e := range r.Events {
		if e.Robot != robot {
			continue
		}
		switch e.Kind {
		case record.TaskStart:
			find(e)
		case record.TaskEnd:
			find(e).To = e.T
		case record.MotionStart:
			lane := find(e)
			lane.Motions = append(lane.Motions, Span{From: e.T, To: math.Inf(1), What: e.What, Line: e.Line})
		case record.MotionEnd:
			find(e).end(e)
		}
	}
	return list
}

// again begins another run of a macro.
func (l *Lane) again(t float64) {
	l.Earlier = append(l.Earlier, Span{From: l.From, To: l.To})
	l.From, l.To = t, math.Inf(1)
}

// end closes the oldest motion of that name that still runs.
func (l *Lane) end(e record.Event) {
	for i := range l.Motions {
		if m := &l.Motions[i]; math.IsInf(m.To, 1) && (m.What == e.What || e.What == "") {
			m.To, m.Why = e.T, e.Reason
			return
		}
	}
}

// LitLines gives the lines at which a robot's tasks stand at a time, per task, 0 for one that has ended.
func (r *Run) LitLines(robot int, t float64) []int {
	state, ok := r.Index.Robot(robot, r.Index.At(t))
	if !ok {
		return nil
	}
	return state.Lines
}

// FirstLine is the line at which a robot's main task is first seen, 0 if it never is.
func (r *Run) FirstLine(robot int) int {
	for i := range r.Record.Samples {
		if state, ok := r.Index.Robot(robot, i); ok && len(state.Lines) > 0 && state.Lines[0] > 0 {
			return state.Lines[0]
		}
	}
	return 0
}

// Moves reports whether a motion of the robot's drive is under way at a time.
func (r *Run) Moves(robot int, t float64) bool {
	i := r.Index.At(t)
	if i < 0 || robot >= len(r.Lanes) {
		return false
	}
	return slices.ContainsFunc(r.Lanes[robot], func(l Lane) bool {
		return slices.ContainsFunc(l.Motions, func(m Span) bool { return m.holds(r.Record.Samples[i].T) })
	})
}

// holds reports whether a span holds the time of a sample.
func (s Span) holds(t float64) bool {
	const slack = 1e-9 // s
	return t >= s.From-slack && t < s.To-slack
}
