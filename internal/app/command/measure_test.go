package command

import (
	"context"
	"testing"
	"time"
)

// Each of the four gives a rate, be the time ever so short.
func TestEveryLoopIsMeasured(t *testing.T) {
	got, err := measureRates(context.Background(), demo(t), time.Millisecond)
	if err != nil {
		t.Fatal(err)
	}
	for name, rate := range map[string]float64{"still": got.Still, "bare": got.Bare, "world": got.World,
		"full": got.Full} {
		if !(rate > 0) || rate > 1e9 {
			t.Errorf("%s: %g simulated seconds per second", name, rate)
		}
	}
}

// The time of a full rehearsal is the session's, and an interrupt is an error, not a rate.
func TestAFullRehearsalIsTheSessionLong(t *testing.T) {
	setup := demo(t)
	// Core Haul's autonomous period
	if seconds, err := wholeRehearsal(context.Background(), setup); err != nil || seconds != 20 {
		t.Errorf("%g s, %v", seconds, err)
	}
	ctx, interrupt := context.WithCancel(context.Background())
	interrupt()
	if _, err := measureRates(ctx, setup, time.Hour); err == nil {
		t.Error("an interrupt is not told")
	}
}

func TestTurnsGoOnUntilEachHasHadItsTime(t *testing.T) {
	quick, slow := 0, 0
	rates, err := takeTurns([]func() (float64, error){
		func() (float64, error) { quick++; time.Sleep(time.Millisecond); return 1, nil },
		func() (float64, error) { slow++; time.Sleep(20 * time.Millisecond); return 1, nil },
	}, 20*time.Millisecond)
	if err != nil || slow != 1 || quick < 2 || rates[0] <= 0 || rates[1] <= 0 || rates[1] > 50 {
		t.Errorf("%d and %d turns, rates %v, %v", quick, slow, rates, err)
	}
}
