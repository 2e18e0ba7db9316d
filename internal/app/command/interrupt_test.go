package command

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"chalkfield/internal/app/study/results"
)

const nearLua = `return routine {
  title = "near", start = {x = 600, y = 600, heading = 0},
  auto = function(bot) bot.drive:ahead(400) end,
}`

// An interrupt in the middle of trials must leave what is done in the file, end with a word on how to go on, and
// --resume must then give what an undisturbed run gives.
func TestAnInterruptKeepsTheTrialsThatAreDone(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	if err := os.WriteFile("near.lua", []byte(nearLua), 0o644); err != nil {
		t.Fatal(err)
	}
	trials := func(ctx context.Context, out string, more ...string) (code int, text, trouble string) {
		var stdout, stderr bytes.Buffer
		args := append([]string{"trials", "near.lua", "--field", "practice_yard", "-n", "60", "--out", out}, more...)
		code = run(ctx, args, streams{out: &stdout, err: &stderr})
		return code, stdout.String(), stderr.String()
	}
	code, undisturbed, trouble := trials(context.Background(), "whole")
	if code != held {
		t.Fatal(trouble)
	}
	ctx, interrupt := context.WithCancel(context.Background())
	go func() {
		if err := hasLines(filepath.Join(dir, "cut"), 8); err != nil {
			t.Error(err)
		}
		interrupt()
	}()
	code, text, trouble := trials(ctx, "cut", "--workers", "1") // so that a core is left to see the lines come
	if code != interrupted || !strings.Contains(trouble,
		"rehearsals are done and kept in cut; the same command with --resume") || !strings.Contains(text, "Not finished: ") {
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

// Without --out an interrupt keeps what is done under a name that is free, again and again, and says that some is there
// before it does it once more.
func TestAnInterruptLosesNothingWithoutAName(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("near.lua", []byte(nearLua), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ kept, before string }{{"near.trials", ""}, {"near.2.trials", "near.trials holds "},
		{"near.3.trials", "near.trials holds "}} {
		trouble, code := cutShort("near.lua", "--field", "practice_yard", "-n", "100000")
		if code != interrupted || !strings.Contains(trouble,
			"done and kept in "+c.kept+"; the same command with --resume --out "+c.kept+" goes on") {
			t.Fatalf("exit code %d\n%s", code, trouble)
		}
		if strings.Contains(trouble, "of this study from before; with --resume they need not "+
			"be done again") != (c.before != "") || !strings.Contains(trouble, c.before) {
			t.Errorf("earlier work: %s", trouble)
		}
		if f, err := results.Read(c.kept); err != nil || f.Have() == 0 || f.Finished {
			t.Errorf("%s: %v", c.kept, err)
		}
	}
}

// cutShort interrupts trials in the midst of the work: where the interrupt came before the first was done, once more
// and later.
func cutShort(args ...string) (trouble string, code int) {
	for moment := 100 * time.Millisecond; ; moment *= 2 {
		ctx, interrupt := context.WithCancel(context.Background())
		time.AfterFunc(moment, interrupt)
		var stderr bytes.Buffer
		code = run(ctx, append([]string{"trials"}, args...), streams{out: io.Discard, err: &stderr})
		if trouble = stderr.String(); code != interrupted || strings.Contains(trouble, "done and kept") || moment > hanging {
			return trouble, code
		}
	}
}

func TestNegativeNumbersGoToTheFlagBeforeThem(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"trials a.lua --need -5 -n -1", "trials a.lua --need=-5 -n-1"},
		{"trials a.lua --need -.5", "trials a.lua --need=-.5"},
		{"trials a.lua --need=3 -n 4 --json", "trials a.lua --need=3 -n 4 --json"},
		{"trials -1", "trials -1"},
	} {
		if got := strings.Join(joined(strings.Fields(c.args)), " "); got != c.want {
			t.Errorf("%s: %s", c.args, got)
		}
	}
}

func TestTheBarSaysWhichTimeIsLeft(t *testing.T) {
	for _, c := range []struct {
		left time.Duration
		want string
	}{{0, ""}, {44100 * time.Millisecond, ", 44s left"}, {104 * time.Second, ", 1m44s left"}} {
		if got := timeLeft(c.left); got != c.want {
			t.Errorf("%v: %q", c.left, got)
		}
	}
}

// hanging is how long nothing here takes, on however busy a machine: it only ends a test of what never comes.
const hanging = 2 * time.Minute

// hasLines waits until a file has some lines.
func hasLines(path string, lines int) error {
	for end := time.Now().Add(hanging); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if data, err := os.ReadFile(path); err == nil && bytes.Count(data, []byte("\n")) >= lines {
			return nil
		}
	}
	return fmt.Errorf("%s never had %d lines", path, lines)
}

func TestProgressIsForTerminalsOnly(t *testing.T) {
	if b := progress(&bytes.Buffer{}, 10); b.to != nil {
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

func TestTheBarTellsHowFarAStudyIs(t *testing.T) {
	b := &bar{doing: "rehearsing", total: 40}
	for _, c := range []struct {
		done  int
		since time.Duration
		want  string
	}{
		{0, time.Second, "rehearsing [                              ] 0 of 40"},
		{10, 20 * time.Second, "rehearsing [#######                       ] 10 of 40, 1m0s left"},
		{40, time.Minute, "rehearsing [##############################] 40 of 40"},
	} {
		b.done = c.done
		if got := b.line(c.since); got != c.want {
			t.Errorf("%d done: %q, want %q", c.done, got, c.want)
		}
	}
	var out bytes.Buffer
	b.to = &out
	b.show("a longer line")
	b.show("a line")
	b.clear()
	if want := "\ra longer line\ra line       \r      \r"; out.String() != want {
		t.Errorf("drawn %q, want %q", out.String(), want)
	}
}

func TestReplayArgumentsAreQuotedForAShell(t *testing.T) {
	in := inputs{Routine: "my routine.lua", Robot: "it's.toml", Param: values{"b": "2", "a": "0.1"},
		Opponent: []string{"x.lua"}}
	if got := in.replay(); got != `'my routine.lua' --robot 'it'\''s.toml' --param a=0.1 --param b=2 --opponent x.lua` {
		t.Error(got)
	}
}

// A scheduler ends a task with the terminating signal: it counts as an interrupt. The test binary is the program.
func TestTheTerminatingSignalInterrupts(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("near.lua", []byte(nearLua), 0o644); err != nil {
		t.Fatal(err)
	}
	child, stderr := started(t, "trials", "near.lua", "--field", "practice_yard", "-n", "100000", "--out", "near.trials")
	if err := hasLines("near.trials", 8); err != nil {
		t.Fatal(err)
	}
	if err := child.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if code := ended(t, child); code != interrupted || !strings.Contains(stderr.String(), "chalkfield: interrupted") {
		t.Errorf("exit code %d\n%s", code, stderr.String())
	}
	if f, err := results.Read("near.trials"); err != nil || f.Have() < 7 || f.Finished {
		t.Errorf("what is left: %v", err)
	}
}

// started runs the program, as a process of its own. What it says on its error stream may be read when it has ended.
func started(t *testing.T, args ...string) (child *exec.Cmd, stderr *bytes.Buffer) {
	t.Helper()
	self, err := exec.LookPath("chalkfield") // testscript puts it on the path
	if err != nil {
		t.Fatal(err)
	}
	child, stderr = exec.Command(self, args...), &bytes.Buffer{}
	child.Stderr = stderr
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { child.Process.Kill() })
	return child, stderr
}

// ended waits for the end of a process and gives its exit code.
func ended(t *testing.T, child *exec.Cmd) int {
	t.Helper()
	limit := time.AfterFunc(hanging, func() { child.Process.Kill() })
	child.Wait()
	if !limit.Stop() {
		t.Fatal("it went on and on after the interrupt")
	}
	return child.ProcessState.ExitCode()
}
