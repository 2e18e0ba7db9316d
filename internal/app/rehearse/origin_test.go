package rehearse

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

func TestTraceFindsTheFilesOfARecord(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	source, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	field := write("own.toml", string(source)+"\n# ours\n")
	routine := write("own.lua", "return routine {start = {x = 600, y = 450, heading = 90}, auto = function(bot) end}\n")
	made := func(field *fields.Field, program *scripting.Program) record.Header {
		robot, err := robot.OpenEmbedded("hauler")
		if err != nil {
			t.Fatal(err)
		}
		r, err := New(Setup{Field: field, Nominal: true, Entrants: []Entrant{{Robot: robot, Routine: program}}})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		return r.Record().Header
	}
	ownField, err := fields.Find(field)
	if err != nil {
		t.Fatal(err)
	}
	ownRoutine, err := scripting.Load(routine)
	if err != nil {
		t.Fatal(err)
	}
	demoField, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	demo, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		t.Fatal(err)
	}
	own, embedded := made(ownField, ownRoutine), made(demoField, demo)
	beside := filepath.Join(folder, "r.jsonl")

	check := func(name, path string, header record.Header, want Origin, missing string) {
		t.Helper()
		got, err := Trace(path, &record.Record{Header: header})
		if got.FieldPlace != want.FieldPlace || got.RobotPlace != want.RobotPlace || got.RoutinePlace != want.RoutinePlace || got.RoutineChanged != want.RoutineChanged {
			t.Errorf("%s: field %q, robot %q, routine %q (changed: %v)", name, got.FieldPlace, got.RobotPlace, got.RoutinePlace, got.RoutineChanged)
		}
		if (err == nil) != (missing == "") || err != nil && !strings.Contains(err.Error(), missing) {
			t.Errorf("%s: error %v, want %q", name, err, missing)
		}
	}
	check("embedded", beside, embedded, Origin{FieldPlace: "core_haul", RobotPlace: "hauler", RoutinePlace: "core_haul_demo"}, "")
	check("beside", beside, own, Origin{FieldPlace: field, RobotPlace: "hauler", RoutinePlace: routine}, "")
	check("elsewhere", filepath.Join(t.TempDir(), "r.jsonl"), own, Origin{RobotPlace: "hauler"}, "on the field own.toml; that file, unchanged, is neither")
	write("own.lua", "return routine {start = {x = 700, y = 450, heading = 90}, auto = function(bot) end}\n")
	check("worked on since", beside, own, Origin{FieldPlace: field, RobotPlace: "hauler", RoutinePlace: routine, RoutineChanged: true}, "")
	write("own.lua", "no routine")
	write("own.toml", "title = 3\n")
	check("broken since", beside, own, Origin{RobotPlace: "hauler"}, "own.toml")

	astray := own
	astray.Field.Name = "../../" + filepath.Base(folder) + "/own.toml"
	write("own.toml", string(source)+"\n# ours\n")
	check("a name that leads elsewhere", beside, astray, Origin{FieldPlace: field, RobotPlace: "hauler"}, "")
}
