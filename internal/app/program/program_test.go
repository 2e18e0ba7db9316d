package program

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// spec is one of the actors as a program.
func spec(t testing.TB, actor string) Spec {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	s, err := specOf(fmt.Sprintf("%q as %s %s", self, actor, token(t)))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func specOf(words string) (Spec, error) {
	field, err := fields.Find("practice_yard")
	if err != nil {
		return Spec{}, err
	}
	robot, err := robot.Find("hauler")
	return Spec{Words: words, Field: field, Robot: robot, Patience: 5 * time.Second, Simulator: "chalkfield test"}, err
}

// token is found in the command lines of all that a test started.
func token(t testing.TB) string {
	return fmt.Sprintf("chalkfield-test-%d-%s", os.Getpid(), strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '_'
	}, t.Name()))
}

// alive lists what still runs of what a test started; nil where that cannot be seen.
func alive(token string) []string {
	var list []string
	lines, _ := filepath.Glob("/proc/[0-9]*/cmdline")
	for _, path := range lines {
		line, _ := os.ReadFile(path)
		if strings.Contains(string(line), token) && !strings.Contains(string(line), "-test.") {
			list = append(list, path+": "+strings.ReplaceAll(string(line), "\x00", " "))
		}
	}
	return list
}

// noneLeft fails when something of a token is left after a while.
func noneLeft(t testing.TB, token string) {
	t.Helper()
	var left []string
	for range 100 {
		if left = alive(token); len(left) == 0 {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Errorf("left running:\n%s", strings.Join(left, "\n"))
}

// rehearsed is one rehearsal with an actor.
func rehearsed(s Spec) (*record.Record, error) {
	owner := NewOwner()
	defer owner.Close()
	routine, err := owner.Load(s)
	if err != nil {
		return nil, err
	}
	return rehearse.Run(context.Background(), rehearse.Setup{Field: s.Field, Seed: 1, Nominal: true,
		Entrants: []rehearse.Entrant{{Robot: s.Robot, Routine: routine}}})
}

// failures are the events that a routine failed by.
func failures(rec *record.Record) (list []record.Event) {
	for _, e := range rec.Events {
		if e.Kind == record.Failure {
			list = append(list, e)
		}
	}
	return list
}

func TestAProgramDrives(t *testing.T) {
	for _, actor := range []string{"good", "chatter"} {
		t.Run(actor, func(t *testing.T) {
			rec, err := rehearsed(spec(t, actor))
			if err != nil {
				t.Fatal(err)
			}
			if failed := failures(rec); len(failed) > 0 {
				t.Fatal(failed)
			}
			ended := 0
			for _, e := range rec.Events {
				if e.Kind == record.MotionEnd && e.Reason == record.Arrived {
					ended++
				}
			}
			if end := rec.Samples[len(rec.Samples)-1].Robots[0].True; ended != 1 || end[1] < 0.7 {
				t.Errorf("%d motions arrived, and it ends at %v", ended, end)
			}
			if r := rec.Header.Robots[0]; !r.Outside || r.Routine.Title != "an actor" || r.Routine.SHA256 != "" {
				t.Errorf("the header has %+v", r)
			}
			if p := rec.Header.Params; len(p) != 1 || p[0].Value != 4 {
				t.Errorf("the parameters are %v", p)
			}
			noneLeft(t, token(t))
		})
	}
}

// Whatever a program does, the rehearsal goes on to its end, with one event that says what it was and what the program
// said last, the motors stopped, and nothing left running.
func TestABadProgramEndsInOneEvent(t *testing.T) {
	for _, c := range []struct{ actor, want string }{
		{"hangs", "gave no answer for 0.3 s"},
		{"spins", "gave no answer for 0.3 s"},
		{"dies", "the program ended instead of answering (exit status 7)"},
		{"leaves", "the program ended instead of answering (exit status 0)"},
		{"closes", "the program closed its standard output"},
		{"babbles", `a line that is no JSON: "hello, world": standard output is for answers alone`},
		{"binary", `a line that is no JSON: "\x00\xff\xfe\x80\x00"`},
		{"empty", `a line that is no JSON: ""`},
		{"long", "a line of more than 1 MB"},
		{"floods", "a line of more than 1 MB"},
		{"twice", "the program's answer is to tick 11, this is tick 12"},
		{"unknown", `unknown field "comands"`},
		{"double", "more than one thing in a line"},
		{"other", `another answer than is due: "{\"answer\": \"ready\"}": this one begins {"answer": "commands"`},
		{"forward", `drive has no "forward": write "ahead"`},
		{"percent", "intake.run: the volts are 100 V, far more than the battery gives"},
		{"again", "steps without a wait"},
		{"parent", "the program ended instead of answering (exit status 3)"},
		{"crowd", "gave no answer for 0.3 s"},
	} {
		t.Run(c.actor, func(t *testing.T) {
			s := spec(t, c.actor)
			if s.Patience = time.Minute; strings.HasPrefix(c.want, "gave no answer") {
				s.Patience = 300 * time.Millisecond
			} else if c.actor == "closes" {
				s.Patience = 3 * time.Second
			}
			rec, err := rehearsed(s)
			if err != nil {
				t.Fatal(err)
			}
			failed := failures(rec)
			if len(failed) != 1 || !strings.Contains(failed[0].Text, c.want) {
				t.Fatalf("the failures are %v, want one of %q", failed, c.want)
			}
			if c.actor == "dies" && !strings.HasSuffix(failed[0].Trace, "one\ntwo  and\\x1b[31m red\nthe last words") {
				t.Errorf("of what it said last there is %q", failed[0].Trace)
			}
			last := rec.Samples[len(rec.Samples)-1]
			if last.Robots[0].Volts != [2]float64{} || last.T < 10 {
				t.Errorf("at %g s the motors have %v", last.T, last.Robots[0].Volts)
			}
			noneLeft(t, token(t))
		})
	}
}

// A program that does not come to say what it is is an error of the input: there is nothing to rehearse.
func TestAProgramThatDoesNotBegin(t *testing.T) {
	for _, c := range []struct{ words, want string }{
		{"", "no program is named"},
		{"'open", "a quote is not closed"},
		{"no-such-program-anywhere x", `"no-such-program-anywhere" cannot be started: there is no such program`},
		{"/ x", `"/" cannot be started: is a directory`},
		{"mute", "gave no answer"},
	} {
		s := spec(t, c.words)
		s.Patience = 20 * time.Millisecond
		if c.words != "mute" {
			s.Words = c.words
		}
		if _, err := rehearsed(s); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q gives %v, want %q", c.words, err, c.want)
		}
	}
	noneLeft(t, token(t))
}

// One process serves one rehearsal after another; one that ends with its rehearsal has its place taken by another.
func TestOneProcessServesManyRehearsals(t *testing.T) {
	for _, c := range []struct {
		actor       string
		least, most int
	}{{"good", 1, 1}, {"once", 2, 6}} {
		t.Run(c.actor, func(t *testing.T) {
			owner := NewOwner()
			defer owner.Close()
			s := spec(t, c.actor)
			routine, err := owner.Load(s)
			if err != nil {
				t.Fatal(err)
			}
			met := map[int]bool{}
			prints := map[string]bool{}
			for range 5 {
				rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: s.Field, Seed: 3,
					Entrants: []rehearse.Entrant{{Robot: s.Robot, Routine: routine}}})
				if err != nil || len(failures(rec)) > 0 {
					t.Fatal(err, failures(rec))
				}
				print, _ := rec.Fingerprint()
				prints[print] = true
				for p := range owner.all {
					met[p.command.Process.Pid] = true
				}
			}
			if len(met) < c.least || len(met) > c.most || len(prints) != 1 {
				t.Errorf("%d processes, %d fingerprints", len(met), len(prints))
			}
		})
	}
}

// Rehearsals at the same time have a process each, which serves one after another.
func TestWorkersShareAProgram(t *testing.T) {
	owner := NewOwner()
	defer owner.Close()
	s := spec(t, "good")
	s.Patience = time.Minute
	routine, err := owner.Load(s)
	if err != nil {
		t.Fatal(err)
	}
	const workers, each = 3, 4
	prints := make(chan string, workers*each)
	var group sync.WaitGroup
	for range workers {
		group.Go(func() {
			for range each {
				rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: s.Field, Seed: 3,
					Entrants: []rehearse.Entrant{{Robot: s.Robot, Routine: routine}}})
				if err != nil || len(failures(rec)) > 0 {
					t.Error(err, failures(rec))
					return
				}
				print, _ := rec.Fingerprint()
				prints <- print
			}
		})
	}
	group.Wait()
	close(prints)
	first := <-prints
	for print := range prints {
		if print != first {
			t.Fatal("the same rehearsal is not the same")
		}
	}
	if n := len(owner.all); n > workers {
		t.Errorf("%d processes for %d workers", n, workers)
	}
}

func TestWordsOfACommand(t *testing.T) {
	for command, want := range map[string]string{
		"python3 robot.py":                  "python3|robot.py",
		`  "my robot/run" 'a "b"' c"d e"f `: `my robot/run|a "b"|cd ef`,
		`C:\bots\robot.exe ''`:              `C:\bots\robot.exe|`,
	} {
		words, err := split(command)
		if got := strings.Join(words, "|"); err != nil || got != want {
			t.Errorf("%s is %q, %v; want %q", command, got, err, want)
		}
	}
}
