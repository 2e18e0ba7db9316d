package viewmodel

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// ownRoutine is a routine file that tells the robot nothing to do.
const ownRoutine = "return routine {start = {x = 1200, y = 900, heading = 90}, auto = function(bot) wait(%) end}\n"

// loadAny reads what files name, as the command line does.
func loadAny(f Files) (Loaded, error) {
	var setup rehearse.Setup
	var err error
	home, usual := assets.RoutineHome(f.Routine)
	if setup.Field, err = fields.Find(named(f.Field, home)); err != nil {
		return Loaded{}, err
	}
	entrant := rehearse.Entrant{}
	if entrant.Robot, err = robot.Find(named(f.Robot, usual)); err != nil {
		return Loaded{}, err
	}
	if strings.HasSuffix(f.Routine, ".lua") {
		entrant.Routine, err = scripting.Load(f.Routine)
	} else {
		entrant.Routine, err = scripting.LoadFS(assets.Routines, named(f.Routine, "core_haul_demo")+".lua")
	}
	setup.Nominal, setup.Session, setup.Entrants = true, f.Session, []rehearse.Entrant{entrant}
	return Loaded{Setup: setup, Source: SourceOf(f.Routine, "", "text of "+f.Routine), Watch: []string{f.Routine}}, err
}

func named(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return name
}

// recorded rehearses files and writes the record.
func recorded(t *testing.T, path string, f Files) {
	t.Helper()
	d := deskOn(t, f)
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	if err := d.Now.Record.Write(out); err != nil {
		t.Fatal(err)
	}
}

func deskOn(t *testing.T, f Files) *Model {
	t.Helper()
	d := New(f, loadAny)
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	if d.Now == nil {
		t.Fatal(d.Notice)
	}
	return d
}

func TestARecordOpensWithItsOwnFieldAndRoutine(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "kiln.jsonl")
	recorded(t, path, Files{Routine: "kiln_yard_bricks"})
	inWindow := deskOn(t, Files{})
	inWindow.Open(path)
	for name, d := range map[string]*Model{"in the window": inWindow, "from the command line": deskOn(t, Files{Record: path})} {
		if d.Fault != nil || d.Now.Setup.Field.Name != "kiln_yard.toml" || d.Before != nil || !strings.Contains(d.Notice.Text, "Shows the record kiln.jsonl") {
			t.Fatalf("%s: fault %v, notice %q", name, d.Fault, d.Notice.Text)
		}
		if d.Files.Routine != "kiln_yard_bricks" || !d.Now.Source.Same(d.Text) || len(d.Now.Setup.Entrants) != 1 {
			t.Errorf("%s: files %+v, lines lit %v", name, d.Files, d.Now.Source.Same(d.Text))
		}
		d.Reload()
		finish(t, d)
		if !strings.Contains(d.Notice.Text, "same score") || d.Before == nil {
			t.Errorf("%s: rehearsed again: %q", name, d.Notice.Text)
		}
	}
}

func TestARecordOfARoutineChangedSinceLightsNoLine(t *testing.T) {
	folder := t.TempDir()
	routine, path := filepath.Join(folder, "own.lua"), filepath.Join(folder, "own.jsonl")
	put(t, routine, strings.Replace(ownRoutine, "%", "1", 1))
	recorded(t, path, Files{Routine: routine})
	put(t, routine, strings.Replace(ownRoutine, "%", "2", 1))
	d := deskOn(t, Files{Record: path})
	if d.Files.Routine != routine || d.Now.Source.Same(d.Text) || !strings.Contains(d.Notice.Text, "changed since") {
		t.Errorf("files %+v, notice %q", d.Files, d.Notice.Text)
	}
	d.Reload()
	finish(t, d)
	if !strings.Contains(d.Notice.Text, "1.00 s later") {
		t.Errorf("rehearsed: %q", d.Notice.Text)
	}
}

func TestARecordWithoutItsRoutineIsShownAndDrivenButNotRehearsed(t *testing.T) {
	folder := t.TempDir()
	routine, path := filepath.Join(folder, "own.lua"), filepath.Join(folder, "own.jsonl")
	put(t, routine, strings.Replace(ownRoutine, "%", "1", 1))
	recorded(t, path, Files{Routine: routine, Field: "kiln_yard", Robot: "barrow"})
	if err := os.Remove(routine); err != nil {
		t.Fatal(err)
	}
	d := deskOn(t, Files{Routine: "core_haul_demo"})
	d.Open(path)
	if d.Now.Setup.Field.Name != "kiln_yard.toml" || d.Files != (Files{Record: path}) || d.Setup.Field != d.Now.Setup.Field {
		t.Fatalf("files %+v, notice %q", d.Files, d.Notice.Text)
	}
	if d.Movable(Thing{RobotThing, 0}) == "" {
		t.Error("the start can be moved, though nothing can be rehearsed from there")
	}
	runs := d.Runs
	d.Rehearse()
	if _, busy := d.Busy(); busy || !d.Notice.Bad {
		t.Errorf("it rehearses: %q", d.Notice.Text)
	}
	d.Reload()
	if d.Runs != runs+1 || !strings.Contains(d.Notice.Text, "O opens another") {
		t.Errorf("R: %q", d.Notice.Text)
	}
	hand, err := scripting.Load(put(t, filepath.Join(folder, "hand.lua"), "return routine {driver = function(bot, pad) wait(1) end}"))
	if err != nil {
		t.Fatal(err)
	}
	d.BeginDrive(d.DriverSessions()[0].Name, hand)
	if !d.Driving() {
		t.Errorf("not driven: %q", d.Notice.Text)
	}
	d.Exchange(Files{Routine: "core_haul_demo"})
	finish(t, d)
	if d.Now.Setup.Field.Name != "core_haul.toml" || d.Before != nil {
		t.Errorf("then another routine: %s", d.Now.Setup.Field.Name)
	}
}

func TestARecordWhoseFieldIsNotFoundSaysSoUntilItIsOpen(t *testing.T) {
	folder, elsewhere := t.TempDir(), t.TempDir()
	source, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	field, path := filepath.Join(folder, "ours.toml"), filepath.Join(elsewhere, "a.jsonl")
	put(t, field, string(source)+"\n# ours\n")
	recorded(t, path, Files{Field: field})
	d := New(Files{Record: path}, loadAny)
	t.Cleanup(d.Close)
	d.Reload()
	if d.Now != nil || d.Fault == nil || !strings.Contains(d.Fault.Text, "ours.toml") {
		t.Fatalf("fault %v", d.Fault)
	}
	d.OpenField(field)
	finish(t, d)
	d.Open(path)
	if d.Fault != nil || !strings.Contains(d.Notice.Text, "Shows the record") || d.Files.Field != field {
		t.Errorf("fault %v, notice %q, files %+v", d.Fault, d.Notice.Text, d.Files)
	}
}
