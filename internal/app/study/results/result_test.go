package results

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"

	"github.com/google/go-cmp/cmp"
)

// moment is an event of the robot under test.
func moment(t float64, kind record.Kind, what string, line int) Moment {
	return Moment{T: t, Kind: kind, What: what, Line: line}
}

func ended(t float64, why string, line int) Moment {
	return Moment{T: t, Kind: record.MotionEnd, What: "ahead", Why: why, Line: line}
}

var plan = Result{
	Done: 15, Points: []float64{4, 5}, Count: []float64{2, 1},
	Did: []Moment{
		ended(2, "arrived", 10),
		moment(3, record.Pickup, "core 1", 11), moment(4, record.Pickup, "core 2", 12),
		moment(6, record.Contact, "sled 1", 14), moment(6.5, record.Clamped, "sled 1", 15),
		ended(8, "timeout", 16), // on purpose: pushes against the wall
		moment(8, record.Contact, "wall", 16),
		moment(9, record.Scored, "sled 1", 17), moment(10, record.Scored, "sled 1", 17),
		ended(12, "arrived", 20),
		moment(13, record.Scored, "rack 1", 22),
	},
}

// without is the plan shifted by a delay, without the moments from one time to another, and with others added in order.
func without(from, to, delay float64, more ...Moment) Result {
	got := plan
	got.Did = nil
	for _, m := range plan.Did {
		for len(more) > 0 && more[0].T <= m.T {
			got.Did, more = append(got.Did, more[0]), more[1:]
		}
		if m.T < from || m.T >= to {
			m.T += delay
			got.Did = append(got.Did, m)
		}
	}
	got.Did = append(got.Did, more...)
	return got
}

func TestDepartureIsTheFirstThingThatWentAnotherWay(t *testing.T) {
	late := without(13, 99, 8)
	late.Done = Never
	swapped := without(4, 4.5, 0, moment(4.2, record.Pickup, "core 9", 12))
	for _, c := range []struct {
		name string
		got  Result
		want string
		at   float64
	}{
		{"a pickup is lacking, and what follows from it", without(4, 4.5, 0, moment(7, record.Jammed, "conveyor", 15)),
			"core 2 not picked up (line 12)", 4},
		{"a pickup is lacking in a late rehearsal", without(4, 4.5, 1.5), "core 2 not picked up (line 12)", 5.5},
		{"a clamp misses", without(6.5, 7, 0, moment(6.5, record.Missed, "clamp", 15)), "clamp misses (line 15)", 6.5},
		{"a clamp misses a little later than the plan clamps", without(6.5, 7, 0, moment(6.6, record.Missed, "clamp", 15)),
			"clamp misses (line 15)", 6.6},
		{"the second piece into a goal is lacking", without(10, 10.5, 0), "piece 2 not scored in sled 1 (line 17)", 10},
		{"too little air", without(6.5, 7, 0, Moment{T: 6.5, Kind: record.Missed, What: "clamp", Why: string(record.NoAir),
			Line: 15}), "too little air for clamp (line 15)", 6.5},
		{"a goal is not clamped and nothing tells of it", without(6.5, 7, 0), "sled 1 not clamped (line 15)", 6.5},
		{"a motion ends by timeout that arrived in the plan", without(12, 99, 0, ended(12.5, "timeout", 20)),
			"motion ends by timeout (line 20)", 12.5},
		{"a timeout on the line where the plan has one too is no departure", without(99, 99, 0, ended(11, "timeout", 17)),
			"motion ends by timeout (line 17)", 11},
		{"a contact that the plan does not have", without(99, 99, 0, moment(5, record.Contact, "sled 4", 13)),
			"touches sled 4", 5},
		{"a contact, and what followed", without(6.5, 7, 0, moment(5, record.Contact, "sled 4", 13),
			moment(5.5, record.Contact, "Barrow", 14), moment(6.5, record.Missed, "clamp", 15)),
			"touches sled 4, then clamp misses (line 15)", 5},
		{"it tips, and what followed", without(6.5, 7, 0, moment(5, record.Tips, "backwards", 14)),
			"tips backwards (line 14)", 5},
		{"a contact that the plan has, elsewhere", without(99, 99, 0, moment(5, record.Contact, "wall", 13),
			ended(7, "stalled", 16)), "motion ends by stalled (line 16)", 7},
		{"a routine error", without(9, 99, 0, Moment{T: 8.5, Kind: record.Failure, Why: "attempt to index nil", Line: 17}),
			"routine fails with an error (line 17)", 8.5},
		{"a foul", without(99, 99, 0, moment(12.5, record.Foul, "centre line", 21)), "foul: centre line (line 21)", 12.5},
		{"time runs out", late, "time runs out: piece 1 not scored in rack 1 (line 22)", 20},
		{"the last piece is not scored although there was time", without(13, 99, 0),
			"piece 1 not scored in rack 1 (line 22)", 13},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, found := Depart(plan, c.got, 20)
			if !found || d.Words != c.want || math.Abs(d.T-c.at) > 1e-9 {
				t.Errorf("%v %q at %g, want %q at %g", found, d.Words, d.T, c.want, c.at)
			}
		})
	}
	if d, found := Depart(plan, swapped, 20); found {
		t.Errorf("another core instead of the planned one is no departure, got %q", d.Words)
	}
	if d, found := Depart(plan, plan, 20); found {
		t.Errorf("the plan departs from itself: %q", d.Words)
	}
	if d, found := Depart(plan, without(99, 99, 0.7), 20); found {
		t.Errorf("a late rehearsal that does everything departs: %q", d.Words)
	}
}

// A plan that fails excuses no error: neither the same one nor another text at the same line, which is of the same
// group.
func TestARoutineErrorIsNeverAsPlanned(t *testing.T) {
	failing := without(9, 99, 0, Moment{T: 9, Kind: record.Failure, Why: "mine.lua:17: off by 1", Line: 17})
	failing.Errors = []Error{{T: 9, File: "mine.lua", Line: 17, Text: "mine.lua:17: off by 1"}}
	other := without(9, 99, 0, Moment{T: 9, Kind: record.Failure, Why: "mine.lua:17: off by 2", Line: 17})
	for _, got := range []Result{failing, other} {
		if d := Blame(failing, got, nil, 20); d.Words != "routine fails with an error (line 17)" || d.Text == "" || d.T != 9 {
			t.Errorf("%+v", d)
		}
	}
	if d := Blame(failing, plan, nil, 20); strings.Contains(d.Words, "plan") {
		t.Errorf("a plan that fails is called one: %q", d.Words)
	}
}

func TestOfKeepsTheFirstErrorOfEachRobot(t *testing.T) {
	r := driven(geom.Vec{}, geom.Vec{X: 1})
	r.Header.Robots = append(r.Header.Robots, record.Robot{Side: 0, File: record.File{Title: "Barrow"}})
	r.Events = []record.Event{
		{T: 1, Kind: record.Failure, Robot: 1, File: "other.lua", Line: 3, Text: "no"},
		{T: 2, Kind: record.Failure, Robot: 0, File: "mine.lua", Line: 5, Text: "nil", Trace: "in auto"},
		{T: 3, Kind: record.Failure, Robot: 0, File: "mine.lua", Line: 9, Text: "nil"},
	}
	got := Of(r, 0)
	want := []Error{{T: 1, Robot: "ochre Barrow", File: "other.lua", Line: 3, Text: "other.lua:3: no"},
		{T: 2, File: "mine.lua", Line: 5, Text: "mine.lua:5: nil"}}
	if d := cmp.Diff(want, got.Errors); d != "" {
		t.Error(d)
	}
	if e := got.Failed(); e == nil || e.Line != 5 {
		t.Errorf("own error %+v", e)
	}
}

func TestBlameNamesTheRuleWhenAllStepsWereAsPlanned(t *testing.T) {
	got := plan
	got.Points = []float64{4, 0}
	if d := Blame(plan, got, []string{"core in sled", "robot in camp"},
		20); d.Words != "every step as planned, but fewer points for robot in camp" {
		t.Errorf("%q", d.Words)
	}
}

// driven is a record of one robot that drives along points, one a sample.
func driven(points ...geom.Vec) *record.Record {
	r := &record.Record{
		Header: record.Header{
			Seed: 42, Robots: []record.Robot{{Side: 1, Routine: record.File{Name: "mine.lua"}}},
			Drawn: []record.Number{{Name: "grip", Value: 0.02}, {Name: "robot 1 start x", Value: -0.01}},
		},
		Sheet: record.Sheet{
			Sides: []string{"ochre", "teal"}, Total: []float64{3, 9}, Winner: 1,
			Rows: []record.Row{{Rule: "core in sled", Count: []float64{1, 2}, Points: []float64{2, 4}}},
		},
	}
	for i, p := range points {
		r.Samples = append(r.Samples, record.Sample{T: float64(i) * record.SamplePeriod, Robots: []record.RobotSample{{
			True: record.Pose{p.X, p.Y, 0}, Belief: record.Pose{p.X + 0.03, p.Y - 0.04, 0.1}, Battery: 12.1, Air: 5e5,
			Lines: []int{17, 0},
		}}})
	}
	return r
}

func TestOfKeepsTheRobotsOwnStory(t *testing.T) {
	r := driven(geom.Vec{X: 1, Y: 1}, geom.Vec{X: 2, Y: 1})
	r.Events = []record.Event{
		{T: 0, Kind: record.PhaseStart, Robot: -1, What: "autonomous"},
		{T: 0.1, Kind: record.Contact, Robot: 0, What: "wall", File: "mine.lua", Line: 3},
		{T: 0.2, Kind: record.Contact, Robot: 0, What: "wall", File: "mine.lua", Line: 4},
		{T: 0.3, Kind: record.Pickup, Robot: 0, What: "core 1", File: "arms.lua", Line: 5},
		{T: 0.4, Kind: record.Pickup, Robot: 1, What: "core 2"},
		{T: 0.45, Kind: record.MotionEnd, Robot: 0, What: "ahead", Reason: record.TimedOut, Took: 3, Value: 0.04, Unit: "m",
			File: "mine.lua", Line: 6},
		{T: 0.5, Kind: record.Scored, Robot: 0, What: "sled 1", Piece: "core 1", File: "mine.lua", Line: 6},
		{T: 0.55, Kind: record.TaskEnd, Robot: 0, Reason: record.Over},
		{T: 0.6, Kind: record.TaskEnd, Robot: 0, Task: 1, Reason: record.Finished},
	}
	got := Of(r, 0)
	want := Result{
		Seed: 42, Total: []float64{3, 9}, Count: []float64{2}, Points: []float64{4}, Winner: 1, Done: Never, Last: 0.5,
		At:   17,
		Pose: record.Pose{2, 1, 0}, Belief: record.Pose{2.03, 0.96, 0.1}, Volts: 12.1, Air: 5e5,
		Drawn: []float64{0.02, -0.01},
		Did: []Moment{
			{T: 0.1, Kind: record.Contact, What: "wall", Line: 3}, {T: 0.3, Kind: record.Pickup, What: "core 1",
				File: "arms.lua", Line: 5},
			{T: 0.45, Kind: record.MotionEnd, What: "ahead", Why: "timeout", Line: 6,
				Off: "stopped 40 mm short after 3.0 s"},
			{T: 0.5, Kind: record.Scored, What: "sled 1", Line: 6},
		},
		Path: []int{1000, 1000, 1000, 0},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if math.Abs(got.OffBelief()-0.05) > 1e-12 || got.Own(1) != 9 {
		t.Errorf("belief off by %g, own score %g", got.OffBelief(), got.Own(1))
	}
	r.Events = append(r.Events, record.Event{T: 0.9, Kind: record.TaskEnd, Robot: 0, Reason: record.Finished})
	if got := Of(r, 0); got.Done != 0.9 || got.At != 0 {
		t.Errorf("done at %g, line %d", got.Done, got.At)
	}
}

func TestKeptPathStaysNearTheTrueOne(t *testing.T) {
	var points []geom.Vec
	for i := range 1000 { // a loop with a straight tail and a stand
		a := math.Min(float64(i)*0.01, 7)
		points = append(points, geom.Vec{X: 2 + math.Cos(a), Y: 1.5 + math.Sin(2*a)})
	}
	way := Of(driven(points...), 0).Way()
	if len(way) > 100 {
		t.Errorf("%d points kept of %d", len(way), len(points))
	}
	for _, p := range points {
		far := math.Inf(1)
		for i := 1; i < len(way); i++ {
			far = math.Min(far, geom.DistanceToSegment(p, way[i-1], way[i]))
		}
		if far > pathWithin+0.001 { // and a millimetre for rounding
			t.Fatalf("%v is %.4f m off the kept path", p, far)
		}
	}
}

func TestResultsSurviveTheirFile(t *testing.T) {
	got := Of(driven(geom.Vec{X: 1, Y: 1}, geom.Vec{X: 2, Y: 1.2}), 0)
	got.Did = plan.Did
	data, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	var back Result
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(got, back); d != "" {
		t.Error(d)
	}
	if strings.Contains(string(data), "\n") {
		t.Error("a result must be one line")
	}
}
