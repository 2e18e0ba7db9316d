package tomlfile

import (
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

const edited = `title = "Try" # a comment
wheels = [ { at = ["1 mm", "2 mm"], kind = "omni" }, { kind = "omni", at = ["3 mm", "4 mm"] } ]
[chassis]
mass = "6 kg"   # heavy
centre = ["0 mm", "1 mm"]
[[parts]]
name = "intake"
gear = 1.5
[[parts]]
name = "lift arm"
gear = 2
[[parts.heights]]
name = "rack"
at = "20 deg"
[odometry]`

func TestEditChangesOneValueAndNoOtherByte(t *testing.T) {
	for _, c := range []struct{ path, value, from, to string }{
		{"chassis.mass", `"7 kg"`, `mass = "6 kg"   # heavy`, `mass = "7 kg"   # heavy`},
		{"chassis.centre[1]", `"9 mm"`, `["0 mm", "1 mm"]`, `["0 mm", "9 mm"]`},
		{"wheels[1].kind", `"traction"`, `{ kind = "omni", at`, `{ kind = "traction", at`},
		{"wheels[0].at[0]", `"5 mm"`, `["1 mm", "2 mm"]`, `["5 mm", "2 mm"]`},
		{"parts.intake.gear", `3`, "gear = 1.5", "gear = 3"},
		{"parts[1].gear", `3`, "gear = 2", "gear = 3"},
		{"parts.lift arm.gear", `3`, "gear = 2", "gear = 3"},
		{"parts.lift arm.heights.rack.at", `"30 deg"`, `"20 deg"`, `"30 deg"`},
		{"title", `"Other"`, `"Try"`, `"Other"`},
		{"chassis.centre[*]", `"5 mm"`, `["0 mm", "1 mm"]`, `["5 mm", "5 mm"]`},
		{"parts.lift arm.heights[*].at", `"30 deg"`, `"20 deg"`, `"30 deg"`},
		{"chassis.length", `"1 m"`, `["0 mm", "1 mm"]`, "[\"0 mm\", \"1 mm\"]\nlength = \"1 m\""},
		{"wheels[0].radius", `"5 mm"`, `kind = "omni" }, {`, `kind = "omni", radius = "5 mm" }, {`},
		{"odometry.track", `"1 m"`, "[odometry]", "[odometry]\ntrack = \"1 m\""},
		{"spread.start_at", `"1 mm"`, "[odometry]", "[odometry]\n\n[spread]\nstart_at = \"1 mm\"\n"},
		{"about", `"me"`, "[chassis]", "about = \"me\"\n[chassis]"},
	} {
		got, err := Edit([]byte(edited), c.path, c.value)
		if want := strings.Replace(edited, c.from, c.to, 1); err != nil || string(got) != want {
			t.Errorf("%s: %v\n%s\nwant\n%s", c.path, err, got, want)
			continue
		}
		var any map[string]any
		if err := toml.Unmarshal(got, &any); err != nil {
			t.Errorf("%s: not TOML any more: %v", c.path, err)
		}
	}
}

func TestEditRefusesWhatItCannotPlace(t *testing.T) {
	for _, c := range []struct{ path, want string }{
		{"chassis[*]", "chassis is no list"}, {"wheels[*]", "is a table or a list"},
		{"chassis", "is a table or a list"}, {"wheels", "is a table or a list"}, {"wheels[0]", "is a table or a list"},
		{"wheels[7].kind", "there is no wheels[7]"},
		{"parts.claw.gear", "a list that has no \"claw\": there are intake, lift arm"},
		{"chassis.centre[4]", "there is no chassis.centre[4]"}, {"a b.c", "nothing of that name"},
		{"", "nothing of that name"}, {"title.x", "the file has no place for title.x: title cannot become a table"},
		{"title.x.y", "the file has no place for title.x.y"}, {"chassis.mass.of", "cannot become a table"},
	} {
		if _, err := Edit([]byte(edited), c.path, "1"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.path, err, c.want)
		}
	}
}

func TestEveryElementOfAListIsEdited(t *testing.T) {
	got, err := Edit([]byte(edited), "wheels[*].kind", `"traction"`)
	if want := strings.ReplaceAll(edited, `"omni"`, `"traction"`); err != nil || string(got) != want {
		t.Errorf("%v\n%s", err, got)
	}
	if got, err = Edit([]byte(edited), "parts[*].gear", "3"); err != nil || strings.Count(string(got), "gear = 3") != 2 {
		t.Errorf("%v\n%s", err, got)
	}
}
