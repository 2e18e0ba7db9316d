package scripting

import (
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/property"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// A routine is plain Lua without a value from outside, and has what it is given with one.
func TestWhatARoutineLeavesOpen(t *testing.T) {
	const text = `note(choice("gate", {"left", "right"})) note(choice("far", {300, 450}, 450))
  note(tostring(whether("bold", true))) note(table.concat(order("stops", {"a", "b", "c"}), " "))
  local sled = {name = "sled"} note(choice("first", {sled, {name = "rack"}, {}}).name or "none")`
	for _, c := range []struct {
		given map[string]float64
		want  string
	}{
		{nil, "left,450,true,a b c,sled"},
		{map[string]float64{"gate": 2, "far": 1, "bold": 0, "stops": 5, "first": 2}, "right,300,false,c a b,rack"},
		{map[string]float64{"stops": 6, "first": 3}, "left,450,true,c b a,none"},
	} {
		s := stageOf(t, load(t, auto(text)), Env{Params: c.given})
		s.play(Auto, 1)
		if got := strings.Join(s.notes(), ","); got != c.want {
			t.Errorf("%v: %s, want %s; %s", c.given, got, c.want, s.failure())
		}
	}
}

func TestWhatIsOpenIsReadFromTheText(t *testing.T) {
	p := load(t, auto(`choice("gate", {"left", "right"}) choice("far", {300, -4.5, true}, -4.5) whether("bold", false)
  order("stops", {{name = "sled", 3}, {4}, "sled", "a, b"}) local x = 1 choice("unknown", {x, 2})`))
	want := []Param{
		{Name: "gate", Default: 1, Used: 1, Min: 1, Max: 2, Kind: Choice, Options: []string{"left", "right"}},
		{Name: "far", Default: 2, Used: 2, Min: 1, Max: 3, Kind: Choice, Options: []string{"300", "-4.5", "true"}},
		{Name: "bold", Max: 1, Kind: Whether},
		{Name: "stops", Default: 1, Used: 1, Min: 1, Max: 24, Kind: Order, Options: []string{"sled", "#2", "#3", "#4"}},
	}
	if diff := cmp.Diff(want, p.Params); diff != "" {
		t.Error(diff)
	}
	s := stageOf(t, p, Env{})
	s.play(Auto, 1)
	if diff := cmp.Diff(want, s.Params()[:4]); diff != "" {
		t.Errorf("it is asked for otherwise: %s", diff)
	}
}

func TestValuesOfWhatIsOpenInWords(t *testing.T) {
	gate, stops, bold := choiceOf("gate", []string{"left", "right"}), orderOf("stops", []string{"a", "b", "c"}),
		whetherOf("bold", false)
	gain := Param{Name: "gain", Default: 1, Min: 0, Max: 2}
	for _, c := range []struct {
		p    Param
		text string
		want float64
		says string // "": it is read
	}{
		{gate, "right", 2, ""}, {gate, " left ", 1, ""}, {gate, "2", 2, ""}, {gate, "rigth", 0, `write "right"`},
		{stops, "c, a, b", 5, ""}, {stops, "a,b,c", 1, ""}, {stops, "6", 6, ""}, {stops, "c, a", 0, "b is not there"},
		{stops, "a, a, b", 0, "a stands twice"}, {stops, "a, x, b", 0, `"x" is none of what it orders`},
		{bold, "yes", 1, ""}, {bold, "false", 0, ""}, {bold, "perhaps", 0, "write yes or no"},
		{gain, "0.5", 0.5, ""}, {gain, "3", 0, "outside the limits"}, {gain, "much", 0, "is no number"},
	} {
		got, err := c.p.Value(c.text)
		switch {
		case c.says == "" && (err != nil || got != c.want):
			t.Errorf("%s=%s: %g, %v", c.p.Name, c.text, got, err)
		case c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says)):
			t.Errorf("%s=%s: %v", c.p.Name, c.text, err)
		}
	}
}

func TestWrongFreedomsAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		`choice("a")`: "choice: needs a name and a list, as in " +
			`choice("first", {"left", "right"})`,
		`choice("a", {})`:                             "the list is empty",
		`choice("a", {1, x = 2})`:                     "the list has",
		`choice("a", {1, 2}, 3)`:                      "is none of the options",
		`order("a", {1,2,3,4,5,6,7,8,9,10,11,12,13})`: "more than 12 members",
		`whether("a")`:                                "needs a name, and true or false",
		`whether("a", true) whether("a", false)`:      "used twice",
		`result("a", 1/0)`:                            "must be a finite number",
		`result("a", 1e13)`:                           "write it in a larger unit",
	} {
		s := stageOf(t, load(t, auto(text)), Env{})
		s.play(Auto, 1)
		if !strings.Contains(s.failure(), want) {
			t.Errorf("%s: %q", text, s.failure())
		}
	}
	for _, bad := range []float64{0, 3, 1.5, math.NaN()} {
		s := stageOf(t, load(t, auto(`choice("a", {1, 2})`)), Env{Params: map[string]float64{"a": bad}})
		if s.play(Auto, 1); s.failure() == "" {
			t.Errorf("%g is taken", bad)
		}
	}
}

// All orders of a few things are found, each once, and an order's place leads back to it: n! of them, in the order of a
// dictionary, by their definition.
func TestOrdersHaveTheirPlaces(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "things")
		var last []int
		for place := range factorial(n) {
			order := OrderAt(place, n)
			sorted := slices.Sorted(slices.Values(order))
			if len(order) != n || sorted[0] != 0 || sorted[n-1] != n-1 || len(slices.Compact(sorted)) != n {
				t.Fatalf("place %d of %d: %v", place, n, order)
			}
			if PlaceOf(order) != place || last != nil && slices.Compare(last, order) >= 0 {
				t.Fatalf("place %d of %d: %v after %v", place, n, order, last)
			}
			last = order
		}
	})
	if got := OrderAt(factorial(mostOrdered)-1, mostOrdered); got[0] != 11 || got[11] != 0 {
		t.Errorf("the last of twelve: %v", got)
	}
}

// What cannot be written says why; a table of a choice comes to be the first.
func TestDefaultsThatAreReckoned(t *testing.T) {
	const text = `local list = {"a", "b"} return routine { auto = function(bot)
  param("back", 101.6, 2 * inch, 10 * inch)
  choice("a", {{name = "x", v = 1}, {name = "y", v = 2}}) choice("kept", {"p", "q"})
  param("far", 2 * inch, 0, 100) choice("b", list) whether("c", not x)
end }`
	for _, c := range []struct {
		p          Param
		with, want string
	}{
		{Param{Name: "back", Used: 120}, "120", ""},
		{Param{Name: "a", Kind: Choice, Options: []string{"x", "y"}, Used: 2},
			`{name = "y", v = 2}, {name = "x", v = 1}`, ""},
		{Param{Name: "kept", Kind: Choice, Options: []string{"p", "q"}, Used: 1}, "", ""},
		{Param{Name: "far", Used: 3}, "", `line 4: param("far", ...): its default is written as 2 * inch: write a plain`},
		{Param{Name: "b", Kind: Choice, Options: []string{"a", "b"}, Used: 2}, "", "its list is written as list: write it"},
		{Param{Name: "c", Kind: Whether}, "", "its default is written as not x: write true or false"},
		{Param{Name: "none", Used: 3}, "", `the text has no param("none", ...) in plain letters: write 3 there`},
	} {
		_, _, with, err := c.p.DefaultIn(text)
		if with != c.with || (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %q, %v; want %q %s", c.p.Name, with, err, c.with, c.want)
		}
	}
}

// A default that is written is the one that the text has when it is read again, and nothing else has changed.
func TestDefaultsAreWrittenIntoTheText(t *testing.T) {
	const text = `-- mine
return routine { auto = function(bot)
  local a = param("gain", 0.5, 0, 1) -- stays
  local b = choice("gate", {"left", 'right', 3})
  local c = choice("far", {300, 450}, 450)
  local d, e = whether("bold", true), order("stops", {"a",  { x = 1, name = "b" },
    "c"}) -- a list
end }
`
	for _, c := range []struct{ name, value, old, new string }{
		{"gain", "0.75", `0.5, 0`, `0.75, 0`}, {"gate", "right", `3})`, `3}, 'right')`}, {"gate", "3", `3})`, `3}, 3)`},
		{"far", "300", `, 450)`, `, 300)`}, {"bold", "no", `true`, `false`},
		{"stops", "c, a, b", "{\"a\",  { x = 1, name = \"b\" },\n    \"c\"}",
			"{\"c\",  \"a\",\n    { x = 1, name = \"b\" }}"},
	} {
		p := load(t, map[string]string{"routine.lua": text})
		i := slices.IndexFunc(p.Params, func(q Param) bool { return q.Name == c.name })
		own := p.Params[i]
		var err error
		if own.Used, err = own.Value(c.value); err != nil {
			t.Fatal(err)
		}
		from, to, with, err := own.DefaultIn(text)
		got := text[:from] + with + text[to:]
		if want := strings.Replace(text, c.old, c.new, 1); err != nil || got != want {
			t.Errorf("%s = %s, %v:\n%s", c.name, c.value, err, got)
		}
		again := load(t, map[string]string{"routine.lua": got}).Params[i]
		if words := again.Words(again.Default); words != own.Words(own.Used) && c.name != "stops" ||
			c.name == "stops" && words != "c, a, b" {
			t.Errorf("%s: read again it is %s", c.name, words)
		}
	}
}
