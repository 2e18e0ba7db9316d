package viewmodel

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/scripting"
)

// written is a model with a routine on disk whose start was moved and written.
func written(t *testing.T) (d *Model, path string, change Edit) {
	t.Helper()
	d, path = inFile(t, text(300))
	d.Move(Thing{RobotThing, 0}, geom.Pose{X: 0.7, Y: 0.9})
	finish(t, d)
	change, err := d.StartChange()
	if err == nil {
		err = change.Write()
	}
	if err != nil {
		t.Fatal(err)
	}
	d.StartWritten(change)
	d.Reload()
	finish(t, d)
	return d, path, change
}

func content(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestAWrittenStartIsUndoneAndDoneAgain(t *testing.T) {
	d, path, change := written(t)
	mine := content(t, path)
	if !strings.Contains(mine, change.New) || d.UndoSteps() != 2 || !strings.Contains(d.Notice.Text, "Ctrl+Z") {
		t.Fatalf("%d steps, %q, the file:\n%s", d.UndoSteps(), d.Notice.Text, mine)
	}
	if !d.Undo() {
		t.Error("it does not tell that a file was written and read again")
	}
	finish(t, d)
	if content(t, path) != text(300) {
		t.Errorf("the file is not what it was:\n%s", content(t, path))
	}
	if at, _ := d.Standing(Thing{RobotThing, 0}); at != (geom.Pose{X: 0.7, Y: 0.9}) {
		t.Errorf("the robot is not where it had been moved: %v", at)
	}
	if !strings.Contains(d.Notice.Text, change.Old) || !strings.Contains(d.Notice.Text, "still moved") ||
		d.ArrangedWords() != "start moved" {
		t.Errorf("it says %q", d.Notice.Text)
	}
	d.Redo()
	finish(t, d)
	if content(t, path) != mine {
		t.Errorf("done again the file is\n%s", content(t, path))
	}
	d.Undo()
	d.Undo()
	finish(t, d)
	if at, _ := d.Standing(Thing{RobotThing, 0}); at != (geom.Pose{X: 0.6, Y: 1}) || content(t, path) != text(300) ||
		d.ArrangedWords() != "" || strings.Contains(d.Notice.Text, "still moved") {
		t.Errorf("two steps back the robot stands at %v", at)
	}
}

func TestAFileChangedSinceIsNotUndone(t *testing.T) {
	d, path, _ := written(t)
	other := strings.Replace(content(t, path), "start = {x = 700", "start = {x = 701", 1)
	put(t, path, other)
	d.Undo()
	if content(t, path) != other || !d.Notice.Bad || !strings.Contains(d.Notice.Text, "changed there meanwhile") ||
		d.UndoSteps() != 1 {
		t.Errorf("%q, %d steps, the file:\n%s", d.Notice.Text, d.UndoSteps(), content(t, path))
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	d2, path2, _ := written(t)
	if err := os.Remove(path2); err != nil {
		t.Fatal(err)
	}
	if d2.Undo(); !d2.Notice.Bad {
		t.Errorf("a file that is gone: %q", d2.Notice.Text)
	}
}

// What was written is taken back also after other changes of the file, as long as its place can be found.
func TestAnEditIsTakenBackAfterOthersOfTheFile(t *testing.T) {
	const before = "a = 1\nf(10, 5)\nb = 10\nf(10, 6)\n"
	for _, c := range []struct{ name, now, want string }{
		{"as written", "a = 1\nf(12, 5)\nb = 10\nf(10, 6)\n", before},
		{"lines before it", "-- new\n\na = 2\nf(12, 5)\nb = 10\nf(10, 6)\n", "-- new\n\na = 2\nf(10, 5)\nb = 10\nf(10, 6)\n"},
		{"lines after it", "a = 1\nf(12, 5)\n-- new", "a = 1\nf(10, 5)\n-- new"},
		{"the rest of its line", "a = 1\nf(12, 7) -- new\nb = 10\nf(10, 6)\n", "a = 1\nf(10, 7) -- new\nb = 10\nf(10, 6)\n"},
		{"another line like it", "f(12, 9)\na = 1\nf(12, 5)\nb = 10\n", "f(12, 9)\na = 1\nf(10, 5)\nb = 10\n"},
		{"the number itself", "a = 1\nf(13, 5)\nb = 10\nf(10, 6)\n", ""},
		{"a longer number", "a = 1\nf(12.5, 5)\nb = 10\nf(10, 6)\n", ""},
		{"the whole line", "a = 1\ng(x, 12)\nb = 10\n", ""},
		{"two alike", "\nf(12, 5)\nf(12, 5)\n", ""},
	} {
		path := filepath.Join(t.TempDir(), "mine.lua")
		put(t, path, c.now)
		e := Edit{Name: "mine.lua", Old: "10", New: "12", path: path, text: before, from: strings.Index(before, "10")}
		err := e.TakeBack()
		want := c.want
		if want == "" {
			want = c.now
		}
		if got := content(t, path); got != want || (err == nil) != (c.want != "") {
			t.Errorf("%s: %v, the file:\n%s\nwant:\n%s", c.name, err, got, want)
		}
	}
}

// A drag of a value is undone as a whole.
func TestMergedStepsAreUndoneTogether(t *testing.T) {
	d, disk := opened(t)
	disk.routine = strings.Replace(text(300), "bot.drive:ahead(300)", "bot.drive:ahead(param(\"far\", 300, 100, 500))", 1)
	d.Reload()
	finish(t, d)
	value := func() scripting.Param { return d.Values()[0] }
	for _, to := range []float64{320, 340, 360} {
		d.SetValue(value(), to)
		d.MergeUndo(0)
	}
	finish(t, d)
	if value().Used != 360 || d.UndoSteps() != 1 {
		t.Fatalf("%g after %d steps", value().Used, d.UndoSteps())
	}
	if d.Undo(); value().Used != 300 {
		t.Errorf("undone: %g", value().Used)
	}
	if d.Undo(); d.Notice.Text != "Nothing to undo." {
		t.Error(d.Notice.Text)
	}
}
