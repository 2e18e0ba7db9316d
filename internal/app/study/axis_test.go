package study

import (
	"errors"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

func TestParseReadsAxes(t *testing.T) {
	for _, c := range []struct {
		text   string
		target Target
		path   string
		labels []string
		values []float64
		unit   string
	}{
		{"param:turn_gain=0.05..0.2/4", Param, "turn_gain", []string{"0.05", "0.1", "0.15", "0.2"},
			[]float64{0.05, 0.1, 0.15, 0.2}, ""},
		{"robot:chassis.mass=5 kg..8 kg/3", Robot, "chassis.mass", []string{"5 kg", "6.5 kg", "8 kg"}, []float64{5, 6.5, 8},
			"kg"},
		{"goal:sled 3.x = -40 mm, 0 mm, 40 mm", Goal, "sled 3.x", []string{"-40 mm", "0 mm", "40 mm"},
			[]float64{-40, 0, 40}, "mm"},
		{"robot:wheels[0].kind=omni,traction", Robot, "wheels[0].kind", []string{"omni", "traction"}, []float64{0, 1}, ""},
		{"robot:drive.per_side=3,1,2", Robot, "drive.per_side", []string{"3", "1", "2"}, []float64{3, 1, 2}, ""},
		{"number:31.2=500..700/3", Number, "31.2", []string{"500", "600", "700"}, []float64{500, 600, 700}, ""},
		{"param:x=1..-1/3", Param, "x", []string{"1", "0", "-1"}, []float64{1, 0, -1}, ""},
	} {
		a, err := ParseAxis(c.text)
		if err != nil || a.Target != c.target || a.Path != c.path || !slices.Equal(a.Labels, c.labels) ||
			!slices.Equal(a.Values, c.values) || a.Unit != c.unit {
			t.Errorf("%s: %v, %+v", c.text, err, a)
		}
	}
}

func TestParseRefusesInOneLineWithAnExample(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"chassis.mass", "has no values"},
		{"mass=1,2", "names no quantity"},
		{"robot:=1,2", "names no quantity after the colon"},
		{"param:gain=0..1", "number of values from 2"},
		{"param:gain=0..1/1", "number of values from 2"},
		{"param:gain=0..1/100000", "number of values from 2 to 1000"},
		{"param:gain=a..b/3", `"a" is not a number`},
		{"param:gain=1 kg,2 kg", "has no unit"},
		{"number:31=5 mm,6 mm", "plain one"},
		{"number:31.two=5,6", "number:31.2 its second"},
		{"number:0=5,6", "number:31 is the first of line 31"},
		{"robot:chassis.mass=5 kg..8 lb/3", "the same twice"},
		{"robot:chassis.mass=5 kg,8 lb", "same unit"},
		{"robot:chassis.mass=5 kg,,6 kg", "value 2 is empty"},
		{"goal:sled 3=1 mm,2 mm", "end the name in .x, .y or .heading"},
		{"goal:sled 3.x=1,2", "no unit"},
		{"goal:sled 3.heading=1 mm,2 mm", "not a unit of an angle"},
		{"param:gain=NaN,1", "does not go with"},
	} {
		if _, err := ParseAxis(c.text); err == nil || !strings.Contains(err.Error(), c.want) ||
			strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error %v, want %q", c.text, err, c.want)
		}
	}
}

// hauler is the embedded robot and field.
func hauler(t testing.TB) Inputs {
	t.Helper()
	robotText, err1 := robot.EmbeddedSource("hauler")
	fieldText, err2 := fields.EmbeddedSource("core_haul")
	robot, err3 := robot.OpenEmbedded("hauler")
	field, err4 := fields.OpenEmbedded("core_haul")
	if err := errors.Join(err1, err2, err3, err4); err != nil {
		t.Fatal(err)
	}
	return Inputs{Robot: robot, Field: field, RobotSource: Source{"hauler.toml", robotText},
		FieldSource: Source{"core_haul.toml", fieldText}}
}

func axesOf(t *testing.T, specs ...string) []Axis {
	t.Helper()
	var axes []Axis
	for _, spec := range specs {
		a, err := ParseAxis(spec)
		if err != nil {
			t.Fatal(err)
		}
		axes = append(axes, a)
	}
	return axes
}

func TestAKeyThatTheReaderRefusesNamesOneThatItTakes(t *testing.T) {
	base := hauler(t)
	for _, c := range []struct{ spec, want string }{
		{"robot:parts.lift.gear=5,6", "; or vary robot:parts.lift.lift.gear"},
		{"robot:wheels[0].radius=40 mm,42 mm", "; or vary robot:wheels[*].radius"},
	} {
		_, err := Apply(base, axesOf(t, c.spec), []int{0})
		if err == nil || !strings.HasSuffix(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want %q", c.spec, err, c.want)
		}
	}
	got, err := Apply(base, axesOf(t, "robot:parts.lift.lift.gear=5,6", "robot:wheels[*].radius=40 mm,42 mm"), []int{0, 1})
	if err != nil || math.Abs(got.Robot.Wheels[3].Radius-0.042) > 1e-9 {
		t.Errorf("%v", err)
	}
}

func TestCheckRefusesAxesWithoutEffectOrTwice(t *testing.T) {
	base := hauler(t)
	base.Params = map[string]float64{"haul_speed": 500}
	for _, c := range []struct {
		specs []string
		want  string
	}{
		{[]string{"param:gain=1,2", "param:gain=3,4"}, "the same quantity"},
		{[]string{"robot:parts.lift.lift.gear=5,6", "robot:parts[5].lift.gear=7,8"}, "the same quantity"},
		{[]string{"robot:wheels[*].radius=40 mm,42 mm", "robot:wheels[2].radius=40 mm,42 mm"}, "the same quantity"},
		{[]string{"goal:middle sled.x=1 mm,2 mm", "goal:middle sled.x=1 mm,3 mm"}, "the same quantity"},
		{[]string{"param:haul_speed=300,500"}, "has the fixed value 500 by --param"},
		{[]string{"piece:core 1.y=10 mm,20 mm"}, "core 1 is loaded in the robot of ochre"},
		{[]string{"param:gain=1,2", "param:other=3,4"}, ""},
		{[]string{"robot:chassis.mass=5 kg,6 kg", "field:surface.grip=0.8,0.9"}, ""},
		{[]string{"goal:middle sled.x=1 mm,2 mm", "goal:middle sled.y=1 mm,3 mm"}, ""},
		{[]string{"piece:core 3.y=10 mm,20 mm"}, ""},
	} {
		switch err := checkAxes(base, axesOf(t, c.specs...), []int{0}); {
		case c.want == "" && err != nil, c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%v: %v, want %q", c.specs, err, c.want)
		}
	}
	if err := checkAxes(base, axesOf(t, "piece:core 1.y=10 mm,20 mm"), []int{1}); err != nil {
		t.Errorf("a side without a robot leaves its piece on the floor: %v", err)
	}
}

// A grid gives at every point what Apply gives there, and reads no file twice for it.
func TestGridIsApplyAtEveryPoint(t *testing.T) {
	base := hauler(t)
	for _, specs := range [][]string{
		{"robot:chassis.mass=5 kg,6 kg", "field:surface.grip=0.8,0.9"},
		{"robot:chassis.mass=5 kg,6 kg", "robot:wheels[*].radius=40 mm,42 mm"},
		{"param:gain=1,2", "goal:middle sled.x=1 mm,2 mm"}, {"field:surface.grip=0.8,0.9", "piece:core 3.y=1 mm,2 mm"},
	} {
		axes := axesOf(t, specs...)
		grid := newGrid(base, axes)
		for _, at := range [][]int{{0, 0}, {0, 1}, {1, 0}, {1, 1}} {
			got, err1 := grid.At(at)
			want, err2 := Apply(base, axes, at)
			if err1 != nil || err2 != nil || !reflect.DeepEqual(got.Robot, want.Robot) ||
				!reflect.DeepEqual(got.Field, want.Field) || !maps.Equal(got.Params, want.Params) {
				t.Errorf("%v at %v: %v %v", specs, at, err1, err2)
			}
		}
		if len(grid.robots)+len(grid.fields) > 5 {
			t.Errorf("%v: %d robots and %d fields read", specs, len(grid.robots), len(grid.fields))
		}
	}
	bad := newGrid(base, axesOf(t, "robot:chassis.mass=5 kg,6 kg", "field:surface.grip=-1,0.9"))
	if _, err := bad.At([]int{0, 0}); err == nil || !strings.HasPrefix(err.Error(), "field:surface.grip = -1: ") {
		t.Errorf("%v", err)
	}
}

// Whatever is edited in the embedded field is still read, and the value that was set is the one that is read.
func TestApplyReachesTheField(t *testing.T) {
	text, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	base := Inputs{Field: field, FieldSource: Source{"core_haul.toml", text}}
	axes := make([]Axis, 0, 3)
	for _, spec := range []string{"field:surface.grip=0.7,0.8", "goal:middle sled.x=5 mm,-5 mm", "param:gain=1,2"} {
		a, err := ParseAxis(spec)
		if err != nil {
			t.Fatal(err)
		}
		axes = append(axes, a)
	}
	got, err := Apply(base, axes, []int{1, 0, 1})
	if err != nil {
		t.Fatal(err)
	}
	if got.Field.Surface.Grip != 0.8 || got.Params["gain"] != 2 ||
		math.Abs(got.Field.Goals[0].At.X-field.Goals[0].At.X-0.005) > 1e-12 {
		t.Errorf("grip %g, gain %g, x %g", got.Field.Surface.Grip, got.Params["gain"], got.Field.Goals[0].At.X)
	}
	if field.Surface.Grip == 0.8 || base.Params != nil {
		t.Error("the base was changed")
	}
	for _, c := range []struct{ spec, want string }{
		{"goal:sled 99.x=5 mm,6 mm", `has no goal "sled 99"`}, {"goal:middle sled.x=50 m,60 m", "outside the floor"},
		{"field:surface.grap=1,2", `write "grip"`}, {"field:surface.grip=-1,2", "surface.grip"},
		{"field:tile=1 kg,2 kg", "not a unit of a length"},
	} {
		a, err := ParseAxis(c.spec)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Apply(base, []Axis{a}, []int{0}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.spec, err, c.want)
		}
	}
}

// A number of the routine is varied where it stands, and nothing else of the text.
func TestANumberOfTheRoutineIsVaried(t *testing.T) {
	const text = "return routine { start = {x = 600, y = 1000, heading = 0}, auto = function(bot)\n  wait(1) " +
		"wait(2.5)\nend }\n"
	routine, err := scripting.LoadTexts("mine.lua", map[string]string{"mine.lua": text})
	if err != nil {
		t.Fatal(err)
	}
	base := hauler(t)
	base.Routine = routine
	axis := func(words string) Axis {
		a, err := ParseAxis(words)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	in, err := Apply(base, []Axis{axis("number:2.2=3,4"), axis("number:2=0.5,7")}, []int{1, 0})
	if err != nil || in.Routine.Texts["mine.lua"] != strings.Replace(text, "wait(1) wait(2.5)", "wait(0.5) wait(4)", 1) {
		t.Errorf("%v: %v", err, in.Routine.Texts)
	}
	if base.Routine.Texts["mine.lua"] != text {
		t.Errorf("the base became %q", base.Routine.Texts["mine.lua"])
	}
	for words, want := range map[string]string{"number:3=1,2": "mine.lua: line 3 has no number",
		"number:2.3=1,2": "mine.lua: line 2 has 2 numbers: there is no 3",
		"number:2=-1,2":  "mine.lua:2: -1 is too small here"} {
		if _, err := Apply(base, []Axis{axis(words)}, []int{0}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", words, err, want)
		}
	}
	if err := checkAxes(base, []Axis{axis("number:2=1,2"), axis("number:2.1=3,4")}, nil); err == nil {
		t.Error("one number is varied by two axes")
	}
	if _, err := Apply(hauler(t), []Axis{axis("number:2=1,2")}, []int{0}); err == nil {
		t.Error("a number of no routine is varied")
	}
}
