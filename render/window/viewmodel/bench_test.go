package viewmodel

import (
	"context"
	"math/rand/v2"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/render/scene"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// match is the demo's whole match: 120 s.
func match(tb testing.TB) *Run {
	tb.Helper()
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		tb.Fatal(err)
	}
	robot, err := robot.Find("hauler")
	if err != nil {
		tb.Fatal(err)
	}
	program, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		tb.Fatal(err)
	}
	setup := rehearse.Setup{Field: field, Session: "match", Seed: 1,
		Entrants: []rehearse.Entrant{{Robot: robot, Routine: program}}}
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		tb.Fatal(err)
	}
	return NewRun(setup, rec, Source{})
}

// Going to any time of a 120 s match gives the same scene however one got there: back and forth as well as straight.
func TestRewindingIsExact(t *testing.T) {
	run := match(t)
	if run.Index.End() < 119.9 {
		t.Fatalf("the match ends at %g s", run.Index.End())
	}
	random := rand.New(rand.NewPCG(1, 2))
	var wandering scene.Builder
	for range 40 {
		at := 120 * random.Float64()
		wandering.Build(scene.Input{Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: 120 * random.Float64()})
		got := wandering.Build(scene.Input{Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: at})
		want := scene.Build(scene.Input{Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: at})
		if len(got.Layers) != len(want.Layers) {
			t.Fatalf("at %g s: %d layers, straight there %d", at, len(got.Layers), len(want.Layers))
		}
		for i := range got.Layers {
			if len(got.Layers[i].Items) != len(want.Layers[i].Items) {
				t.Fatalf("at %g s: layer %v has %d items, straight there %d", at, got.Layers[i].Overlay, len(got.Layers[i].Items),
					len(want.Layers[i].Items))
			}
			for k := range got.Layers[i].Items {
				if a, b := got.Layers[i].Items[k], want.Layers[i].Items[k]; a.At != b.At || a.Heading != b.Heading ||
					a.Fill != b.Fill || len(a.Points) != len(b.Points) {
					t.Fatalf("at %g s: item %d of layer %v is %+v, straight there %+v", at, k, got.Layers[i].Overlay, a, b)
				}
			}
		}
	}
}

// BenchmarkRewind is what the window does to show another time of a 120 s match.
func BenchmarkRewind(b *testing.B) {
	run := match(b)
	random := rand.New(rand.NewPCG(1, 2))
	var builder scene.Builder
	for b.Loop() {
		builder.Build(scene.Input{Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: 120 * random.Float64()})
	}
}

// BenchmarkLiveRefresh is what a driven rehearsal costs a frame beside its ticks, at the end of 120 s, where it is
// most.
func BenchmarkLiveRefresh(b *testing.B) {
	run := match(b)
	for b.Loop() {
		run.Refresh()
	}
}
