package results

import (
	"testing"

	"chalkfield/internal/base/record"
)

// tight is a plan whose clamp and first score lie 10 ms apart, after a drive that picks up on its way.
var tight = Result{
	Done: 15, Points: []float64{4}, Count: []float64{2},
	Did: []Moment{
		moment(3, record.Pickup, "core 1", 20), ended(4, "arrived", 25),
		moment(6.5, record.Clamped, "sled 1", 28), moment(6.51, record.Scored, "sled 1", 31),
		moment(9, record.Scored, "sled 1", 32),
	},
}

func TestWhatHappenedIsBlamedBeforeWhatItCost(t *testing.T) {
	for _, c := range []struct {
		name string
		did  []Moment
		want string
	}{
		{"the rehearsal is 30 ms early", []Moment{
			moment(2.97, record.Pickup, "core 1", 20), ended(3.97, "arrived", 25), moment(6.5, record.Missed, "clamp", 28),
		}, "clamp misses (line 28)"},
		{"the clamp comes late: the drive before it took longer", []Moment{
			moment(2.9, record.Pickup, "core 1", 20), ended(5.6, "arrived", 25), moment(8.1, record.Missed, "clamp", 28),
		}, "clamp misses (line 28)"},
		{"a motion ends by timeout that should have arrived a second after the pickup", []Moment{
			ended(7, "timeout", 25), moment(9.5, record.Clamped, "sled 1", 28), moment(9.51, record.Scored, "sled 1", 31),
			moment(12, record.Scored, "sled 1", 32),
		}, "core 1 not picked up (line 20)"},
		{"a wall is touched when the pickup is due", []Moment{
			moment(3.2, record.Contact, "wall", 25), ended(7, "timeout", 25), moment(9.5, record.Clamped, "sled 1", 28),
			moment(9.51, record.Scored, "sled 1", 31),
		}, "touches wall, then core 1 not picked up (line 20)"},
		{"a motion ends by timeout that should have arrived with the pickup, and the wall it met", []Moment{
			moment(3, record.Pickup, "core 1", 20), moment(6, record.Contact, "wall", 25), ended(7, "timeout", 25),
			moment(9.5, record.Missed, "clamp", 28),
		}, "touches wall, then motion ends by timeout (line 25)"},
		{"a jam just after", []Moment{
			moment(3, record.Pickup, "core 1", 20), ended(4, "arrived", 25), moment(6.5, record.Clamped, "sled 1", 28),
			moment(6.9, record.Jammed, "conveyor", 30),
		}, "conveyor jams (line 30)"},
		{"a foul long after", []Moment{
			moment(3, record.Pickup, "core 1", 20), ended(4, "arrived", 25), moment(6.5, record.Clamped, "sled 1", 28),
			moment(12, record.Foul, "line", 40),
		}, "piece 1 not scored in sled 1 (line 31)"},
		{"the second try at the line misses, as in the plan's second", []Moment{
			moment(3, record.Pickup, "core 1", 20), ended(4, "arrived", 25), moment(6.5, record.Clamped, "sled 1", 28),
			moment(6.51, record.Scored, "sled 1", 31),
			moment(13, record.Missed, "clamp", 28),
		}, "piece 2 not scored in sled 1 (line 32)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := tight
			got.Did = c.did
			if d, found := Depart(tight, got, 20); !found || d.Words != c.want {
				t.Errorf("%v %q, want %q", found, d.Words, c.want)
			}
		})
	}
}

func TestStepsCountThePiecesOfAKind(t *testing.T) {
	core := func(t float64, name string) Moment {
		return Moment{T: t, Kind: record.Pickup, What: name, Piece: "core"}
	}
	shell := Moment{T: 5, Kind: record.Pickup, What: "shell 1", Piece: "shell"}
	steps := Result{Did: []Moment{core(3, "core 1"), core(4, "core 7"), shell,
		moment(6, record.Clamped, "sled 1", 0)}}.Steps()
	got := Result{Did: []Moment{core(3.5, "core 7"), core(6, "core 2"), moment(7, record.Clamped, "sled 2", 0)}}
	for i, want := range []struct {
		words string
		t     float64 // in got; 0: not reached
	}{{"first core picked up", 3.5}, {"second core picked up", 6}, {"first shell picked up", 0}, {"sled 1 clamped", 0}} {
		if at, found := got.When(steps[i]); steps[i].Words != want.words || at != want.t || found != (want.t > 0) {
			t.Errorf("step %d is %q, reached %v at %g, want %q at %g", i, steps[i].Words, found, at, want.words, want.t)
		}
	}
	for n, want := range map[int]string{1: "first", 10: "tenth", 11: "11th", 12: "12th", 21: "21st", 22: "22nd",
		33: "33rd", 44: "44th", 113: "113th"} {
		if got := ordinal(n); got != want {
			t.Errorf("%d is %q, want %q", n, got, want)
		}
	}
}
