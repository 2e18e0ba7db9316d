package results

import (
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// squared is a rehearsal of a robot of 400 mm by 400 mm on a floor of 4 m by 3 m, made by hand.
func squared() *record.Record {
	r := &record.Record{
		Header: record.Header{
			Phases: []record.Phase{{Seconds: 20}},
			Bodies: []record.Body{{Kind: "sled", Goal: true, Name: "near sled"}, {Kind: "core", Name: "core 1"}},
			Robots: []record.Robot{{Side: 1, Outline: [][2]float64{{0.2, 0.2}, {-0.2, 0.2}, {-0.2, -0.2}, {0.2, -0.2}}}},
		},
		Sheet: record.Sheet{Sides: []string{"a", "b"}, Total: []float64{3, 31}, Rows: []record.Row{
			{Rule: "core in sled", Count: []float64{1, 4}, Points: []float64{2, 8}}}, Energy: []record.Energy{{Taken: 512}}},
		Events: []record.Event{
			{T: 2, Kind: record.Scored, What: "near sled"}, {T: 5, Kind: record.Scored, What: "near sled"},
			{T: 6, Kind: record.MotionEnd, What: "ahead", Overshoot: 0.03, Settle: 0.2},
			{T: 7, Kind: record.MotionEnd, What: "face", Unit: "rad", Overshoot: 0.1, Settle: 0.4},
			{T: 8, Kind: record.Result, What: "gap", Value: 12, Unit: "mm"},
			{T: 9, Kind: record.Result, What: "gap", Value: 10, Unit: "mm"},
			{T: 9, Kind: record.Result, What: "tries", Value: 3},
			{T: 12, Kind: record.TaskEnd, Reason: record.Finished},
		},
	}
	// A way of 0.3 m along x, then 0.4 m along y, and round a corner of 0.5 m back.
	for _, p := range []record.Pose{{1, 1}, {1.3, 1}, {1.3, 1.4}, {1, 1}} {
		s := record.RobotSample{True: p, Belief: record.Pose{p[0] + 0.03, p[1] - 0.04}, Battery: 12.1, Air: 4e5}
		r.Samples = append(r.Samples, record.Sample{Robots: []record.RobotSample{s}})
	}
	return r
}

func subject() *Subject {
	return NewSubject(squared(), geom.Rect(geom.Vec{}, geom.Vec{X: 4, Y: 3}), []record.Signal{{Name: "later", Unit: "s"}})
}

// The numbers are sums by hand from the record above.
func TestMeasuresOfARehearsal(t *testing.T) {
	known := map[string]bool{}
	for text, want := range map[string]float64{
		"score": 31, "points(core in sled)": 8, "count('core in sled')": 4, "time(scored near sled)": 2, "times(scored)": 2,
		"time(pickup core)": 20, "done": 12, "way": 1.2, "overshoot": 0.03, "turn_overshoot": 0.1, "settling": 0.4,
		"belief_error": 0.05, "energy": 512, "battery": 12.1, "air": 4e5, "wall_distance": 0.8, "result(gap)": 0.01,
		"result('tries')": 3, "score >= 30 and way < 2 m ? 1 : 0": 1, "way / 1 mm": 1200, "worst(10%)": 31,
		"share(result(gap) < 11 mm)": 1, "-time( scored near sled ) + 1 min": 58, "sd(score) + highest(0.5, score)": 31,
		"mean(way / done / (1 m / 1 s))": 0.1, "max(way, 40 in, 0)": 1.2, "20% * score": 6.2,
	} {
		s := subject()
		g, err := s.NewGoal(text, nil)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		values, lacks := s.Read(g.Reads, squared())
		if got := s.Of(g, [][]float64{values}, 0); math.Abs(got.Value-want) > 1e-9 || lacks != "" {
			t.Errorf("%s comes to %v (%s), want %v", text, got, lacks, want)
		}
		for _, r := range g.Reads {
			known[r.Measure] = true
		}
	}
	for _, m := range Measures {
		if !known[m.Name] {
			t.Errorf("nothing here measures %s", m.Name)
		}
	}
}

func TestARobotThatLeavesTheFloorHasNoDistanceToItsWall(t *testing.T) {
	r, s := squared(), subject()
	r.Samples[2].Robots[0].True = record.Pose{0.1, 1}
	if got, _ := s.Read([]Reading{{Measure: "wall_distance"}}, r); got[0] != 0 {
		t.Error(got)
	}
}

// Ten rehearsals with scores 1 to 10 and belief errors of 10 to 100 mm: mean 5.5, variance 55/6 (n-1).
func TestGoalsOverManyRehearsals(t *testing.T) {
	sd := math.Sqrt(55.0 / 6)
	for _, c := range []struct {
		text, limit string
		want, short float64
	}{
		{"score", "belief_error < 60 mm", 5.5, 0},
		{"mean(score) - 0.5*sd(score)", "belief_error < 40 mm", 5.5 - sd/2, 0.015},
		{"score - sd(score)", "share(belief_error <= 40 mm) >= 60%", 5.5 - sd, 0.2},
		{"share(score >= 8)", "score > 6 or done < 1 s", 0.3, 1},
		{"worst(10%)", "highest(20%, belief_error) < 9 cm", 1, 0.005},
		{"worst(25%)", "sd(score) < 4", 2, 0},
		{"lowest(30%, -belief_error)", "", -0.09, 0},
		{"min(score, 3)", "", 3, 0}, {"mean(min(score, 3))", "", 2.7, 0},
	} {
		s := subject()
		var limits []string
		if c.limit != "" {
			limits = []string{c.limit}
		}
		g, err := s.NewGoal(c.text, limits)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		var rows [][]float64
		for i := range 10 {
			row := make([]float64, len(g.Reads))
			for k, r := range g.Reads {
				row[k] = map[string]float64{"score": float64(i + 1), "belief_error": float64(i+1) / 100, "done": 12}[r.Measure]
			}
			rows = append(rows, row)
		}
		if got := s.Of(g, rows, 0); math.Abs(got.Value-c.want) > 1e-9 || math.Abs(got.Short-c.short) > 1e-9 {
			t.Errorf("%s, %s: %+v, want %v short by %v", c.text, c.limit, got, c.want, c.short)
		}
	}
}

func TestWhatGoalsCannotBe(t *testing.T) {
	for text, want := range map[string]string{
		"scroe":                   `--for "scroe", character 1: "scroe" is nothing that a formula can read: write "score"`,
		"1 + scroe":               "character 5:",
		"-time(scored naer sled)": `character 7: "naer sled" is no thing that can be scored: write "near sled"`,
		"time(scord)":             `"scord" is no kind of event: write "scored"`,
		"points(core in slde)":    `"core in slde" is no rule: write "core in sled"`,
		"result(gpa)":             `"gpa" is no result of the routine: write "gap"`,
		"score >= 30":             "comes to a condition, but a number is needed",
		"score - way":             "a plain number stands with a length: divide what has a unit",
		"way - 40":                "a length stands with a plain number: write 40 mm or 40 in",
		"way - 40 s":              "a length stands with a time",
		"way - 40 furlong":        `"furlong" is no unit`,
		"mean(mean(score))":       "mean cannot stand within another word over all rehearsals",
		"0.5 sd(score)":           "character 5: before sd something is missing: *, + or another sign",
		"2 score":                 "between 2 and score a sign is missing: write 2*score",
		"mean":                    "mean needs brackets: write mean(score)",
		"worst(score)":            "worst needs a share first: write worst(10%)",
		"worst(200%)":             "worst needs a share first",
		"share(score)":            "this is a number, but a condition is needed",
		"lowest(10%)":             "lowest cannot have 1 in its brackets: write lowest(10%, score)",
		"5":                       "reads nothing of a rehearsal",
		"score +":                 "ends too early",
		"time":                    "time needs brackets: write time('scored')",
		"":                        "ends too early",
	} {
		if _, err := subject().NewGoal(text, nil); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	_, err := subject().NewGoal("score", []string{"score"})
	if err == nil || !strings.Contains(err.Error(), `--need "score", character 1: the formula comes to a number`) {
		t.Error(err)
	}
}

// What limits come to, and whether there is anything to go by, of two rehearsals by hand.
func TestWhatIsToldOfAGoal(t *testing.T) {
	s := subject()
	g, err := s.NewGoal("-done", []string{"belief_error < 40 mm", "share(score >= 3) >= 50%", "score < 9 or way < 1 m"})
	if err != nil {
		t.Fatal(err)
	}
	row := func(done, belief, score, way float64) *Result {
		r := &Result{}
		for _, of := range g.Reads {
			r.Reads = append(r.Reads, map[string]float64{"done": done, "belief_error": belief, "score": score,
				"way": way}[of.Measure])
		}
		return r
	}
	same, other := row(7, 0.05, 10, 2), row(8, 0.07, 1, 2)
	if got, want := s.Misses(units.Metric, g, []*Result{same, other}),
		[]string{"belief_error < 40 mm (it comes to 60.0 mm)"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := s.Misses(units.Metric, g, []*Result{same}); len(got) != 2 || got[1] != "score < 9 or way < 1 m" {
		t.Errorf("%q", got)
	}
	if !s.Alike(g, []*Result{same, row(7, 0.05, 10, 2)}) || s.Alike(g, []*Result{same, other}) ||
		s.Alike(g, []*Result{same, row(7, 0.05, 2, 2)}) || s.Alike(g, []*Result{same, {Lacks: "x", Reads: same.Reads}}) {
		t.Error("alike is what comes to the same in goal and limits, and nothing else")
	}
	if g.Lowered() != "done" || !g.AMoment() || !g.Plain() {
		t.Error(g.Lowered(), g.AMoment(), g.Plain())
	}
	for text, want := range map[string]string{"-way": "way", "- (way)": "(way)", "-way + 1 m": "", "score": "",
		"-5 + score": "", "-mean(score)*2": ""} {
		g, err := s.NewGoal(text, nil)
		if err != nil || g.Lowered() != want || g.AMoment() {
			t.Errorf("%s: %q, want %q (%v)", text, g.Lowered(), want, err)
		}
	}
	for text, plain := range map[string]bool{"score - sd(score)": false, "share(score > 3)": true, "worst(10%)": false} {
		if g, err := s.NewGoal(text, nil); err != nil || g.Plain() != plain {
			t.Errorf("%s: %v, %v", text, g.Plain(), err)
		}
	}
}

func TestARehearsalWithoutAResult(t *testing.T) {
	s := subject()
	g, err := s.NewGoal("result(later)", nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, lacks := s.Read(g.Reads, squared()); lacks != `the routine gives no result("later", ...)` {
		t.Error(lacks)
	}
	if got := g.Shown(units.Metric, 1.5); got != "1.50 s" {
		t.Error(got)
	}
}

func TestWhatFailsLessIsBetterThanWhatIsWorthMore(t *testing.T) {
	good, short, failing := Worth{0, 0, 1}, Worth{0, 0.1, 50}, Worth{0.1, 0, 99}
	if !good.Better(short) || !short.Better(failing) || failing.Better(good) || good.Better(good) ||
		!(Worth{0, 0, 2}).Better(good) {
		t.Error("the order is: failures, limits, value")
	}
}
