package check

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
)

// A rehearsal that goes as planned and ends at the wall has missed its expectation by the touch, not by going as
// planned.
func TestTrialsCountTheMissedExpectationNotTheDeparture(t *testing.T) {
	o := standIn(0)
	o.Rehearse = func(_ context.Context, s rehearse.Setup) (*record.Record, error) {
		r := made(s.Seed, s.Nominal)
		switch {
		case s.Nominal: // its plan touches the wall too: a touch is no departure
			r.Events = append(r.Events, did(3.8, record.Contact, "wall", 28))
		case s.Seed%4 == 1:
			r.Events = append(r.Events, did(3.8, record.Contact, "wall", 28))
		case s.Seed%4 == 2:
			r = clumsy(r)
			r.Events = append(r.Events, did(3.8, record.Contact, "wall", 28))
			r.Samples[len(r.Samples)-1].Robots[own].Battery = 10.99999 - 0.05*float64(s.Seed%8-2)
		}
		return r, nil
	}
	for _, c := range []struct{ name, expects, want string }{
		{"as planned", `never_touches = ["wall"]`, "in 20 of 40, 50.0 %, lower end 35.2 %; missed most often (20 times): " +
			"never touches wall; first departure in 10 of them: clamp misses (line 20); seed 2: touches wall"},
		{"the more frequent of two", "score_at_least = 12\nnever_touches = ['wall']", "missed most often (20 times): " +
			"never touches wall;"},
		{"one limit in other decimals", "battery_at_least = '11 V'", "missed most often (10 times): the battery has at " +
			"least 11.00 V at the end;"},
	} {
		dir := project(t, map[string]string{"a.check.toml": fmt.Sprintf("routine = 'mine.lua'\n[[cases]]\nname = '%s'\n"+
			"trials = 40\nshare = 0.9\n%s\n", c.name, c.expects)})
		out, err := Run(context.Background(), loadAll(dir), o)
		if err != nil {
			t.Fatal(err)
		}
		if len(out.Cases[0].Shortfalls) != 1 {
			t.Fatalf("%s: %+v", c.name, out.Cases[0])
		}
		if got := out.Cases[0].Shortfalls[0].Happened; !strings.Contains(got, c.want) || strings.Contains(got, "as planned") {
			t.Errorf("%s: got %s\nwant %s", c.name, got, c.want)
		}
	}
}
