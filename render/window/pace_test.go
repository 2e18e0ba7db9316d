package window

import (
	"testing"
	"time"
)

// While the run of a turned value is awaited no frame takes the processor from it; what plays goes on.
func TestFramesComeAsOftenAsSomethingHappens(t *testing.T) {
	for name, c := range map[string]struct {
		doing
		quiet       float64
		wait, least time.Duration
	}{
		"hands":             {doing{hands: true}, 0, lively, lively},
		"hands have rested": {doing{}, 0.5, lively, lively},
		"nothing":           {doing{}, 1, resting, lively},
		"a drive":           {doing{busy: true}, 0, lively, lively},
		"a run":             {doing{plays: true}, 1, playing, playing},
		"a run and hands":   {doing{plays: true, hands: true}, 0, lively, lively},
		"a turn":            {doing{turns: true, hands: true}, 0, resting, lively},
		"a turn in a run":   {doing{turns: true, plays: true}, 0.1, playing, playing},
	} {
		if wait, least := c.times(c.quiet); wait != c.wait || least != c.least {
			t.Errorf("%s: the next frame after %v, at least %v; want %v, %v", name, wait, least, c.wait, c.least)
		}
	}
}
