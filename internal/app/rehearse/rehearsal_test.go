package rehearse

import (
	"context"
	"errors"
	"math"
	"runtime"
	"testing"
	"time"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

func TestSamplesAreFiftyASecondFromStartToEnd(t *testing.T) {
	rec := rehearsed(t, onField(t, "practice_yard", "hauler", written(t, "wait(1)")))
	for i, s := range rec.Samples {
		if want := record.Round(float64(i) * record.SamplePeriod); s.T != want {
			t.Fatalf("sample %d at %g s, want %g", i, s.T, want)
		}
	}
	if got, want := rec.Samples[len(rec.Samples)-1].T, rec.Header.Phases[0].Seconds; got != want {
		t.Errorf("the last sample is at %g s, the session ends at %g s", got, want)
	}
}

func TestEventsAreInOrderOfTime(t *testing.T) {
	rec := rehearsed(t, demo(t))
	for i := 1; i < len(rec.Events); i++ {
		if rec.Events[i].T < rec.Events[i-1].T {
			t.Errorf("event %d (%s) at %g s after %g s", i, rec.Events[i].Kind, rec.Events[i].T, rec.Events[i-1].T)
		}
	}
}

// A routine written for ochre, played by teal on a field of half-turn symmetry, does the same on the other side. The
// placement is nominal; tyres and contacts compute with other coordinates, so equality is to what the sheet counts.
func TestARoutinePlaysFromTheOtherSide(t *testing.T) {
	ochre, teal := demo(t), demo(t)
	ochre.Nominal, teal.Nominal = true, true
	teal.Entrants[0].Side = "teal"
	a, b := rehearsed(t, ochre), rehearsed(t, teal)
	if a.Sheet.Total[0] == 0 || a.Sheet.Total[0] != b.Sheet.Total[1] {
		t.Errorf("ochre scores %g, the same routine for teal %g", a.Sheet.Total[0], b.Sheet.Total[1])
	}
	start := ochre.Field.Mirror(a.Header.Robots[0].Start.Geom())
	if got := b.Header.Robots[0].Start.Geom(); math.Hypot(start.X-got.X, start.Y-got.Y) > 1e-6 {
		t.Errorf("teal starts at %v, want %v", got, start)
	}
}

func TestAFailingRoutineStillGivesARecord(t *testing.T) {
	rec := rehearsed(t, onField(t, "practice_yard", "hauler", written(t, "bot.drive:ahead(200)\nlocal x = nil + 1")))
	e, failed := find(rec, record.Failure, "")
	if !failed || e.Line != 3 || e.File != "test.lua" {
		t.Fatalf("error event %+v, want one of test.lua:3", e)
	}
	if rec.Samples[len(rec.Samples)-1].T < rec.Header.Phases[0].Seconds || len(rec.Sheet.Rows) == 0 {
		t.Error("the rehearsal did not go on to its score sheet")
	}
	if last := rec.Samples[len(rec.Samples)-1].Robots[0]; last.Volts != [2]float64{} {
		t.Errorf("the robot still has %v V", last.Volts)
	}
}

func TestWrongSetupsAreErrors(t *testing.T) {
	for name, spoil := range map[string]func(*Setup){
		"no robot":        func(s *Setup) { s.Entrants = nil },
		"unknown session": func(s *Setup) { s.Session = "matsch" },
		"unknown side":    func(s *Setup) { s.Entrants[0].Side = "yellow" },
		"no start":        func(s *Setup) { s.Entrants[0].Routine = nil },
		"outside":         func(s *Setup) { s.Entrants[0].Start = &geom.Pose{X: -5} },
		"into another": func(s *Setup) {
			s.Entrants = append(s.Entrants, s.Entrants[0])
		},
		"empty record": func(s *Setup) { s.Entrants[0] = Entrant{Robot: s.Entrants[0].Robot, Replay: &record.Record{}} },
	} {
		setup := demo(t)
		spoil(&setup)
		if _, err := Run(context.Background(), setup); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestACancelledRehearsalEndsItsGoroutines(t *testing.T) {
	before := runtime.NumGoroutine()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, demo(t)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want that it was cancelled", err)
	}
	for range 100 { // an ended goroutine takes a moment to be gone
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(time.Millisecond)
	}
	t.Errorf("%d goroutines before, %d after", before, runtime.NumGoroutine())
}

func TestALiftIsNotSentBeyondItsStops(t *testing.T) {
	rec := rehearsed(t, onField(t, "practice_yard", "hauler", written(t, "bot.lift:to(75)\nwait(0.1)\nbot.lift:to(500)")))
	e, failed := find(rec, record.Failure, "500 is outside what the lift can do: -25 to 75")
	if !failed || e.Line != 4 {
		t.Errorf("error %+v, want one at line 4 that tells the range", e)
	}
}
