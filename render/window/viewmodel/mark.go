package viewmodel

import (
	"math"
	"slices"
	"strconv"

	"chalkfield/internal/base/record"
)

// Mark is an event on the time strip.
type Mark struct {
	T     float64
	Event int // index into the record's events
	Row   record.Lane
}

// marks chooses the events that the strip carries, in order of time.
func marks(r *record.Record) []Mark {
	var list []Mark
	for i, e := range r.Events {
		if row := e.Kind.Traits().Lane; row != record.NoLane {
			list = append(list, Mark{T: e.T, Event: i, Row: row})
		}
	}
	return list
}

// Nearest is the mark of a row closest to a time and within reach of it, or -1.
func Nearest(list []Mark, row record.Lane, t, reach float64) int {
	best := -1
	for i, mark := range list {
		if mark.Row != row {
			continue
		}
		if gap := math.Abs(mark.T - t); gap <= reach {
			best, reach = i, gap
		}
	}
	return best
}

// moments are the times of all events that the strip or the page of events carries, in order.
func moments(r *record.Record) []float64 {
	var list []float64
	for _, e := range r.Events {
		if kind := e.Kind.Traits(); kind.Lane != record.NoLane || kind.Mark != (record.Mark{}) {
			list = append(list, e.T)
		}
	}
	slices.Sort(list)
	return list
}

// EventOn stops and goes to the next event, EventBack to the one before, where there is one.
func (d *Model) EventOn() {
	if d.Now == nil {
		return
	}
	d.Pause()
	for _, t := range d.Now.Moments {
		if t > d.Time+1e-9 {
			d.Seek(t)
			return
		}
	}
}

func (d *Model) EventBack() {
	if d.Now == nil {
		return
	}
	d.Pause()
	for _, t := range slices.Backward(d.Now.Moments) {
		if t < d.Time-1e-9 {
			d.Seek(t)
			return
		}
	}
}

// GoToEvent goes to an event's time and selects it.
func (d *Model) GoToEvent(i int) {
	d.GoTo(d.Now.Record.Events[i].T)
	d.Select(Thing{EventThing, i})
}

// Score is the totals from a time on.
type Score struct {
	T      float64
	Totals []record.Number // per side
}

// Total is a side's total in it, as text.
func (s Score) Total(side int) string {
	if side < len(s.Totals) {
		return strconv.FormatFloat(s.Totals[side].Value, 'g', 6, 64)
	}
	return "0"
}

// scores reads the changes of the score.
func scores(r *record.Record) []Score {
	var list []Score
	for _, e := range r.Events {
		if e.Kind == record.ScoreChange {
			list = append(list, Score{T: e.T, Totals: e.Totals})
		}
	}
	return list
}

// Total is a side's score at a time, as text. Before the first change it is 0.
func (r *Run) Total(side int, t float64) string {
	total := "0"
	for _, s := range r.Scores {
		if s.T > t+1e-9 {
			break
		}
		total = s.Total(side)
	}
	return total
}
