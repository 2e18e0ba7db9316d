package viewmodel

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
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

func TestARecordOpensWithWhatItWasMadeFrom(t *testing.T) {
	folder := t.TempDir()
	routine, path := filepath.Join(folder, "own.lua"), filepath.Join(folder, "own.jsonl")
	put(t, routine, strings.Replace(ownRoutine, "%", "1", 1))
	recorded(t, path, Files{Routine: routine, Field: "kiln_yard", Robot: "barrow"})
	if err := os.Remove(routine); err != nil {
		t.Fatal(err)
	}
	inWindow := deskOn(t, Files{})
	inWindow.Open(path)
	for name, d := range map[string]*Model{"in the window": inWindow,
		"from the command line": deskOn(t, Files{Record: path})} {
		if d.Fault != nil || d.Now.Setup.Field.Name != "kiln_yard.toml" || d.Before != nil ||
			!strings.Contains(d.Notice.Text, "Shows the record own.jsonl") {
			t.Fatalf("%s: fault %v, notice %q", name, d.Fault, d.Notice.Text)
		}
		if d.Files != (Files{Record: path}) || !d.Now.Source.Same(d.Text) || len(d.Now.Setup.Entrants) != 1 ||
			d.Watch[0] != path {
			t.Errorf("%s: files %+v, lines lit %v, watched %q", name, d.Files, d.Now.Source.Same(d.Text), d.Watch)
		}
		if why := d.Movable(Thing{RobotThing, 0}); why != "" {
			t.Errorf("%s: the start cannot be moved: %s", name, why)
		}
		d.Rehearse()
		finish(t, d)
		if !strings.Contains(d.Notice.Text, "same score") || d.Before == nil {
			t.Errorf("%s: rehearsed again: %q", name, d.Notice.Text)
		}
	}
	inWindow.Move(Thing{RobotThing, 0}, geom.Pose{X: 0.7, Y: 0.9})
	if _, err := inWindow.StartChange(); err == nil || !strings.Contains(err.Error(), "the routine is inside the record") {
		t.Errorf("writing the start into a record: got %v", err)
	}
	hand, err := scripting.Load(put(t, filepath.Join(folder, "hand.lua"),
		"return routine {driver = function(bot, pad) wait(1) end}"))
	if err != nil {
		t.Fatal(err)
	}
	inWindow.BeginDrive(inWindow.DriverSessions()[0].Name, hand)
	if !inWindow.Driving() {
		t.Errorf("not driven: %q", inWindow.Notice.Text)
	}
	inWindow.Exchange(Files{Routine: "core_haul_demo"})
	finish(t, inWindow)
	if inWindow.Now.Setup.Field.Name != "core_haul.toml" || inWindow.Before != nil {
		t.Errorf("then another routine: %s", inWindow.Now.Setup.Field.Name)
	}
}

// A record that was written anew is shown anew.
func TestARecordWrittenAnewIsShown(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.jsonl")
	recorded(t, path, Files{})
	d := deskOn(t, Files{Record: path})
	recorded(t, path, Files{Routine: "kiln_yard_bricks"})
	d.Reload()
	if d.Now.Setup.Field.Name != "kiln_yard.toml" || !strings.Contains(d.Notice.Text, "Shows the record a.jsonl") {
		t.Errorf("on %s: %q", d.Now.Setup.Field.Name, d.Notice.Text)
	}
}

func TestARecordWithoutItsFilesSaysSo(t *testing.T) {
	whole, path := filepath.Join(t.TempDir(), "whole.jsonl"), filepath.Join(t.TempDir(), "bare.jsonl")
	recorded(t, whole, Files{})
	rec, err := readRecord(whole)
	if err != nil {
		t.Fatal(err)
	}
	rec.Sources = nil
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(rec.Write(file), file.Close()); err != nil {
		t.Fatal(err)
	}
	d := New(Files{Record: path}, loadAny)
	t.Cleanup(d.Close)
	d.Reload()
	if d.Now != nil || d.Fault == nil || !strings.Contains(d.Fault.Text,
		"bare.jsonl: the record's field: core_haul.toml") {
		t.Errorf("fault %v", d.Fault)
	}
}

// A driver's sticks are not in a record, which its reader is told.
func TestARecordOfADriveSaysThatNobodyDrivesAgain(t *testing.T) {
	for what, want := range map[string]bool{"auto": false, "driver": true} {
		rec := &record.Record{Events: []record.Event{{Kind: record.TaskStart, What: what}}}
		if got := strings.Contains(withoutDriver(rec), "nobody drives"); got != want {
			t.Errorf("%s: %t, want %t", what, got, want)
		}
	}
}
