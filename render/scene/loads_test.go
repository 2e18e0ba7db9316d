package scene

import (
	"slices"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// waitsFor are the counts of the places where people load, at a time of a record.
func waitsFor(f *fields.Field, rec *record.Record, t float64) (words []string) {
	for _, l := range layerOf(Build(Input{Field: f, Record: rec, T: t}), Goals).Labels {
		if l.Rank == RankCount && slices.ContainsFunc(f.Loads, func(o fields.Loader) bool { return o.At.At() == l.At }) {
			words = append(words, l.Words)
		}
	}
	return words
}

// A place where a person loads says how many pieces still wait, as laid out and at each moment of a record; what waits
// is not drawn on the floor, what was put down is. The zone of the hands says that it is one.
func TestWhatWaitsWithPeopleIsTold(t *testing.T) {
	f, err := fields.OpenEmbedded("cask_quay")
	if err != nil {
		t.Fatal(err)
	}
	if got := waitsFor(f, nil, 0); !slices.Equal(got, []string{"4/4", "4/4"}) {
		t.Errorf("as laid out: %v", got)
	}
	rec := &record.Record{Header: record.Header{Phases: []record.Phase{{Name: "tide", Seconds: 20}}}}
	first := record.Sample{T: 0}
	for i, p := range f.Pieces {
		rec.Header.Bodies = append(rec.Header.Bodies, record.Body{Kind: "cask", Name: p.Name, Side: -1})
		state := record.BodySample{ID: i, Pose: record.FromGeom(p.At)}
		if load := f.LoadOf(i); load >= 0 {
			state.In = record.WithPerson(load)
		}
		first.Bodies = append(first.Bodies, state)
	}
	down := f.Loads[0].First
	rec.Samples = []record.Sample{first,
		{T: 3, Bodies: []record.BodySample{{ID: down, Pose: record.FromGeom(f.Loads[0].At)}}}}
	for at, want := range map[float64][]string{1: {"4/4", "4/4"}, 3: {"3/4", "4/4"}} {
		if got := waitsFor(f, rec, at); !slices.Equal(got, want) {
			t.Errorf("at %g s: %v, want %v", at, got, want)
		}
	}
	onPlace := func(at float64) (n int) {
		for _, item := range layerOf(Build(Input{Field: f, Record: rec, T: at}), Pieces).Items {
			if item.Kind == Disc && item.At == f.Loads[0].At.At() && item.Fill != (Colour{}) {
				n++
			}
		}
		return n
	}
	if onPlace(1) != 0 || onPlace(3) != 1 {
		t.Errorf("%d casks lie at the place at 1 s, %d at 3 s", onPlace(1), onPlace(3))
	}
	if labels(Build(Input{Field: f}))["coral gangway (hands)"] != 1 {
		t.Error("the zone of the hands does not say so")
	}
}

// In a replay each place has a thing of its own, whose count changes while it stands.
func TestAPlaceOfALoadIsAMovingThing(t *testing.T) {
	f, err := fields.OpenEmbedded("cask_quay")
	if err != nil {
		t.Fatal(err)
	}
	var b Builder
	b.Build(Input{Field: f})
	found := 0
	for _, m := range b.Moving() {
		if m.At == f.Loads[found%2].At && m.Overlay == Goals && len(m.Items) > 0 {
			if m.Labels[0].Words != "4/4" || m.Labels[0].At != (geom.Vec{}) {
				t.Errorf("%+v", m.Labels[0])
			}
			found++
		}
	}
	if found != 2 {
		t.Errorf("%d places move, want 2", found)
	}
}
