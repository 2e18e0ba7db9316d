package command

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const nearLua = `return routine {
  title = "near", start = {x = 600, y = 600, heading = 0},
  auto = function(bot) bot.drive:ahead(400) end,
}`

// An interrupt in the middle of trials must leave what is done in the file, end with a word on how to go on, and --resume must
// then give what an undisturbed run gives.
func TestAnInterruptKeepsTheTrialsThatAreDone(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	if err := os.WriteFile("near.lua", []byte(nearLua), 0o644); err != nil {
		t.Fatal(err)
	}
	trials := func(ctx context.Context, out string, more ...string) (code int, text, trouble string) {
		var stdout, stderr bytes.Buffer
		args := append([]string{"trials", "near.lua", "--field", "practice_yard", "-n", "60", "--out", out}, more...)
		code = run(ctx, args, streams{&stdout, &stderr})
		return code, stdout.String(), stderr.String()
	}
	code, undisturbed, trouble := trials(context.Background(), "whole")
	if code != held {
		t.Fatal(trouble)
	}
	ctx, interrupt := context.WithCancel(context.Background())
	go interruptAfter(filepath.Join(dir, "cut"), 8, interrupt)
	code, text, trouble := trials(ctx, "cut")
	if code != interrupted || !strings.Contains(trouble, "rehearsals are done and kept in cut; the same command with --resume") || !strings.Contains(text, "Not finished: ") {
		t.Fatalf("exit code %d\n%s\n%s", code, trouble, text)
	}
	if code, text, trouble = trials(context.Background(), "cut", "--resume"); code != held || text != undisturbed {
		t.Errorf("exit code %d\n%s\ngot\n%s\nwant\n%s", code, trouble, text, undisturbed)
	}
	whole, err1 := os.ReadFile("whole")
	resumed, err2 := os.ReadFile("cut")
	if err1 != nil || err2 != nil || !bytes.Equal(whole, resumed) {
		t.Errorf("%v %v: the files differ", err1, err2)
	}
}

// interruptAfter waits until a file has some lines.
func interruptAfter(path string, lines int, interrupt func()) {
	for {
		if data, err := os.ReadFile(path); err == nil && bytes.Count(data, []byte("\n")) >= lines {
			interrupt()
			return
		}
		time.Sleep(time.Millisecond)
	}
}

func TestProgressIsForTerminalsOnly(t *testing.T) {
	if b := progress(&bytes.Buffer{}, 10); b.shown != nil {
		t.Error("a bar is drawn into a buffer")
	}
	file, err := os.Create(filepath.Join(t.TempDir(), "log"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	b := progress(file, 10)
	b.add(3)
	b.clear()
	if size, err := file.Seek(0, io.SeekCurrent); err != nil || size != 0 {
		t.Errorf("%v, %d bytes written into a file that is no terminal", err, size)
	}
}

func TestReplayArgumentsAreQuotedForAShell(t *testing.T) {
	in := inputs{Routine: "my routine.lua", Robot: "it's.toml", Param: map[string]float64{"b": 2, "a": 0.1}, Opponent: []string{"x.lua"}}
	if got := in.replay(); got != `'my routine.lua' --robot 'it'\''s.toml' --param a=0.1 --param b=2 --opponent x.lua` {
		t.Error(got)
	}
}
