package lesson

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func progressAt(t *testing.T, path string) *Progress {
	t.Helper()
	p, err := OpenProgress(path)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestTriesAreChangedAnswersThatDoNotPass(t *testing.T) {
	l := read(t)
	path := filepath.Join(t.TempDir(), "deep", "lessons.json")
	for _, c := range []struct {
		file  string
		tries int
	}{{"start.lua", 0}, {"wrong_1.lua", 1}, {"wrong_1.lua", 1}, {"wrong_2.lua", 2}, {"start.lua", 2}, {"wrong_1.lua", 3},
		{"solution.lua", 3}, {"wrong_1.lua", 4}} {
		p := progressAt(t, path) // each time as by another program
		a, err := l.answer(c.file)
		if err != nil {
			t.Fatal(err)
		}
		m := &Marks{Passed: c.file == "solution.lua", Stars: map[bool]int{true: 2}[c.file == "solution.lua"]}
		if err := p.Judged(l, a, m, []bool{true, m.Passed}); err != nil {
			t.Fatal(err)
		}
		if got := progressAt(t, path).Of(l).Tries; got != c.tries {
			t.Errorf("after %s: %d tries, want %d", c.file, got, c.tries)
		}
	}
	r := progressAt(t, path).Of(l) // what is reached stays reached
	if !r.Passed || r.Stars != 2 || !reflect.DeepEqual(r.Steps, []bool{true, true}) || r.Name != "mark" {
		t.Errorf("%+v", r)
	}
	if changed := read(t, `pass.check.toml: done_before = "4 s" -> done_before = "3 s"`); progressAt(t, path).
		Of(changed).Passed {
		t.Error("a lesson that asks for something else is passed")
	}
}

func TestHintsOpenOneAtATimeAfterTries(t *testing.T) {
	l := read(t)
	for _, c := range []struct {
		r     Reached
		hint  string
		tries int
	}{{Reached{}, "Which way is ahead?", 1}, {Reached{Tries: 3}, "Which way is ahead?", 0},
		{Reached{Tries: 1, Opened: 1}, "Too slow?", 1}, {Reached{Tries: 9, Opened: 2}, "", 0}} {
		h, tries := l.Hint(c.r)
		if (h == nil) != (c.hint == "") || h != nil && h.Title != c.hint || tries != c.tries {
			t.Errorf("%+v: %+v after %d", c.r, h, tries)
		}
	}
	p := progressAt(t, filepath.Join(t.TempDir(), "lessons.json"))
	for range 4 {
		if err := p.OpenHint(l); err != nil {
			t.Fatal(err)
		}
	}
	if p.Of(l).Opened != 2 {
		t.Errorf("%d of 2 hints are open", p.Of(l).Opened)
	}
}

// A file that is no progress is told of and kept, whatever it is, also when another is kept already; and what two
// programs reach side by side is kept of both.
func TestProgressIsNeverLost(t *testing.T) {
	l, other := read(t), read(t, "start.lua: 300 -> 200")
	for _, broken := range []string{"{", "[]", `{"version": 7}`, `{"lessons": 3}`, "\x00"} {
		folder := t.TempDir()
		path := filepath.Join(folder, "lessons.json")
		for n, want := range []string{"lessons.json.broken", "lessons.json.broken_2"} {
			if err := os.WriteFile(path, []byte(broken), 0o600); err != nil {
				t.Fatal(err)
			}
			p, err := OpenProgress(path)
			if err == nil || !strings.Contains(err.Error(), "the file is kept as "+want) {
				t.Errorf("%q, time %d: error %v", broken, n, err)
			}
			if err := p.OpenHint(l); err != nil {
				t.Error(err)
			}
			kept, err := os.ReadFile(filepath.Join(folder, want))
			if err != nil || string(kept) != broken || progressAt(t, path).Of(l).Opened != 1 {
				t.Errorf("%q: kept %q, %v", broken, kept, err)
			}
		}
	}
	path := filepath.Join(t.TempDir(), "lessons.json")
	a, b := progressAt(t, path), progressAt(t, path)
	for _, change := range []error{a.OpenHint(l), b.OpenHint(other), a.OpenHint(l)} {
		if change != nil {
			t.Fatal(change)
		}
	}
	p := progressAt(t, path)
	if p.Of(l).Opened != 2 || p.Of(other).Opened != 1 {
		t.Errorf("%d and %d hints, want 2 and 1", p.Of(l).Opened, p.Of(other).Opened)
	}
	if err := p.Forget(l); err != nil || progressAt(t, path).Of(l).Opened != 0 || progressAt(t,
		path).Of(other).Opened != 1 {
		t.Errorf("forgotten: %v", err)
	}
}

func TestProgressThatCannotBeWrittenSaysSo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	p := &Progress{path: filepath.Join(file, "lessons.json"), lessons: map[string]Reached{}}
	if err := p.OpenHint(read(t)); err == nil || !strings.Contains(err.Error(), "what was reached is not kept") {
		t.Error(err)
	}
}
