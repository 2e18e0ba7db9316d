package window

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// draws draws the window as it is now, twice, for the first frame learns the heights that the second one uses; without
// a display nothing comes of the pixels, but what had no room is known, and where everything lies.
func (g *game) draws(t *testing.T, what string) {
	t.Helper()
	screen := ebiten.NewImage(int(g.width), int(g.height))
	for range 3 {
		g.step(hand{X: g.hand.X, Y: g.hand.Y})
		g.stale = true
		g.Draw(screen)
	}
	if g.stale && g.disk.shot == "" {
		g.Draw(screen)
	}
	if len(g.cut) > 0 {
		t.Errorf("%s, %gx%g: no room for %q", what, g.width, g.height, g.cut)
	}
	for _, e := range g.elements {
		if r := e.Rect; r.X < -0.5 || r.Y < -0.5 || r.Right() > g.width+0.5 || r.Bottom() > g.height+0.5 {
			t.Errorf("%s, %gx%g: %s leaves the window: %+v", what, g.width, g.height, e.Name, r)
		}
	}
}

// sized is a window of a size, standing in the middle of the demo.
func sized(t *testing.T, width, height float64) *game {
	t.Helper()
	g := handed(t)
	g.width, g.height = width, height
	g.model.Playing = false
	g.model.Seek(9)
	g.dump.path = filepath.Join(t.TempDir(), "state.json")
	return g
}

var sizes = [][2]float64{{960, 600}, {1280, 800}}

func TestEveryPageHasRoom(t *testing.T) {
	for _, size := range sizes {
		g := sized(t, size[0], size[1])
		for _, tab := range viewmodel.Tabs {
			g.notebook.turnTo(tab)
			for _, at := range []float64{0, 9, g.model.End} {
				g.model.Seek(at)
				g.draws(t, fmt.Sprintf("%s at %g s", tab, at))
			}
			if high := g.notebook.scroll[tab].high; tab != viewmodel.RoutineTab && tab != viewmodel.StudyTab && high < 100 {
				t.Errorf("the page %s is %g points high", tab, high)
			}
			g.model.Follows = false
			g.draws(t, string(tab)+", scrolled")
		}
		if g.frame.Legend.H == 0 || g.drawn == nil {
			t.Error("there is no legend under the field")
		}
		st := g.state()
		if len(st.Places) == 0 || len(st.Buttons) < 20 || st.Parts["field"].W < 300 || st.Tab != string(viewmodel.StudyTab) {
			t.Errorf("the state has %d places, %d buttons", len(st.Places), len(st.Buttons))
		}
		g.dump.write(st)
		if data, err := os.ReadFile(g.dump.path); err != nil || !strings.Contains(string(data), `"tab":"study"`) {
			t.Errorf("the state file: %v", err)
		}
	}
}

func TestEveryCardHasRoom(t *testing.T) {
	for _, size := range sizes {
		g := sized(t, size[0], size[1])
		for _, key := range []ebiten.Key{ebiten.KeyL, ebiten.KeyG, ebiten.KeyT, ebiten.KeyD, ebiten.KeyS, ebiten.KeyF1} {
			g.keyed(key)
			if g.front() == nil {
				t.Fatalf("%v opens no card", key)
			}
			g.draws(t, g.front().name)
			if st := g.state(); st.Card != g.front().name {
				t.Errorf("the state names the card %q", st.Card)
			}
			g.closeCard()
		}
		v := valued(t)
		v.width, v.height = size[0], size[1]
		v.model.SetValue(v.model.Values()[0], 0.75)
		v.draws(t, "values, one turned")
	}
}

func TestEveryModeHasRoom(t *testing.T) {
	for _, size := range sizes {
		g := sized(t, size[0], size[1])
		g.keyed(ebiten.KeyM)
		g.keyed(ebiten.KeyArrowRight, ebiten.KeyEnter)
		g.keyed(ebiten.KeyArrowRight, ebiten.KeyArrowUp, ebiten.KeyEnter)
		if g.model.Measured.Points != 2 {
			t.Fatalf("measured %d points", g.model.Measured.Points)
		}
		g.draws(t, "measuring")
		g.keyed(ebiten.KeyA)
		g.model.Selected = viewmodel.Thing{Kind: viewmodel.RobotThing}
		g.draws(t, "arranging")
		at, ok := g.model.Now.PoseOf(g.model.Selected, 0)
		if !ok {
			t.Fatal("the robot stands nowhere")
		}
		pixel := g.field.view.Pixel(at.At())
		g.step(hand{X: pixel.X, Y: pixel.Y})
		g.step(hand{X: pixel.X, Y: pixel.Y, Pressed: true, Down: true})
		g.step(hand{X: pixel.X - 40, Y: pixel.Y, Down: true})
		if g.arrange.drag.thing != g.model.Selected {
			t.Fatalf("dragged is %+v", g.arrange.drag.thing)
		}
		g.stale = true
		g.Draw(ebiten.NewImage(int(g.width), int(g.height)))
		g.step(hand{X: pixel.X - 40, Y: pixel.Y, Released: true})
		g.rest(t)
		g.model.Pale = true
		g.draws(t, "arranged, the run before shown")
		if !g.model.ShowsBefore() || g.model.UndoSteps() != 1 {
			t.Errorf("the run before is not shown after %d steps: %q", g.model.UndoSteps(), g.model.Notice.Text)
		}
		g.keyed(ebiten.KeyV)
		g.model.Seek(6)
		g.draws(t, "watching")
	}
}

func TestSignalsHaveRoom(t *testing.T) {
	for _, size := range sizes {
		g := sized(t, size[0], size[1])
		g.keyed(ebiten.KeyG)
		for range g.beside.list() {
			g.draws(t, "the list of signals")
			g.keyed(ebiten.KeyArrowDown)
		}
		g.keyed(ebiten.KeyEscape)
		for _, s := range g.model.Now.Signals(0) {
			if !g.model.Shows(s.Key) {
				g.model.ToggleSignal(s.Key)
			}
		}
		if len(g.model.Signals) < 8 {
			t.Fatalf("%d signals", len(g.model.Signals))
		}
		for range len(g.model.Signals) {
			g.draws(t, "signals")
			g.charts.scroll(1)
		}
		if !strings.Contains(g.charts.hidden(), "more above") {
			t.Errorf("it says %q of what has no room", g.charts.hidden())
		}
	}
}

func TestADriveHasRoom(t *testing.T) {
	for _, size := range sizes {
		g := driving(t)
		g.width, g.height = size[0], size[1]
		g.draws(t, "driving")
		g.held(ebiten.KeyW, 60)
		g.draws(t, "driving on")
		g.driver.end()
		g.draws(t, "driven")
		g.keyed(ebiten.KeyEnter) // look at it
		if g.front() != nil || !g.model.Playing || g.model.Now != g.model.Driven {
			t.Errorf("card %v, playing %v", g.front() != nil, g.model.Playing)
		}
		g.notebook.turnTo(viewmodel.ScoreTab)
		g.draws(t, "the drive's sheet")
		if len(g.model.Driven.Record.Sheet.Rows) == 0 {
			t.Error("it has no score sheet")
		}
	}
}

// What can be done with a drive: a draft, a record, an opponent.
func TestADriveIsKeptInEveryWay(t *testing.T) {
	g := driving(t)
	g.held(ebiten.KeyW, 90)
	g.driver.end()
	for name, file := range map[string]string{"Make a draft routine of it": "draft_1.lua",
		"Keep it as a record": "record_1.jsonl"} {
		g.driver.showDriven()
		g.choice(t, name)
		text := readOf(t, file)
		if file == "draft_1.lua" {
			if _, err := scripting.LoadFS(os.DirFS("."), file); err != nil {
				t.Errorf("the draft does not load: %v\n%s", err, text)
			}
		} else if rec, err := record.Read(file, strings.NewReader(text)); err != nil || len(rec.Sheet.Rows) == 0 {
			t.Errorf("the record: %v", err)
		}
	}
	g.driver.showDriven()
	g.choice(t, "Drive against it")
	if g.front() == nil || g.front().name != "drive" || g.model.Opponent() == nil {
		t.Errorf("card %v, opponent %v", g.front() != nil, g.model.Opponent() != nil)
	}
	g.closeCard()
	g.driver.begin(g.model.DriverSessions()[0].Name)
	if robots := len(g.model.Now.Record.Header.Robots); robots < 2 {
		t.Errorf("%d robots drive", robots)
	}
}

func readOf(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// choice clicks a row of the card that is open.
func (g *game) choice(t *testing.T, label string) {
	t.Helper()
	g.step(hand{})
	r := g.element(t, "row "+label).Rect
	g.step(hand{X: r.X + 5, Y: r.Y + 5, Pressed: true, Down: true})
	g.step(hand{})
}

// A fault is told in the field where there is nothing else, at its line, and below.
func TestAFaultHasRoom(t *testing.T) {
	g := sized(t, 960, 600)
	g.model.Text = viewmodel.SourceOf("mine.lua", "", strings.Repeat("-- a line\n", 5)+"bot.drive:ahead(\n")
	g.model.Fault = &viewmodel.Fault{File: "mine.lua", Line: 6, Text: "mine.lua:6: a parenthesis is not closed\nwrite )"}
	g.draws(t, "a fault at its line")
	if g.notebook.routine.faultyLine() != 6 {
		t.Errorf("the fault stands at line %d", g.notebook.routine.faultyLine())
	}
	g.model.Now = nil
	g.draws(t, "nothing but a fault")
	if lines := g.notebook.routine.faultLines(g.notebook.area()); len(lines) < 2 {
		t.Errorf("it has %d lines", len(lines))
	}
}
