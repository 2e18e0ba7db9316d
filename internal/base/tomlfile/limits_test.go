package tomlfile_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/tomlfile"
)

// reachFile has a number of each form that limits know.
type reachFile struct {
	Wide  float64      `toml:"wide" unit:"m" default:"1 m" min:"5 mm" max:"2 m"`
	Step  *float64     `toml:"step" unit:"m" min:"0.001 mm" max:"200 mm" zero:"an ideal sensor"`
	At    [2]float64   `toml:"at" unit:"m" min:"-1 m" max:"1 m"`
	Ring  [][2]float64 `toml:"ring" unit:"rad" min:"-90 deg" max:"90 deg"`
	Grip  float64      `toml:"grip" default:"1" min:"0.05" max:"3"`
	Count int          `toml:"count" min:"1" max:"8" zero:"all"`
	Free  float64      `toml:"free" unit:"A" min:"0 A" max:"100 A"`
	Turn  float64      `toml:"turn" unit:"rad|m" min:"-360 deg|-3 m" max:"360 deg|3 m"`
}

func TestNumbersOutsideTheirLimits(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{`wide = "1e-308 mm"`, `y.toml:1:8: wide: 1e-308 mm is out of range: write a value from "5 mm" to "2 m"`},
		{`free = "1e-308 A"`, `free: 1e-308 A is too near to 0`}, {`free = "0 A"`, ""},
		{`wide = "79 in"`, `wide: 79 in is out of range`},
		{`wide = "2 m"`, ""}, {`wide = "5 mm"`, ""}, {`wide = "-0 mm"`, `wide: -0 mm is out of range`},
		{`step = "1e-6 mm"`, `step: 1e-6 mm is out of range: write a value from "0.001 mm" to "200 mm", or "0 mm" for an ` +
			`ideal sensor`},
		{`step = "0 in"`, ""},
		{"at = [\n'1 m',\n '1.01 m']", `y.toml:3:2: at[1]: 1.01 m is out of range: write a value from "-1 m" to "1 m"`},
		{`ring = [["0 deg", "90 deg"], ["0 deg", "90.1 deg"]]`, `ring[1][1]: 90.1 deg is out of range`},
		{`grip = 3.0001`, `y.toml:1:8: grip: 3.0001 is out of range: write a number from 0.05 to 3`},
		{`grip = 1e308`, `grip: 1e308 is out of range`}, {`grip = 3_0.0`, `grip: 3_0.0 is out of range`}, {`grip = 2`, ""},
		{`grip = nan`, `grip: nan is no usable number`},
		{`count = 9`, `count: 9 is out of range: write a whole number from 1 to 8, or 0 for all`},
		{`count = 0x9`, `count: 0x9 is out of range`}, {`count = -1`, `count: -1 is out of range`}, {`count = 0`, ""},
		{`turn = "361 deg"`, `turn: 361 deg is out of range: write a value from "-360 deg" to "360 deg"`},
		{`turn = "4 m"`, `turn: 4 m is out of range: write a value from "-3 m" to "3 m"`},
		{`turn = "3 m"`, ""},
		{`wide = 3`, `wide: 3 has no unit`}, // told once
	} {
		var into reachFile
		_, err := tomlfile.Decode("y.toml", []byte(c.text), &into)
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.text, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n")):
			t.Errorf("%s:\ngot  %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestUnlimitedNumbersAreFound(t *testing.T) {
	type inner struct {
		Free float64 `toml:"free"`
		Far  float64 `toml:"far" unit:"m" default:"3 m" min:"0 m" max:"2 m"`
		Odd  float64 `toml:"odd" unit:"m" min:"0 kg" max:"2 m"`
		Name string  `toml:"name" default:"9"`
		Word int     `toml:"word" words:"a, b"`
	}
	type format struct {
		List []inner `toml:"list"`
		Half int     `toml:"half" min:"1"`
		Turn float64 `toml:"turn" unit:"rad|m" min:"0 deg|0 m" max:"1 deg"`
		Good float64 `toml:"good" unit:"rad|m" min:"0 deg|0 m" max:"1 deg|1 m"`
	}
	var keys []string
	for _, problem := range tomlfile.Unlimited(reflect.TypeFor[format]()) {
		key, _, _ := strings.Cut(problem, ":")
		keys = append(keys, key)
	}
	if want := []string{"list.free", "list.far", "list.odd", "half", "turn"}; !slices.Equal(keys, want) {
		t.Errorf("got %v, want %v", keys, want)
	}
	if found := tomlfile.Unlimited(reflect.TypeFor[reachFile]()); found != nil {
		t.Error(found)
	}
}
