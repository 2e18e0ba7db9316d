package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/scoring"
)

// loaded has a person with three cores at 1, 1.5 m, who takes 2 s for each, and hands in a zone beside that.
func loadedYard(change ...func(*fields.Loader)) *fields.Field {
	f := cores(yard(4, 3), 4, 2, 0.5)
	f.Zones = []fields.Zone{{Name: "hatch", Side: -1,
		Shape: geom.Rect(geom.Vec{X: 0.5, Y: 1.2}, geom.Vec{X: 0.9, Y: 1.8})}}
	f.Phases = []fields.Phase{{Name: "first", Seconds: 5}, {Name: "second", Seconds: 20}}
	f.Loads = []fields.Loader{{Name: "load 1", At: geom.Pose{X: 1, Y: 1.5}, Count: 3, First: 1, Takes: 2, Hands: 0}}
	for _, c := range change {
		c(&f.Loads[0])
	}
	for i := range f.Pieces[1:] {
		f.Pieces[1+i].At = f.Loads[0].At
	}
	return f
}

// served runs a world and tells when which piece was put down.
func served(w *World, seconds float64) (times []float64, pieces []string) {
	for range int(math.Round(seconds / ControlTick)) {
		w.Tick()
		for _, e := range w.TakeEvents() {
			if e.Kind == record.Loaded {
				times, pieces = append(times, e.T), append(pieces, e.What)
			}
		}
	}
	return times, pieces
}

func same(got []float64, want ...float64) bool {
	if len(got) != len(want) {
		return false
	}
	for i := range got {
		if math.Abs(got[i]-want[i]) > 1e-9 {
			return false
		}
	}
	return true
}

// By hand: the first after 2 s; the next is ready at 4 s, but the first lies in its place until it is taken away at 5
// s, and from then on the last takes 2 s more.
func TestAPersonPutsPiecesDownWhereThereIsRoom(t *testing.T) {
	w := build(t, loadedYard())
	w.OpenPhase(0)
	times, pieces := served(w, 5)
	if !same(times, 2) || pieces[0] != "core 2" || w.Waiting(0) != 2 {
		t.Fatalf("at %v s %v, %d wait", times, pieces, w.Waiting(0))
	}
	w.drop(w.bodies[1], geom.Pose{X: 3, Y: 2}, geom.Vec{})
	times, pieces = served(w, 1)
	if !same(times, 5) || pieces[0] != "core 3" {
		t.Fatalf("at %v s %v", times, pieces)
	}
	w.drop(w.bodies[2], geom.Pose{X: 3, Y: 2.5}, geom.Vec{})
	if times, _ = served(w, 4); !same(times, 7) || w.Waiting(0) != 0 {
		t.Errorf("at %v s, %d wait", times, w.Waiting(0))
	}
}

// A piece that comes with a speed v slides v^2/(2 mu g) along the heading (Coulomb): 0.4 m/s with mu = 0.4 are 20.4 mm.
func TestAPieceRollsAlongTheHeading(t *testing.T) {
	f := loadedYard(func(l *fields.Loader) { l.Speed, l.At.Heading = 0.4, math.Pi/2 })
	w := build(t, f)
	w.OpenPhase(0)
	served(w, 3)
	at, want := w.bodies[1].Pose(), 1.5+0.4*0.4/(2*0.4*Gravity)
	if math.Abs(at.X-1) > 1e-6 || math.Abs(at.Y-want) > 1e-3 {
		t.Errorf("it lies at %v, want 1, %.4f", at, want)
	}
}

// People load only in the phases that the file says, and begin anew in each that follows one where they do not.
func TestPeopleLoadInTheirPhases(t *testing.T) {
	w := build(t, loadedYard(func(l *fields.Loader) { l.Phases, l.Speed = []int{1}, 2 }))
	w.OpenPhase(0)
	if times, _ := served(w, 5); len(times) > 0 {
		t.Errorf("in the first phase at %v s", times)
	}
	w.OpenPhase(1)
	if times, _ := served(w, 5); !same(times, 7, 9) {
		t.Errorf("in the second phase at %v s, want 7 and 9", times)
	}
	w.OpenPhase(0)
	served(w, 2.5)
	w.OpenPhase(1)
	if times, _ := served(w, 5); !same(times, 14.5) {
		t.Errorf("again at %v s, want 14.5", times)
	}
}

// While a robot has a part in the zone of the hands nothing is put down, and the robot commits the rule's foul.
func TestARobotAtAPersonsHands(t *testing.T) {
	for _, row := range []struct {
		name string
		x    float64 // of the robot, whose outline reaches 0.2 m to both sides
		want bool
	}{{"reaches in by 1 mm", 0.301, true}, {"stays out by 1 mm", 0.299, false}} {
		f := loadedYard()
		f.Rules = []fields.Rule{{Name: "hands off", Kind: fields.Touched, With: "hands", Inside: fields.Any, Points: 5,
			Phase: -1, Lost: true, Side: -1, Judged: fields.Always}}
		f.Counting = []int{0}
		w := build(t, f, Entry{Spec: cart(), Side: 1, Start: geom.Pose{X: row.x, Y: 1.5}})
		scorer, state := scoring.New(f), &scoring.State{}
		w.OpenPhase(0)
		times, _ := served(w, 3)
		w.State(state)
		scoring.OpenPhase(state)
		fouls := scorer.Fouls(0, state)
		if (len(times) == 0) != row.want || (len(fouls) == 1) != row.want {
			t.Errorf("%s: put down at %v s, fouls %v", row.name, times, fouls)
			continue
		}
		points := 0.0
		if row.want {
			points = -5
		}
		if sheet := scorer.Sheet(state); sheet.Total[0] != 0 || sheet.Total[1] != points {
			t.Errorf("%s: %v, want 0 and %g", row.name, sheet.Total, points)
		}
	}
}

// How long people take is drawn, for each piece, from the seed: normal, about the file's time (mean and deviation of
// 300 draws, within four standard errors), never in a nominal world, and noted.
func TestHowLongPeopleTakeIsDrawn(t *testing.T) {
	f := loadedYard()
	f.Spread.LoadTime = 0.2
	var sum, squares, n float64
	for seed := range uint64(100) {
		w, err := New(Config{Field: f, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range w.loads[0].takes {
			sum, squares, n = sum+s, squares+(s-2)*(s-2), n+1
		}
		if len(w.Drawn()) != 3 || w.Drawn()[0].Name != "core 2 load time" {
			t.Fatalf("drawn: %v", w.Drawn())
		}
	}
	mean, deviation := sum/n, math.Sqrt(squares/n)
	if math.Abs(mean-2) > 4*0.4/math.Sqrt(n) || math.Abs(deviation-0.4) > 4*0.4/math.Sqrt(2*n) {
		t.Errorf("mean %.3f s, deviation %.3f s of %g draws", mean, deviation, n)
	}
	if w := build(t, f); w.loads[0].takes[0] != 2 || len(w.Drawn()) > 0 {
		t.Errorf("nominal: %v s, drawn %v", w.loads[0].takes, w.Drawn())
	}
}
