package viewmodel

import (
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/assets"
	"chalkfield/internal/base/property"
	"chalkfield/scripting/literal"
)

// inFile is a model on a file, with the first run in it.
func inFile(t *testing.T, routine string) (d *Model, path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "mine.lua")
	put(t, path, routine)
	disk := &files{t: t}
	d = New(Files{}, func(f Files) (Loaded, error) {
		data, err := os.ReadFile(path)
		if err != nil {
			return Loaded{}, err
		}
		disk.routine = string(data)
		loaded, err := disk.load(f)
		loaded.Source = SourceOf("mine.lua", path, disk.routine)
		return loaded, err
	})
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	return d, path
}

// hold takes the number in hand that stands so for the first time.
func hold(t *testing.T, d *Model, number string) literal.Number {
	t.Helper()
	list := literal.Numbers(d.Source().Text)
	i := slices.IndexFunc(list, func(n literal.Number) bool { return n.Text == number })
	if i < 0 {
		t.Fatalf("no %s in\n%s", number, d.Source().Text)
	}
	if err := d.Hold(list[i].From, list[i].To); err != nil {
		t.Fatal(err)
	}
	return list[i]
}

// What is tried is rehearsed and shown; the file knows nothing of it until it is kept.
func TestANumberIsTriedThenKept(t *testing.T) {
	mine := "-- tabs\tand lines\r\n" + strings.ReplaceAll(text(300), "\n", "\r\n")
	d, path := inFile(t, mine)
	before, runs := d.Now, d.Runs
	hold(t, d, "300")
	for _, to := range []string{"301", "350", "400"} {
		d.Try(to)
	}
	finish(t, d)
	end, _ := d.Now.PoseOf(Thing{RobotThing, 0}, d.End)
	if d.Runs == runs || d.Before != before || end.X < 0.99 || end.X > 1.01 || content(t, path) != mine {
		t.Fatalf("%d runs, %q, it ends at %v; the file:\n%s", d.Runs-runs, d.Notice.Text, end, content(t, path))
	}
	if !strings.Contains(strings.Join(d.Source().Lines, "\n"), "ahead(400)") {
		t.Error("the page does not show what is tried")
	}
	if len(d.LitLines()) == 0 {
		t.Error("no line is lit")
	}
	if read, err := d.Keep(); !read || err != nil {
		t.Fatal(read, err, d.Notice)
	}
	finish(t, d)
	want := strings.Replace(mine, "ahead(300)", "ahead(400)", 1)
	if content(t, path) != want || d.Before != before || d.UndoSteps() != 1 {
		t.Errorf("%d steps to undo, compared with another run: %v; the file:\n%q", d.UndoSteps(), d.Before != before,
			content(t, path))
	}
	d.Undo()
	finish(t, d)
	if content(t, path) != mine {
		t.Errorf("undone: the file:\n%q", content(t, path))
	}
	d.Redo()
	finish(t, d)
	if content(t, path) != want {
		t.Errorf("done again: the file:\n%q", content(t, path))
	}
}

func TestWhatIsDroppedIsAsItWas(t *testing.T) {
	d, path := inFile(t, text(300))
	hold(t, d, "300")
	d.Try("400")
	finish(t, d)
	d.Drop()
	finish(t, d)
	end, _ := d.Now.PoseOf(Thing{RobotThing, 0}, d.End)
	if content(t, path) != text(300) || end.X > 0.91 || d.UndoSteps() != 0 || d.Source().Text != text(300) {
		t.Errorf("it ends at %v, %d steps, the page has\n%s", end, d.UndoSteps(), d.Source().Text)
	}
}

// Numbers with which nothing can be rehearsed are told of and not written.
func TestARefusedNumberIsNotWritten(t *testing.T) {
	mine := strings.Replace(text(300), "ahead(300)", "ahead(param('far', 300, 100, 500))", 1)
	d, path := inFile(t, mine)
	hold(t, d, "500")
	d.Try("50")
	finish(t, d)
	if d.Refused() == nil || d.Fault != nil || d.Notice.Bad {
		t.Errorf("it says %q", d.Notice.Text)
	}
	if read, err := d.Keep(); read || err != nil || !strings.Contains(d.Notice.Text, "Not written: mine.lua:") {
		t.Errorf("%v: it says %q", err, d.Notice.Text)
	}
	finish(t, d)
	if content(t, path) != mine || d.Source().Text != mine {
		t.Error("it was written")
	}
}

// The file may be saved outside while a number is in hand: the number goes along with its place.
func TestAHeldNumberGoesAlongWithItsPlace(t *testing.T) {
	d, path := inFile(t, text(300))
	hold(t, d, "300")
	d.Try("400")
	put(t, path, "-- new\n"+strings.Replace(text(300), "wait(1)", "wait(2)", 1))
	d.Reload()
	finish(t, d)
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	want := "-- new\n" + strings.Replace(text(400), "wait(1)", "wait(2)", 1)
	if content(t, path) != want {
		t.Errorf("the file:\n%s", content(t, path))
	}
	hold(t, d, "400")
	d.Try("410")
	put(t, path, text(77))
	d.Reload()
	finish(t, d)
	if _, held := d.Held(); held || content(t, path) != text(77) {
		t.Errorf("its place is gone, and it says %q", d.Notice.Text)
	}
}

func TestABuiltInRoutineIsKeptByACopyOnly(t *testing.T) {
	d, _ := opened(t)
	hold(t, d, "300")
	d.Try("400")
	if _, err := d.Keep(); err != ErrNoFile {
		t.Fatal(err)
	}
	if e, held := d.Held(); !held || e.New != "400" || !strings.Contains(d.Source().Text, "ahead(400)") {
		t.Error("it is not in hand any more")
	}
}

// Any step of any number of any embedded routine changes the bytes of that number and no others, and undo restores the
// file.
func TestANumberKeptIsAllThatChanges(t *testing.T) {
	texts := map[string]string{}
	err := fs.WalkDir(assets.Routines, ".", func(file string, _ fs.DirEntry, err error) error {
		if path.Ext(file) == ".lua" {
			text, err := fs.ReadFile(assets.Routines, file)
			texts[file] = string(text)
			return err
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	d, path := inFile(t, text(300))
	setup := d.Setup
	setup.Field = nil // nothing is rehearsed: what is written is looked at
	d.load = func(Files) (Loaded, error) {
		return Loaded{Setup: setup, Source: SourceOf("mine.lua", path, content(t, path))}, nil
	}
	property.Check(t, func(r *rapid.T) {
		mine := texts[rapid.SampledFrom(slices.Sorted(maps.Keys(texts))).Draw(r, "file")]
		if rapid.Bool().Draw(r, "windows lines") {
			mine = strings.ReplaceAll(mine, "\n", "\r\n")
		}
		put(t, path, mine)
		d.Read()
		n := rapid.SampledFrom(literal.Numbers(mine)).Draw(r, "number")
		if err := d.Hold(n.From, n.To); err != nil {
			r.Fatal(err)
		}
		tried := n
		for _, steps := range rapid.SliceOfN(rapid.IntRange(-300, 300), 1, 5).Draw(r, "steps") {
			tried = tried.Step(steps)
			d.Try(tried.Text)
		}
		if content(t, path) != mine {
			r.Fatal("written while it is in hand")
		}
		read, err := d.Keep()
		if want := mine[:n.From] + tried.Text + mine[n.To:]; err != nil || content(t, path) != want {
			r.Fatalf("%v; the file:\n%s", err, content(t, path))
		}
		if read {
			d.Undo()
		}
		if content(t, path) != mine {
			r.Fatalf("undone, the file:\n%s", content(t, path))
		}
	})
}

// What is told of a line that was written names its own number, and nothing that was not there.
func TestWhatIsToldOfALineIsTrue(t *testing.T) {
	mine := text(300)
	last := strings.Count(mine[:strings.Index(mine, "wait(1)")], "\n") + 1
	d, path := inFile(t, mine)
	lead, err := d.HoldBelow(last)
	if err != nil {
		t.Fatal(err)
	}
	d.Try(lead + "note('x')")
	said := func(doing, want string) {
		t.Helper()
		if finish(t, d); d.Notice.Text != want {
			t.Errorf("%s, it says %q, not %q", doing, d.Notice.Text, want)
		}
	}
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	said("added", fmt.Sprintf("Put note('x') into mine.lua, line %d. Undo with Ctrl+Z.", last+1))
	added := content(t, path)
	if want := fmt.Sprintf("after line %d: note('x')", last+1); d.AddsWhere() != want {
		t.Errorf("what is added next stands %q, not %q", d.AddsWhere(), want)
	}
	if _, _, err := d.HoldLine(last + 1); err != nil {
		t.Fatal(err)
	}
	d.Try("")
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	said("taken out", fmt.Sprintf("Took note('x') out of mine.lua, line %d. Undo with Ctrl+Z.", last+1))
	if content(t, path) != mine {
		t.Errorf("the file:\n%s", content(t, path))
	}
	d.Undo()
	said("undone", fmt.Sprintf("Undone. mine.lua has line %d: note('x') again.", last+1))
	if content(t, path) != added {
		t.Errorf("the file:\n%s", content(t, path))
	}
	d.Undo()
	said("undone again", "Undone. mine.lua is as it was.")
	d.AddUnder(last - 1)
	if want := fmt.Sprintf("after line %d:", last-1); !strings.HasPrefix(d.AddsWhere(), want) {
		t.Errorf("under the line chosen it stands %q", d.AddsWhere())
	}
	d.Seek(d.End)
	if d.AddsWhere() != "at the end of the routine" {
		t.Errorf("at the end it stands %q", d.AddsWhere())
	}
}
