package scene

import (
	"sort"

	"chalkfield/internal/base/record"
)

// Index gives random access to a record's states. A record tells a body only where it changes; the index keeps each
// body's changes in order, so a body at any sample is one binary search away, and it holds every state once.
type Index struct {
	Record *record.Record

	first   []int // body k's changes are changes[first[k]:first[k+1]]
	changes []change
	plans   [][]int // per robot: the samples that give a planned curve
	paths   []path  // per robot
}

// change is a body's new state and the sample that tells it.
type change struct {
	sample int
	state  record.BodySample
}

// NewIndex reads a record once. The record must not change afterwards; nil is a record of nothing.
func NewIndex(rec *record.Record) *Index {
	if rec == nil {
		rec = &record.Record{}
	}
	x := &Index{Record: rec}
	x.indexBodies()
	robots := len(rec.Header.Robots)
	x.plans, x.paths = make([][]int, robots), make([]path, robots)
	for robot := range robots {
		x.plans[robot] = planSamples(rec, robot)
		x.paths[robot] = newPath(rec, robot)
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

func planSamples(rec *record.Record, robot int) []int {
	var at []int
	for i, sample := range rec.Samples {
		if robot < len(sample.Robots) && len(sample.Robots[robot].Plan) > 0 {
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
func (x *Index) Body(body, sample int) (record.BodySample, bool) {
	if body < 0 || body+1 >= len(x.first) {
		return record.BodySample{}, false
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
		return record.BodySample{}, false
	}
	return own[low-1].state, true
}

// Robot is a robot's state at a sample; false if the sample does not have it.
func (x *Index) Robot(robot, sample int) (*record.RobotSample, bool) {
	if sample < 0 || sample >= len(x.Record.Samples) {
		return nil, false
	}
	robots := x.Record.Samples[sample].Robots
	if robot < 0 || robot >= len(robots) {
		return nil, false
	}
	return &robots[robot], true
}

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
		if e.Kind == record.MotionEnd && e.Robot == robot && e.T > from && e.T <= to {
			return nil
		}
	}
	return x.Record.Samples[given[k]].Robots[robot].Plan
}

// End is the time of the last sample, 0 for an empty record.
func (x *Index) End() float64 {
	if len(x.Record.Samples) == 0 {
		return 0
	}
	return x.Record.Samples[len(x.Record.Samples)-1].T
}
