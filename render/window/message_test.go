package window

import (
	"strings"
	"testing"

	"chalkfield/render/window/viewmodel"
)

// A message of many lines moves nothing: it lies over what is above its line, and a click puts it away.
func TestALongMessageMovesNothing(t *testing.T) {
	for _, size := range [][2]float64{{960, 600}, {1280, 800}} {
		g := sized(t, size[0], size[1])
		g.model.Say("short")
		g.step(hand{})
		before := g.frame
		g.model.Warn(strings.Repeat("a message of very many words ", 20))
		g.step(hand{})
		if g.frame != before {
			t.Errorf("%v: a long message makes the frame %+v, it was %+v", size, g.frame, before)
		}
		g.draws(t, "a long message")
		r := g.element(t, "message").Rect
		if r.H < 2*noteRow || r.Bottom() != size[1] || len(g.cut) > 0 {
			t.Errorf("%v: the message has %+v, cut %q", size, r, g.cut)
		}
		g.step(hand{X: r.X + 5, Y: r.Y + 5, Pressed: true, Down: true})
		if g.step(hand{}); g.model.Notice.Text != "" {
			t.Errorf("%v: it is not put away", size)
		}
	}
}

// The floor's menu begins with what the robot does next, and ends with what leaves the run; undo is in every menu of
// what can be changed.
func TestTheMenuBeginsWithWhatTheRobotDoesNext(t *testing.T) {
	h := atFile(t, turnable)
	for _, at := range []spot{atFloor, atThing, atPages} {
		rows := h.menu.rows(at)
		first, last := rows[0].label, rows[len(rows)-1].label
		if at == atFloor && (!strings.HasPrefix(first, "drive there") || !strings.HasPrefix(last, "build")) {
			t.Errorf("the floor's menu is from %q to %q", first, last)
		}
	}
	h.model.Select(viewmodel.Nothing)
	for _, name := range []string{"undo", "redo"} {
		if a := h.action(name); a.at&atFloor == 0 || a.at&atThing == 0 || a.at&atPages == 0 {
			t.Errorf("%s is not in every menu", name)
		}
	}
}

// What is laid beside is told against the run shown, not against the run before.
func TestARunBesideIsToldAgainstTheRunShown(t *testing.T) {
	h := atFile(t, turnable)
	h.model.LayFile("core_haul_demo")
	h.rest(t)
	words := h.model.Notice.Text
	if !strings.HasPrefix(words, "Beside core_haul_demo: ") || !strings.Contains(words, "; they part by more than") ||
		strings.Contains(words, "same score") {
		t.Errorf("it says %q", words)
	}
}
