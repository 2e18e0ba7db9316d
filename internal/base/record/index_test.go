package record

import (
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// history draws a record of some bodies that change now and then, with times that do not step evenly.
func history(t *rapid.T) *Record {
	rec := &Record{Header: Header{Robots: make([]Robot, 1)}}
	bodies := rapid.IntRange(0, 6).Draw(t, "bodies")
	rec.Header.Bodies = make([]Body, bodies)
	now := 0.0
	for range rapid.IntRange(0, 40).Draw(t, "samples") {
		s := Sample{T: now, Robots: make([]RobotSample, 1)}
		now += rapid.Float64Range(0.001, 0.1).Draw(t, "step")
		for id := -1; id <= bodies; id++ { // with ids that the header does not have
			if rapid.IntRange(0, 3).Draw(t, "changes") == 0 {
				s.Bodies = append(s.Bodies, BodySample{ID: id, Pose: Pose{rapid.Float64Range(-5, 5).Draw(t, "x")},
					In: Holder(rapid.IntRange(-3, 3).Draw(t, "in"))})
			}
		}
		if rapid.IntRange(0, 5).Draw(t, "plans") == 0 {
			s.Robots[0].News = &News{Plan: [][2]float64{{now, 0}, {now, 1}}}
		}
		if rapid.IntRange(0, 5).Draw(t, "arrives") == 0 {
			rec.Events = append(rec.Events, Event{T: s.T, Kind: MotionEnd})
		}
		rec.Samples = append(rec.Samples, s)
	}
	return rec
}

// The oracle replays the record from its start to the sample, as the format says to.
func TestIndexGivesWhatAReplayGives(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		rec := history(t)
		x := NewIndex(rec)
		state := map[int]BodySample{}
		var plan [][2]float64
		var planned float64
		event := 0
		for i, sample := range rec.Samples {
			for _, b := range sample.Bodies {
				state[b.ID] = b
			}
			for ; event < len(rec.Events) && rec.Events[event].T <= sample.T; event++ {
				if rec.Events[event].T > planned {
					plan = nil
				}
			}
			if p := sample.Robots[0].New().Plan; p != nil {
				plan, planned = p, sample.T
			}
			for id := range rec.Header.Bodies {
				want, known := state[id]
				if got, has := x.Body(id, i); has != known || got != want {
					t.Fatalf("body %d at sample %d: %v %v, want %v %v", id, i, got, has, want, known)
				}
			}
			if got := x.Plan(0, i); len(got) != len(plan) || (len(plan) > 0 && got[0] != plan[0]) {
				t.Fatalf("plan at sample %d: %v, want %v", i, got, plan)
			}
		}
	})
}

func TestIndexFindsTheSampleAtOrBefore(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		rec := history(t)
		x := NewIndex(rec)
		at := rapid.Float64Range(-1, 5).Draw(t, "t")
		if len(rec.Samples) > 0 && rapid.Bool().Draw(t, "exact") {
			at = rec.Samples[rapid.IntRange(0, len(rec.Samples)-1).Draw(t, "which")].T
		}
		want := -1
		for i, s := range rec.Samples {
			if s.T <= at {
				want = i
			}
		}
		if got := x.At(at); got != want {
			t.Fatalf("At(%v) = %d, want %d", at, got, want)
		}
	})
}

func TestIndexRefusesWhatIsNotThere(t *testing.T) {
	x := NewIndex(nil)
	if _, known := x.Body(0, 0); known {
		t.Error("a body of no record")
	}
	if _, known := x.Robot(0, 0); known {
		t.Error("a robot of no record")
	}
	if x.Plan(0, 0) != nil || x.At(3) != -1 || x.End() != 0 {
		t.Error("an empty record has a plan, a sample or an end")
	}
}
