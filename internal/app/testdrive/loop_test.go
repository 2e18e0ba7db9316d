package testdrive

import (
	"context"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
)

// recognised is what `show` must find in the log of a drive, stand-stills left out.
var recognised = map[string][]string{
	"stand":      nil,
	"ramp":       {"ramp forwards", "ramp backwards"},
	"step_brake": {"step forwards", "step backwards", "step forwards", "step backwards"},
	"step_coast": {"step forwards", "step backwards", "step forwards", "step backwards"},
	"spin_ramp":  {"spin left, ramp", "spin right, ramp"},
	"spin_step":  {"spin left, step", "spin right, step", "spin left, step", "spin right, step"},
	"arcs": {"arc left forwards, step", "arc right backwards, step", "arc right forwards, step",
		"arc left backwards, step"},
	"hard_start":   {"step forwards", "step backwards", "step forwards", "step backwards"},
	"square_left":  slices.Repeat([]string{"step forwards", "spin left, step"}, 4),
	"square_right": slices.Repeat([]string{"step forwards", "spin right, step"}, 4),
	"repeat":       {"step forwards", "spin left", "step backwards"}, // too short a spin to call it a step
	"move_lift":    nil,                                              // the base stands
}

// The loop without a real robot: each drive, rehearsed with noise and drawn spread, leaves a log in which the reader
// finds that drive, and nothing odd.
func TestTheLogOfADriveIsRecognised(t *testing.T) {
	eachDrive(t, func(t *testing.T, p *Plan, d *Drive) {
		if p.Room != rooms[0] {
			return
		}
		program, err := scripting.LoadTexts("x.lua", map[string]string{"x.lua": d.Routine()})
		if err != nil {
			t.Fatal(err)
		}
		field, err := fields.Parse("field.toml", []byte(p.FieldFile()))
		if err != nil {
			t.Fatal(err)
		}
		rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Seed: 2,
			Entrants: []rehearse.Entrant{{Robot: p.Robot, Routine: program}}})
		if err != nil {
			t.Fatal(err)
		}
		var text strings.Builder
		if err := logfile.WriteSimulated(&text, rec, p.Robot); err != nil {
			t.Fatal(err)
		}
		log, err := logfile.Read(d.Name+".csv", strings.NewReader(text.String()), logfile.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		said := logfile.Describe(log)
		var found []string
		for _, drive := range said.Drives {
			if drive.What != "stand-still" {
				found = append(found, drive.What)
			}
		}
		if want, known := recognised[d.Name]; !known || !slices.Equal(found, want) {
			t.Errorf("found %q, want %q", found, want)
		}
		if len(said.Suspicious) > 0 {
			t.Errorf("suspicious: %q", said.Suspicious)
		}
	})
}
