package record

import (
	"testing"

	"chalkfield/internal/base/units"
)

func TestSentence(t *testing.T) {
	for _, c := range []struct {
		e    Event
		want string
	}{
		{Event{Kind: Scored, What: "sled 3", Piece: "core 1"}, "scored core 1 into sled 3"},
		{Event{Kind: Pickup, What: "core 4", Part: "claw"}, "pickup core 4 by claw"},
		{Event{Kind: Pickup, What: "core 4"}, "pickup core 4"},
		{Event{Kind: Pickup, What: "core 4", Part: "claw", Goal: "sled 1"}, "pickup core 4 by claw out of sled 1"},
		{Event{Kind: Loaded, What: "core 9", Part: "red load 1"}, "loaded core 9 by red load 1"},
		{Event{Kind: Spilled, What: "sled 1", Value: 1.204, Limit: 0.8, Text: "by a wall, 2 out"},
			"spilled sled 1: hit at 1.20 m/s, it bears 0.80; by a wall, 2 out"},
		{Event{Kind: Release, What: "core 4", Part: "claw"}, "release core 4 from claw"},
		{Event{Kind: Crooked, What: "core 4", Goal: "sled 3"}, "crooked core 4 in sled 3"},
		{Event{Kind: Slipped, What: "sled 3", Part: "clamp"}, "slipped sled 3 out of clamp"},
		{Event{Kind: Contact, What: "wall", Value: 0.736}, "touches wall at 0.74 m/s"},
		{Event{Kind: Tips, What: "left", Value: 4.1, Limit: 4}, "tips left at 4.10 m/s^2: it bears 4.00"},
		{Event{Kind: Tips, What: "left", Text: "forwards and to the left", Value: 4.1, Limit: 4},
			"tips forwards and to the left at 4.10 m/s^2: it bears 4.00"},
		{Event{Kind: MotionStart, What: "ahead", Text: "600 mm"}, "ahead 600 mm"},
		{Event{Kind: MotionEnd, What: "ahead", Reason: Arrived, Took: 1.25, Value: 0.004}, "ahead: arrived after 1.25 s"},
		{Event{Kind: MotionEnd, What: "visit", Reason: TimedOut, Took: 3, Value: 0.04, Unit: "m"},
			"visit: timeout after 3.00 s, 40 mm left"},
		{Event{Kind: MotionEnd, What: "face", Reason: GotStuck, Took: 2, Value: -0.1, Unit: "rad"},
			"face: stalled after 2.00 s, -5.7 deg left"},
		{Event{Kind: MotionEnd, What: "rate", Reason: Held, Took: 2}, "rate: held for 2.00 s"},
		{Event{Kind: Failure, File: "a.lua", Line: 3, Text: "oops", Trace: "a.lua:3: in f\n\ta.lua:9: in auto"},
			"error: a.lua:3: oops\n  a.lua:3: in f\n    a.lua:9: in auto"},
		{Event{Kind: Warning, What: "bot.claw:go", Text: "bot.claw:go: no", Instead: "write yes"},
			"warning: bot.claw:go: no\nwrite yes"},
		{Event{Kind: Foul, What: "centre", Value: 5}, "foul: centre, 5 to the other side"},
		{Event{Kind: Missed, What: "claw", Reason: Nothing, Text: "it is not out"}, "missed: claw on nothing: it is not out"},
		{Event{Kind: Missed, What: "claw", Reason: NoAir}, "missed: too little air for claw"},
		{Event{Kind: Missed, What: "claw", Reason: NoRoom, Piece: "core 1"}, "missed: claw cannot give core 1 back"},
		{Event{Kind: Missed, What: "clamp", Reason: Beside, Goal: "sled 1"}, "missed: clamp beside sled 1"},
		{Event{Kind: Missed, What: "scorer", Reason: Beside, Piece: "core 1", Goal: "sled 1"},
			"missed: core 1 beside sled 1"},
		{Event{Kind: Jammed, What: "conveyor", Piece: "core 1", Goal: "sled 1"}, "jammed: core 1 stuck at sled 1"},
		{Event{Kind: Jammed, What: "conveyor", Piece: "core 1", Reason: NoRoom},
			"jammed: core 1 stuck with no room to leave"},
		{Event{Kind: Stalled, What: "lift"}, "stalled: lift pushes and does not move"},
		{Event{Kind: ScoreChange, Totals: []Number{{Name: "ochre", Value: 4}, {Name: "teal", Value: 2.5}}},
			"score ochre 4, teal 2.5"},
		{Event{Kind: PhaseStart, What: "autonomous", Value: 20}, "autonomous begins, 20 s"},
		{Event{Kind: Note, Text: "\x07"}, "note: \\x07"},
		{Event{Kind: "of another time", What: "core 1"}, "of another time core 1"},
	} {
		if got := c.e.Sentence(units.Metric); got != c.want {
			t.Errorf("%v: %q, want %q", c.e.Kind, got, c.want)
		}
	}
}
