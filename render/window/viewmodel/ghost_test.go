package viewmodel

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/scripting"
)

// scored is a drive whose side has totals from times on.
func scored(totals ...[2]float64) *Run {
	rec := &record.Record{Header: record.Header{Robots: []record.Robot{{Side: 1}}}}
	for i := range 251 {
		t := float64(i) * record.SamplePeriod
		rec.Samples = append(rec.Samples, record.Sample{T: t,
			Robots: []record.RobotSample{{True: record.Pose{t, -t, 0.123456}}}})
	}
	for _, at := range totals {
		rec.Events = append(rec.Events, record.Event{Kind: record.ScoreChange, T: at[0],
			Totals: []record.Number{{Value: 99}, {Value: at[1]}}})
	}
	return &Run{Record: rec, Scores: scores(rec)}
}

// The better drive has more points, or as many sooner; the other side's points, and those that were lost again, are
// none.
func TestTheBestDriveHasMorePointsOrTheSameSooner(t *testing.T) {
	none := GhostOf(scored())
	lost := GhostOf(scored([2]float64{1, 5}, [2]float64{2, 0}))
	low := GhostOf(scored([2]float64{1, 5}, [2]float64{2, 3}))
	late := GhostOf(scored([2]float64{1, 2}, [2]float64{4, 5}))
	soon := GhostOf(scored([2]float64{3, 5}, [2]float64{4, 5}))
	if none != nil || lost != nil {
		t.Errorf("a drive without points is kept: %v, %v", none, lost)
	}
	order := []*Ghost{nil, low, late, soon}
	for i, a := range order {
		for k, b := range order {
			if got := a.Beats(b); got != (i > k) {
				t.Errorf("%v beats %v: %v", a, b, got)
			}
		}
	}
	if late.String() != "5 points after 4.0 s" || soon.Reached != 3 {
		t.Errorf("%v, %v", late, soon)
	}
	if late.PointsAt(0.5) != 0 || late.PointsAt(1) != 2 || late.PointsAt(9) != 5 {
		t.Errorf("points %v", late.Scores)
	}
}

// A ghost is written and read back; it stands where the drive's robot was, and after its end at its end. A file that is
// none, or none that can be, counts as no ghost.
func TestAGhostIsKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ghosts", "one.json")
	if LoadGhost(path) != nil {
		t.Error("there is a ghost without a file")
	}
	run := scored([2]float64{1, 5})
	if err := GhostOf(run).Save(path); err != nil {
		t.Fatal(err)
	}
	g := LoadGhost(path)
	if g == nil || g.Points != 5 || g.Reached != 1 {
		t.Fatalf("read back: %+v", g)
	}
	for _, at := range []float64{0, 1, 2.02, 5, 60} {
		want := math.Min(at, 5)
		if pose := g.At(at); math.Abs(pose.X-want) > record.SamplePeriod+1e-9 || math.Abs(pose.Heading-0.1235) > 1e-9 {
			t.Errorf("at %g s it is at %v", at, pose)
		}
	}
	for _, text := range []string{"", "{", `{"points": 3}`, `{"points": -1, "path": [[0, 0, 0]]}`, `[]`, "\x00"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if LoadGhost(path) != nil {
			t.Errorf("%q is a ghost", text)
		}
	}
	for range 2 {
		if err := ForgetGhost(path); err != nil {
			t.Error(err)
		}
	}
}

// Another session, field, robot or routine has ghosts of its own.
func TestGhostsAreOfASessionFieldRobotAndRoutine(t *testing.T) {
	d, _ := opened(t)
	names := map[string]bool{d.GhostName("a"): true, d.GhostName("b"): true}
	field, robot, routine := *d.Setup.Field, *d.Setup.Entrants[0].Robot, *d.Setup.Entrants[0].Routine
	for _, hash := range []*string{&field.SHA256, &robot.SHA256, &routine.SHA256} {
		was := *hash
		*hash = "other"
		d.Setup.Field, d.Setup.Entrants[0].Robot, d.Setup.Entrants[0].Routine = &field, &robot, &routine
		names[d.GhostName("a")] = true
		*hash = was
	}
	if len(names) != 5 {
		t.Errorf("%d names: %v", len(names), names)
	}
	if !names[d.GhostName("a")] {
		t.Error("the same has another name")
	}
}

// The cues of a drive: the start of the clock and of a phase, changes of the own side's points, contacts not all at
// once.
func TestTheCuesOfADrive(t *testing.T) {
	d, _ := opened(t)
	driveFor(t, d, 1, scripting.PadState{})
	if got := d.Cues(); got != nil {
		t.Errorf("before the clock runs: %v", got)
	}
	d.AdvanceDrive(1.0/60, ahead)
	d.AdvanceDrive(1.0/60, ahead)
	rec := d.drive.run.Record
	rec.Events = append(rec.Events,
		record.Event{Kind: record.Contact, T: 1, Value: 0.5}, record.Event{Kind: record.Contact, T: 1.1, Value: 0.5},
		record.Event{Kind: record.Contact, T: 1.3, Value: 0.01},
		record.Event{Kind: record.Contact, T: 1.4, Robot: 1, Value: 1},
		record.Event{Kind: record.Contact, T: 1.5, Value: 0.5})
	for _, points := range [][]record.Number{{{Value: 2}, {}}, {{Value: 2}, {Value: 7}}, {{Value: 1}, {Value: 7}}} {
		rec.Events = append(rec.Events, record.Event{Kind: record.ScoreChange, T: 2, Totals: points})
	}
	rec.Events = append(rec.Events, record.Event{Kind: record.PhaseStart, T: 3, Robot: -1})
	d.drive.run.Refresh()
	got := d.Cues()
	want := []Cue{CuePhase, CueTouch, CueTouch, CueMore, CueLess, CuePhase}
	if len(got) != len(want) {
		t.Fatalf("cues %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("cues %v, want %v", got, want)
		}
	}
	if again := d.Cues(); len(again) != 0 {
		t.Errorf("told again: %v", again)
	}
}
