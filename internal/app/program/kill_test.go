//go:build unix

package program

import (
	"context"
	"math/rand/v2"
	"os/exec"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"chalkfield/internal/app/rehearse"
)

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
	lost := 0
	for range 200 {
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
	if lost < 20 {
		t.Errorf("only %d of 200 were killed while they drove", lost)
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
	for i := range 20 {
		parent := exec.Command(argv[0], argv[1:]...)
		parent.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
		if err := parent.Start(); err != nil {
			t.Fatal(err)
		}
		there := 0
		for wait := i % 2 * 200; wait > 0 && there < 3; wait-- { // every other time until all are there
			time.Sleep(50 * time.Millisecond)
			there = len(alive(token(t)))
		}
		seen = max(seen, there)
		time.Sleep(time.Duration(draw.IntN(100)) * time.Millisecond)
		parent.Process.Kill()
		parent.Wait()
		noneLeft(t, token(t))
	}
	if seen < 3 && runtime.GOOS == "linux" {
		t.Errorf("%d processes were there to be left, not Chalkfield, its program and that one's child", seen)
	}
}
