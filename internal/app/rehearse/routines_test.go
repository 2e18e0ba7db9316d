package rehearse

import (
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
)

// What each embedded routine is there to show, on its own field with its own robot, everything as the files say: the
// rule and the least count.
var shown = map[string]map[string]float64{
	"core_haul_demo":   {"core on rack": 2, "core in sled": 3, "sled in camp": 1, "robot in camp": 1},
	"core_haul_sled":   {"core in sled": 2, "sled in camp": 1, "robot in camp": 1},
	"cask_quay_refill": {"cask on cart": 5, "cart in yard": 1},
	"foghorn_bay_tow":  {"lamp on buoy": 2, "buoy alight": 1, "buoy in harbour": 1, "the channel": 1, "harbour watch": 1},
	"kiln_yard_bricks": {"brick in kiln": 4, "robot in shelter": 1},
	"kiln_yard_glaze":  {"brick in kiln": 3, "glaze in kiln": 1, "robot in shelter": 1},
	"night_mail_bundle": {"bundle": 1, "delivery": 1, "on the first train": 3, "counted in the office": 1,
		"at the time clock": 1, "even work": 1},
	"orchard_row_baskets": {"fruit in basket": 4, "picked in the morning": 4, "gift": 2, "basket owned": 2,
		"early harvest": 1, "all in the shed": 1},
	"practice_yard_bay":    {"parked in a bay": 1},
	"practice_yard_square": {"on a mark": 1},
	"sorting_yard_sift":    {"crate in tray": 2, "back in the bay": 1},
}

func TestEveryEmbeddedRoutineDoesWhatItShows(t *testing.T) {
	for _, name := range assets.RoutineNames() {
		t.Run(name, func(t *testing.T) {
			program, err := scripting.LoadFS(assets.Routines, name+".lua")
			if err != nil {
				t.Fatal(err)
			}
			field, robot := assets.RoutineHome(name)
			setup := onField(t, field, robot, program)
			setup.Nominal = true
			rec := rehearsed(t, setup)
			for _, kind := range []record.Kind{record.Failure, record.Foul, record.Jammed} {
				if e, happened := find(rec, kind, ""); happened {
					t.Errorf("%s: %s", kind, e.Sentence(units.Metric))
				}
			}
			counts := map[string]float64{}
			for _, row := range rec.Sheet.Rows {
				counts[row.Rule] = row.Count[0]
			}
			if len(shown[name]) == 0 {
				t.Error("say in the table what this routine shows")
			}
			for rule, least := range shown[name] {
				if counts[rule] < least {
					t.Errorf("%s: %g, want %g or more", rule, counts[rule], least)
				}
			}
		})
	}
}
