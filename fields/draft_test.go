package fields

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/tomlfile"
)

// A draft of a field with anything taken out, or something odd in its place, is read without a panic, and refused
// exactly where the field is. At full length every key of every list is tried, in at least four of the 28 tables that
// fields have of it; all would take a minute.
func TestADraftIsRefusedWhereTheFieldIs(t *testing.T) {
	tried, seen, stride := 0, 0, property.Cases(41, 7)
	keys, sampledKeys := map[string]bool{}, map[string]bool{}
	sampled := func(list, key string) bool {
		seen++
		keys[list+"."+key] = true
		if seen%stride > 0 {
			return false
		}
		sampledKeys[list+"."+key] = true
		return true
	}
	for _, name := range Embedded() {
		data, err := EmbeddedSource(name)
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, name, data)
		for _, list := range tomlfile.KeysOf(reflect.TypeFor[Field](), "") {
			paths := []string{list.Name}
			for i := range 3 {
				paths = append(paths, fmt.Sprintf("%s[%d]", list.Name, i))
			}
			for _, table := range paths {
				for _, k := range append(tomlfile.KeysOf(reflect.TypeFor[Field](), table), tomlfile.Key{}) {
					path := strings.TrimSuffix(table+"."+k.Name, ".")
					if !sampled(list.Name, k.Name) {
						continue
					}
					if without, err := tomlfile.Remove(data, path); err == nil {
						agrees(t, name+" without "+path, without)
						tried++
					}
					for _, odd := range []string{`"-1 m"`, `"nonsense"`, "[]", "-7", `[["0 m", "0 m"], ["9 m", "9 m"]]`} {
						if with, err := tomlfile.Put(data, path, odd); err == nil && k.Name != "" {
							agrees(t, name+" with "+path+" = "+odd, with)
							tried++
						}
					}
				}
			}
		}
	}
	if every := property.Cases(20, len(keys)); tried < 20 || len(sampledKeys) < every {
		t.Errorf("only %d were tried, of %d keys", tried, len(sampledKeys))
	}
}

func agrees(t *testing.T, what string, data []byte) {
	t.Helper()
	_, parsed := Parse("x.toml", data)
	draft, err := ReadDraft("x.toml", data)
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	if (parsed == nil) != (len(draft.Wrong) == 0) {
		t.Errorf("%s: read: %v; as a draft: %v", what, parsed, draft.Wrong)
	}
}

func TestAStartIsCopiedAndDoubted(t *testing.T) {
	data, err := EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data) + "\n[[starts]]\nside = \"ochre\"\nat = [\"600 mm\", \"450 mm\"]\nheading = \"90 deg\"\n" +
		"copy = true\n"
	f, err := Parse("x.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	at, ok := f.StartFor(1)
	if !ok || at.X != 3.6 || at.Y != 2.55 || f.Starts[1].Name != "teal start 1" || len(f.Starts) != 2 {
		t.Errorf("teal starts at %v: %v", at, f.Starts)
	}
	for _, c := range [][2]string{{`"600 mm", "450 mm"`, ""}, {`"50 mm", "450 mm"`, "from a wall"},
		{`"600 mm", "1.5 m"`, `stands in "ochre near sled"`}} {
		d, err := ReadDraft("x.toml", []byte(strings.Replace(text, `at = ["600 mm", "450 mm"]`, "at = ["+c[0]+"]", 1)))
		if err != nil || len(d.Wrong) > 0 {
			t.Fatal(err, d.Wrong)
		}
		told := ""
		for _, doubt := range d.Doubts() {
			told += doubt.Path + ": " + doubt.What + "\n"
		}
		if (told == "") != (c[1] == "") || !strings.Contains(told, c[1]) {
			t.Errorf("%s: %q, want %q", c[0], told, c[1])
		}
	}
}

// doubtsOf are the doubts of a text, a line each.
func doubtsOf(t *testing.T, text string) (told string) {
	t.Helper()
	d, err := ReadDraft("x.toml", []byte(text))
	if err != nil || len(d.Wrong) > 0 {
		t.Fatal(err, d.Wrong)
	}
	for _, doubt := range d.Doubts() {
		told += doubt.Path + ": " + doubt.What + "\n"
	}
	return told
}

// A fixed goal in the middle that one side alone can serve is doubted, and a reach that ends inside the goal; the
// embedded fields have none.
func TestAFixedGoalIsDoubted(t *testing.T) {
	for _, name := range Embedded() {
		text, err := EmbeddedSource(name)
		if err != nil {
			t.Fatal(err)
		}
		if told := doubtsOf(t, string(text)); told != "" {
			t.Errorf("%s: %s", name, told)
		}
	}
	const one = "it faces one side of the field"
	const inside = `a reach of 150 mm from the centre of "well" ends inside its own outline, which goes to 200 mm`
	for symmetry, turns := range map[string]map[string]string{
		"left-right": {"0 deg": one, "90 deg": "", "45 deg": one}, "up-down": {"0 deg": "", "90 deg": one},
		"half turn": {"0 deg": one, "90 deg": one},
	} {
		for turn, want := range turns {
			for _, more := range []struct{ keys, want string }{{"reach = \"300 mm\"", want}, {"", inside},
				{"reach = \"300 mm\"\naround = true", ""}} {
				told := doubtsOf(t, strings.NewReplacer("half turn", symmetry, "TURN", turn, "MORE", more.keys).Replace(welled))
				if (told == "") != (more.want == "") || !strings.Contains(told, more.want) {
					t.Errorf("%s, %s, %q: %q, want %q", symmetry, turn, more.keys, told, more.want)
				}
			}
		}
	}
}

// welled is a game with a well in the middle.
const welled = `title = "Well"
tile = "500 mm"
size = ["4 m", "3 m"]
symmetry = "half turn"
[[sides]]
name = "a"
colour = "#d39a2f"
[[sides]]
name = "b"
colour = "#5aa8c0"
[[piece_kinds]]
name = "buoy"
across = "100 mm"
mass = "100 g"
[[goal_kinds]]
name = "well"
fixed = true
corners = 6
across = "400 mm"
room = 5
takes = ["buoy"]
MORE
[[goals]]
kind = "well"
at = ["2 m", "1.5 m"]
heading = "TURN"
[[pieces]]
kind = "buoy"
at = ["1 m", "1 m"]
[[phases]]
name = "auto"
length = "15 s"
control = "autonomous"
[[sessions]]
name = "auto"
phases = ["auto"]
[[rules]]
name = "in"
kind = "piece in goal"
points = 1
`

func TestAPictureIsJudgedWhereItIsNamed(t *testing.T) {
	data, err := EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "words.png"), []byte("words"), 0o600); err != nil {
		t.Fatal(err)
	}
	for file, want := range map[string]string{"none.png": "there is no picture none.png here",
		"words.png": "no picture that", ".": "is no file"} {
		text := string(data) + "\n[picture]\nfile = \"" + file + "\"\nbox = [[\"0 m\", \"0 m\"], [\"1 m\", \"1 m\"]]\n"
		d, err := ReadDraft(filepath.Join(folder, "x.toml"), []byte(text))
		if err != nil || len(d.Wrong) != 1 || !strings.Contains(d.Wrong[0].What, want) || d.Wrong[0].Key != "picture.file" ||
			d.Wrong[0].Line < 200 {
			t.Errorf("%s: %v %v", file, err, d.Wrong)
		}
	}
}

// At a cut corner the advice is how far from the slanted wall the centre must be: there it stands, a bit nearer not.
func TestTheAdviceAtASlantedWallIsRight(t *testing.T) {
	floor := geom.Polygon{{X: 0.6}, {X: 4}, {X: 4, Y: 3}, {Y: 3}, {Y: 0.6}}
	out := geom.Vec{X: math.Sqrt(0.5), Y: math.Sqrt(0.5)} // of the wall, inwards
	for _, outline := range []geom.Polygon{nil, geom.Rect(geom.Vec{X: -0.15, Y: -0.15}, geom.Vec{X: 0.15, Y: 0.15}),
		geom.Regular(6, 0.2)} {
		at := func(far float64) solid {
			s := solid{centre: geom.Vec{X: 0.3 + out.X*far, Y: 0.3 + out.Y*far}, radius: 0.15}
			if outline != nil {
				s.outline, s.radius = outline.Placed(geom.Pose{X: s.centre.X, Y: s.centre.Y}), geom.Norm(outline[0])
			}
			return s
		}
		told := at(0.1).keepsOff(floor)
		words, rest, _ := strings.Cut(told, " mm")
		mm, err := strconv.ParseFloat(words, 64)
		if err != nil || rest != " or more from the slanted wall" {
			t.Fatalf("%q", told)
		}
		if !at(mm/1000+0.001).on(floor) || at(mm/1000-0.002).on(floor) {
			t.Errorf("%q is not where it stands", told)
		}
	}
}
