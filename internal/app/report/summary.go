package report

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Summary is the account of a record for machines (`run --json`). Lengths in m, angles in rad.
type Summary struct {
	Field   string         `json:"field"`
	Session string         `json:"session"`
	Seed    uint64         `json:"seed"`
	Nominal bool           `json:"nominal"`
	Seconds float64        `json:"seconds"`
	Robots  []RobotEnd     `json:"robots"`
	Events  []record.Event `json:"events"`
	// of what cannot work, as "file:line: why"; the events have them too
	Warnings    []string     `json:"warnings,omitempty"`
	Sheet       record.Sheet `json:"sheet"`
	Fingerprint string       `json:"fingerprint"`
}

// RobotEnd is one robot's part of the summary.
type RobotEnd struct {
	Robot        string      `json:"robot"`
	Routine      string      `json:"routine"`
	Side         string      `json:"side"`
	End          record.Pose `json:"end"`           // true pose
	Belief       record.Pose `json:"belief"`        // what its odometry says
	BeliefError  float64     `json:"belief_error"`  // m
	HeadingError float64     `json:"heading_error"` // rad, belief minus truth
	Spent        []Share     `json:"spent"`
	Failed       string      `json:"failed,omitempty"` // the routine's error
}

// Summarise reads a record. It needs at least one sample.
func Summarise(r *record.Record) (Summary, error) {
	print, err := r.Fingerprint()
	if err != nil {
		return Summary{}, err
	}
	last := r.Samples[len(r.Samples)-1]
	s := Summary{
		Field: r.Header.Field.Called(), Session: r.Header.Session, Seed: r.Header.Seed, Nominal: r.Header.Nominal,
		Seconds: last.T, Events: timelined(r.Events), Warnings: warnings(r.Events), Sheet: r.Sheet, Fingerprint: print,
	}
	for i, robot := range r.Header.Robots {
		end := robotEnd(r, i, robot, last.Robots[i])
		end.Robot = r.Header.RobotName(i)
		s.Robots = append(s.Robots, end)
	}
	return s, nil
}

// Share is how long a robot's main task was at one kind of thing.
type Share struct {
	Doing   record.Activity `json:"doing"`
	Seconds float64         `json:"seconds"`
}

// shares says where each second of a robot's time went, in a fixed order. Each sample stands for the time until the
// next one.
func shares(r *record.Record, robot int) []Share {
	out := []Share{{Doing: record.Moving}, {Doing: record.Turning}, {Doing: record.Waiting}, {Doing: record.Mechanism},
		{Doing: record.Idle}}
	k := 0 // of the sample before: most go on with it
	for i := 0; i+1 < len(r.Samples); i++ {
		if doing := r.Samples[i].Robots[robot].Doing; doing != out[k].Doing {
			next := slices.IndexFunc(out, func(s Share) bool { return s.Doing == doing })
			if next < 0 {
				continue // of another's record
			}
			k = next
		}
		out[k].Seconds += r.Samples[i+1].T - r.Samples[i].T
	}
	for k := range out {
		out[k].Seconds = record.Round(out[k].Seconds)
	}
	return out
}

func robotEnd(r *record.Record, i int, robot record.Robot, last record.RobotSample) RobotEnd {
	end := RobotEnd{
		Routine: robot.Routine.Called(), Side: r.Sheet.Sides[robot.Side],
		End: last.True, Belief: last.Belief, Spent: shares(r, i), Failed: failure(r.Events, i),
		BeliefError:  record.Round(math.Hypot(last.Belief[0]-last.True[0], last.Belief[1]-last.True[1])),
		HeadingError: record.Round(geom.WrapAngle(last.Belief[2] - last.True[2])),
	}
	return end
}

func failure(events []record.Event, robot int) string {
	for _, e := range events {
		if e.Kind == record.Failure && e.Robot == robot {
			return e.Message()
		}
	}
	return ""
}

// timelined leaves out the events that only a window needs.
func timelined(events []record.Event) []record.Event {
	kept := make([]record.Event, 0, len(events))
	for _, e := range events {
		if e.Kind.Is(record.Timeline) {
			kept = append(kept, e)
		}
	}
	return kept
}
