package window

import (
	"context"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// hands are those of a person at a window without a display, as small as there is, on files of a folder of the test's
// own. What they see is the state that a window writes.
type hands struct {
	*game
	t    *testing.T
	x, y float64
	held []ebiten.Key
}

// atFile opens mine.lua with this text, for a rehearsal without chance, and stands still at its start.
func atFile(t *testing.T, text string) *hands { return atFileBy(t, text, loadFile) }

// atFileBy reads the file with a loader.
func atFileBy(t *testing.T, text string, load viewmodel.Loader) *hands {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("DISPLAY", "")
	h := &hands{t: t}
	h.write("mine.lua", text)
	h.game = newGame(context.Background(), Options{Files: viewmodel.Files{Routine: "mine.lua"}, Load: load,
		Out: io.Discard, Err: io.Discard}, viewmodel.Settings{Zoom: 1}, "")
	t.Cleanup(h.game.close)
	h.density, h.width, h.height = 1, viewmodel.LeastWidth, viewmodel.LeastHeight
	h.dump.path = filepath.Join(t.TempDir(), "state.json")
	h.rest(t)
	h.model.Playing = false
	h.model.Seek(0)
	h.do(hand{})
	return h
}

// loadFile reads a routine of the folder, with the demo's robot and field.
func loadFile(files viewmodel.Files) (viewmodel.Loaded, error) {
	loaded := viewmodel.Loaded{Watch: []string{files.Routine}}
	text, err := os.ReadFile(files.Routine)
	if err != nil {
		return loaded, err
	}
	loaded.Source = viewmodel.SourceOf(filepath.Base(files.Routine), files.Routine, string(text))
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		return loaded, err
	}
	machine, err := robot.Find("hauler")
	if err != nil {
		return loaded, err
	}
	program, err := scripting.Load(files.Routine)
	loaded.Setup = rehearse.Setup{Field: field, Seed: 1, Nominal: true,
		Entrants: []rehearse.Entrant{{Robot: machine, Routine: program}}}
	return loaded, err
}

// write puts a file into the folder whole, as an editor does.
func (h *hands) write(name, text string) {
	h.t.Helper()
	if err := os.WriteFile(name+"~", []byte(text), 0o600); err != nil {
		h.t.Fatal(err)
	}
	if err := os.Rename(name+"~", name); err != nil {
		h.t.Fatal(err)
	}
}

// do is one Update, with the pointer and the held keys where they are.
func (h *hands) do(now hand) *state {
	now.X, now.Y, now.held = h.x, h.y, h.held
	now.fresh = now.Keys
	h.step(now)
	return h.state()
}

func (h *hands) key(keys ...ebiten.Key) {
	for _, key := range keys {
		h.do(hand{Keys: []ebiten.Key{key}})
		h.do(hand{})
	}
}

func (h *hands) shift(keys ...ebiten.Key) {
	for _, key := range keys {
		h.do(hand{Keys: []ebiten.Key{key}, Shift: true})
		h.do(hand{})
	}
}

func (h *hands) ctrl(key ebiten.Key) {
	h.do(hand{Keys: []ebiten.Key{key}, Ctrl: true})
	h.do(hand{})
}

// types presses the keys of letters, as a keyboard gives them.
func (h *hands) types(text string) {
	for _, letter := range text {
		h.do(hand{Keys: []ebiten.Key{ebiten.KeyA + ebiten.Key(letter-'a')}, Runes: []rune{letter}})
		h.do(hand{})
	}
}

func (h *hands) point(x, y float64) {
	h.x, h.y = x, y
	h.do(hand{})
}

func (h *hands) push() {
	h.do(hand{Pressed: true, Down: true})
}

func (h *hands) letGo() {
	h.do(hand{Released: true})
	h.do(hand{})
}

// press clicks what has a name.
func (h *hands) press(name string) {
	h.t.Helper()
	r := h.element(h.t, name).Rect
	h.point(r.X+r.W/2, r.Y+r.H/2)
	h.push()
	h.letGo()
}

// drag goes from one place to another in steps.
func (h *hands) drag(x0, y0, x1, y1 float64) {
	h.point(x0, y0)
	h.push()
	for _, share := range []float64{0.5, 1} {
		h.x, h.y = x0+(x1-x0)*share, y0+(y1-y0)*share
		h.do(hand{Down: true})
	}
	h.letGo()
}

// until lets Updates pass until the window is in a state.
func (h *hands) until(what string, is func(*state) bool) *state {
	h.t.Helper()
	var st *state
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if st = h.do(hand{}); is(st) {
			return st
		}
	}
	h.t.Fatalf("not within a minute: %s. Last state: %+v", what, st.State)
	return st
}

// place is where a thing is on the screen.
func (h *hands) place(name string) (x, y float64) {
	h.t.Helper()
	for _, p := range h.state().Places {
		if p.Name == name {
			return p.X, p.Y
		}
	}
	h.t.Fatalf("nothing is called %q: %v", name, h.state().Places)
	return 0, 0
}

// row is the name of the button that begins so, of several the first by the alphabet.
func (h *hands) row(begins string) string {
	h.t.Helper()
	for _, name := range slices.Sorted(maps.Keys(h.state().Buttons)) {
		if strings.HasPrefix(name, begins) {
			return name
		}
	}
	h.t.Fatalf("no button begins with %q: %v", begins, h.state().Buttons)
	return ""
}

func middle(r Rect) (x, y float64) { return r.X + r.W/2, r.Y + r.H/2 }
