package lesson

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestADeskIsSetOnceAndNothingIsOverwritten(t *testing.T) {
	l := read(t, "helper.lua: return 1", "other.txt: a note")
	d := Desk{filepath.Join(t.TempDir(), "my_lessons")}
	names := func() (list []string) {
		entries, _ := os.ReadDir(d.Home(l))
		for _, e := range entries {
			list = append(list, e.Name())
		}
		return list
	}
	if wrote, err := d.Begin(l); err != nil || len(wrote) != 4 {
		t.Fatal(wrote, err)
	}
	if want := []string{"field.toml", "helper.lua", "robot.toml", "routine.lua"}; !slices.Equal(names(), want) {
		t.Errorf("handed out %v, want %v: no solution, no wrong answer", names(), want)
	}
	a, err := d.Read(l)
	if err != nil || a.print() != l.begins() {
		t.Errorf("what is handed out is not what the lesson begins with: %v", err)
	}
	mine := []byte("-- mine\n" + l.files.files["solution.lua"])
	if err := os.WriteFile(d.Answer(l), mine, 0o600); err != nil {
		t.Fatal(err)
	}
	if wrote, err := d.Begin(l); err != nil || len(wrote) != 0 {
		t.Error(wrote, err)
	}
	for _, want := range []string{"routine.before.lua", "routine.before_2.lua"} {
		if kept, err := d.Reset(l); err != nil || filepath.Base(kept) != want {
			t.Errorf("kept as %q, want %s; %v", kept, want, err)
		}
		if data, _ := os.ReadFile(filepath.Join(d.Home(l), want)); string(data) != string(mine) {
			t.Errorf("%s is not what was written", want)
		}
		if kept, err := d.Reset(l); err != nil || kept != "" {
			t.Errorf("what it begins with is kept as %q, %v", kept, err)
		}
		if err := os.WriteFile(d.Answer(l), mine, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if len(d.Changed(l)) > 0 {
		t.Error("nothing of the lesson's was changed")
	}
	if err := os.WriteFile(filepath.Join(d.Home(l), "field.toml"), []byte("title = 'mine'"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := d.Changed(l); len(got) != 1 || filepath.Base(got[0]) != "field.toml" {
		t.Errorf("changed: %v", got)
	}
}

func TestAnswersThatCannotBeReadSaySo(t *testing.T) {
	l := read(t)
	d := Desk{t.TempDir()}
	if _, err := d.Read(l); err == nil || !strings.Contains(err.Error(), "routine.lua: cannot be read: no such file") {
		t.Error(err)
	}
	if err := os.WriteFile(d.Home(l), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Begin(l); err == nil || !strings.Contains(err.Error(), "name another folder with --folder") {
		t.Error(err)
	}
}
