package viewmodel

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/sim/robot"
)

// onDisk is a model whose loader reads a robot or field from the path given, the rest from opened's disk.
func onDisk(t *testing.T) (d *Model, folder string, asked *Files) {
	t.Helper()
	disk := &files{t: t, routine: text(300)}
	asked = &Files{}
	d = New(Files{}, func(f Files) (Loaded, error) {
		*asked = f
		loaded, err := disk.load(f)
		if err != nil {
			return loaded, err
		}
		if f.Robot != "" {
			if loaded.Setup.Entrants[0].Robot, err = robot.Find(f.Robot); err != nil {
				return loaded, err
			}
		}
		if f.Field != "" {
			loaded.Setup.Field, err = fields.Find(f.Field)
		}
		return loaded, err
	})
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	return d, t.TempDir(), asked
}

func put(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestOpenTellsRoutineRobotAndFieldApart(t *testing.T) {
	d, folder, asked := onDisk(t)
	routine := put(t, filepath.Join(folder, "a.lua"), "x")
	robot, err := os.ReadFile("../../../assets/robots/hauler.toml")
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	robotPath := put(t, filepath.Join(folder, "a.toml"), string(robot))
	fieldPath := put(t, filepath.Join(folder, "b.toml"), string(field))
	for path, want := range map[string]Files{
		routine: {Routine: routine}, robotPath: {Robot: robotPath}, fieldPath: {Field: fieldPath},
	} {
		d.Files = Files{}
		d.Open(path)
		finish(t, d)
		if *asked != want || d.Fault != nil {
			t.Errorf("%s: asked for %+v, fault %+v", filepath.Base(path), *asked, d.Fault)
		}
		exchanged := path != robotPath // another robot on the same routine and field is worth a comparison
		if (d.Before == nil) != exchanged || (d.Notice.Text == "Opened "+filepath.Base(path)+".") != exchanged {
			t.Errorf("%s: pale trace %v, notice %q", filepath.Base(path), d.Before != nil, d.Notice.Text)
		}
	}
}

func TestOpenShowsARecordOfThisFieldAndRefusesOthers(t *testing.T) {
	d, folder, _ := onDisk(t)
	var whole strings.Builder
	if err := d.Now.Record.Write(&whole); err != nil {
		t.Fatal(err)
	}
	runs := d.Runs
	d.Open(put(t, filepath.Join(folder, "good.jsonl"), whole.String()))
	if d.Runs != runs+1 || d.Fault != nil || !strings.Contains(d.Notice.Text, "good.jsonl") {
		t.Errorf("runs %d, fault %+v, notice %q", d.Runs, d.Fault, d.Notice.Text)
	}
	for name, text := range map[string]string{
		"cut.jsonl": whole.String()[:whole.Len()/2], "changed.jsonl": strings.Replace(whole.String(), `"t":0.02`,
			`"t":0.021`, 1),
		"empty.jsonl": "", "other.jsonl": "{}", "picture.png": "x", "none.toml": "",
	} {
		d.Notice, d.Fault = Notice{}, nil
		shown := d.Now
		path := filepath.Join(folder, name)
		if name != "none.toml" {
			put(t, path, text)
		}
		d.Open(path)
		if d.Now != shown || !d.Notice.Bad || d.Notice.Text == "" {
			t.Errorf("%s: notice %+v", name, d.Notice)
		}
	}
}

func TestARobotFileWithAnErrorIsToldWholeAndTheRunStays(t *testing.T) {
	d, folder, _ := onDisk(t)
	run := d.Now
	d.Open(put(t, filepath.Join(folder, "bad.toml"), "title = \"x\"\n[chassis]\nlength = 3\n"))
	if d.Now != run || d.Fault == nil || !strings.Contains(d.Fault.File, "bad.toml") || d.Fault.Line == 0 ||
		d.Notice.Text != d.Fault.Text {
		t.Errorf("fault %+v, notice %+v", d.Fault, d.Notice)
	}
}

func TestValuesAreTurnedWithinTheirLimitsAndUndone(t *testing.T) {
	disk := &files{t: t, routine: strings.Replace(text(300), "bot.drive:ahead(300)",
		`bot.drive:ahead(param("far", 300, 100, 900))`, 1)}
	d := New(Files{}, disk.load)
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	values := d.Values()
	if len(values) != 1 || values[0].Name != "far" || values[0].Used != 300 {
		t.Fatalf("values %+v", values)
	}
	d.SetValue(values[0], 5000)
	finish(t, d)
	if got := d.Values()[0].Used; got != 900 {
		t.Errorf("turned to %g, the limit is 900", got)
	}
	if pose, _ := d.Now.PoseOf(Thing{RobotThing, 0}, 20); pose.X < 1.45 { // from 600 mm, 900 mm on
		t.Errorf("the robot ends at %v", pose)
	}
	d.Undo()
	finish(t, d)
	if got := d.Values()[0].Used; got != 300 {
		t.Errorf("after undo %g", got)
	}
}

func TestTheSelectionOutlivesARehearsal(t *testing.T) {
	d, _ := opened(t)
	d.Mode = Arrange
	d.SelectNext(1)
	if d.Selected != (Thing{RobotThing, 0}) {
		t.Fatalf("selected %v", d.Selected)
	}
	d.Rehearse()
	finish(t, d)
	if d.Selected != (Thing{RobotThing, 0}) {
		t.Errorf("then %v", d.Selected)
	}
	d.SelectNext(-1)
	if d.Selected.Kind == RobotThing || d.Movable(d.Selected) != "" {
		t.Errorf("the one before is %v", d.Selected)
	}
}
