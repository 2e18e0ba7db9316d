package scripting

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/talk"
	"chalkfield/sim/robot"
)

// script is a program outside that gives commands one after another, each when the one before has ended.
type script struct {
	steps []talk.Answer
	begun talk.Begin
	ticks []talk.Tick
	end   talk.End
}

func (s *script) Begin(b talk.Begin) error { s.begun = b; return nil }
func (s *script) End(e talk.End)           { s.end = e }

func (s *script) Ask(t talk.Tick) (talk.Answer, error) {
	s.ticks = append(s.ticks, t)
	if len(s.steps) == 0 {
		return talk.Answer{To: t.Number, Done: true}, nil
	}
	next := s.steps[0]
	s.steps = s.steps[1:]
	next.To = t.Number
	return next, nil
}

// do is a step that waits for a time, or for the end of the command.
func do(wait float64, command string, with ...any) talk.Answer {
	id := 0
	if wait == 0 {
		id, wait = 1, 1e6
	}
	return talk.Answer{Commands: []talk.Command{{Do: command, With: with, ID: id}}, Wait: wait}
}

// foreign is a routine by a script.
func foreign(t testing.TB, s *script) *Program {
	t.Helper()
	p, err := NewForeign("script", talk.Ready{Phases: []string{"auto"}}, nil, func() (Guest, error) { return s, nil })
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A program drives exactly as a routine does that makes the same calls, in every frame, and is told the same.
func TestAProgramDrivesAsARoutineDoes(t *testing.T) {
	lua := load(t, auto(`
    bot.drive:ahead(300)
    bot.drive:face(20, {way = "right"})
    bot.lift:reach("rack", 2)
    bot.drive:dock(900, 600, 180, {speed = 500})
    bot.drive:trace({{700, 600}, {500, 900}})
    bot.drive:volts(4, 6)
    wait(0.5)
    bot.drive:rate(200, 60)
    wait(0.5)
    bot.drive:arcade(0.4, 0.2)
    wait(0.3)
    bot.drive:stop()
    note("there")`))
	steps := func() []talk.Answer {
		options := func(name string, value any) map[string]any { return map[string]any{name: value} }
		return []talk.Answer{
			do(0, "drive.ahead", 300.0), do(0, "drive.face", 20.0, options("way", "right")), do(0, "lift.reach", "rack", 2.0),
			do(0, "drive.dock", 900.0, 600.0, 180.0, options("speed", 500.0)),
			do(0, "drive.trace", []any{[]any{700.0, 600.0}, []any{500.0, 900.0}}),
			do(0.5, "drive.volts", 4.0, 6.0), do(0.5, "drive.rate", 200.0, 60.0), do(0.3, "drive.arcade", 0.4, 0.2),
			{Commands: []talk.Command{{Do: "drive.stop"}, {Do: "note", With: []any{"there"}}}, Done: true},
		}
	}
	for _, kind := range []geom.SymmetryKind{geom.NoSymmetry, geom.HalfTurn, geom.MirrorX, geom.MirrorY} {
		env := Env{Frame: geom.Symmetry{Kind: kind, Centre: middle}}
		own, other := &script{steps: steps()}, stageOf(t, lua, env)
		s := stageOf(t, foreign(t, own), env)
		other.Begin(Auto)
		s.Begin(Auto)
		for range 1500 {
			other.once()
			s.once()
			if s.robot.pose != other.robot.pose {
				t.Fatalf("kind %d: at %.2f s the program is at %v, the routine at %v", kind, s.now, s.robot.pose, other.robot.pose)
			}
		}
		if told, want := toldOf(s), toldOf(other); told != want || !strings.Contains(told, "there") {
			t.Errorf("kind %d: the program leaves\n%s\nthe routine\n%s", kind, told, want)
		}
	}
}

// toldOf is what a routine left, without its lines.
func toldOf(s *stage) string {
	var text strings.Builder
	for _, e := range s.events {
		if e.Kind != record.TaskStart && e.Kind != record.TaskEnd {
			fmt.Fprintln(&text, e.T, e.Kind, e.What, e.Text, e.Reason, e.Took, e.Value)
		}
	}
	return text.String()
}

// What a program is told of the robot is what Lua can ask, and nothing else.
func TestWhatAProgramSees(t *testing.T) {
	own := &script{}
	s := stageOf(t, foreign(t, own), Env{Side: "ochre"})
	s.Begin(Auto)
	s.once()
	s.Close()
	seen := own.ticks[0]
	if seen.Battery != 12.4 || seen.Air != 500 || seen.Phase != "auto" || seen.Number != 1 || seen.Pad != nil {
		t.Errorf("it sees %+v", seen)
	}
	if got := fmt.Sprint(seen.Sensors); got != "map[along:500 camera:2 chute:1 edge:0 eye:1 front:750 "+
		"gyro:57.29577951308232 left_wheel:250 mast_height:300 tape:0.25 tilt:28.64788975654116]" {
		t.Errorf("the sensors are %s", got)
	}
	if got := fmt.Sprint(seen.Parts["lift"]); got != "map[amps:0 angle:0 at:true heat:0 moving:false stalled:false]" {
		t.Errorf("of the lift it sees %s", got)
	}
	if own.begun.Side != "ochre" || own.end.Why != "over" {
		t.Errorf("it was told %+v and %+v", own.begun, own.end)
	}
}

// Beside numbers a program is told what Lua can ask of a piece and of marks, in its own coordinates and sides.
func TestAProgramIsToldWhatSensorsTellApart(t *testing.T) {
	own := &script{}
	s := stageOf(t, foreign(t, own), Env{Twins: [2]string{"ochre", "teal"}, Frame: geom.Symmetry{Kind: geom.MirrorX},
		Marks: []Mark{{"far post", geom.Vec{X: 3}}, {"hidden post", geom.Vec{X: 1}}, {"near post", geom.Vec{X: 2, Y: 1}}}})
	s.robot.side = "teal"
	s.robot.sights = []robot.Sight{{Range: 2, Bearing: 20 * deg}, {}, {Range: 1, Bearing: -10 * deg}}
	s.play(Auto, 1)
	const want = `{"camera":{"seen":[{"name":"near post","x":2000,"y":1000,"range":1000,"bearing":10},` +
		`{"name":"far post","x":3000,"y":0,"range":2000,"bearing":-20}]},"eye":{"kind":"core","side":"ochre"}}`
	if got, err := json.Marshal(own.ticks[0].Looks); string(got) != want || err != nil {
		t.Errorf("it is told %s, %v\nwant           %s", got, err, want)
	}
	if got := fmt.Sprint(own.begun.Marks); got != "[{far post 3000 0} {hidden post 1000 0} {near post 2000 1000}]" {
		t.Errorf("the marks are %s", got)
	}
	if got := fmt.Sprint(looksOf(fakeSensors[0]), looksOf(fakeSensors[8])); got != "[] [kind side]" {
		t.Errorf("sensors tell %s", got)
	}
}

// Each call of Lua is a command or a reading of a program, once.
func TestEachCallIsACommandOrAReading(t *testing.T) {
	parts, err := Hears(&robot.Robot{Parts: fakeParts})
	if err != nil {
		t.Fatal(err)
	}
	commands := map[string]string{
		"drive": "ahead arcade dock face rate rest stop tank trace visit volts", "intake": "run stop",
		"conveyor": "hold run stop", "clamp": "open shut", "scorer": "", "claw": "back drop give grab out place",
		"lift": "hold reach stop to volts", "mast": "hold reach stop to volts",
		"gate": "open shut",
	}
	for i, p := range parts {
		calls := sortedNames(driveMethods())
		if i > 0 {
			calls = nil
			for _, c := range partCalls[robot.Kind(p.Kind)] {
				if l := fakeParts[i-1].Lift; l == nil || c.name() != notOf(l) {
					calls = append(calls, c.name())
				}
			}
			slices.Sort(calls)
		}
		both := slices.Concat(p.Commands, p.Readings)
		if slices.Sort(both); !slices.Equal(both, calls) || strings.Join(p.Commands, " ") != commands[p.Name] {
			t.Errorf("%s: commands %v and readings %v, of %v", p.Name, p.Commands, p.Readings, calls)
		}
	}
	if len(parts) != len(commands) {
		t.Errorf("%d parts", len(parts))
	}
}

// Events and samples have the lines that a program tells, its own failures too; a place that is none is refused.
func TestAProgramTellsItsLines(t *testing.T) {
	at := func(file string, line int) talk.Place { return talk.Place{File: file, Line: line} }
	steps := []talk.Answer{
		{Commands: []talk.Command{{Do: "note", With: []any{"a"}, Place: at("robot.py", 3)},
			{Do: "note", With: []any{"b"}, Place: at("arm.py", 4)}, {Do: "note", With: []any{"c"}}}, Place: at("robot.py", 5)},
		{Place: at("arm.py", 9)},
		{Commands: []talk.Command{{Do: "drive.volts", With: []any{"x", 1.0}, Place: at("robot.py", 7)}}},
	}
	s := stageOf(t, foreign(t, &script{steps: steps}), Env{})
	s.Begin(Auto)
	for tick, want := range []struct {
		line  int
		where place
	}{{5, place{"robot.py", 5}}, {0, place{"arm.py", 9}}} {
		s.once()
		if _, file, line := s.Where(); s.Lines()[0] != want.line || (place{file, line}) != want.where {
			t.Errorf("tick %d: it stands at %v, %s:%d", tick, s.Lines(), file, line)
		}
	}
	s.once()
	var got []string
	for _, e := range s.events {
		if e.Kind == record.Note || e.Kind == record.Failure {
			got = append(got, e.Place()+" "+e.Text)
		}
	}
	want := []string{"robot.py:3 a", "arm.py:4 b", "arm.py:4 c",
		`robot.py:7 drive.volts: the left volts must be a number, not the text "x"`}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	for _, wrong := range []talk.Place{at("robot.py", -1), at("robot.py", 0), at("", 3), at("/home/robot.py", 3),
		at("a\nb", 3), at(strings.Repeat("x", 101), 3), at("robot.py", 2_000_000)} {
		s := stageOf(t, foreign(t, &script{steps: []talk.Answer{{Place: wrong}}}), Env{})
		s.Begin(Auto)
		s.once()
		if got := s.failure(); !strings.Contains(got, `which is no place: write "file": "robot.py", "line": 12`) {
			t.Errorf("%+v: got %q", wrong, got)
		}
	}
}
