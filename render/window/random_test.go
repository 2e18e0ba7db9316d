package window

import (
	"context"
	"io"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/property"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// handed is a window without a display, whose hands are the test's.
func handed(t *testing.T) *game {
	t.Helper()
	t.Chdir(t.TempDir())    // what is kept lands here
	t.Setenv("PATH", "")    // no clipboard
	t.Setenv("DISPLAY", "") // nor a display by mistake
	g := newGame(context.Background(), Options{Out: io.Discard, Err: io.Discard,
		Load: func(viewmodel.Files) (viewmodel.Loaded, error) {
			field, err := fields.OpenEmbedded("core_haul")
			if err != nil {
				return viewmodel.Loaded{}, err
			}
			robot, err := robot.Find("hauler")
			if err != nil {
				return viewmodel.Loaded{}, err
			}
			program, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
			if err != nil {
				return viewmodel.Loaded{}, err
			}
			entrants := []rehearse.Entrant{{Robot: robot, Routine: program}, {Robot: robot, Routine: program, Side: "teal"}}
			return viewmodel.Loaded{Setup: rehearse.Setup{Field: field, Seed: 1, Entrants: entrants},
				Source: viewmodel.SourceOf("core_haul_demo.lua", "", "return 1\n")}, nil
		}}, viewmodel.Settings{Zoom: 1}, "")
	t.Cleanup(g.close)
	g.density = 1
	g.studies.trials, g.studies.pairs, g.studies.each = 20, 20, 5
	g.width, g.height = 1280, 800
	g.rest(t)
	return g
}

// bare is a window with no files read, on a memory.
func bare(m *viewmodel.Model) *game {
	return compose(context.Background(), Options{}, m, viewmodel.Settings{Zoom: 1}, "")
}

// rest waits for the work in the background.
func (g *game) rest(t *testing.T) {
	t.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
		g.advance()
		if _, busy := g.model.Busy(); !busy {
			return
		}
	}
	t.Fatal("the rehearsal does not end")
}

// step is one Update with the hands as given.
func (g *game) step(h hand) {
	h.lastX, h.lastY = g.hand.X, g.hand.Y
	g.hand = h
	g.advance()
	g.layout()
	g.act()
	g.layout()
}

// A click and a key in one Update: the key closes the card, and the click meets what is behind it.
func TestAClickBesideAKeyThatClosesTheCard(t *testing.T) {
	g := handed(t)
	for _, opening := range []ebiten.Key{ebiten.KeyL, ebiten.KeyG, ebiten.KeyF1, ebiten.KeyO, ebiten.KeyD} {
		for _, closing := range []ebiten.Key{ebiten.KeyEscape, ebiten.KeyF1, ebiten.KeyEnter} {
			for y := 10.0; y < 800; y += 40 {
				g.step(hand{X: 640, Y: y, Keys: []ebiten.Key{opening}})
				g.step(hand{X: 640, Y: y, Keys: []ebiten.Key{closing}, Pressed: true, Down: true})
				g.step(hand{X: 640, Y: y, Released: true})
				g.closeCard()
				if g.model.Driving() {
					g.driver.end()
					g.closeCard()
				}
			}
		}
	}
}

// Whatever hands do, in any order, the window goes on.
func TestRandomHandsDoNotStopTheWindow(t *testing.T) {
	g := handed(t)
	random := rand.New(rand.NewPCG(1, 2))
	keys := make([]ebiten.Key, 0, 64)
	for _, a := range g.actions {
		for _, s := range a.keys {
			if s.key != ebiten.KeyF11 { // the display's own full screen
				keys = append(keys, s.key)
			}
		}
	}
	keys = append(keys, ebiten.KeyEnter, ebiten.KeyEscape, ebiten.KeyBackspace, ebiten.KeyArrowDown, ebiten.KeyArrowRight)
	h := hand{X: 640, Y: 400}
	for i := range property.Cases(1000, 6000) {
		h.Keys, h.Runes, h.WheelX, h.WheelY, h.Pressed, h.Released, h.Menu = nil, nil, 0, 0, false, false, false
		switch random.IntN(6) {
		case 0:
			h.Keys = []ebiten.Key{keys[random.IntN(len(keys))]}
			h.Runes = []rune{rune('a' + random.IntN(26))}
		case 1:
			h.X, h.Y = random.Float64()*1300-10, random.Float64()*820-10
		case 2:
			h.Pressed, h.Down = !h.Down, true
		case 3:
			h.Released, h.Down = h.Down, false
		case 4:
			h.WheelY = float64(random.IntN(7) - 3)
			h.WheelX = float64(random.IntN(3) - 1)
		case 5:
			h.Menu, h.Pan = random.IntN(2) == 0, random.IntN(4) == 0
		}
		h.Ctrl, h.Shift, h.Alt = random.IntN(8) == 0, random.IntN(4) == 0, random.IntN(30) == 0
		if random.IntN(60) == 0 {
			g.width, g.height = 960+random.Float64()*2000, 600+random.Float64()*1500
		}
		g.step(h)
		if i%40 == 0 {
			g.rest(t)
		}
	}
	if g.model.Now == nil {
		t.Error("nothing is shown in the end")
	}
}

// A key that is let go is a stick at rest at once: the macro of a button pressed just after must not be taken over by
// it.
func TestAStickThatIsLetGoIsAtRest(t *testing.T) {
	p := padMaker{puts: putsOf(viewmodel.PadMap{})}
	for range 10 {
		p.keys(&hand{held: []ebiten.Key{ebiten.KeyW, ebiten.KeyD}}, frameSeconds)
	}
	if p.keyed.LeftY < 0.5 || p.keyed.RightX < 0.5 {
		t.Errorf("held: %+v", p.keyed)
	}
	if state := p.keys(&hand{fresh: []ebiten.Key{ebiten.KeyJ}}, frameSeconds); state.LeftY != 0 || state.RightX != 0 ||
		len(state.Buttons) != 1 {
		t.Errorf("let go: %+v", state)
	}
}
