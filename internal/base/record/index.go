package record

import (
	"math"
	"sort"
)

// Index gives random access to a record's states. A record tells a body only where it changes; the index keeps each
// body's changes in order, so a body at any sample is one binary search away, and it holds every state once.
type Index struct {
	Record *Record

	first   []int // body k's changes are changes[first[k]:first[k+1]]
	changes []change
	plans   [][]int // per robot: the samples that give a planned curve
}

// change is a body's new state and the sample that tells it.
type change struct {
	sample int
	state  BodySample
}

// NewIndex reads a record once. The record must not change afterwards; nil is a record of nothing.
func NewIndex(rec *Record) *Index {
	if rec == nil {
		rec = &Record{}
	}
	x := &Index{Record: rec}
	x.indexBodies()
	x.plans = make([][]int, len(rec.Header.Robots))
	for robot := range x.plans {
		x.plans[robot] = planSamples(rec, robot)
	}
	return x
}

// indexBodies sorts the changes by body with two passes of a counting sort. A state of a body that the header does not
// know is left out: a record's reader refuses it.
func (x *Index) indexBodies() {
	bodies := len(x.Record.Header.Bodies)
	x.first = make([]int, bodies+1)
	for _, sample := range x.Record.Samples {
		for _, state := range sample.Bodies {
			if state.ID >= 0 && state.ID < bodies {
				x.first[state.ID+1]++
			}
		}
	}
	for k := range bodies {
		x.first[k+1] += x.first[k]
	}
	x.changes = make([]change, x.first[bodies])
	next := append([]int(nil), x.first...)
	for i, sample := range x.Record.Samples {
		for _, state := range sample.Bodies {
			if state.ID >= 0 && state.ID < bodies {
				x.changes[next[state.ID]] = change{i, state}
				next[state.ID]++
			}
		}
	}
}

func planSamples(rec *Record, robot int) []int {
	var at []int
	for i, sample := range rec.Samples {
		if robot < len(sample.Robots) && len(sample.Robots[robot].New().Plan) > 0 {
			at = append(at, i)
		}
	}
	return at
}

// At is the last sample at or before a time, or -1.
func (x *Index) At(t float64) int {
	return sort.Search(len(x.Record.Samples), func(i int) bool { return x.Record.Samples[i].T > t }) - 1
}

// Body is a body's state at a sample; false if the record has not told it by then.
func (x *Index) Body(body, sample int) (BodySample, bool) {
	if body < 0 || body+1 >= len(x.first) {
		return BodySample{}, false
	}
	own := x.changes[x.first[body]:x.first[body+1]]
	low, high := 0, len(own) // own[:low] are at or before the sample, own[high:] after it
	for low < high {
		middle := (low + high) / 2
		if own[middle].sample <= sample {
			low = middle + 1
		} else {
			high = middle
		}
	}
	if low == 0 {
		return BodySample{}, false
	}
	return own[low-1].state, true
}

// Robot is a robot's state at a sample; false if the sample does not have it.
func (x *Index) Robot(robot, sample int) (*RobotSample, bool) {
	if sample < 0 || sample >= len(x.Record.Samples) {
		return nil, false
	}
	robots := x.Record.Samples[sample].Robots
	if robot < 0 || robot >= len(robots) {
		return nil, false
	}
	return &robots[robot], true
}

// Plans are the samples that give a robot a planned curve.
func (x *Index) Plans(robot int) []int { return x.plans[robot] }

// Plan is the planned curve that a robot was following at a sample: the last one given, until one of its motions ends.
func (x *Index) Plan(robot, sample int) [][2]float64 {
	if robot < 0 || robot >= len(x.plans) || sample < 0 || sample >= len(x.Record.Samples) {
		return nil
	}
	given := x.plans[robot]
	k := sort.SearchInts(given, sample+1) - 1
	if k < 0 {
		return nil
	}
	from, to := x.Record.Samples[given[k]].T, x.Record.Samples[sample].T
	for _, e := range x.Record.Events {
		if e.Kind == MotionEnd && e.Robot == robot && e.T > from && e.T <= to {
			return nil
		}
	}
	return x.Record.Samples[given[k]].Robots[robot].New().Plan
}

// SignalValues are those of a routine's own signal, one a sample, NaN before the first: a value holds until the next.
func (r *Record) SignalValues(robot, signal int) []float64 {
	values, now := make([]float64, len(r.Samples)), math.NaN()
	for i := range r.Samples {
		if robots := r.Samples[i].Robots; robot < len(robots) {
			for _, said := range robots[robot].New().Said {
				if said.Signal == signal {
					now = said.Value
				}
			}
		}
		values[i] = now
	}
	return values
}

// End is the time of the last sample, 0 for an empty
func (x *Index) End() float64 {
	if len(x.Record.Samples) == 0 {
		return 0
	}
	return x.Record.Samples[len(x.Record.Samples)-1].T
}

// Deltas puts into samples what they tell of bodies: a state that differs from the last one told.
type Deltas struct{ last []BodySample }

// Add adds a body's state to a sample if it has to be told.
func (d *Deltas) Add(s *Sample, state BodySample) {
	for len(d.last) <= state.ID {
		d.last = append(d.last, BodySample{ID: -1})
	}
	if d.last[state.ID] != state {
		d.last[state.ID] = state
		s.Bodies = append(s.Bodies, state)
	}
}
