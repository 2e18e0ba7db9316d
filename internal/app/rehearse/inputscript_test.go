package rehearse

import (
	"strings"
	"testing"

	"chalkfield/scripting"

	"github.com/google/go-cmp/cmp"
)

const padHeader = "time,left_x,left_y,right_x,right_y,buttons\n"

func TestInputScriptHoldsARowUntilTheNext(t *testing.T) {
	script, err := ReadInputScript("drive.csv", strings.NewReader(padHeader+"0.5,0,1,0,-0.5,b+a\n2,0,0,0,0,\n"))
	if err != nil {
		t.Fatal(err)
	}
	pushed := scripting.PadState{LeftY: 1, RightY: -0.5, Buttons: []string{"a", "b"}}
	for _, c := range []struct {
		t    float64
		want scripting.PadState
	}{
		{0, scripting.PadState{}},
		{0.49, scripting.PadState{}},
		{0.5, pushed},
		{1.99, pushed},
		{2, scripting.PadState{}},
		{99, scripting.PadState{}},
	} {
		if diff := cmp.Diff(c.want, script.At(c.t)); diff != "" {
			t.Errorf("at %g s (-want +got):\n%s", c.t, diff)
		}
	}
}

func TestInputScriptErrorsNameTheLine(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"header", "t,x\n", "d.csv:1: this is no pad file: its first line is time,left_x,left_y,right_x,right_y,buttons " +
			"and each further one a row such as 20,0,0.8,0,0,a+b"},
		{"number", padHeader + "0,0,fast,0,0,\n", `d.csv:2: left_y: "fast" is not a number`},
		{"range", padHeader + "0,0,0,0,0,\n1,0,2,0,0,\n", "d.csv:3: left_y: 2 is outside -1 to 1"},
		{"not a number", padHeader + "0,0,NaN,0,0,\n", `d.csv:2: left_y: "NaN" is not a number`},
		{"order", padHeader + "1,0,0,0,0,\n1,0,0,0,0,\n", "d.csv:3: time 1 after 1: times must rise"},
		{"columns", padHeader + "1,0\n", "d.csv:2: a row has 6 values, time,left_x,"},
		{"quote", padHeader + "1,0,\"0,0,0,\n", "d.csv:2: no quotes stand in a pad file"},
		{"quote in the first value", padHeader + "0\"0\n", "d.csv:2: no quotes stand in a pad file"},
		{"empty", "", "d.csv:1: this is no pad file: its first line is time,left_x,left_y,right_x,right_y,buttons"},
		{"a TOML file", "# Core Haul\n\ntitle = \"Core Haul\"\n", "d.csv:3: this is no pad file: its first line is time,"},
		{"a Lua file", "-- mine\nreturn routine { title = \"x\" }\n",
			"d.csv:1: this is no pad file: its first line is time,"},
		{"button", padHeader + "0,0,0,0,0,a+l3\n", `d.csv:2: buttons: there is no button "l3": write "l1" (known: a, b, `},
		{"no button near", padHeader + "0,0,0,0,0,trigger\n", `d.csv:2: buttons: there is no button "trigger": `},
		{"button in capitals", padHeader + "0,0,0,0,0,L1\n", `d.csv:2: buttons: there is no button "L1": write "l1"`},
		{"negative time", padHeader + "-1,0,0,0,0,\n", "d.csv:2: time: -1 is before the start: write 0 or more"},
	} {
		_, err := ReadInputScript("d.csv", strings.NewReader(c.text))
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %s", c.name, err, c.want)
		}
	}
}
