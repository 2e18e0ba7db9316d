package rehearse

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// demo is the embedded demo.
func demo(tb testing.TB) Setup {
	routine, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		tb.Fatal(err)
	}
	return onField(tb, "core_haul", "hauler", routine)
}

func onField(tb rapid.TB, fieldName, robotName string, routine *scripting.Program) Setup {
	field, err := fields.OpenEmbedded(fieldName)
	if err != nil {
		tb.Fatal(err)
	}
	robot, err := robot.OpenEmbedded(robotName)
	if err != nil {
		tb.Fatal(err)
	}
	return Setup{Field: field, Seed: 1, Entrants: []Entrant{{Robot: robot, Routine: routine}}}
}

// written is a routine that starts in the middle of the practice yard, or where the test says, with the given auto.
func written(tb rapid.TB, auto string) *scripting.Program {
	return source(tb, "return routine { start = {x = 1800, y = 1200, heading = 0}, auto = function(bot)\n"+auto+"\nend }")
}

func source(tb rapid.TB, text string) *scripting.Program {
	program, err := scripting.LoadFS(fstest.MapFS{"test.lua": {Data: []byte(text)}}, "test.lua")
	if err != nil {
		tb.Fatal(err)
	}
	return program
}

func rehearsed(tb rapid.TB, s Setup) *record.Record {
	rec, err := Run(context.Background(), s)
	if err != nil {
		tb.Fatal(err)
	}
	return rec
}

func fingerprint(tb testing.TB, s Setup) string {
	print, err := rehearsed(tb, s).Fingerprint()
	if err != nil {
		tb.Fatal(err)
	}
	return print
}

func find(rec *record.Record, kind record.Kind, text string) (record.Event, bool) {
	for _, e := range rec.Events {
		if e.Kind == kind && strings.Contains(e.Sentence(units.Metric), text) {
			return e, true
		}
	}
	return record.Event{}, false
}
