package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
)

// plan: one pickup, one clamp, 10 points.
var plan = results.Result{
	Total: []float64{10, 0}, Count: []float64{2, 1}, Points: []float64{4, 6}, Winner: 0, Done: 12, Last: 9,
	Did: []results.Moment{
		{T: 3, Kind: record.Pickup, What: "core 1", Line: 5}, {T: 6, Kind: record.Clamped, What: "sled 1", Line: 8},
		{T: 9, Kind: record.Scored, What: "sled 1", Line: 9},
	},
}

func header(kind results.Kind, count int) results.Header {
	v := results.Variant{Name: "mine.lua", Replay: "mine.lua", Drawn: []string{"sled 1 x", "grip", "start heading"},
		Plan: plan, Robots: make([]record.Robot, 1)}
	h := results.Header{
		Format: results.Format, Version: results.Version, Kind: kind, Count: count, Seed: 1, Need: 10, Seconds: 20,
		Session: "autonomous",
		Field:   record.File{Name: "yard.toml", Title: "Yard"}, Sides: []string{"ochre", "teal"},
		Rules:    []string{"core in sled", "sled home"},
		Variants: []results.Variant{v}, Shard: results.Whole,
	}
	if kind == results.Compare {
		h.Variants = append(h.Variants, v)
		h.Variants[1].Name = "other.lua"
	}
	return h
}

// good is a rehearsal like the plan, a little later.
func good(seed uint64, drawn []float64, late float64) results.Result {
	r := plan
	r.Seed, r.Drawn, r.Did = seed, drawn, nil
	for _, m := range plan.Did {
		m.T += late
		r.Did = append(r.Did, m)
	}
	r.Last, r.Done = plan.Last+late, plan.Done+late
	return r
}

// missed is one whose clamp missed: the sled's points are lost.
func missed(seed uint64, drawn []float64) results.Result {
	r := good(seed, drawn, 0)
	r.Did = []results.Moment{r.Did[0], {T: 6.1, Kind: record.Missed, What: "clamp", Line: 8, At: &[2]float64{1, 2}},
		r.Did[2]}
	r.Total, r.Points, r.Count = []float64{4, 0}, []float64{4, 0}, []float64{2, 0}
	return r
}

// trialsFile is a study in which the clamp misses when the sled is off by more than 15 mm either way, and the pickup is
// lacking when the grip is low.
func trialsFile(n int) *results.File {
	f := &results.File{Header: header(results.Trials, n), Results: make([]*results.Result, n)}
	stream := rand.New(rand.NewPCG(1, 1))
	for i := range n {
		drawn := []float64{0.012 * stream.NormFloat64(), 0.05 * stream.NormFloat64(), stream.NormFloat64()}
		r := good(f.Header.SeedOf(i), drawn, math.Abs(drawn[1]))
		switch {
		case math.Abs(drawn[0]) > 0.015:
			r = missed(r.Seed, drawn)
		case drawn[1] < -0.06:
			r.Did = r.Did[1:2]
			r.Total, r.Points, r.Count = []float64{6, 0}, []float64{0, 6}, []float64{0, 1}
		}
		f.Results[i] = &r
	}
	return f
}

func TestTrialsFindWhyTheBadOnesWereBad(t *testing.T) {
	got, err := OfTrials(trialsFile(400))
	if err != nil {
		t.Fatal(err)
	}
	bad := got.Good.Of - got.Good.Hits
	if len(got.Groups) != 2 || got.Groups[0].Words != "clamp misses (line 8)" ||
		got.Groups[1].Words != "core 1 not picked up (line 5)" {
		t.Fatalf("groups %+v", got.Groups)
	}
	if got.Groups[0].Count+got.Groups[1].Count != bad || bad < 50 {
		t.Errorf("%d and %d of %d", got.Groups[0].Count, got.Groups[1].Count, bad)
	}
	if g := got.Groups[0].Goes; g != "more often, the farther sled 1 x is off either way" {
		t.Errorf("clamp: %q", g)
	}
	if g := got.Groups[1].Goes; g != "more often, the smaller grip" {
		t.Errorf("pickup: %q", g)
	}
	if len(got.Causes) != 2 || got.Causes[0].Quantity != "sled 1 x" || !got.Causes[0].Apart ||
		got.Causes[0].Rho > -0.5 || got.Causes[1].Quantity != "grip" {
		t.Errorf("causes %+v", got.Causes)
	}
	if len(got.Groups[0].Places) != got.Groups[0].Count || got.Groups[0].Places[0] != [2]float64{1, 2} {
		t.Errorf("places %v", got.Groups[0].Places)
	}
	if len(got.Worst) != worstListed || got.Worst[0].Score != 4 ||
		!strings.HasPrefix(got.Worst[0].Open, "chalkfield open mine.lua --seed ") {
		t.Errorf("worst %+v", got.Worst)
	}
	if s := got.Steps[1]; s.Words != "sled 1 clamped" || s.Plan != 6 || s.Reached.Hits != 400-got.Groups[0].Count ||
		s.T.Median < 6 {
		t.Errorf("step %+v", s)
	}
	if r := got.Rules[1]; r.Name != "sled home" || r.Kept.Hits != 400-got.Groups[0].Count {
		t.Errorf("rule %+v", r)
	}
}

// Pure noise: with many quantities drawn, causes are named in at most about 5 % of the studies.
func TestTrialsNameNoCauseByChance(t *testing.T) {
	const studies, n, quantities = 150, 60, 40
	stream, alarms := rand.New(rand.NewPCG(2, 2)), 0
	for range studies {
		f := &results.File{Header: header(results.Trials, n), Results: make([]*results.Result, n)}
		f.Header.Variants[0].Drawn = make([]string, quantities)
		for i := range n {
			drawn := make([]float64, quantities)
			for k := range drawn {
				drawn[k] = stream.NormFloat64()
			}
			r := good(f.Header.SeedOf(i), drawn, 0)
			if stream.Float64() < 0.4 {
				r = missed(r.Seed, drawn)
			}
			f.Results[i] = &r
		}
		got, err := OfTrials(f)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Causes) > 0 {
			alarms++
		}
	}
	if share := float64(alarms) / studies; share > 0.05+3*math.Sqrt(0.05*0.95/studies) {
		t.Errorf("causes named in %.3f of the studies of pure noise", share)
	}
}

func TestTrialsOfFewRehearsalsSayNothingOfCauses(t *testing.T) {
	f := trialsFile(20)
	got, err := OfTrials(f)
	if err != nil || len(got.Causes) > 0 || !strings.Contains(textOf(t, f), "rehearsals: too few to say\n") {
		t.Errorf("%v %v\n%s", err, got.Causes, textOf(t, f))
	}
	if _, err := OfTrials(&results.File{Header: header(results.Trials, 3),
		Results: make([]*results.Result, 3)}); err == nil {
		t.Error("no rehearsal at all must be an error")
	}
}

func TestTrialsTextIsTheSameForAnUnfinishedStudyButForWhatIsLacking(t *testing.T) {
	f := trialsFile(100)
	f.Results[7], f.Results[50] = nil, nil
	text := textOf(t, f)
	for _, want := range []string{"98 of 100 are done", "clamp misses (line 8)",
		"see one: chalkfield open mine.lua --seed", "A rehearsal is a model", "rank correlation"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is lacking in\n%s", want, text)
		}
	}
}

// compareFile has pairs of which b is better by a number of points in some.
func compareFile(n int, betterIn func(i int) float64) *results.File {
	f := &results.File{Header: header(results.Compare, n), Results: make([]*results.Result, 2*n)}
	stream := rand.New(rand.NewPCG(4, 4))
	for i := range n {
		a, b := good(f.Header.SeedOf(2*i), nil, 0), good(f.Header.SeedOf(2*i+1), nil, -0.5)
		base := float64(2 * stream.IntN(4))
		a.Total, b.Total = []float64{base, 0}, []float64{base + betterIn(i), 0}
		f.Results[2*i], f.Results[2*i+1] = &a, &b
	}
	return f
}

func TestCompareSaysWhatIsReal(t *testing.T) {
	for _, c := range []struct {
		name   string
		better func(i int) float64
		real   bool
		want   string
	}{
		{"two points more in a third of the pairs", func(i int) float64 { return float64(2 * (i % 3 / 2)) }, true,
			"points more (95 %: 0.53 to 0.79): real"},
		{"fewer", func(i int) float64 { return -float64(2 * (i % 3 / 2)) }, true,
			"other.lua: 0.66 points fewer (95 %: 0.53 to 0.79): real"},
		{"up and down alike", func(i int) float64 { return float64(i%2)*4 - 2 }, false,
			"no difference that 200 pairs could show"},
		{"in two pairs of 200 only", func(i int) float64 { return map[int]float64{3: 2, 90: 2}[i] }, false,
			"no difference that 200 pairs could show"},
		{"never", func(int) float64 { return 0 }, false, "the same score in all 200 pairs"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := OfCompare(compareFile(200, c.better))
			if err != nil {
				t.Fatal(err)
			}
			if got.Score.Real != c.real || !strings.Contains(got.Score.Sentence, c.want) {
				t.Errorf("%v %q, want %q", got.Score.Real, got.Score.Sentence, c.want)
			}
			if !got.Done.Real || got.Done.Sentence != "other.lua: 0.50 s sooner (95 %: 0.50 to 0.50): real" {
				t.Errorf("end: %q", got.Done.Sentence)
			}
		})
	}
}

// Two alike variants must be called different in at most about 5 % of the comparisons.
func TestCompareRaisesFalseAlarmAsSeldomAsItSays(t *testing.T) {
	const studies = 400
	stream, alarms := rand.New(rand.NewPCG(5, 5)), 0
	for range studies {
		got, err := OfCompare(compareFile(40, func(int) float64 { return float64(2*stream.IntN(4) - 2*stream.IntN(4)) }))
		if err != nil {
			t.Fatal(err)
		}
		if got.Score.Real {
			alarms++
		}
	}
	if share := float64(alarms) / studies; share > 0.05+3*math.Sqrt(0.05*0.95/studies) || share < 0.01 {
		t.Errorf("false alarms in %.3f of the comparisons", share)
	}
}

func TestCompareLeavesOutHalfPairs(t *testing.T) {
	f := compareFile(10, func(int) float64 { return 2 })
	f.Results[5], f.Results[8] = nil, nil
	got, err := OfCompare(f)
	if err != nil || got.Pairs != 8 {
		t.Errorf("%v, %d pairs", err, got.Pairs)
	}
	f.Results = make([]*results.Result, 20)
	if _, err := OfCompare(f); err == nil {
		t.Error("no pairs must be an error")
	}
}

// sweepFile has a plateau at the second and third of four values, worse at the ends.
func sweepFile(count int) *results.File {
	h := header(results.Sweep, count)
	h.Variants[0].Drawn = nil
	h.Axes = []results.Axis{{Name: "param:gain", Values: []float64{1, 2, 3, 4}, Labels: []string{"1", "2", "3", "4"}}}
	f := &results.File{Header: h, Results: make([]*results.Result, h.Jobs())}
	stream := rand.New(rand.NewPCG(6, 6))
	for job := range f.Results {
		r := good(h.SeedOf(job), nil, 0)
		p := []float64{0.3, 0.8, 0.8, 0.2}[h.Point(job)]
		if stream.Float64() > p {
			r = missed(r.Seed, nil)
		}
		f.Results[job] = &r
	}
	return f
}

func TestSweepFindsThePlateau(t *testing.T) {
	f := sweepFile(60)
	got, err := OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	if got.Best != 1 && got.Best != 2 || len(got.Alike) != 2 || got.Alike[0] != 1 || got.Alike[1] != 2 {
		t.Errorf("best %d, alike %v", got.Best, got.Alike)
	}
	if got.Points[0].Worse < 1 || got.Points[3].P > 0.05 || got.Caution == "" {
		t.Errorf("%+v", got.Points)
	}
	if text := textOf(t, f); !strings.Contains(text, "Other points that are not shown to be worse: 1.") {
		t.Error(text)
	}
}

func TestSweepOfTooFewRehearsalsSaysHowManyItNeeds(t *testing.T) {
	for _, c := range []struct {
		count int
		told  bool
	}{{6, false}, {7, true}} { // 3 other points: 2^(1-7) * 3 = 0.047
		f := sweepFile(c.count)
		got, err := OfSweep(f)
		if err != nil || got.Told != c.told || got.Fewest != 7 {
			t.Fatalf("%d a point: %v, %+v", c.count, err, got)
		}
		text := textOf(t, f)
		if !c.told && (!strings.Contains(text, "With 6 rehearsals a point nothing can be shown to be worse: this grid "+
			"needs 7 at least (-n 7)") || len(got.Alike) != 1) {
			t.Errorf("%q %v", text, got.Alike)
		}
		if strings.Contains(text, "below, too few to tell\n") == c.told {
			t.Errorf("%d a point:\n%s", c.count, text)
		}
	}
}

func TestSweepOfOnePointGivesNoVerdict(t *testing.T) {
	f := sweepFile(20)
	f.Header.Axes[0].Values, f.Header.Axes[0].Labels = []float64{700}, []string{"700"}
	f.Results = f.Results[:20]
	for job, r := range f.Results {
		r.Seed = f.Header.SeedOf(job)
	}
	got, err := OfSweep(f)
	if err != nil || !strings.Contains(textOf(t, f), " s              -\n") ||
		!strings.Contains(textOf(t, f), "the only point") || got.Caution != "" {
		t.Errorf("%v\n%s", err, textOf(t, f))
	}
}

// fail makes a rehearsal's routine fail with an error at line 7 after it scored.
func fail(r *results.Result, text string) {
	r.Did = append(slices.Clone(r.Did), results.Moment{T: 11, Kind: record.Failure, Why: text, Line: 7})
	r.Errors = []results.Error{{T: 11, File: "mine.lua", Line: 7, Text: text}}
}

func TestARehearsalThatFailedIsNeverGood(t *testing.T) {
	f := trialsFile(40)
	for i := range f.Results {
		r := good(f.Header.SeedOf(i), []float64{0, 0, 0}, 0)
		if i%2 == 0 {
			fail(&r, fmt.Sprintf("mine.lua:7: off by %d", i))
		}
		f.Results[i] = &r
	}
	got, err := OfTrials(f)
	if err != nil {
		t.Fatal(err)
	}
	if got.Good.Hits != 20 || got.Failed != 20 || len(got.Errors) != 1 || got.Errors[0].Count != 20 ||
		got.Errors[0].Texts != 20 || got.Errors[0].Where != "mine.lua:7" {
		t.Errorf("%+v %+v", got.Good, got.Errors)
	}
	if len(got.Groups) != 1 || got.Groups[0].Count != 20 ||
		got.Groups[0].Words != "routine fails with an error (line 7)" {
		t.Errorf("%+v", got.Groups)
	}
	text := textOf(t, f)
	for _, want := range []string{
		"The routine failed with an error in 20 of 40 rehearsals: mine.lua:7: off by 0 (one of 20 texts at this line)",
		"Good (10 points or more, as planned, without an error): 50.0 %",
		"    20  routine fails with an error (line 7), one of them: mine.lua:7: off by 0; median ",
		"Routine errors\n    20  mine.lua:7: off by 0", "see one: chalkfield open mine.lua --seed 1\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is lacking in\n%s", want, text)
		}
	}
}

// A nominal rehearsal that fails is no plan: it is told first, and nothing is called as planned.
func TestAPlanThatFailsIsToldFirst(t *testing.T) {
	f := trialsFile(5)
	fail(&f.Header.Variants[0].Plan, "mine.lua:7: nil")
	for _, r := range f.Results {
		fail(r, "mine.lua:7: nil")
	}
	got, err := OfTrials(f)
	if err != nil {
		t.Fatal(err)
	}
	text := textOf(t, f)
	if got.PlanFails != "mine.lua:7: nil" || !strings.Contains(text,
		"\nThe routine fails with an error even when nothing is drawn: mine.lua:7: nil.\n") || got.Good.Hits != 0 {
		t.Errorf("%+v\n%s", got, text)
	}
	for _, never := range []string{"as planned", "the plan", "Every rehearsal was good"} {
		if strings.Contains(text, never) {
			t.Errorf("%q in\n%s", never, text)
		}
	}
}

func TestAPlanBelowTheNeedIsTold(t *testing.T) {
	f := trialsFile(5)
	f.Header.Need = 30
	got, err := OfTrials(f)
	if err != nil || !strings.Contains(textOf(t, f), "The plan itself scores 10, below the 30 needed.") {
		t.Errorf("%v\n%s", err, textOf(t, f))
	}
	f.Results = nil
	for k := range uint64(4) {
		r := good(1+k, []float64{0, 0, 0}, 0)
		f.Results = append(f.Results, &r)
	}
	if got, err = OfTrials(f); err != nil || len(got.Groups) != 1 ||
		got.Groups[0].Words != "all as planned, and the plan is below what is needed" ||
		got.Worst[0].Words != got.Groups[0].Words {
		t.Errorf("%v %+v", err, got.Groups)
	}
}

// That a robot tips is told where any does, once a rehearsal however often.
func TestTippingIsTold(t *testing.T) {
	for _, c := range []struct {
		tipped int
		want   string
	}{{0, ""}, {1, "Tips in 2.5 % of the rehearsals (1 of 40)\n"}, {4, "Tips in 10 % of the rehearsals (4 of 40)\n"}} {
		f := trialsFile(40)
		for _, r := range f.Results[:c.tipped] {
			tip := results.Moment{T: 11, Kind: record.Tips, What: "left", Line: 9}
			r.Did = append(r.Did, tip, tip)
		}
		text := textOf(t, f)
		if !strings.Contains(text, c.want) || strings.Contains(text, "Tips in") != (c.want != "") {
			t.Errorf("%d tipped, no %q in\n%s", c.tipped, c.want, text)
		}
	}
}

// A plan without points makes every rehearsal good: that is said, and not where somebody asked for so little.
func TestAPlanOfNothingIsTold(t *testing.T) {
	const said = "The plan scores 0, so a rehearsal is good from 0 points on, which a robot that stands still may have " +
		"too: say with --need how many it takes."
	f := trialsFile(5)
	f.Header.Need, f.Header.Variants[0].Plan.Total = 0, []float64{0, 0}
	if text := textOf(t, f); !strings.Contains(text, said) {
		t.Error(text)
	}
	f.Header.Need = -5
	if text := textOf(t, f); strings.Contains(text, "--need how many") {
		t.Error(text)
	}
}

func TestCompareAndSweepTellErrorsOfEachSideAndPoint(t *testing.T) {
	f := compareFile(10, func(int) float64 { return 0 })
	for i := range 10 {
		fail(f.Results[2*i+1], "boom.lua:5: nil")
	}
	c, err := OfCompare(f)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.ErrorsA) != 0 || len(c.ErrorsB) != 1 || c.ErrorsB[0].Count != 10 || c.GoodB.Hits != 0 ||
		!strings.Contains(textOf(t, f), "other.lua failed with an error in 10 of 10 rehearsals: boom.lua:5: nil") {
		t.Errorf("%+v\n%s", c.ErrorsB, textOf(t, f))
	}
	f = sweepFile(8)
	for k := range 8 {
		fail(f.Results[4*k+2], "mine.lua:7: nil")
	}
	s, err := OfSweep(f)
	if err != nil {
		t.Fatal(err)
	}
	if s.Points[2].Failed != 8 || s.Points[2].Good.Hits != 0 || s.NotWorse(2) && s.Best != 2 ||
		!strings.Contains(textOf(t, f), "   the routine failed in 8 of 8\n") {
		t.Errorf("%+v\n%s", s.Points[2], textOf(t, f))
	}
	text := textOf(t, f)
	for _, want := range []string{
		"The routine failed with an error in 8 of 32 rehearsals: mine.lua:7: nil",
		"The routine failed with an error at 1 of 4 points.",
		"Routine errors at param:gain = 3\n     8  mine.lua:7: nil", "--seed 1 --param gain=3\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is lacking in\n%s", want, text)
		}
	}
}

func TestTimesSayInWhichPairsTheyWereTaken(t *testing.T) {
	f := compareFile(80, func(int) float64 { return 0 })
	for i := range 20 {
		f.Results[8*i].Last = results.Never
	}
	got, err := OfCompare(f)
	if err != nil || !strings.HasSuffix(got.Last.Sentence, ", in the 60 of 80 pairs in which both scored: real") ||
		got.Score.Sentence != "the same score in all 80 pairs" {
		t.Errorf("%v %q %q", err, got.Last.Sentence, got.Score.Sentence)
	}
	few, err := OfCompare(compareFile(5, func(int) float64 { return 2 }))
	if err != nil || few.Score.Sentence != "5 pairs can show nothing, 6 at least are needed: 2.00 points more "+
		"for other.lua" {
		t.Errorf("%v %q", err, few.Score.Sentence)
	}
}

func textOf(t *testing.T, f *results.File) string {
	t.Helper()
	text, err := TextOf(f)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
