package record

import "testing"

func TestSentence(t *testing.T) {
	for _, c := range []struct {
		e    Event
		want string
	}{
		{Event{Kind: Scored, Text: "core 1 into sled 3"}, "scored core 1 into sled 3"},
		{Event{Kind: Pickup, What: "core 4"}, "pickup core 4"},
		{Event{Kind: Contact, What: "wall", Value: 0.736}, "touches wall at 0.74 m/s"},
		{Event{Kind: MotionStart, What: "ahead", Text: "600 mm"}, "ahead 600 mm"},
		{Event{Kind: MotionEnd, What: "ahead", Text: "arrived"}, "ahead: arrived"},
		{Event{Kind: MotionEnd, Text: "timeout"}, "timeout"},
		{Event{Kind: Failure, Text: "a.lua:3: oops\n\ttraceback\n"}, "error: a.lua:3: oops\n  traceback"},
		{Event{Kind: Foul}, "foul"},
		{Event{Kind: Missed, What: "claw", Text: "claw on nothing"}, "missed: claw on nothing"},
		{Event{Kind: PhaseStart, What: "autonomous", Text: "begins, 20 s"}, "autonomous begins, 20 s"},
		{Event{Kind: "of another time", What: "core 1"}, "of another time core 1"},
	} {
		if got := c.e.Sentence(); got != c.want {
			t.Errorf("%v: %q, want %q", c.e.Kind, got, c.want)
		}
	}
}
