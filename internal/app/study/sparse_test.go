package study

import (
	"context"
	"reflect"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/results"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// What a study keeps of a rehearsal that was recorded sparsely is what it would keep of the whole record.
func TestASparseRecordGivesTheSameResult(t *testing.T) {
	for _, of := range [][3]string{
		{"core_haul", "hauler", "core_haul_demo.lua"}, {"kiln_yard", "barrow", "kiln_yard_bricks.lua"},
	} {
		field, err := fields.OpenEmbedded(of[0])
		if err != nil {
			t.Fatal(err)
		}
		robot, err := robot.OpenEmbedded(of[1])
		if err != nil {
			t.Fatal(err)
		}
		program, err := scripting.LoadFS(assets.Routines, of[2])
		if err != nil {
			t.Fatal(err)
		}
		setup := rehearse.Setup{Field: field, Seed: 9, Entrants: []rehearse.Entrant{{Robot: robot, Routine: program}}}
		whole, err := rehearse.Run(context.Background(), setup)
		if err != nil {
			t.Fatal(err)
		}
		setup.Sparse = true
		sparse, err := rehearse.Run(context.Background(), setup)
		if err != nil {
			t.Fatal(err)
		}
		if len(sparse.Samples) != 1 || len(sparse.Ways[own]) != len(whole.Samples) {
			t.Errorf("%s: %d samples and a way of %d, want 1 and %d", of[2], len(sparse.Samples), len(sparse.Ways[own]),
				len(whole.Samples))
		}
		if got, want := results.Of(sparse, own), results.Of(whole, own); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: a sparse record gives %+v, want %+v", of[2], got, want)
		}
	}
}
