package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/sound"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// stands lets a whole session pass in which the driver does nothing but start the clock.
func (h *hands) stands() {
	h.t.Helper()
	h.key(ebiten.KeyD)
	h.press("row solo run")
	h.key(ebiten.KeyEnter)
	for h.model.Time < h.model.Length()-0.2 {
		h.model.AdvanceDrive(0.1, scripting.PadState{})
	}
	h.until("the session is over", func(st *state) bool { return !st.Driving && st.Card == "driven" })
}

// The best drive is kept, seen in the next one, and forgotten when that is asked for.
func TestTheBestDriveIsSeenInTheNext(t *testing.T) {
	h := atFile(t, strings.Replace(Ahead("300"), "x = 600, y = 1000", "x = 250, y = 300", 1)) // in its camp
	h.disk.path = filepath.Join(t.TempDir(), "window.json")
	file := h.driver.ghostFile("solo run")
	h.stands()
	if st := h.state(); h.model.Driven.Record.Sheet.Total[0] <= 0 ||
		!strings.Contains(st.Notice, "It is the best so far: ") {
		t.Fatalf("%v points: %q", h.model.Driven.Record.Sheet.Total, st.Notice)
	}
	best := viewmodel.LoadGhost(file)
	if best == nil {
		t.Fatal("it is not kept")
	}
	h.key(ebiten.KeyEscape, ebiten.KeyD)
	h.press("row solo run")
	if g := h.model.Ghost(); g == nil || g.Points != best.Points {
		t.Fatalf("beside the next drive is %v", g)
	}
	h.draws(t, "with the best drive")
	h.key(ebiten.KeyEscape)
	if h.key(ebiten.KeyD); !strings.Contains(h.row("row The best of solo run"), best.String()) {
		t.Errorf("offered: %q", h.row("row The best of solo run"))
	}
	h.press(h.row("row The best of solo run"))
	if st := h.state(); st.Card != "forget" {
		t.Fatalf("card %q", st.Card)
	}
	h.press("row Forget it")
	if _, err := os.Stat(file); err == nil || !strings.Contains(h.state().Notice, "is forgotten") {
		t.Errorf("it is still there: %q", h.state().Notice)
	}
}

// F9 switches the sounds off and on, in a drive too, and that is kept.
func TestSoundsAreSwitchedByAKey(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.disk.path = filepath.Join(t.TempDir(), "window.json")
	asked := 0
	h.driver.player = func() *sound.Player { asked++; return &sound.Player{} }
	silent := func() bool {
		kept, err := viewmodel.LoadSettings(h.disk.path)
		if err != nil || kept.Silent != h.memory.Silent {
			t.Errorf("kept %v, %v", kept.Silent, err)
		}
		return kept.Silent
	}
	h.key(ebiten.KeyF9)
	if !silent() {
		t.Error("they are not off")
	}
	h.key(ebiten.KeyD)
	h.press("row solo run")
	h.held = []ebiten.Key{ebiten.KeyW}
	h.until("it drives", func(st *state) bool { return st.Time > 0.1 })
	if asked != 0 {
		t.Error("the device was asked for though the sounds are off")
	}
	if h.key(ebiten.KeyF9); silent() || !h.model.Driving() || asked == 0 {
		t.Errorf("silent %v, driving %v, asked %d times", h.memory.Silent, h.model.Driving(), asked)
	}
}
