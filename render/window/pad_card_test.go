package window

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// put chooses a control's row in the card of keys and presses a key for it.
func (h *hands) put(control string, with hand) {
	h.t.Helper()
	h.press("row " + control)
	h.do(with)
	h.do(hand{})
}

// A control is put on another key: it drives from there, the one that had the key gets the old one, and all is kept.
func TestTheKeysOfThePadArePutElsewhere(t *testing.T) {
	h := atFile(t, withDriver("  driver = function(bot, pad)\n    pad:bind(\"a\", function() note(\"a ran\") end)\n"+
		"    pad:bind(\"b\", function() note(\"b ran\") end)\n    wait(9)\n  end,\n"))
	h.disk.path = filepath.Join(t.TempDir(), "window.json")
	h.key(ebiten.KeyD)
	h.press("row keys and buttons")
	if st := h.state(); st.Card != "pad" {
		t.Fatalf("card %q", st.Card)
	}
	h.put("button a", hand{Keys: []ebiten.Key{ebiten.KeyK}}) // the key of b
	if st := h.state(); !strings.Contains(st.Notice, "a is on K. That was the key of b, which is on J now.") {
		t.Errorf("it says %q", st.Notice)
	}
	h.put("button x", hand{Keys: []ebiten.Key{ebiten.KeyF1}})
	if st := h.state(); !st.Bad || !strings.Contains(st.Notice, "F1 means something else") || st.Card != "pad" {
		t.Errorf("F1 is taken: %q, card %q", st.Notice, st.Card)
	}
	if h.key(ebiten.KeyEscape); h.state().Card != "pad" {
		t.Errorf("Esc closes the card %q", h.state().Card)
	}
	h.put("stick forward", hand{Keys: []ebiten.Key{ebiten.KeySpace}})
	kept, err := viewmodel.LoadSettings(h.disk.path)
	if want := map[string]string{"a": "K", "b": "J", "stick forward": "Space"}; err != nil ||
		fmt.Sprint(kept.Pad.Keys) != fmt.Sprint(want) {
		t.Errorf("kept %v, %v", kept.Pad, err)
	}
	h.key(ebiten.KeyEscape)
	if st := h.state(); st.Card != "drive" {
		t.Fatalf("Esc leads to %q", st.Card)
	}
	h.press("row solo run")
	if notice := h.model.Notice.Text; !strings.Contains(notice, "Space S are the left stick") ||
		!strings.Contains(notice, "K J U I are the buttons a b x y") {
		t.Errorf("the hint says %q", notice)
	}
	h.held = []ebiten.Key{ebiten.KeySpace}
	h.until("the stick is forward", func(*state) bool { return h.desk.shown.LeftY == 1 })
	h.held = nil
	h.key(ebiten.KeyK)
	h.until("the macro of a ran", func(*state) bool {
		return slices.ContainsFunc(h.model.Now.Record.Events, func(e record.Event) bool { return e.Text == "a ran" })
	})
	h.key(ebiten.KeyEscape, ebiten.KeyEscape)
	h.driver.showPad()
	h.do(hand{})
	h.press("row All as at first")
	if got := h.driver.pad.puts; got.key("a") != ebiten.KeyJ || got.key(stickForward) != ebiten.KeyW {
		t.Errorf("after the reset a is on %v", got.key("a"))
	}
	if kept, err = viewmodel.LoadSettings(h.disk.path); err != nil || len(kept.Pad.Keys)+len(kept.Pad.Buttons) > 0 {
		t.Errorf("kept %v, %v", kept.Pad, err)
	}
}

// A gamepad's button can be put elsewhere in the same way; sticks have none.
func TestTheGamepadsButtonsArePutElsewhere(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.driver.showPad()
	h.do(hand{})
	press := hand{Gamepad: gamepad{Held: []ebiten.StandardGamepadButton{ebiten.StandardGamepadButtonRightTop}}}
	h.put("stick left", press)
	if h.state().Notice != "" && strings.Contains(h.state().Notice, "gamepad") {
		t.Errorf("a direction of the stick is put on a button: %q", h.state().Notice)
	}
	h.key(ebiten.KeyEscape)
	h.put("button a", press)
	if !strings.Contains(h.state().Notice, "a is on the gamepad's button right top. That was the button of y, "+
		"which is on right bottom now.") {
		t.Errorf("it says %q", h.state().Notice)
	}
	state := h.driver.pad.withGamepad(scripting.PadState{}, &gamepad{LeftY: 1, Held: press.Gamepad.Held})
	if !slices.Equal(state.Buttons, []string{"a"}) || state.LeftY != 1 {
		t.Errorf("the gamepad gives %+v", state)
	}
}

// What a file says that cannot be is as if it were not there.
func TestKeysThatCannotBeAreTheUsualOnes(t *testing.T) {
	for _, text := range []string{
		`{"keys": {"a": "F1", "b": "no key", "none": "M"}, "buttons": {"a": "nowhere", "stick left": "right top"}}`,
		`{"keys": {"a": "K"}}`, `{"buttons": {"a": "right top"}}`,
	} {
		var m viewmodel.PadMap
		if err := json.Unmarshal([]byte(text), &m); err != nil {
			t.Fatal(err)
		}
		p := putsOf(m)
		for _, u := range usualPuts {
			if p.key(u.control) != u.key || p.buttons[u.control] != u.button {
				t.Errorf("%s: %s is on %v, %q", text, u.control, p.key(u.control), p.buttons[u.control])
			}
		}
	}
	if p := putsOf(viewmodel.PadMap{Keys: map[string]string{"a": "K", "b": "J"}}); p.key("a") != ebiten.KeyK {
		t.Errorf("two that changed places: %v", p.keys)
	}
}

// Each button of the pad has a place of its own at first.
func TestUsualPutsAreComplete(t *testing.T) {
	p := putsOf(viewmodel.PadMap{})
	for _, button := range scripting.Buttons {
		if p.button(button) < 0 || !slices.ContainsFunc(usualPuts, func(u usual) bool { return u.control == button }) {
			t.Errorf("%s is on no key or button", button)
		}
	}
	if !p.distinct() {
		t.Error("two are on one key")
	}
}

// The window can begin with a drive, of the session asked for or one that is driven.
func TestTheWindowBeginsWithADrive(t *testing.T) {
	for _, c := range []struct {
		session string
		how     Drive
		want    string
		at      float64
	}{
		{"", WholeDrive, "solo run", 0}, {"match", WholeDrive, "match", 0}, {"", PhaseDrive, "match", 20},
		{"solo run", PhaseDrive, "solo run", 0}, {"autonomous", WholeDrive, "solo run", 0},
	} {
		g := handed(t)
		g.model.Files.Session, g.opening = c.session, c.how
		g.step(hand{})
		for range 60 {
			g.step(hand{})
		}
		if got := g.model.Now.Record.Header.Session; !g.model.Driving() || g.model.Begun() || got != c.want ||
			g.model.Time != c.at {
			t.Errorf("%+v: driving %v, begun %v, %s at %g s: %s", c, g.model.Driving(), g.model.Begun(), got, g.model.Time,
				g.model.Notice.Text)
		}
	}
}
