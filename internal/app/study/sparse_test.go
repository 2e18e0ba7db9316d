package study

import (
	"context"
	"errors"
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
		{"orchard_row", "barrow", "orchard_row_baskets.lua"}, {"night_mail", "barrow", "night_mail_bundle.lua"},
		{"cask_quay", "hauler", "cask_quay_refill.lua"},
	} {
		setup := embedded(t, of[0], of[1], of[2])
		setup.Seed = 9
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

func embedded(t testing.TB, field, machine, routine string) rehearse.Setup {
	t.Helper()
	f, err1 := fields.OpenEmbedded(field)
	r, err2 := robot.OpenEmbedded(machine)
	program, err3 := scripting.LoadFS(assets.Routines, routine)
	if err := errors.Join(err1, err2, err3); err != nil {
		t.Fatal(err)
	}
	return rehearse.Setup{Field: f, Entrants: []rehearse.Entrant{{Robot: r, Routine: program}}}
}
