package study

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
)

// standIn rehearses by a formula: what comes of params and a seed.
func standIn(score func(p map[string]float64, seed uint64, nominal bool) (points float64, fails string)) Runner {
	return func(ctx context.Context, s rehearse.Setup) (*record.Record, error) {
		routine := s.Entrants[own].Routine
		r := &record.Record{Header: record.Header{Seed: s.Seed, Phases: []record.Phase{{Seconds: 20}},
			Robots: []record.Robot{{Routine: record.File{Name: "mine.lua"}}}}, Samples: []record.Sample{
			{Robots: []record.RobotSample{{}}}}}
		given := map[string]float64{}
		for _, p := range routine.Params {
			given[p.Name] = p.Default
			if x, is := s.Params[p.Name]; is {
				given[p.Name] = x
			}
			r.Header.Params = append(r.Header.Params, record.Number{Name: p.Name, Value: given[p.Name]})
		}
		points, fails := score(given, s.Seed, s.Nominal)
		r.Sheet = record.Sheet{Sides: []string{"ochre"}, Total: []float64{points}}
		if fails != "" {
			r.Events = append(r.Events, record.Event{Kind: record.Failure, File: "mine.lua", Line: 5, Text: fails})
		}
		return r, ctx.Err()
	}
}

// noise is drawn from a seed and a text.
func noise(seed uint64, text string) float64 {
	h := fnv.New64a()
	h.Write([]byte(text))
	return rand.New(rand.NewPCG(seed, h.Sum64())).NormFloat64()
}

// open is a routine with freedoms.
func open(t testing.TB, freedoms string) Candidate {
	t.Helper()
	path := filepath.Join(t.TempDir(), "mine.lua")
	text := "return routine {\n  title = \"mine\", start = {x = 600, y = 600, heading = 0},\n  auto = function(bot)\n" +
		freedoms + "\n  end,\n}\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	program, err := scripting.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	return Candidate{Name: "mine.lua", Replay: "mine.lua", Setup: rehearse.Setup{Field: &fields.Field{},
		Entrants: []rehearse.Entrant{{Routine: program}}}}
}

// tune searches to the end and reads what was found.
func tune(t testing.TB, run Runner, c Candidate, w Want, o Options) (analysis.Tune, *results.File) {
	t.Helper()
	if w.For == "" {
		w.For = "score"
	}
	o.Shard = results.Whole
	one, err := NewTune(context.Background(), run, c, w, o)
	if err != nil {
		t.Fatal(err)
	}
	journal, err := results.InMemory(one.Header)
	if err != nil {
		t.Fatal(err)
	}
	found, err := one.Run(context.Background(), journal, 2, func(results.Progress) {})
	if err != nil {
		t.Fatal(err)
	}
	return analysis.OfTune(journal.File(), one.Subject, one.Goal, found), journal.File()
}

const threeParams = `param("a", 20, 0, 100) param("b", 0.3, 0, 1) param("c", 5, 0, 10)`

// bowl is best at a = 70, b = 0.6, whatever c; the seed shifts all alike, and a little by itself.
func bowl(p map[string]float64, seed uint64, nominal bool) (float64, string) {
	a, b := (p["a"]-70)/100, p["b"]-0.6
	points := 30 - 60*(a*a+b*b+a*b)
	if nominal {
		return points, ""
	}
	return points + 2*noise(seed, "") + 0.5*noise(seed, fmt.Sprint(p["a"], p["b"])), ""
}

func TestASearchFindsWhatIsBest(t *testing.T) {
	got, _ := tune(t, standIn(bowl), open(t, threeParams), Want{Confirm: 100}, Options{Count: 2000, Seed: 3})
	a, b := got.Winner.Values[0], got.Winner.Values[1]
	if math.Abs(a-70) > 12 || math.Abs(b-0.6) > 0.12 || !got.Is || !strings.HasPrefix(got.Verdict, "Better: ") {
		t.Errorf("a = %g, b = %g: %s", a, b, got.Verdict)
	}
	for i, want := range []analysis.Matter{analysis.Matters, analysis.Matters, analysis.DoesNot} {
		if got.Freedoms[i].Matters != want {
			t.Errorf("%s %s, want that it %s", got.Freedoms[i].Name, got.Freedoms[i].Matters, want)
		}
	}
	if c := got.Winner.Values[2]; c != 5 {
		t.Errorf("c = %g: it changes nothing, and is 5 today", c)
	}
	if got.Have > 2000+3*100+(3*7+1)*40+3*(2*40+16) || got.Confirm != 100 || len(got.Progress) < 3 {
		t.Errorf("%d rehearsals, %d steps", got.Have, len(got.Progress))
	}
}

// Of values that come to the same the winner has today's, or else those in the middle, far from where it falls off.
func TestTheWinnerIsNotAtACliff(t *testing.T) {
	cliff := func(p map[string]float64, seed uint64, nominal bool) (float64, string) {
		points := 10 + math.Round(noise(seed, ""))
		if p["a"] < 40 || p["a"] > 80 {
			points -= 5
		}
		if p["c"] < 3 {
			points -= 4
		}
		return points, ""
	}
	for seed := range uint64(4) {
		got, _ := tune(t, standIn(cliff), open(t, threeParams), Want{Confirm: 30}, Options{Count: 300, Seed: seed})
		a, b, c := got.Winner.Values[0], got.Winner.Values[1], got.Winner.Values[2]
		if a < 47 || a > 73 || b != 0.3 || c != 5 || !got.Is {
			t.Errorf("seed %d: a = %g, b = %g, c = %g: %s", seed, a, b, c, got.Verdict)
		}
	}
}

// What follows a search is in proportion to it.
func TestASmallBudgetStaysSmall(t *testing.T) {
	for budget, most := range map[int]int{10: 400, 120: 600, 2000: 10_000} {
		one, err := NewTune(context.Background(), standIn(bowl), open(t, threeParams),
			Want{For: "score", Confirm: Confirms(budget)}, Options{Count: budget, Shard: results.Whole})
		if err != nil {
			t.Fatal(err)
		}
		if one.Header.Count > most {
			t.Errorf("-n %d: %d in all, %d at most expected", budget, one.Header.Count, most)
		}
	}
}

// Goals that are no mean are found too, and their difference has an interval.
func TestASearchForTheWorstTenth(t *testing.T) {
	risky := func(p map[string]float64, seed uint64, nominal bool) (float64, string) {
		return 20 + p["a"]/10 + p["a"]/4*noise(seed, "") - p["c"], ""
	}
	got, _ := tune(t, standIn(risky), open(t, threeParams), Want{For: "worst(10%)", Confirm: 100},
		Options{Count: 1000, Seed: 3})
	if a, c := got.Winner.Values[0], got.Winner.Values[2]; a > 8 || c > 1 || !got.Is {
		t.Errorf("a = %g, c = %g: %s", a, c, got.Verdict)
	}
}

func fileOf(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// through goes through a search in a file, with so many workers, and is interrupted after so many rehearsals each time.
func through(t *testing.T, path string, workers, pause int) (analysis.Tune, string) {
	t.Helper()
	c := open(t, threeParams+` choice("d", {"x", "y", "z"}) order("e", {"p", "q", "r"})`)
	score := func(p map[string]float64, seed uint64, nominal bool) (float64, string) {
		points, fails := bowl(p, seed, nominal)
		return points + p["d"] - math.Abs(p["e"]-4), fails
	}
	for resume := false; ; resume = true {
		one, err := NewTune(context.Background(), standIn(score), c, Want{For: "score", Confirm: 30},
			Options{Count: 600, Seed: 9, Shard: results.Whole})
		if err != nil {
			t.Fatal(err)
		}
		one.Header.Variants[0].Fingerprint, one.Header.Variants[0].Robots[0].Routine.SHA256 = "", ""
		journal, err := results.Begin(path, one.Header, resume)
		if err != nil {
			t.Fatal(err)
		}
		begun := journal.File().Have()
		ctx, cancel := context.WithCancel(context.Background())
		found, err := one.Run(ctx, journal, workers, func(p results.Progress) {
			if pause > 0 && p.Done-begun >= pause {
				cancel()
			}
		})
		cancel()
		if closed := journal.Close(); closed != nil {
			t.Fatal(closed)
		}
		if err == nil {
			return analysis.OfTune(journal.File(), one.Subject, one.Goal, found), fileOf(t, path)
		}
		if err != context.Canceled || pause == 0 {
			t.Fatal(err)
		}
	}
}

func asJSON(t *testing.T, of any) string {
	t.Helper()
	data, err := json.Marshal(of)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestCoresAndInterruptsChangeNothingOfASearch(t *testing.T) {
	dir := t.TempDir()
	want, whole := through(t, filepath.Join(dir, "one"), 1, 0)
	for _, c := range []struct{ workers, pause int }{{2, 0}, {8, 0}, {2, 150}, {1, 333}} {
		got, file := through(t, filepath.Join(dir, fmt.Sprint(c)), c.workers, c.pause)
		if asJSON(t, got) != asJSON(t, want) || file != whole {
			t.Errorf("%d workers, interrupted every %d: %s, want %s", c.workers, c.pause, got.Verdict, want.Verdict)
		}
	}
	if !bytes.Contains([]byte(whole), []byte(`"end":`)) {
		t.Error("the file has no end")
	}
}

// Params that do nothing, but that other values meet other luck: "better" is said in at most 5 % of searches. Of n
// searches with that chance more than the limit below come in one of a thousand.
func TestFalseAlarms(t *testing.T) {
	c, n, alarms := open(t, threeParams), property.Cases(20, 200), 0
	for k := range n {
		luck := func(p map[string]float64, seed uint64, nominal bool) (float64, string) {
			if nominal {
				return 30, ""
			}
			return 30 + 3*noise(seed, "") + 3*noise(seed, fmt.Sprint(k, p["a"], p["b"], p["c"])), ""
		}
		if got, _ := tune(t, standIn(luck), c, Want{Confirm: 60}, Options{Count: 250, Seed: uint64(k * 1000)}); got.Is {
			alarms++
		}
	}
	t.Logf("%d of %d", alarms, n)
	if limit := map[bool]int{true: 10, false: 4}[n == 200]; alarms > limit {
		t.Errorf("better is said in %d of %d searches in which nothing is", alarms, n)
	}
}

// A winner that has something better beside it, and one whose runner-up is better, are no winners: the search goes on,
// and tells the end with seeds that are fresh again.
func TestASearchGoesOnFromWhatIsBetter(t *testing.T) {
	for _, c := range []struct {
		winner, next []float64
	}{
		{[]float64{20, 0.3, 5}, nil}, {[]float64{70, 0.3, 5}, nil}, {[]float64{20, 0.31, 5}, []float64{69, 0.59, 5}},
	} {
		one, err := NewTune(context.Background(), standIn(bowl), open(t, threeParams), Want{For: "score", Confirm: 60},
			Options{Count: 600, Seed: 5, Shard: results.Whole})
		if err != nil {
			t.Fatal(err)
		}
		if one.journal, err = results.InMemory(one.Header); err != nil {
			t.Fatal(err)
		}
		one.workers, one.tell = 2, func(results.Progress) {}
		one.found.Winner, one.found.RunnerUp = c.winner, c.next
		if err := one.conclude(context.Background()); err != nil {
			t.Fatal(err)
		}
		got := one.found
		if a, b := got.Winner[0], got.Winner[1]; got.Moves == 0 || got.Fresh <= 5+freshSeeds || math.Abs(a-70) > 15 ||
			math.Abs(b-0.6) > 0.15 {
			t.Errorf("%v and %v: %d moves to %v, told of seeds from %d", c.winner, c.next, got.Moves, got.Winner, got.Fresh)
		}
		if one.jobs > one.Header.Count {
			t.Errorf("%d rehearsals, at most %d were said", one.jobs, one.Header.Count)
		}
	}
}

// Where the routine fails, the search goes on, and says where.
func TestValuesWithWhichARoutineFailsAreWorst(t *testing.T) {
	cliff := func(p map[string]float64, seed uint64, nominal bool) (float64, string) {
		if p["a"] > 60 {
			return 99, "attempt to index a nil value"
		}
		return p["a"], ""
	}
	got, _ := tune(t, standIn(cliff), open(t, threeParams), Want{Confirm: 20}, Options{Count: 600, Seed: 1})
	if a := got.Winner.Values[0]; a > 60 || a < 52 || !got.Is || got.Failing == 0 || len(got.Errors) != 1 ||
		got.Errors[0].Where != "mine.lua:5" || !strings.Contains(got.Errors[0].Open, "--param a=") {
		t.Errorf("a = %g, %d failing, %+v", a, got.Failing, got.Errors)
	}
	all := func(p map[string]float64, seed uint64, nominal bool) (float64, string) { return 5, "always" }
	got, _ = tune(t, standIn(all), open(t, threeParams), Want{Confirm: 20}, Options{Count: 200, Seed: 1})
	if got.Is || !strings.HasPrefix(got.Verdict, "Nothing was found that does") {
		t.Error(got.Verdict)
	}
}

func TestLimits(t *testing.T) {
	c := open(t, threeParams)
	linear := func(p map[string]float64, seed uint64, nominal bool) (float64, string) { return p["a"], "" }
	got, _ := tune(t, standIn(linear), c, Want{Needs: []string{"score <= 50"}, Confirm: 20}, Options{Count: 600, Seed: 1})
	if a := got.Winner.Values[0]; a < 45 || a > 50 {
		t.Errorf("a = %g: %s", a, got.Verdict)
	}
	got, _ = tune(t, standIn(linear), c, Want{Needs: []string{"score >= 500"}, Confirm: 20}, Options{Count: 600, Seed: 1})
	if got.Is || got.Winner.Values[0] < 95 ||
		!strings.HasPrefix(got.Verdict, "No values were found that meet the limits") {
		t.Error(got.Verdict)
	}
}

// Eight stops of the yard, from the start in its corner: the way of the order, as a tour of straight lines.
func TestAnOrderOfEightStops(t *testing.T) {
	stops := [][2]float64{{0.6, 2.4}, {3.0, 0.6}, {1.8, 1.8}, {3.0, 2.7}, {0.9, 1.2}, {2.4, 1.2}, {1.5, 0.5}, {2.1, 2.6}}
	way := func(order []int) (sum float64) {
		x, y := 0.4, 0.4
		for _, i := range order {
			sum += math.Hypot(stops[i][0]-x, stops[i][1]-y)
			x, y = stops[i][0], stops[i][1]
		}
		return sum
	}
	shortest := math.Inf(1)
	for place := range 40320 {
		shortest = min(shortest, way(scripting.OrderAt(place, 8)))
	}
	run := standIn(func(p map[string]float64, _ uint64, _ bool) (float64, string) {
		return -way(scripting.OrderAt(int(p["stops"])-1, 8)), ""
	})
	for seed := range uint64(5) {
		got, _ := tune(t, run, open(t, `order("stops", {"a", "b", "c", "d", "e", "f", "g", "h"})`),
			Want{Nominal: true, Confirm: 1}, Options{Count: 1490, Seed: seed})
		if found := -got.Winner.Worth.Value; math.Abs(found-shortest) > 1e-9 || got.Have > 1500 {
			t.Errorf("seed %d: %g m after %d rehearsals, trying all 40,320 gives %g m", seed, found, got.Have, shortest)
		}
	}
}

func TestWhatIsNotASearch(t *testing.T) {
	run := standIn(bowl)
	for _, c := range []struct {
		freedoms, want string
		w              Want
	}{
		{`wait(1)`, "mine.lua leaves nothing open: write param()", Want{}},
		{threeParams, `--vary d: the routine has no param("d"), choice or the like: write one of a, b, c`,
			Want{Vary: []Vary{{Name: "d"}}}},
		{threeParams, "goes beyond the limits of param(\"a\"), 0 to 100", Want{Vary: []Vary{{"a", -5, 5, true}}}},
		{threeParams, "leaves out today's value 20", Want{Vary: []Vary{{"a", 40, 50, true}}}},
		{`choice("d", {1, 2})`, "it is no number, so it has no limits", Want{Vary: []Vary{{"d", 1, 2, true}}}},
		{threeParams, `"scroe" is nothing that a formula can read: write "score"`, Want{For: "scroe"}},
		{threeParams, `"gap" is no result of the routine`, Want{For: "result(gap)"}},
	} {
		if c.w.For == "" {
			c.w.For = "score"
		}
		_, err := NewTune(context.Background(), run, open(t, c.freedoms), c.w, Options{Count: 200, Shard: results.Whole})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	one, err := NewTune(context.Background(), run, open(t, threeParams), Want{For: "score"},
		Options{Count: 3, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	journal, err := results.InMemory(one.Header)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := one.Run(context.Background(), journal, 1, func(results.Progress) {}); err == nil ||
		!strings.Contains(err.Error(), "-n 3 is too small a budget") {
		t.Error(err)
	}
}

func TestStepsOfNumbers(t *testing.T) {
	for _, c := range []struct{ low, high, share, want float64 }{
		{0, 100, 0.70123, 70.1}, {0.02, 0.4, 0.5, 0.21}, {200, 1200, 0.33333, 533}, {-5, 5, 1, 5}, {0.123, 0.4, 0, 0.123},
		{0, 1e6, 0.1234567, 123000},
	} {
		f := results.FreedomOf(scripting.Param{Min: c.low, Max: c.high}, c.low)
		if got := f.Number(c.share); got != c.want {
			t.Errorf("%g of %g to %g: %v, want %v", c.share, c.low, c.high, got, c.want)
		}
	}
	if !slices.Equal((&results.Search{Freedoms: []results.Freedom{{Today: 3}}}).Today(), []float64{3}) {
		t.Error("today")
	}
}
