package rehearse

import (
	"sync"
	"testing"
)

// The same rehearsal again and again, first one after the other, then all at once sharing field, robot and routine, has
// one fingerprint. That two processes agree is a script of internal/app/command.
func TestDeterminismInSequenceAndInParallel(t *testing.T) {
	setup := demo(t)
	want := fingerprint(t, setup)
	for range 7 {
		if got := fingerprint(t, setup); got != want {
			t.Fatalf("in sequence: %s, want %s", got, want)
		}
	}
	prints := make([]string, 8)
	var all sync.WaitGroup
	for i := range prints {
		all.Go(func() { prints[i] = fingerprint(t, setup) })
	}
	all.Wait()
	for i, got := range prints {
		if got != want {
			t.Errorf("in parallel, %d: %s, want %s", i, got, want)
		}
	}
}

func TestTheSeedDecidesTheDraws(t *testing.T) {
	one, two := demo(t), demo(t)
	two.Seed = 2
	if fingerprint(t, one) == fingerprint(t, two) {
		t.Error("seeds 1 and 2 give the same record")
	}
	one.Nominal, two.Nominal = true, true
	a, b := rehearsed(t, one), rehearsed(t, two)
	if len(a.Header.Drawn) != 0 || len(b.Header.Drawn) != 0 {
		t.Error("a nominal rehearsal drew from the spread")
	}
	if a.Sheet.Total[0] != b.Sheet.Total[0] ||
		a.Samples[len(a.Samples)-1].Robots[0].True != b.Samples[len(b.Samples)-1].Robots[0].True {
		t.Error("a nominal rehearsal depends on the seed")
	}
}
