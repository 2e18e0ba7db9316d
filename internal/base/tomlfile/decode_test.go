package tomlfile_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/tomlfile"
)

type yardFile struct {
	Title string             `toml:"title" need:"'My yard'"`
	Tile  float64            `toml:"tile" unit:"m" default:"600 mm"`
	Grip  float64            `toml:"grip" default:"1"`
	Edge  []geom.Vec         `toml:"edge" unit:"m"`
	Poles []poleFile         `toml:"poles"`
	Gate  *gateFile          `toml:"gate"`
	Slots map[string]float64 `toml:"slots" unit:"m"`
	Turns float64            // no key
	paint
}

type paint struct {
	Colour string `toml:"colour" default:"grey"`
}

type poleFile struct {
	At     geom.Vec `toml:"at" unit:"m" need:"['600 mm', '450 mm']"`
	Height float64  `toml:"height" unit:"m" default:"1 m"`
	Fixed  bool     `toml:"fixed"`
	Rings  int      `toml:"rings" default:"3"`
}

type gateFile struct {
	Width float64 `toml:"width" unit:"m" need:"'1 m'"`
}

func decode(t *testing.T, text string) (yardFile, *tomlfile.Positions, error) {
	t.Helper()
	var f yardFile
	at, err := tomlfile.Decode("yard.toml", []byte(text), &f)
	return f, at, err
}

func TestDecodeFillsValuesAndDefaults(t *testing.T) {
	f, at, err := decode(t, `
title = "Yard"
tile = "24 in"
slots = {low = "10 mm"}
[[poles]]
at = ["1 m", "20 cm"]
[[poles]]
at = ["2 m", "30 cm"]
rings = 0
height = "2 m"
`)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(f.Tile-0.6096) > 1e-12 || f.Grip != 1 || f.Colour != "grey" || f.Gate != nil || f.Slots["low"] != 0.01 {
		t.Errorf("top level: %+v", f)
	}
	if f.Poles[0].Height != 1 || f.Poles[0].Rings != 3 || f.Poles[1].Height != 2 || f.Poles[1].Rings != 0 ||
		f.Poles[1].At.Y != 0.3 {
		t.Errorf("poles: %+v", f.Poles)
	}
	if !at.Has("poles[1].rings") || at.Has("poles[0].rings") || at.Has("gate") {
		t.Error("Has does not tell given keys from left out ones")
	}
	if got := strings.Join(at.Keys("poles[1]"), " "); got != "at rings height" {
		t.Errorf("keys of poles[1]: %q", got)
	}
}

// Each error names its place, what is wrong and what to write instead.
func TestDecodeErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"bare number for a quantity", "title = 'a'\ntile = 0.6",
			`yard.toml:2:8: tile: 0.6 has no unit: for a length write "0.6 mm" or "0.6 in"`},
		{"bare whole number for a quantity", "title = 'a'\ntile = 600",
			`yard.toml:2:8: tile: 600 has no unit: for a length write "600 mm" or "600 in"`},
		{"wrong unit", "title = 'a'\ntile = '6 kg'", `yard.toml:2:8: tile: "kg" is not a unit of a length: write "6 mm" ` +
			`or "6 in" (known: mm, in, cm, m, ft)`},
		{"bool for a quantity", "title = 'a'\ntile = true", `yard.toml:2:8: tile: "true" is not a length`},
		{"list for a quantity", "title = 'a'\ntile = [1]", `yard.toml:2:8: tile: "[ ]" is not a length`},
		{"bare number deep in a list", "title = 'a'\nedge = [['1 m', '2 m'],\n  ['1 m', 2]]",
			`yard.toml:3:11: edge[1][1]: 2 has no unit`},
		{"unknown key", "title = 'a'\ntyle = '1 m'", `yard.toml:2:1: tyle: there is no key "tyle" here: write "tile" ` +
			`(known: title, tile, grip`},
		{"unknown key in a list of tables", "title = 'a'\n[[poles]]\nat = ['1 m', '1 m']\n  hieght = '1 m'",
			`yard.toml:4:3: poles[0].hieght: there is no key "hieght" here: write "height"`},
		{"unknown table", "title = 'a'\n[polse]\nx = 1", `yard.toml:2:2: polse: there is no key "polse" here: write "poles"`},
		{"key of another case", "Title = 'a'", `yard.toml:1:1: Title: there is no key "Title" here: write "title"`},
		{"missing key at the top", "tile = '1 m'", `yard.toml:1:1: title: the key "title" is missing: write, for example, ` +
			`title = "My yard"`},
		{"missing key in a table", "title = 'a'\n[[poles]]\nrings = 2",
			`yard.toml:2:3: poles[0].at: the key "at" is missing: write, for example, at = ["600 mm", "450 mm"]`},
		{"missing key in an inline table", "title = 'a'\ngate = {}",
			`yard.toml:2:8: gate.width: the key "width" is missing: write, for example, width = "1 m"`},
		{"wrong number of values", "title = 'a'\n[[poles]]\nat = ['1 m', '1 m', '1 m']",
			`yard.toml:3:6: poles[0].at: a list of exactly 2 values belongs here, but there are 3`},
		{"text for a number", "title = 'a'\ngrip = '1'",
			`yard.toml:2:8: grip: a number without quotes belongs here, but the text "1" stands there`},
		{"fraction for a whole number", "title = 'a'\npoles = [{at = ['1 m', '1 m'], rings = 2.5}]",
			`yard.toml:2:40: poles[0].rings: a whole number belongs here, but 2.5 stands there`},
		{"number for a text", "title = 4", `yard.toml:1:9: title: a text in quotes belongs here, but 4 stands there`},
		{"one table for several", "title = 'a'\n[poles]\nrings = 2",
			`yard.toml:2:2: poles: there may be several of these, so each begins with two brackets: write [[poles]]`},
		{"several tables in one's place", "title = 'a'\n[[gate]]\nwidth = '1 m'",
			`yard.toml:2:3: gate: there is only one of these: write [gate], with all its keys below`},
		{"table in braces for a list", "title = 'a'\npoles = {rings = 2}",
			`yard.toml:2:9: poles: a list in [ ] belongs here, but a table stands there`},
		{"nan", "title = 'a'\ngrip = nan", `yard.toml:2:8: grip: nan is no usable number: write a finite one`},
		{"infinity", "title = 'a'\ngrip = -inf", `yard.toml:2:8: grip: -inf is no usable number`},
		{"key given twice", "title = 'a'\ntitle = 'b'", `yard.toml:2:1: title: `},
		{"quantity without quotes", "title = 'a'\ntile = 600 mm", `a value with a unit stands in quotes: write "600 mm"`},
		{"quantity without quotes in a list", "title = 'a'\nedge = [[600 mm, 1]]",
			`a value with a unit stands in quotes: write "600 mm"`},
		{"text without quotes", "title = Our yard", `yard.toml:1:9: a text stands in quotes: write "Our yard"`},
		{"key of a table of its own", "title = 'a'\nwidth = '1 m'",
			`yard.toml:2:1: width: there is no key "width" here: it belongs below [gate]`},
		{"key of a list of tables", "title = 'a'\nrings = 2",
			`yard.toml:2:1: rings: there is no key "rings" here: it belongs below [[poles]]`},
		{"column in characters", "title = 'äöü'\nslots = {'ä' = 5}", `yard.toml:2:16: slots.ä: 5 has no unit`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := decode(t, c.text)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
			var all *tomlfile.Errors
			if errors.As(err, &all) && len(all.List) != 1 {
				t.Errorf("more than one error: %v", err)
			}
		})
	}
}

func TestAllErrorsComeAtOnceInFileOrder(t *testing.T) {
	_, _, err := decode(t, "tile = 3\nwrong = 1\n[[poles]]\nat = [1, 2]\n")
	var lines []int
	var all *tomlfile.Errors
	if !errors.As(err, &all) {
		t.Fatalf("%T", err)
	}
	for _, e := range all.List {
		lines = append(lines, e.Line)
	}
	if len(lines) != 5 || lines[0] != 1 || lines[1] != 1 || lines[2] != 2 || lines[3] != 4 || lines[4] != 4 {
		t.Errorf("lines %v of\n%v", lines, err)
	}
}

func TestLongErrorListsAreCut(t *testing.T) {
	_, _, err := decode(t, "title = 'a'\nedge = ["+strings.Repeat("[1, 2],", 5000)+"]")
	if lines := strings.Split(err.Error(), "\n"); len(lines) != 21 || lines[20] != "and 9980 more" {
		t.Errorf("%d lines, last %q", len(lines), lines[len(lines)-1])
	}
}

func TestErrorfTakesTheNearestPlace(t *testing.T) {
	_, at, err := decode(t, "title = 'a'\n[[poles]]\nat = ['1 m', '2 m']\n")
	if err != nil || at.Err() != nil {
		t.Fatal(err, at.Err())
	}
	at.Errorf("poles[0].height", "too high")
	at.Errorf("poles[0].at", "outside")
	at.KeyErrorf("poles[0].at", "not for this")
	at.Errorf("", "nothing")
	if i := at.Index("title", "colour", "gren", []string{"red", "green"}); i != -1 {
		t.Error("a name that is not known was found")
	}
	if i := at.Index("title", "colour", "green", []string{"red", "green"}); i != 1 {
		t.Error("a known name was not found")
	}
	want := `yard.toml:1:1: nothing
yard.toml:1:9: title: "gren" is no colour: write "green" (known: red, green)
yard.toml:2:3: poles[0].height: too high
yard.toml:3:1: poles[0].at: not for this
yard.toml:3:6: poles[0].at: outside`
	if got := at.Err().Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// The forms beside plain values: a pose of two keys, words, names of other things, entries in the file's order, a
// quantity of two kinds.
func TestFormsOfValues(t *testing.T) {
	type machine struct {
		Exit   geom.Pose        `toml:"exit,direction" unit:"m" default:"180 deg" min:"-1 m" max:"1 m"`
		Train  int              `toml:"train" words:"driven train: left, right"`
		Kind   string           `toml:"kind" words:"omni, traction" default:"omni"`
		Motor  int              `toml:"motor" refer:"motor"`
		Spare  int              `toml:"spare" refer:"motor"`
		All    []int            `toml:"all" refer:"motor"`
		Counts []tomlfile.Entry `toml:"counts"`
		Low    float64          `toml:"low" unit:"rad|m"`
	}
	var m machine
	at, err := tomlfile.Decode("m.toml", []byte("exit = ['1 m', '2 cm']\ntrain = 'right'\nmotor = 'b'\nall = ['b', "+
		"'a']\nlow = '1 m'\ncounts = {z = 1, a = 2}"), &m)
	if err != nil {
		t.Fatal(err)
	}
	at.Refer("", &m, "motor", []string{"a", "b"})
	want := machine{geom.Pose{X: 1, Y: 0.02, Heading: math.Pi}, 1, "omni", 1, -1, []int{1, 0},
		[]tomlfile.Entry{{"z", 1}, {"a", 2}}, 1}
	if !reflect.DeepEqual(m, want) || at.Unit("low") != 1 || at.Err() != nil {
		t.Errorf("%+v, kind of low %d, %v", m, at.Unit("low"), at.Err())
	}
	for text, want := range map[string]string{
		"direction = '400 deg'": `m.toml:1:13: direction: 400 deg is out of range: write a value from "-360 deg" to ` +
			`"360 deg"`,
		"exit = ['1 m', '2 m']": `m.toml:1:16: exit[1]: 2 m is out of range: write a value from "-1 m" to "1 m"`,
		"train = 'rigt'":        `m.toml:1:9: train: "rigt" is no driven train: write "right" (known: left, right)`,
		"kind = 'x'":            `kind: "x" is no kind: write one of omni, traction`,
		"motor = 3":             `motor: a text in quotes belongs here, but 3 stands there`,
		"low = '3 kg'":          `low: "3 kg" is neither an angle nor a length`,
	} {
		if _, err := tomlfile.Decode("m.toml", []byte(text), &m); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v, want %s", text, err, want)
		}
	}
	at, err = tomlfile.Decode("m.toml", []byte("motor = 'c'\nall = ['a', 'b', 'a']"), &m)
	if err != nil {
		t.Fatal(err)
	}
	at.Refer("", &m, "motor", []string{"a", "b"})
	lines := "m.toml:1:9: motor: \"c\" is no motor: write one of a, b\nm.toml:2:18: all[2]: \"a\" is named twice: " +
		"leave one out"
	if got := at.Err(); got == nil || got.Error() != lines {
		t.Errorf("got %v\nwant %s", got, lines)
	}
}

// Whatever the bytes, Decode returns: with an error that has a place, or with a value.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		"", "title = 'a'", "a.b.c = 1", "[[poles]]\n[poles.x]", "[[poles]]\n[[poles]]\nat=['1 m','2 m']",
		"title = \"\\u00e4\"",
		"x = [[[[{a = [1,{b=2}]}]]]]", "tile = 1e999", "tile = '1e999 m'", "[poles]\n[[poles]]", "\xff", "a = 1979-05-27",
		"title='''\n'''\r\n", "edge=[#\n]",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		property.Bounded(t, func() {
			var file yardFile
			at, err := tomlfile.Decode("f", data, &file)
			if (at == nil) == (err == nil) {
				t.Fatalf("positions %v with error %v", at, err)
			}
			var all *tomlfile.Errors
			if err != nil && (!errors.As(err, &all) || len(all.List) == 0 || all.List[0].Line < 1 || all.List[0].Column < 1) {
				t.Fatalf("error without a place: %#v", err)
			}
		})
	})
}
