package rehearse

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
)

// call is one call of signal() in a drawn routine.
type call struct {
	tick  int
	name  string
	value float64
}

const saidTicks = 40 // 0.4 s

// What is recorded is what was said: at each sample, read back from the record's file, every signal has the last value
// that it was given by then, with its unit, and none before. The cases have some 3,000 signals together.
func TestWhatIsRecordedIsWhatWasSaid(t *testing.T) {
	signals := 0
	property.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-zA-Z_][a-z0-9 _/()%°]{0,20}[a-z]`), 16, 64,
			rapid.ID[string]).Draw(t, "names")
		units := map[string]string{}
		for _, name := range names {
			units[name] = rapid.SampledFrom([]string{"", "mm", "deg/s", "V", "%", "m/s²"}).Draw(t, "unit")
		}
		var all []call
		for tick := range saidTicks {
			for range rapid.IntRange(0, 10).Draw(t, "count") {
				value := rapid.OneOf(rapid.Float64Range(-100, 100), rapid.Float64Range(-1e12, 1e12),
					rapid.SampledFrom([]float64{0, math.Copysign(0, -1), 1e-9, 5e-7, 1e12, -1e12})).Draw(t, "value")
				all = append(all, call{tick, rapid.SampledFrom(names).Draw(t, "name"), value})
			}
		}
		signals += checkSaid(t, all, units)
	})
	if signals < 1000 {
		t.Errorf("only %d signals were drawn", signals)
	}
}

func checkSaid(t *rapid.T, all []call, units map[string]string) int {
	rec := saidRecord(t, all, units)
	header := rec.Header.Robots[0].Signals
	var order []string
	for _, s := range all {
		if !slices.Contains(order, s.name) {
			order = append(order, s.name)
		}
	}
	if len(header) != len(order) {
		t.Fatalf("the header has %v, said were %q", header, order)
	}
	for i, s := range header {
		if s.Name != order[i] || s.Unit != units[order[i]] {
			t.Errorf("signal %d is %v, want %q in %q", i, s, order[i], units[order[i]])
		}
		values := rec.SignalValues(0, i)
		for k, sample := range rec.Samples {
			want := math.NaN()
			for _, said := range all {
				if said.name == s.Name && float64(said.tick)/ticksPerSecond <= sample.T+1e-9 {
					want = record.Round(said.value)
				}
			}
			if values[k] != want && !(math.IsNaN(values[k]) && math.IsNaN(want)) {
				t.Fatalf("%s at %g s is %v, said was %v", s.Name, sample.T, values[k], want)
			}
		}
	}
	return len(order)
}

// saidRecord rehearses a routine that says it, and reads the record back.
func saidRecord(t *rapid.T, all []call, units map[string]string) *record.Record {
	var body strings.Builder
	tick := 0
	for _, s := range all {
		for ; tick < s.tick; tick++ {
			body.WriteString("wait()\n")
		}
		fmt.Fprintf(&body, "signal(%q, %.17g, %q)\n", s.name, s.value, units[s.name])
	}
	setup := onField(t, "practice_yard", "hauler", written(t, body.String()))
	setup.Nominal = true
	r, err := New(setup)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	for range saidTicks + 5 {
		r.Tick()
	}
	r.Finish()
	if e, failed := find(r.Record(), record.Failure, ""); failed {
		t.Fatalf("%s", e.Message())
	}
	return reread(t, r.Record())
}

// A study keeps only the last sample: it has every signal's last value.
func TestASparseRecordHasTheLastValues(t *testing.T) {
	setup := onField(t, "practice_yard", "hauler", written(t, `
    signal("a", 1, "mm")
    wait(0.1)
    signal("b", 2)
    signal("a", 3)`))
	setup.Sparse = true
	rec := rehearsed(t, setup)
	last := len(rec.Samples) - 1
	if a, b := rec.SignalValues(0, 0)[last], rec.SignalValues(0, 1)[last]; a != 3 || b != 2 {
		t.Errorf("at the end a is %g, b %g", a, b)
	}
}
