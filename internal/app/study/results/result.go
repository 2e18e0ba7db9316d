package results

import (
	"fmt"
	"math"

	"chalkfield/internal/base/record"
)

// Result is what is kept of one rehearsal: what the statistics of many need, about a kilobyte instead of a record's
// half megabyte. Per side and per rule lists follow the record's score sheet. SI units.
type Result struct {
	Seed   uint64      `json:"seed"`
	Total  []float64   `json:"total"`        // points per side
	Count  []float64   `json:"count"`        // own side's count per rule
	Points []float64   `json:"points"`       // own side's points per rule
	Winner int         `json:"winner"`       // index of a side, -1 for a draw
	Done   float64     `json:"done"`         // s: when the routine came to its end; Never if it was still at work
	Last   float64     `json:"last"`         // s: when the last piece was scored; Never if none was
	At     int         `json:"at,omitempty"` // routine line at which it still stood at the end
	Pose   record.Pose `json:"pose"`         // true pose at the end
	Belief record.Pose `json:"belief"`       // and what the odometry made of it
	Volts  float64     `json:"volts"`        // battery at the end
	Air    float64     `json:"air"`          // Pa gauge at the end
	Drawn  []float64   `json:"drawn"`        // in the order of the study's names
	Did    []Moment    `json:"did"`          // what mattered of what the robot did, in order of time
	Errors []Error     `json:"errors,omitempty"`
	Path   []int       `json:"path,omitempty"` // mm: x, y of the first point, then steps; see Way
	Left   *Departure  `json:"left,omitempty"` // a sweep keeps this instead of Did, if the rehearsal was not good

	Tried []float64 `json:"tried,omitempty"` // of a search: the freedoms' values
	Reads []float64 `json:"reads,omitempty"` // what its goal reads, in SI units
	Lacks string    `json:"lacks,omitempty"` // what the goal reads and the rehearsal did not give
	Asked []bool    `json:"asked,omitempty"` // which freedoms the routine asked for
}

// Error is the first error with which a robot's routine failed.
type Error struct {
	T     float64 `json:"t"`               // s
	Robot string  `json:"robot,omitempty"` // a partner's or opponent's side and name; "" for the robot under test
	File  string  `json:"file"`
	Line  int     `json:"line"`
	Text  string  `json:"text"` // with file and line
}

// Failed is the error of the robot under test, nil for none.
func (r Result) Failed() *Error {
	for i := range r.Errors {
		if r.Errors[i].Robot == "" {
			return &r.Errors[i]
		}
	}
	return nil
}

// Never stands for the time of something that did not happen.
const Never = -1

// Moment is an event without what a study does not need.
type Moment struct {
	T    float64     `json:"t"` // s
	Kind record.Kind `json:"k"`
	What string      `json:"w,omitempty"`
	Why  string      `json:"y,omitempty"` // how a motion ended, why a mechanism missed, a failure's message
	File string      `json:"f,omitempty"` // only if it is not the routine's own file
	Line int         `json:"l,omitempty"`
	At   *[2]float64 `json:"at,omitempty"` // m

	Piece string `json:"p,omitempty"` // of a pickup: the piece's kind
	Off   string `json:"o,omitempty"` // of a motion that did not arrive, a miss: by how much
}

// Of boils down a record. own is the index of the robot under test. A record has at least one sample.
func Of(r *record.Record, own int) Result {
	robot, last := r.Header.Robots[own], r.Samples[len(r.Samples)-1].Robots[own]
	out := Result{
		Seed: r.Header.Seed, Total: r.Sheet.Total, Winner: r.Sheet.Winner, Done: done(r.Events, own),
		Pose: last.True, Belief: last.Belief, Volts: last.Battery, Air: last.Air,
		Did: did(r, own, robot.Routine.Name), Errors: failures(r, own), Path: path(r, own),
	}
	out.Last = lastScored(out.Did)
	if out.Done == Never && len(last.Lines) > 0 {
		out.At = last.Lines[0]
	}
	for _, row := range r.Sheet.Rows {
		out.Count = append(out.Count, row.Count[robot.Side])
		out.Points = append(out.Points, row.Points[robot.Side])
	}
	for _, n := range r.Header.Drawn {
		out.Drawn = append(out.Drawn, n.Value)
	}
	return out
}

// done is when the routine's main task came to its end by itself.
func done(events []record.Event, own int) float64 {
	for _, e := range events {
		if e.Kind == record.TaskEnd && e.Robot == own && e.Task == 0 && e.Reason == record.Finished {
			return e.T
		}
	}
	return Never
}

// did lists the robot's moments. Of contacts with one thing only the first counts: a robot may rattle along a wall.
func did(r *record.Record, own int, file string) []Moment {
	var list []Moment
	kinds := map[string]string{}
	for _, b := range r.Header.Bodies {
		kinds[b.Name] = b.Kind
	}
	touched := map[string]bool{}
	for _, e := range r.Events {
		if e.Robot != own || !e.Kind.Is(record.Study) || e.Kind == record.Contact && touched[e.What] {
			continue
		}
		if e.Kind == record.Contact {
			touched[e.What] = true
		}
		m := Moment{T: e.T, Kind: e.Kind, What: e.What, Line: e.Line, At: e.At}
		if e.File != file {
			m.File = e.File
		}
		m.Why, m.Off = why(e), off(e)
		if e.Kind == record.Pickup {
			m.Piece = kinds[e.What]
		}
		list = append(list, m)
	}
	return list
}

// why tells events of a kind apart.
func why(e record.Event) string {
	switch e.Kind {
	case record.MotionEnd, record.Missed:
		return string(e.Reason)
	case record.Failure:
		return e.Message()
	}
	return ""
}

// off says by how much something went wrong, "" where that is not known.
func off(e record.Event) string {
	switch {
	case e.Kind == record.Missed, e.Kind == record.Crooked:
		return e.Text
	case e.Kind != record.MotionEnd,
		e.Reason == record.Arrived, e.Reason == record.Held, e.Reason == record.Cancelled:
		return ""
	case e.Unit == "rad":
		return fmt.Sprintf("stopped %.1f deg short after %.1f s", math.Abs(e.Value)*180/math.Pi, e.Took)
	}
	return fmt.Sprintf("stopped %.0f mm short after %.1f s", math.Abs(e.Value)*1000, e.Took)
}

// failures lists the first error of each robot's routine.
func failures(r *record.Record, own int) []Error {
	var list []Error
	seen := map[int]bool{}
	for _, e := range r.Events {
		if e.Kind != record.Failure || seen[e.Robot] || e.Robot < 0 {
			continue
		}
		seen[e.Robot] = true
		one := Error{T: e.T, File: e.File, Line: e.Line, Text: e.Message()}
		if e.Robot != own {
			robot := &r.Header.Robots[e.Robot]
			one.Robot = r.Sheet.Sides[robot.Side] + " " + robot.File.Title
		}
		list = append(list, one)
	}
	return list
}

// Own is the score of the robot's own side.
func (r Result) Own(side int) float64 { return r.Total[side] }

// OffBelief is how far the belief is from the truth at the end, m.
func (r Result) OffBelief() float64 {
	return math.Hypot(r.Belief[0]-r.Pose[0], r.Belief[1]-r.Pose[1])
}

// lastScored is the time at which the last piece was scored, Never without one.
func lastScored(did []Moment) float64 {
	for i := len(did) - 1; i >= 0; i-- {
		if did[i].Kind == record.Scored {
			return did[i].T
		}
	}
	return Never
}
