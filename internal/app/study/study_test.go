package study

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"

	"gonum.org/v1/gonum/stat"
)

// yard is a small rehearsal: a drive past the cores.
func yard(t testing.TB, routine string) Candidate {
	t.Helper()
	in := hauler(t)
	return candidate(t, in.Field, in.Robot, routine)
}

// candidate is a routine of a text.
func candidate(t testing.TB, field *fields.Field, robot *robot.Robot, routine string) Candidate {
	t.Helper()
	path := filepath.Join(t.TempDir(), "mine.lua")
	if err := os.WriteFile(path, []byte(routine), 0o644); err != nil {
		t.Fatal(err)
	}
	program, err := scripting.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	return Candidate{Name: "mine.lua", Replay: "mine.lua", Setup: rehearse.Setup{
		Field: field, Entrants: []rehearse.Entrant{{Robot: robot, Routine: program}},
	}}
}

const drive = `return routine {
  title = "there", start = {x = 600, y = 450, heading = 0},
  auto = function(bot)
    bot.drive:ahead(param("way", 500, 100, 900), {speed = 900})
    bot.drive:face(90)
  end,
}`

// short is a runner that ends a rehearsal after some seconds: what matters here happens at once.
func short(seconds float64) Runner {
	return func(ctx context.Context, s rehearse.Setup) (*record.Record, error) {
		s.Sparse = false // there is no last sample
		r, err := rehearse.New(s)
		if err != nil {
			return nil, err
		}
		defer r.Close()
		for r.Now() < seconds && r.Tick() {
		}
		out := *r.Record()
		if out.Sheet.Sides == nil {
			out.Sheet.Sides, out.Sheet.Total = []string{"a", "b"}, make([]float64, 2)
		}
		return &out, ctx.Err()
	}
}

// file runs a study to its end and gives the bytes of its file.
func file(t *testing.T, s *Study, workers int) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "study")
	journal, err := results.Begin(path, s.Header, false)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Run(context.Background(), journal, workers, nil); err != nil {
		t.Fatal(err)
	}
	if err := journal.Close(); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestWorkersOfAnyNumberGiveTheSameStudy(t *testing.T) {
	s, err := Trials(context.Background(), short(1.5), yard(t, drive), Options{Count: 12, Seed: 5, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	want := file(t, s, 1)
	for _, workers := range []int{2, 8} {
		if got := file(t, s, workers); !bytes.Equal(got, want) {
			t.Errorf("%d workers give another study", workers)
		}
	}
	if bytes.Count(want, []byte(`"seed":`)) < 13 || !bytes.Contains(want, []byte(`"seed":16,`)) {
		t.Errorf("rehearsal k must draw from the base seed + k:\n%.400s", want)
	}
}

func TestShardsMergedAreTheSingleRun(t *testing.T) {
	c := yard(t, drive)
	options := Options{Count: 7, Seed: 5, Shard: results.Whole}
	single, err := Trials(context.Background(), short(1), c, options)
	if err != nil {
		t.Fatal(err)
	}
	var parts results.Merger
	dir := t.TempDir()
	for i := range 3 {
		options.Shard = results.Shard{Number: i + 1, Of: 3}
		s, err := Trials(context.Background(), short(1), c, options)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(dir, fmt.Sprint(i))
		if err := os.WriteFile(name, file(t, s, 2), 0o644); err != nil {
			t.Fatal(err)
		}
		f, err := results.Read(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := parts.Add(name, f); err != nil {
			t.Fatal(err)
		}
	}
	merged, err := parts.Whole()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "merged")
	if err := results.Write(path, merged); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil || !bytes.Equal(got, file(t, single, 2)) {
		t.Errorf("%v: merged parts differ from the single run", err)
	}
}

func TestCompareFindsThatTwoTwinsAreAlikeAndAnotherIsNot(t *testing.T) {
	a, b := yard(t, drive), yard(t, drive)
	b.Setup.Params = map[string]float64{"way": 700}
	s, err := Compare(context.Background(), short(2), a, b, Options{Count: 6, Seed: 1, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	journal, err := results.InMemory(s.Header)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Run(context.Background(), journal, 2, nil); err != nil {
		t.Fatal(err)
	}
	got, err := analysis.OfCompare(journal.File())
	if err != nil {
		t.Fatal(err)
	}
	if !got.Done.Real || got.Done.Mean < 0.1 || got.Score.Real {
		t.Errorf("200 mm more take longer and score the same: %+v", got)
	}
	other := a
	if other.Setup.Field, err = fields.OpenEmbedded("kiln_yard"); err != nil {
		t.Fatal(err)
	}
	if _, err := Compare(context.Background(), short(0.1), a, other,
		Options{Count: 2, Shard: results.Whole}); err == nil || !strings.Contains(err.Error(), "different fields") {
		t.Errorf("two fields: %v", err)
	}
}

func TestSweepReachesParameterRobotAndField(t *testing.T) {
	c := yard(t, drive)
	inputs := hauler(t)
	axes := axesOf(t, "param:way=300,600", "robot:chassis.mass=5 kg,9 kg")
	s, err := Sweep(context.Background(), short(2), c, inputs, axes, true, Options{Seed: 1, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	var x []float64
	for job := range s.Header.Jobs() {
		setup := s.Setup(job)
		r, err := short(2)(context.Background(), setup)
		if err != nil {
			t.Fatal(err)
		}
		x = append(x, r.Samples[len(r.Samples)-1].Robots[0].True[0])
		if mass := setup.Entrants[0].Robot.Chassis.Mass; mass != []float64{5, 9}[job%2] {
			t.Errorf("job %d has mass %g", job, mass)
		}
	}
	if d := x[2] - x[0]; d < 0.25 || d > 0.35 {
		t.Errorf("300 mm more of way move the end by %.3f m", d)
	}
	if _, err := Sweep(context.Background(), short(0.1), c, inputs, axesOf(t, "param:wey=1,2"), true,
		Options{Shard: results.Whole}); err == nil || !strings.Contains(err.Error(), `write "way"`) {
		t.Errorf("a parameter that the routine does not have: %v", err)
	}
	if c.Setup.Entrants[0].Robot.Chassis.Mass != inputs.Robot.Chassis.Mass {
		t.Error("the sweep changed its candidate")
	}
}

// A sweep's file keeps what its report draws and no more: the first path of every point, and of those not good where
// they left the plan.
func TestSweepKeepsWhatItsReportDraws(t *testing.T) {
	c, need := yard(t, drive), 1000.0
	for name, o := range map[string]Options{"all good": {Count: 2, Seed: 1, Shard: results.Whole},
		"none good": {Count: 2, Seed: 1, Need: &need, Shard: results.Whole}} {
		s, err := Sweep(context.Background(), short(1), c, hauler(t), axesOf(t, "param:way=300,400,600"), false, o)
		if err != nil {
			t.Fatal(err)
		}
		for job := range s.Header.Jobs() {
			r, err := s.rehearse(context.Background(), job)
			if err != nil {
				t.Fatal(err)
			}
			if first := job < 3; (r.Path != nil) != first || r.Did != nil || r.Drawn != nil {
				t.Errorf("%s, job %d: path %v, moments %v, drawn %v", name, job, r.Path, r.Did, r.Drawn)
			}
			if bad := name == "none good"; (r.Left != nil) != bad {
				t.Errorf("%s, job %d: left the plan at %+v", name, job, r.Left)
			}
		}
	}
}

func TestAnInterruptKeepsWhatIsDoneAndTheStudyGoesOn(t *testing.T) {
	s, err := Trials(context.Background(), short(1), yard(t, drive), Options{Count: 10, Seed: 5, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	want := file(t, s, 2)
	path := filepath.Join(t.TempDir(), "study")
	journal, err := results.Begin(path, s.Header, false)
	if err != nil {
		t.Fatal(err)
	}
	ctx, interrupt := context.WithCancel(context.Background())
	if err := s.Run(ctx, journal, 2, func(int) { interrupt() }); err == nil {
		t.Fatal("an interrupt must end the run with an error")
	}
	kept := journal.File().Have()
	if err := journal.Close(); err != nil || kept == 0 || kept == 10 {
		t.Fatalf("%v, %d kept", err, kept)
	}
	if journal, err = results.Begin(path, s.Header, true); err != nil || len(journal.Todo()) != 10-kept {
		t.Fatalf("%v, %d to do of %d", err, len(journal.Todo()), 10-kept)
	}
	if err := s.Run(context.Background(), journal, 2, nil); err != nil {
		t.Fatal(err)
	}
	if err := journal.Close(); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%v: the resumed study differs from the undisturbed one", err)
	}
}

// Rehearsal k draws from seed + k, so neighbouring seeds must give independent streams: their first numbers must be
// uniform (Kolmogorov-Smirnov, 1.63 is the 1 % point of sqrt(n) D) and uncorrelated with those of the seeds before.
func TestNeighbouringSeedsGiveIndependentDraws(t *testing.T) {
	const n = 20000
	for _, base := range []uint64{0, 1000, 1 << 40} {
		first := make([]float64, n)
		for k := range first {
			first[k] = sensing.Stream(base+uint64(k), "spread middle sled x").Float64()
		}
		for lag := 1; lag <= 3; lag++ {
			if r := stat.Correlation(first[lag:], first[:n-lag], nil); math.Abs(r)*math.Sqrt(n) > 3 {
				t.Errorf("base %d: correlation %.4f between seeds %d apart", base, r, lag)
			}
		}
		slices.Sort(first)
		d := 0.0
		for i, x := range first {
			d = math.Max(d, math.Abs(x-(float64(i)+0.5)/n))
		}
		if d*math.Sqrt(n) > 1.63 {
			t.Errorf("base %d: first draws are not uniform: sqrt(n) D = %.2f", base, d*math.Sqrt(n))
		}
	}
}
