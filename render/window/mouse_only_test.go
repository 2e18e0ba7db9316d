package window

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
)

// menuAt opens the menu of a place of the field, m, and chooses in it, and in the lists that follow.
func (h *hands) menuAt(x, y float64, rows ...string) {
	h.t.Helper()
	h.toPlace(x, y, hand{})
	h.do(hand{Menu: true})
	for _, row := range rows {
		h.press(h.row("row " + row))
	}
	h.rest(h.t)
	h.do(hand{})
	if h.model.Fault != nil || h.model.Notice.Bad {
		h.t.Fatalf("after %q: %q", rows, h.model.Notice.Text)
	}
}

// With the mouse alone a new member begins an empty routine, turns the start, takes a core, takes hold of a sled and
// scores two cores in it.
func TestTwoPiecesAreScoredByTheMouseAlone(t *testing.T) {
	h := atFile(t, "return routine {start = {x = 600, y = 450, heading = 180}, auto = function(bot) end}\n")
	h.width, h.height = 1280, 800
	h.do(hand{})
	h.press("open")
	h.press(h.row("row a new, empty routine"))
	h.press(h.row("row on the field shown"))
	h.rest(t)
	h.do(hand{})
	h.onto("handle start turn 4.1")
	h.push()
	h.toPlace(0.9, 0.455, hand{Down: true})
	h.letGo()
	h.rest(t)
	h.do(hand{})
	h.menuAt(1.4, 0.2, "tell a part", "intake:run(10)")
	h.menuAt(1.4, 0.2, "tell a part", "conveyor:hold()")
	h.menuAt(1.2, 0.45, "drive there: ")
	h.menuAt(0.6, 0.9, "drive there: ")
	h.menuAt(0.6, 0.2, "turn to face it")
	h.menuAt(0.6, 1.15, "drive there backwards")
	h.menuAt(2.4, 1, "tell a part", "clamp:shut()")
	h.menuAt(2.4, 1, "wait for a sensor", "clamp:holding()")
	h.menuAt(2.4, 1, "tell a part", "conveyor:run(10)")
	h.draws(t, "the routine made")
	scored := 0
	for _, e := range h.model.Now.Record.Events {
		if e.Kind == record.Scored {
			scored++
		}
	}
	text := readOf(t, "routine_1.lua")
	if scored != 2 || math.Abs(h.model.Time-h.model.End) < 1 {
		t.Errorf("%d cores are scored; the routine is\n%s", scored, text)
	}
	for _, line := range []string{"  start = {x = 600, y = 450, heading = 0},\n",
		"    bot.intake:run(10)\n    bot.conveyor:hold()\n",
		"    await(function() return bot.clamp:holding() end, 2)\n    bot.conveyor:run(10)\n  end,\n}\n"} {
		if !strings.Contains(text, line) {
			t.Errorf("no %q in\n%s", line, text)
		}
	}
}
