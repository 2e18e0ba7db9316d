//go:build unix

package program

import (
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/property"
)

// estrange starts one that sleeps in a session of its own, and whose parent ends at once, as a daemon is started.
func estrange(token string) {
	middle := exec.Command(os.Args[0], "as", "middle", token)
	middle.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	middle.Run()
}

func init() {
	actors["middle"] = func(*stage) {
		daemon := exec.Command(os.Args[0], "as", "mute", os.Args[3])
		daemon.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
		daemon.Start()
	}
	actors["estranges"] = func(s *stage) { // drives well, and leaves one behind whose parent is gone
		estrange(os.Args[3])
		good(s)
	}
	actors["flees"] = after(func(s *stage, n int) { estrange(os.Args[3]); os.Exit(3) })
	crowd := actors["crowd"]
	actors["crowd"] = func(s *stage) { estrange(os.Args[3]); crowd(s) }
}

// What left the program's process group, and has no parent of the program's any more, is ended with it all the same
// where the system shows whose it is.
func TestADaemonOfAProgramIsEndedWithIt(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("this system shows no environment of another process")
	}
	for _, actor := range []string{"estranges", "flees"} {
		t.Run(actor, func(t *testing.T) {
			s := spec(t, actor)
			owner := NewOwner()
			defer owner.Close()
			routine, err := owner.Load(s)
			if err != nil {
				t.Fatal(err)
			}
			if there := len(alive(token(t))); actor == "estranges" && there != 2 {
				t.Errorf("%d processes, not the program and its daemon", there)
			}
			rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: s.Field, Seed: 1, Nominal: true, Sparse: true,
				Entrants: []rehearse.Entrant{{Robot: s.Robot, Routine: routine}}})
			if failed := failures(rec); err != nil || (len(failed) > 0) != (actor == "flees") {
				t.Fatal(err, failed)
			}
			owner.Close()
			noneLeft(t, token(t))
		})
	}
}

// Whenever the program is killed, the rehearsal goes on to its end, with one event at most, and nothing is left.
func TestAProgramKilledAtAnyTime(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	s := spec(t, "steady")
	owner := NewOwner()
	defer owner.Close()
	routine, err := owner.Load(s)
	if err != nil {
		t.Fatal(err)
	}
	lost, runs := 0, property.Cases(15, 200)
	for range runs {
		done := make(chan struct{})
		after := time.Duration(draw.IntN(40)) * time.Millisecond
		go func() {
			defer close(done)
			time.Sleep(after)
			owner.mutex.Lock()
			defer owner.mutex.Unlock()
			for p := range owner.all {
				p.command.Process.Kill()
			}
		}()
		rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: s.Field, Seed: 1, Nominal: true, Sparse: true,
			Entrants: []rehearse.Entrant{{Robot: s.Robot, Routine: routine}}})
		<-done
		if err != nil {
			t.Fatal(err)
		}
		failed := failures(rec)
		const killed = "the program ended instead of answering (signal: killed)"
		if len(failed) > 1 || len(failed) == 1 && !strings.Contains(failed[0].Text, killed) {
			t.Fatal(failed)
		}
		lost += len(failed)
	}
	if lost < runs/10 {
		t.Errorf("only %d of %d were killed while they drove", lost, runs)
	}
	owner.Close()
	noneLeft(t, token(t))
}

// Whenever Chalkfield itself is killed, by a signal that it cannot heed, its programs end, and their children.
func TestNothingIsLeftOfAKilledChalkfield(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 4))
	argv, err := split(spec(t, "rehearser").Words)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i := range property.Cases(6, 20) {
		parent := exec.Command(argv[0], argv[1:]...)
		parent.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
		if err := parent.Start(); err != nil {
			t.Fatal(err)
		}
		there := 0
		for wait := i % 2 * 200; wait > 0 && there < 4; wait-- { // every other time until all are there
			time.Sleep(50 * time.Millisecond)
			there = len(alive(token(t)))
		}
		seen = max(seen, there)
		time.Sleep(time.Duration(draw.IntN(100)) * time.Millisecond)
		parent.Process.Kill()
		parent.Wait()
		noneLeft(t, token(t))
	}
	if seen < 4 && runtime.GOOS == "linux" {
		t.Errorf("%d processes were there to be left, not Chalkfield, its program, that one's child and its daemon", seen)
	}
}
