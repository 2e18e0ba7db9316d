package check

import (
	"math/rand/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

var yard = geom.Rect(geom.Vec{}, geom.Vec{X: 4, Y: 3})

// made is a record of four seconds: a core picked up, a sled clamped, the core scored, home. What a test needs
// otherwise it changes.
func made(seed uint64, nominal bool) *record.Record {
	r := &record.Record{
		Header: record.Header{
			Seed: seed, Nominal: nominal, Session: "autonomous", Field: record.File{Name: "yard.toml"},
			Robots: []record.Robot{{
				Side: 0, Routine: record.File{Name: "mine.lua"}, Parts: []record.Part{{Name: "intake", Kind: "intake"},
					{Name: "clamp", Kind: "clamp"}},
			}, {Side: 1, File: record.File{Title: "Barrow"}}},
			Bodies: []record.Body{{Kind: "core", Name: "core 1"}, {Kind: "core", Name: "core 2"},
				{Kind: "sled", Name: "near sled", Goal: true}, {Kind: "rack", Name: "low rack", Goal: true}},
		},
		Sheet: record.Sheet{
			Sides: []string{"ochre", "teal"}, Total: []float64{12, 3}, Winner: 0,
			Rows: []record.Row{{Rule: "core in sled", Count: []float64{1, 0}, Points: []float64{2, 0}},
				{Rule: "sled in camp", Count: []float64{1, 0}, Points: []float64{10, 3}}},
		},
	}
	for i := range 201 {
		t := float64(i) * record.SamplePeriod
		line := 10 + i/20
		if i >= 180 { // from the task's end on
			line = 0
		}
		r.Samples = append(r.Samples, record.Sample{T: record.Round(t), Robots: []record.RobotSample{{
			True: record.Pose{record.Round(0.5 * t), 1, 0.1}, Belief: record.Pose{record.Round(0.5*t) + 0.03, 1.04, 0.12},
			Battery: 11.9, Air: 5e5, Lines: []int{line},
		}, {}}})
	}
	r.Events = []record.Event{
		did(0, record.PhaseStart, "autonomous", 0),
		did(1, record.Pickup, "core 1", 15), did(1.5, record.Contact, "near sled", 16),
		did(2, record.Clamped, "near sled", 20), did(3, record.Scored, "near sled", 25),
		{T: 3.2, Kind: record.Contact, Robot: 1, What: "wall"},
		{T: 3.4, Kind: record.MotionEnd, File: "mine.lua", Line: 27, What: "ahead", Reason: record.Arrived, Took: 0.4},
		{T: 3.6, Kind: record.TaskEnd, File: "mine.lua", Line: 28, Reason: record.Finished},
	}
	r.Events[0].Robot = -1
	return r
}

func did(t float64, kind record.Kind, what string, line int) record.Event {
	return record.Event{T: t, Kind: kind, What: what, File: "mine.lua", Line: line}
}

// clumsy misses the clamp: the sled's points are lost.
func clumsy(r *record.Record) *record.Record {
	r.Events[3] = record.Event{T: 2.1, Kind: record.Missed, What: "clamp", Reason: record.Beside, Goal: "near sled",
		File: "mine.lua", Line: 20}
	r.Sheet.Total, r.Sheet.Rows[1].Points, r.Sheet.Rows[1].Count = []float64{2, 3}, []float64{0, 3}, []float64{0, 0}
	r.Sheet.Winner = 1
	return r
}

// drawn is a rehearsal that misses the clamp at some seeds.
func drawn(seed uint64, nominal bool, often float64) *record.Record {
	r := made(seed, nominal)
	if !nominal && rand.New(rand.NewPCG(seed, 3)).Float64() < often {
		return clumsy(r)
	}
	return r
}
