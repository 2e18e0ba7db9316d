package viewmodel

import (
	"slices"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
	"chalkfield/scripting/talk"
	"chalkfield/sim/robot"
)

// reader is a program that says for ever that it stands at a place.
type reader struct{ at talk.Place }

func (reader) Begin(talk.Begin) error { return nil }
func (reader) End(talk.End)           {}

func (r reader) Ask(t talk.Tick) (talk.Answer, error) {
	commands := []talk.Command{{Do: "note", With: []any{"here"}, Place: r.at}}
	if t.Number > 1 {
		commands = nil
	}
	return talk.Answer{To: t.Number, Wait: 1, Commands: commands, Place: r.at}, nil
}

// The lines that a program tells are lit where the text shown is the file that they are of.
func TestAProgramsLinesAreLitInItsText(t *testing.T) {
	for _, c := range []struct {
		at   talk.Place
		want []int
	}{{talk.Place{File: "robot.py", Line: 2}, []int{2}}, {talk.Place{File: "arm.py", Line: 2}, nil}, {}} {
		program, err := scripting.NewForeign("python3 robot.py", talk.Ready{Phases: []string{"auto"},
			Start: &talk.Pose{X: 600, Y: 1000}}, nil, func() (scripting.Guest, error) { return reader{c.at}, nil })
		if err != nil {
			t.Fatal(err)
		}
		d := New(Files{}, func(Files) (Loaded, error) {
			field, err := fields.OpenEmbedded("core_haul")
			if err != nil {
				return Loaded{}, err
			}
			hauler, err := robot.Find("hauler")
			return Loaded{Source: SourceOf("robot.py", "", "one\ntwo\nthree\n"), Setup: rehearse.Setup{Field: field, Seed: 1,
				Nominal: true, Entrants: []rehearse.Entrant{{Robot: hauler, Routine: program}}}}, err
		})
		t.Cleanup(d.Close)
		d.Reload()
		finish(t, d)
		d.Seek(3)
		if got := d.LitLines(); !slices.Equal(got, c.want) {
			t.Errorf("at %v the lines %v are lit, want %v", c.at, got, c.want)
		}
	}
}
