package build

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// robotOnBoard puts an embedded robot on a board, as a file of a folder of its own.
func robotOnBoard(t testing.TB, name string) *Board {
	t.Helper()
	text, err := robot.EmbeddedSource(name)
	if err != nil {
		t.Fatal(err)
	}
	return robotBoard(t, string(text))
}

func robotBoard(t testing.TB, text string) *Board {
	t.Helper()
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	return boardOf(t, "robot", []byte(text), Robot{field})
}

func TestEmbeddedRobotsStandOnTheBoard(t *testing.T) {
	for _, name := range robot.Embedded() {
		b := robotOnBoard(t, name)
		if s := b.Sheet(); s.Errors() > 0 || len(s.Shapes) < 8 || s.Robot == nil || s.Field != nil {
			t.Errorf("%s: %v, %d shapes", name, s.Problems, len(s.Shapes))
		}
	}
}

// grip is one of a shape by its path.
func grip(t testing.TB, b *Board, shape, path string) Grip {
	t.Helper()
	s := b.Sheet().Shape(shape)
	if s == nil {
		t.Fatalf("no shape %s", shape)
	}
	i := slices.IndexFunc(s.Grips, func(g Grip) bool { return g.Path == path })
	if i < 0 {
		t.Fatalf("no grip %s of %s", path, shape)
	}
	return s.Grips[i]
}

// What is dragged on one side of the robot is dragged on the other; what stands in the file beside it stays.
const (
	eye      = "sensors[4]" // the hauler's distance sensor
	eyeIndex = 4
)

func TestBothSidesAreDragged(t *testing.T) {
	b := robotOnBoard(t, "hauler")
	before := b.Text()
	for _, c := range []struct {
		name  string
		edits []Edit
	}{
		{"a wheel", b.Sheet().Shape("wheels[0]").Move(geom.Vec{X: 0.01, Y: -0.02})},
		{"a distance sensor", grip(t, b, eye, eye+".distance.at").Drag(geom.Vec{X: 0.2, Y: 0.05})},
		{"its direction", grip(t, b, eye, eye+".distance.direction").Drag(geom.Vec{X: 0.205, Y: 1})},
	} {
		if err := b.Do(c.name, c.edits...); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
	}
	wheels := b.Sheet().Robot.Wheels
	twin := slices.IndexFunc(wheels[1:], func(w robot.Wheel) bool { return w.At == across(wheels[0].At) })
	if twin < 0 || b.Sheet().Errors() > 0 {
		t.Errorf("wheels %+v; %v", wheels, b.Sheet().Problems)
	}
	if d := b.Sheet().Robot.Sensors[eyeIndex].Distance; d.At.X != 0.2 || d.At.Y != 0.05 ||
		math.Abs(d.At.Heading-math.Pi/2) > 0.01 {
		t.Errorf("distance sensor at %+v", d.At)
	}
	comments := func(text string) (n int) { return strings.Count(text, "#") }
	if comments(b.Text()) != comments(before) || strings.Count(b.Text(), "\n") > strings.Count(before, "\n")+2 {
		t.Errorf("the file became\n%s", b.Text())
	}
	for range 3 {
		if _, err := b.Undo(); err != nil {
			t.Fatal(err)
		}
	}
	if b.Text() != before {
		t.Error("undone, the file is another")
	}
}

// A rectangle gains corners, in pairs, and loses them; what the reader refuses is marked at its corner.
func TestARectangleBecomesAnOutline(t *testing.T) {
	b := robotOnBoard(t, "hauler")
	chassis := func() *Shape { return b.Sheet().Shape("chassis") }
	if err := b.Do("wider", grip(t, b, "chassis", "chassis.length").Drag(geom.Vec{X: 0.22, Y: 0.21})...); err != nil {
		t.Fatal(err)
	}
	if c := b.Sheet().Robot.Chassis; c.Length != 0.44 || c.Width != 0.42 {
		t.Errorf("%+v", c)
	}
	if err := b.Corner(chassis(), geom.Vec{X: 0.26, Y: 0}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.Text(), `outline = [`) || strings.Contains(b.Text(), "\nlength = \"440 mm\"\nwidth") ||
		len(b.Sheet().Robot.Chassis.Outline) != 5 || b.Sheet().Errors() > 0 {
		t.Fatalf("%v\n%.500s", b.Sheet().Problems, b.Text())
	}
	if err := b.Corner(chassis(), geom.Vec{X: -0.24, Y: 0.1}); err != nil { // with its twin
		t.Fatal(err)
	}
	corners := b.Sheet().Robot.Chassis.Outline
	if len(corners) != 7 || !slices.Contains(corners, geom.Vec{X: -0.24, Y: -0.1}) || b.Sheet().Errors() > 0 {
		t.Fatalf("%v %v", corners, b.Sheet().Problems)
	}
	b.Choose("chassis")
	point := slices.IndexFunc(chassis().Grips, func(g Grip) bool { return g.At == geom.Vec{X: 0.26} })
	if err := b.Try(chassis().Grips[point].Drag(geom.Vec{X: 0.1, Y: 0.004})...); err != nil {
		t.Fatal(err)
	}
	path := chassis().Grips[point].Path
	if p := b.Sheet().ProblemsOf(path); len(p) == 0 || !strings.Contains(p[0].What, "turns inwards") ||
		chassis().Grips[point].At !=
			(geom.Vec{X: 0.1}) {
		t.Errorf("%v", b.Sheet().Problems)
	}
	b.Drop()
	if err := b.Do("away", chassis().Grips[point].Take...); err != nil || len(b.Sheet().Robot.Chassis.Outline) != 6 {
		t.Errorf("%v %v", err, b.Sheet().Robot.Chassis.Outline)
	}
}

func robotAdding(t testing.TB, b *Board, name string) Adding {
	t.Helper()
	i := slices.IndexFunc(b.Addings(), func(a Adding) bool { return a.Name == name })
	if i < 0 {
		t.Fatalf("no %q among %v", name, b.Addings())
	}
	return b.Addings()[i]
}

// From the least that makes a robot everything can be added by its gesture; what is missing is marked until it is
// there.
func TestARobotIsAddedTo(t *testing.T) {
	b := robotBoard(t, `[chassis] # ours
length = "400 mm"
width = "380 mm"
mass = "6 kg"

[[wheels]] # left
at = ["0 mm", "160 mm"]
train = "left"
radius = "40 mm"

[[wheels]]
at = ["0 mm", "-160 mm"]
train = "right"
radius = "40 mm"
`)
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	for _, c := range []struct {
		name   string
		points []geom.Vec
		path   string
		wrong  string // at it
		want   string // in the file
	}{
		{"pair of wheels", []geom.Vec{at(0.12, 0.16)}, "wheels[2]", "",
			"[[wheels]]\nat = [\"120 mm\", \"-160 mm\"]\ntrain = \"right\"\nradius = \"40 mm\"\n"},
		{"part: intake", []geom.Vec{at(0.19, -0.12), at(0.3, 0.12)}, "parts[0]", "this robot has no conveyor",
			"intake.mouth = [[\"190 mm\", \"-120 mm\"], [\"300 mm\", \"-120 mm\"], [\"300 mm\", \"120 mm\"], " +
				"[\"190 mm\", \"120 mm\"]]\n"},
		{"part: conveyor", []geom.Vec{at(0.29, 0), at(-0.29, 0)}, "parts[1]", "",
			"conveyor.length = \"580 mm\"\nconveyor.slots = 3\nconveyor.exit = [\"290 mm\", \"0 mm\"]\n" +
				"conveyor.out = [\"-290 mm\", \"0 mm\"]\nconveyor.direction = \"180 deg\"\n"},
		{"part: clamp", []geom.Vec{at(-0.33, 0)}, "parts[2]", "", "clamp.direction = \"180 deg\"\n"},
		{"sensor: distance", []geom.Vec{at(0, 0.19)}, "sensors[0]", "",
			"distance = { at = [\"0 mm\", \"190 mm\"], direction = \"90 deg\" }\n"},
		{"sensor: optical", nil, "sensors[1]", "", "optical = { along = \"200 mm\" }\n"},
		{"sensor: inertial", nil, "sensors[2]", "", "inertial = {}\n"},
		{"motor", nil, "motors[0]", "", "[[motors]]\nname = \"motor\"\n"},
	} {
		path, err := b.Insert(robotAdding(t, b, c.name), c.points...)
		if err != nil || path != c.path || !strings.Contains(b.Text(), c.want) {
			t.Fatalf("%s: %q, %v; in\n%s", c.name, path, err, b.Text())
		}
		problems := b.Sheet().ProblemsOf(path)
		if c.wrong == "" && b.Sheet().Errors() > 0 ||
			c.wrong != "" && (len(problems) == 0 || !strings.Contains(problems[0].What, c.wrong)) {
			t.Errorf("%s: %v", c.name, b.Sheet().Problems)
		}
	}
	if !strings.Contains(b.Text(), "[air]\nvolume = \"400 ml\"") || !strings.Contains(b.Text(), "[chassis] # ours") {
		t.Errorf("no air for the clamp, or a comment is gone:\n%s", b.Text())
	}
	if slices.ContainsFunc(b.Addings(), func(a Adding) bool { return a.Name == "air" }) {
		t.Error("air can be added twice")
	}
	b.Choose("parts[0]")
	if err := b.Write(b.Rows()[0], "mouth"); err != nil {
		t.Fatal(err)
	}
	b.Choose("parts[1]")
	rows := b.Rows()
	i := slices.IndexFunc(rows, func(r Row) bool { return r.Label == "slots" })
	if i < 0 || b.Write(rows[i], "5") != nil || b.Sheet().Robot.Parts[1].Conveyor.Slots != 5 {
		t.Errorf("rows %v", rows)
	}
}

// What cannot work is marked at the part: a mouth that no piece gets into.
func TestWhatCannotWorkIsMarked(t *testing.T) {
	b := robotOnBoard(t, "hauler")
	mouth := b.Sheet().Shape("parts[0]")
	if err := b.Do("pulled in", mouth.Move(geom.Vec{X: -0.09})...); err != nil {
		t.Fatal(err)
	}
	p := b.Sheet().ProblemsOf("parts[0]")
	if len(p) != 1 || !p[0].Doubtful || !strings.Contains(p[0].What, "no piece gets into its mouth") ||
		b.Sheet().Errors() > 0 {
		t.Errorf("%v", b.Sheet().Problems)
	}
}

// A wheel on one side is doubled on the other; a part that is renamed keeps what names it.
func TestTwinsAndNamesOfARobot(t *testing.T) {
	b := robotBoard(t, strings.Replace(minimalRobot, "[[wheels]]\nat = [\"0 mm\", \"-160 mm\"]\ntrain = \"right\"\n", "",
		1))
	b.Choose("wheels[0]")
	if err := b.Twin(); err != nil || b.Sheet().Errors() > 0 || b.Sheet().Robot.Wheels[1].At != (geom.Vec{Y: -0.16}) ||
		b.Sheet().Robot.Wheels[1].Train != robot.Right {
		t.Errorf("%v %v\n%s", err, b.Sheet().Problems, b.Text())
	}
	b = robotOnBoard(t, "hauler")
	for _, list := range []string{"motors[0]", "parts[1]", eye} {
		b.Choose(list)
		if err := b.Write(b.Rows()[0], "renamed"); err != nil || b.Sheet().Errors() > 0 {
			t.Errorf("%s: %v %v", list, err, b.Sheet().Problems)
		}
	}
	b.Choose(eye)
	if err := b.Twin(); err != nil || b.Sheet().Errors() > 0 {
		t.Errorf("%v %v\n%s", err, b.Sheet().Problems, b.Text())
	}
}

const minimalRobot = `[chassis]
length = "400 mm"
width = "380 mm"
mass = "6 kg"
[[wheels]]
at = ["0 mm", "160 mm"]
train = "left"
[[wheels]]
at = ["0 mm", "-160 mm"]
train = "right"
`

// Whatever is done to a robot, the file is what the board shows, Parse agrees on whether it is whole, and undo brings
// the first text back.
func TestWhateverIsDoneToARobot(t *testing.T) {
	property.Check(t, func(r *rapid.T) {
		b := robotOnBoard(t, rapid.SampledFrom(robot.Embedded()).Draw(r, "robot"))
		first := b.Text()
		for range rapid.IntRange(1, property.Cases(2, 10)).Draw(r, "steps") {
			randomRobotStep(r, b)
			data, err := os.ReadFile(b.Path())
			if err != nil || string(data) != b.Text() {
				r.Fatalf("%v: on disk\n%s\non the board\n%s", err, data, b.Text())
			}
			if _, err := robot.Parse(b.Path(), data); (err == nil) != (b.Sheet().Errors() == 0) {
				r.Fatalf("read: %v; problems: %v", err, b.Sheet().Problems)
			}
			_ = b.Rows()
		}
		for b.Steps() > 0 {
			if _, err := b.Undo(); err != nil {
				r.Fatal(err)
			}
		}
		if b.Text() != first {
			r.Fatalf("undone:\n%s", b.Text())
		}
	})
}

func randomRobotStep(r *rapid.T, b *Board) {
	place := func(what string) geom.Vec {
		number := rapid.Float64Range(-0.4, 0.4)
		return geom.Vec{X: number.Draw(r, what+" x"), Y: number.Draw(r, what+" y")}
	}
	b.Choose(rapid.SampledFrom(b.tables()).Draw(r, "table"))
	shape := b.Sheet().Shape(b.Chosen())
	switch rapid.IntRange(0, 6).Draw(r, "what") {
	case 0:
		if shape != nil && shape.Move != nil {
			_ = b.Do("moved", shape.Move(place("by"))...)
		}
	case 1:
		if shape != nil && len(shape.Grips) > 0 {
			_ = b.Do("dragged", rapid.SampledFrom(shape.Grips).Draw(r, "grip").Drag(place("to"))...)
		}
	case 2:
		a := rapid.SampledFrom(b.Addings()).Draw(r, "adding")
		if _, err := b.Insert(a, place("from"), place("to")); err != nil {
			r.Fatalf("%s cannot be added: %v", a.Name, err)
		}
	case 3:
		_ = b.Twin()
	case 4:
		_ = b.Delete()
	case 5:
		_ = b.Corner(shape, place("corner"))
	case 6:
		row := rapid.SampledFrom(b.Rows()).Draw(r, "row")
		typed := rapid.SampledFrom([]string{"60 mm", "3", "yes", "left", "10, 20", "x", `a"b\`, "7 kg", "",
			"[1, 2]"}).Draw(r, "typed")
		_ = b.Write(row, typed)
	}
}

// What a table within a part's may hold is offered though the file has no such table yet: typed, the file has it.
func TestATableThatIsNotThereYetIsTyped(t *testing.T) {
	b := robotOnBoard(t, "hauler")
	for part, typed := range map[string]map[string]string{
		"clamp": {"piston bore": "12 mm"}, "lift": {"gains hold": "1.5 V"},
	} {
		for _, g := range b.Sheet().Groups {
			for _, item := range g.Items {
				if g.Path == "parts" && item.Words == part {
					b.Choose(item.Path)
				}
			}
		}
		for label, value := range typed {
			at := slices.IndexFunc(b.Rows(), func(r Row) bool { return r.Label == label })
			if at < 0 {
				t.Fatalf("%s has no row %q", part, label)
			}
			row := b.Rows()[at]
			if err := b.Clear(row); err != nil {
				t.Fatal(err)
			}
			if err := b.Write(b.Rows()[at], value); err != nil {
				t.Fatal(err)
			}
			if got := b.Rows()[at]; !got.Given || got.Value != value || b.Sheet().Errors() > 0 {
				t.Errorf("%s: %q, %v", label, got.Value, b.Sheet().Problems)
			}
		}
	}
	b = boardOf(t, "plain", []byte(hexed+"[[parts]]\nname = \"clamp\"\nclamp = { at = [\"-300 mm\", \"0 mm\"] }\n"+
		"[[parts]]\nname = \"claw\"\n[parts.claw]\nat = [\"300 mm\", \"0 mm\"]\n"), Robot{})
	for _, path := range []string{"parts[0]", "parts[1]"} {
		b.Choose(path)
		at := slices.IndexFunc(b.Rows(), func(r Row) bool { return r.Label == "piston bore" })
		if at < 0 || b.Rows()[at].Given {
			t.Fatalf("%s: row %d of %v", path, at, b.Rows())
		}
		if err := b.Write(b.Rows()[at], "12 mm"); err != nil {
			t.Fatal(err)
		}
		if got := b.Rows()[at]; !got.Given || got.Value != "12 mm" {
			t.Errorf("%s: %+v\n%s", path, got, onDisk(t, b))
		}
	}
}

// hexed is the least that makes a robot, with air.
const hexed = minimalRobot + `[air]
volume = "300 ml"
`
