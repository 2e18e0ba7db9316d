package command

import (
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"testing"
	"time"

	"chalkfield/internal/app/study/results"
	"chalkfield/render/window/viewmodel"
)

// fetches takes a core in where the draw lets it.
const fetches = `return routine { start = {x = 600, y = 450, heading = 90}, auto = function(bot)
  local far = param("far", 500, 100, 900)
  bot.intake:run(10)
  bot.drive:ahead(far, {timeout = 2})
  bot.drive:ahead(-300)
end }
`

// inWindow makes a study in the window, of files of this folder.
func inWindow(t *testing.T, c openCommand, change func(*viewmodel.Model), ask viewmodel.Ask) *viewmodel.Study {
	t.Helper()
	d := viewmodel.New(c.files(), c.loadFor)
	t.Cleanup(d.Close)
	d.Reload()
	until := func(done func() bool) {
		for end := time.Now().Add(2 * time.Minute); !done(); time.Sleep(time.Millisecond) {
			if d.Poll(); time.Now().After(end) {
				t.Fatalf("not done: %+v", d.Notice)
			}
		}
	}
	rehearsed := func() bool { _, busy := d.Busy(); return !busy }
	until(rehearsed)
	if change != nil {
		change(d)
		until(rehearsed)
	}
	d.Begin(ask)
	until(func() bool { return d.Study() == nil || d.Study().Ended })
	if d.Study() == nil || d.Study().Seen.Told == nil {
		t.Fatalf("no study: %+v", d.Notice)
	}
	return d.Study()
}

// What the window tells is, to the last digit, what the command prints of the same inputs.
func TestStudiesOfTheWindowHaveTheNumbersOfTheCommands(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{"mine.lua": fetches, "other.lua": waitsLonger} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	in := inputs{Routine: "mine.lua", Seed: 3}
	with := inputs{Routine: "mine.lua", Seed: 3, Side: "teal", Opponent: []string{"other.lua"}, Session: "match"}
	names := regexp.MustCompile(`mine\.lua, as it was opened|mine\.lua, now|old\.lua|mine\.lua`)
	opens := regexp.MustCompile(`"open_[ab]": "[^"]*"`)
	for _, c := range []struct {
		what   string
		in     inputs
		args   []string
		ask    viewmodel.Ask
		change func(*viewmodel.Model)
	}{
		{"trials", in, []string{"trials", "mine.lua", "-n", "12"}, viewmodel.Ask{Kind: results.Trials, Count: 12}, nil},
		{"trials against another", with, []string{"trials", "mine.lua", "-n", "6", "--side", "teal", "--opponent",
			"other.lua",
			"--session", "match"}, viewmodel.Ask{Kind: results.Trials, Count: 6}, nil},
		{"chosen in the window", in, []string{"trials", "mine.lua", "-n", "6", "--side", "teal", "--opponent", "other.lua",
			"--session", "match"}, viewmodel.Ask{Kind: results.Trials, Count: 6}, func(d *viewmodel.Model) {
			d.Choose(viewmodel.Choices{Seed: 3, Side: "teal", Opponents: []string{"other.lua"}})
			d.ChooseSession("match")
		}},
		{"sweep of a value", in, []string{"sweep", "mine.lua", "-n", "4", "--x", "param:far=300..700/3"},
			viewmodel.Ask{Kind: results.Sweep, Count: 4, Axis: "param:far=300..700/3"}, nil},
		{"sweep of a number", in, []string{"sweep", "mine.lua", "-n", "4", "--x", "number:4=1..3/3"},
			viewmodel.Ask{Kind: results.Sweep, Count: 4, Axis: "number:4=1..3/3"}, nil},
		{"compare", in, []string{"compare", "old.lua", "mine.lua", "-n", "12"},
			viewmodel.Ask{Kind: results.Compare, Count: 12}, func(d *viewmodel.Model) {
				if os.Rename("mine.lua", "old.lua") != nil || os.WriteFile("mine.lua", []byte(waitsLonger), 0o600) != nil {
					t.Fatal("the folder cannot be written")
				}
				d.Reload()
			}},
	} {
		study := inWindow(t, openCommand{inputs: c.in}, c.change, c.ask)
		var out, trouble, shown bytes.Buffer
		if code := Main(append(c.args, "--seed", "3", "--json"), &out, &trouble); code != 0 {
			t.Fatalf("%s: ended with %d: %s", c.what, code, trouble.String())
		}
		data, err := json.Marshal(study.Seen.Told.Data)
		if err == nil {
			err = json.Indent(&shown, data, "", "  ")
		}
		if err != nil {
			t.Fatal(err)
		}
		plain := func(text []byte) string {
			if c.what != "compare" {
				return string(bytes.TrimSpace(text))
			}
			return string(opens.ReplaceAll(names.ReplaceAll(bytes.TrimSpace(text), []byte("it")), []byte("open")))
		}
		if got, want := plain(shown.Bytes()), plain(out.Bytes()); got != want {
			t.Errorf("%s: the window has\n%s\nthe command\n%s", c.what, got, want)
		}
	}
}

const waitsLonger = `return routine { start = {x = 600, y = 450, heading = 90}, auto = function(bot)
  wait(0.5)
  bot.intake:run(10)
  bot.drive:ahead(520, {timeout = 2})
end }
`
