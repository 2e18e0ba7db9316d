package formula_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"chalkfield/internal/base/formula"
	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

var words = []formula.Word{
	{Name: "count", What: "rule", Of: []string{"core in sled", "core on rack"}, Sides: true},
	{Name: "robots", Sides: true},
	{Name: "robots_in", What: "kind of zone", Of: []string{"camp", "pit"}, How: []string{"centre", "all", "any"},
		Sides: true},
	{Name: "held", What: "kind of piece", Of: []string{"core"}, Free: true, Sides: true},
	{Name: "time_left"},
	{Name: "phase", What: "phase", Of: []string{"autonomous", "driver"}, Told: true},
}

// value works a formula out: the first of its terms is 2, the second 3, and so on.
func value(t *testing.T, text string, kind formula.Kind) any {
	t.Helper()
	f, err := formula.Parse(text, kind, words)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	values := make([]float64, len(f.Terms))
	for i := range values {
		values[i] = float64(i + 2)
	}
	var run formula.Runner
	if kind == formula.Truth {
		return run.Holds(f, values)
	}
	return run.Number(f, values)
}

func TestNumbersAndConditions(t *testing.T) {
	for text, want := range map[string]any{
		"1":                               1.0,
		"7 / 2":                           3.5,
		"7 / (count('core in sled') - 2)": 0.0, // a share of nothing
		"5 * min(count('core in sled'), count('core on rack'))":         10.0,
		"count('core in sled') + count(\"core in sled\")":               4.0, // one term
		"floor(count('core on rack') / 3) + ceil(0.2) + round(2.5)":     4.0, // 0 + 1 + 3
		"-max(1, 4, 2) + abs(-3)":                                       -1.0,
		"count('core in sled') > other.count('core in sled') ? 1 : 2.5": 2.5,
		"1000000 * 1000000":      1e6,
		"-1000000 * 1000000":     -1e6,
		"robots_in('camp') == 2": true,
		"robots_in('camp', 'all') >= 2.5 or not (robots() > 2)": false,
		"held() + held('core') == 5 && time_left == 4":          true,
		"true and (1 == 1) == (2 < 3)":                          true,
		"other.robots_in('pit') + other.held() != 5":            false,
	} {
		kind := formula.Number
		if _, truth := want.(bool); truth {
			kind = formula.Truth
		}
		if got := value(t, text, kind); got != want {
			t.Errorf("%s: %v, want %v", text, got, want)
		}
	}
}

func TestPhaseIsComparedWithAName(t *testing.T) {
	f, err := formula.Parse("phase == 'driver' and 'autonomous' != phase", formula.Truth, words)
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(f.Terms); got != "[{phase 1 -1 false  <nil> 0} {phase 0 -1 false  <nil> 0}]" {
		t.Fatal(got)
	}
	var run formula.Runner
	if !run.Holds(f, []float64{1, 0}) || run.Holds(f, []float64{0, 1}) {
		t.Error("the driver phase is not told")
	}
}

func TestWhatIsWrongIsToldWithItsPlace(t *testing.T) {
	for _, c := range []struct {
		text string
		kind formula.Kind
		at   int
		want string
	}{
		{"count('core in sledd')", 0, 6,
			`"core in sledd" is no rule: write "core in sled" (known: core in sled, core on rack)`},
		{"1 + cuont('core in sled')", 0, 4,
			`"cuont" is nothing that a formula can read: write "count" (known: count, robots, `},
		{"count()", 0, 0, "count cannot have 0 in its brackets: write count('core in sled')"},
		{"count", 0, 0, "count needs brackets: write count('core in sled')"},
		{"count(3)", 0, 6, "a name in quotes belongs here: write count('core in sled')"},
		{"robots_in('camp', 'whole')", 0, 18, `"whole" is no word here: write one of centre, all, any`},
		{"1 + ", 0, 3, "the formula ends too early: something is missing"},
		{"", 0, 0, "the formula ends too early: something is missing"},
		{"1 + (2 > 1)", 0, 7, "this is a condition, but a number is needed"},
		{"2 > 1", 0, 2, "the formula comes to a condition, but a number is needed"},
		{"2 + 1", 1, 2, "the formula comes to a number, but a condition is needed"},
		{"1 ? 2 : 3", 0, 0, "this is a number, but a condition is needed"},
		{"true ? 2 : false", 0, 11, "this is a condition, but a number is needed"},
		{"2 ** 3", 0, 2, "there is no ** in a formula"},
		{"7 % 2", 0, 2, "there is no % in a formula"},
		{"[1, 2]", 0, 0, "a formula has numbers, words with texts in brackets"},
		{"len('abc')", 0, 0, `"len" is nothing that a formula can read`},
		{"now()", 0, 0, `"now" is nothing that a formula can read`},
		{"sum(1..9)", 0, 0, `there is no sum() in a formula`},
		{"let x = 1; x", 0, 4, "a formula has numbers"},
		{"'core'", 0, 0, `the text "core" stands alone`},
		{"min(1)", 0, 0, "min takes 2 to 20 numbers, but 1 stand here"},
		{"min + 1", 0, 0, "min takes numbers in brackets"},
		{"time_left()", 0, 0, "time_left has no brackets"},
		{"other.time_left", 0, 6, `time_left is the same for all sides: leave "other." out`},
		{"phase == 3", 1, 9, "phase is compared with a name: write phase == 'autonomous'"},
		{"phase == 'drivr'", 1, 9, `"drivr" is no phase: write "driver"`},
		{"phase", 0, 0, "phase is compared with a name: write phase == 'autonomous'"},
		{"2000000", 0, 0, "2e+06 is too large a number: write at most 1e+06"},
		{"1e999", 0, 4, "the number is too large: write at most 1000000"},
		{"0x", 0, 1, "this is no number"},
		{"robots() = 3", 1, 9, "one = says nothing: write == to compare"},
		{"robots() 3", 0, 9, "before 3 something is missing: *, + or another sign"},
		{"robots() + * 3", 0, 11, "before * something is missing: a number, a word or a bracket"},
		{"robots())", 0, 8, "this ) closes nothing: leave it out, or write ( before it"},
		{"robots() / 0", 0, 11, "this is divided by 0: write another number"},
		{"count('core", 0, 10, "the quote that closes the text is missing"},
		{"robots() @ 2", 0, 9, "this sign means nothing in a formula: leave it out"},
		{strings.Repeat("1+", 400) + "1", 0, 0, "the formula is too long: part it into several rules"},
		{strings.Repeat("(", 2000), 0, 0, "the formula has 2000 characters: write at most 1000"},
		{"v[0]", 0, 1, "a formula has numbers"},
		{"v", 0, 0, `"v" is nothing`},
	} {
		_, err := formula.Parse(c.text, c.kind, words)
		wrong, _ := err.(*formula.Error)
		switch {
		case wrong == nil:
			t.Errorf("%s: read, want %q", c.text, c.want)
		case !strings.Contains(wrong.What, c.want) || wrong.At != c.at && len(c.text) < 100:
			t.Errorf("%s: at %d: %s; want at %d: %s", c.text, wrong.At, wrong.What, c.at, c.want)
		}
	}
}

// pieces are what random formulas are made of: words in any order, mostly no formula at all.
var pieces = []string{"1", "2.5", "1e6", "0", "+", "-", "*", "/", "<", ">=", "==", "!=", "and", "or", "not", "?", ":",
	"(", ")", ",", ".", "'camp'", "'core'", "'core in sled'", "'driver'", "count(", "robots()", "robots_in(", "held()",
	"other.", "phase", "time_left", "min(", "max(", "abs(", "floor(", "round(", "true", "v", "[", "]", "{", "}", "|", "#",
	"..", "**", "%", "in", "let x =", ";", "map(", "sum(", "nil", "\"", "`", "\\", "é", "0x",
	"now()", "??", "?.", "!", "// ", "/*", "$env"}

// good is a formula of the grammar, of a depth.
func good(draw *rand.Rand, kind formula.Kind, depth int) string {
	sub := func(k formula.Kind) string { return good(draw, k, depth-1) }
	pick := func(of ...string) string { return of[draw.IntN(len(of))] }
	if kind == formula.Truth {
		switch n := draw.IntN(6); {
		case depth <= 0:
			return pick("true", "false", "(phase == 'driver')", "('autonomous' != phase)")
		case n == 0:
			return "not (" + sub(formula.Truth) + ")"
		case n < 3:
			return "(" + sub(formula.Truth) + pick(" and ", " or ", " && ", " || ", " == ", " != ") + sub(formula.Truth) + ")"
		}
		return "(" + sub(formula.Number) + pick(" < ", " <= ", " > ", " >= ", " == ", " != ") + sub(formula.Number) + ")"
	}
	switch n := draw.IntN(8); {
	case depth <= 0 || n == 0:
		return pick("1", "0", "2.5", "1000000", "count('core in sled')", "other.count('core on rack')", "robots()",
			"robots_in('camp')", "other.robots_in('pit', 'any')", "held()", "held('core')", "time_left", ".1")
	case n == 1:
		return pick("floor(", "ceil(", "round(", "abs(", "-(") + sub(formula.Number) + ")"
	case n == 2:
		return pick("min(", "max(") + sub(formula.Number) + ", " + sub(formula.Number) + ")"
	case n == 3:
		return "(" + sub(formula.Truth) + " ? " + sub(formula.Number) + " : " + sub(formula.Number) + ")"
	}
	return "(" + sub(formula.Number) + pick(" + ", " - ", " * ", " / -") + sub(formula.Number) + ")"
}

// try reads a text as a formula and works it out with drawn values: an error or a finite number, never a panic.
func try(t interface{ Fatalf(string, ...any) }, text string, draw *rand.Rand) (read bool) {
	for _, kind := range []formula.Kind{formula.Number, formula.Truth} {
		f, err := formula.Parse(text, kind, words)
		if err != nil {
			if wrong := err.(*formula.Error); wrong.At < 0 || wrong.At > len(text) || wrong.What == "" {
				t.Fatalf("%q: error %d %q", text, wrong.At, wrong.What)
			}
			continue
		}
		read = true
		values := make([]float64, len(f.Terms))
		for i := range values {
			values[i] = []float64{0, 1, -1, 2, 0.5, 1e6, -1e6, 37}[draw.IntN(8)]
		}
		var run formula.Runner
		if kind == formula.Truth {
			run.Holds(f, values)
		} else if x := run.Number(f, values); math.IsNaN(x) || math.Abs(x) > 1e6 {
			t.Fatalf("%q of %v is %g", text, values, x)
		}
	}
	return read
}

// A random formula is an error or a number within its budget. Half are of the grammar and must be read, half are words
// in any order.
func TestRandomFormulas(t *testing.T) {
	read, of := 0, 0
	property.Check(t, func(rt *rapid.T) {
		draw := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		for range 20 {
			if text := good(draw, formula.Number, draw.IntN(4)); len(text) < 400 && !try(rt, text, draw) {
				_, err := formula.Parse(text, formula.Number, words)
				rt.Fatalf("%q is not read: %v", text, err)
			}
			var text strings.Builder
			for range draw.IntN(12) {
				text.WriteString(pieces[draw.IntN(len(pieces))] + " "[draw.IntN(2):])
			}
			of++
			if try(rt, text.String(), draw) {
				read++
			}
		}
	})
	if read == 0 || read == of {
		t.Errorf("%d of %d words in any order were formulas", read, of)
	}
}

func FuzzFormula(f *testing.F) {
	for _, p := range pieces {
		f.Add(p + "1")
	}
	f.Add("5 * min(count('core in sled'), other.count('core on rack')) / (time_left - 3)")
	f.Fuzz(func(t *testing.T, text string) { try(t, text, rand.New(rand.NewPCG(1, 1))) })
}

func BenchmarkRun(b *testing.B) {
	f, err := formula.Parse("5 * min(count('core in sled'), count('core on rack'))", formula.Number, words)
	if err != nil {
		b.Fatal(err)
	}
	var run formula.Runner
	values := []float64{2, 3}
	b.ReportAllocs()
	for b.Loop() {
		run.Number(f, values)
	}
}
