package window

import (
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// element is where something can be clicked, as last placed.
func (g *game) element(t *testing.T, name string) element {
	t.Helper()
	for i := len(g.elements) - 1; i >= 0; i-- {
		if g.elements[i].Name == name {
			return g.elements[i]
		}
	}
	t.Fatalf("there is no %q", name)
	return element{}
}

// valued is a window on a routine with two values.
func valued(t *testing.T) *game {
	t.Helper()
	g := handed(t)
	text := "return routine {start = {x = 600, y = 1000, heading = 0}, auto = function(bot)\n" +
		"  param(\"gain\", 0.5, 0, 1) param(\"far\", 300, 100, 500)\nend}\n"
	program, err := scripting.LoadFS(fstest.MapFS{"mine.lua": {Data: []byte(text)}}, "mine.lua")
	if err != nil {
		t.Fatal(err)
	}
	g.model.Setup.Entrants = []rehearse.Entrant{{Robot: g.model.Setup.Entrants[0].Robot, Routine: program}}
	g.model.Rehearse()
	g.rest(t)
	g.keyed(ebiten.KeyT)
	if g.front() == nil || len(g.model.Values()) != 2 {
		t.Fatalf("card %v, values %v", g.front() != nil, g.model.Values())
	}
	return g
}

func (g *game) used(name string) float64 {
	for _, p := range g.model.Values() {
		if p.Name == name {
			return p.Used
		}
	}
	return -1
}

func TestAValueIsSelectedByAClickAndTurnedByWheelAndDrag(t *testing.T) {
	g := valued(t)
	row := g.element(t, "row far").Rect
	x, y := row.X+40, row.Y+row.H/2
	g.step(hand{X: x, Y: y, Pressed: true, Down: true})
	g.step(hand{X: x, Y: y, Released: true})
	if g.used("far") != 300 || g.front().cursor != 1 {
		t.Fatalf("a click made it %g, cursor at %d", g.used("far"), g.front().cursor)
	}
	g.step(hand{X: x, Y: y, WheelY: 1})
	if g.used("far") != 320 {
		t.Errorf("a turn of the wheel made it %g, want 320", g.used("far"))
	}
	g.step(hand{X: x, Y: y, WheelY: -1, Alt: true})
	if g.used("far") != 318 {
		t.Errorf("a fine turn back made it %g, want 318", g.used("far"))
	}
	steps := g.model.UndoSteps()
	g.step(hand{X: x, Y: y, Pressed: true, Down: true})
	for _, right := range []float64{7, 13, 26, 61} {
		g.step(hand{X: x + right, Y: y + right, Down: true})
	}
	g.step(hand{X: x + 61, Y: y, Released: true})
	g.step(hand{X: x + 200, Y: y})
	if g.used("far") != 418 || g.used("gain") != 0.5 || g.model.UndoSteps() != steps+1 {
		t.Errorf("a drag over five steps made it %g, gain %g; %d steps of undo more", g.used("far"), g.used("gain"),
			g.model.UndoSteps()-steps)
	}
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyZ}, Ctrl: true})
	if g.used("far") != 318 || g.front() == nil {
		t.Errorf("undone over the card: %g, card %v", g.used("far"), g.front() != nil)
	}
	reset := g.element(t, "reset far").Rect
	g.step(hand{X: reset.X + 5, Y: reset.Y + 5, Pressed: true, Down: true})
	if g.used("far") != 300 {
		t.Errorf("its button made it %g, want the file's 300", g.used("far"))
	}
	g.step(hand{})
	g.keyed(ebiten.KeyArrowLeft)
	if g.used("far") != 280 {
		t.Errorf("the key made it %g, want 280", g.used("far"))
	}
	if g.keyed(ebiten.KeyBackspace); g.used("far") != 300 {
		t.Errorf("Backspace made it %g, want the file's 300", g.used("far"))
	}
}

func TestTheWheelBesideTheNumbersShowsOtherRows(t *testing.T) {
	g := handed(t)
	g.height = 400
	g.keyed(ebiten.KeyF1)
	box := g.dialog.box(len(g.front().list()))
	g.step(hand{X: box.X + 50, Y: box.Y + 100, WheelY: -1})
	if g.front().top != 3 {
		t.Errorf("one turn of the wheel went %d rows on, want 3", g.front().top)
	}
	g.step(hand{X: 2, Y: 2, WheelY: -1})
	if g.front().top != 3 {
		t.Errorf("the wheel beside the card went to row %d", g.front().top)
	}
}

func TestACardIsClosedByItsOwnKeyAndLetsOthersThrough(t *testing.T) {
	g := valued(t)
	g.closeBeside()
	for key, name := range map[ebiten.Key]string{ebiten.KeyL: "layers", ebiten.KeyG: "signals", ebiten.KeyT: "values"} {
		g.keyed(key)
		if g.front() == nil || g.front().name != name || !strings.Contains(g.front().foot, key.String()+" or Esc closes") {
			t.Fatalf("%v opens %+v", key, g.front())
		}
		if g.keyed(key); g.front() != nil {
			t.Errorf("%v does not close %s", key, name)
		}
	}
	for _, key := range []ebiten.Key{ebiten.KeyL, ebiten.KeyT, ebiten.KeyF1} {
		g.keyed(key)
		for _, other := range []ebiten.Key{ebiten.KeyL, ebiten.KeyG, ebiten.KeyT, ebiten.KeyO, ebiten.KeyD} {
			before := g.front().name
			if g.keyed(other); g.front() == nil && other != key || g.front() != nil && g.front().name == before {
				t.Errorf("%v over %s leads to %+v", other, before, g.front())
			}
			g.card, g.beside = nil, nil
			g.keyed(key)
		}
		g.keyed(ebiten.KeyDigit3)
		if g.model.Tab != viewmodel.ScoreTab || g.front() == nil {
			t.Errorf("over %v: page %s", key, g.model.Tab)
		}
		g.model.Tab = viewmodel.RoutineTab
		g.keyed(ebiten.KeyM)
		if g.model.Mode != viewmodel.Measure || g.front() != nil {
			t.Errorf("M over %v: mode %s, card %v", key, g.model.Mode, g.front() != nil)
		}
		g.model.Mode = viewmodel.Watch
	}
	// On the list of signals letters narrow it, the key itself too once something is typed.
	g.keyed(ebiten.KeyG)
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyB}, Runes: []rune("b")})
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyG}, Runes: []rune("g")})
	if g.front() == nil || g.front().filter != "bg" {
		t.Errorf("typed b and g: %+v", g.front())
	}
	g.keyed(ebiten.KeyBackspace)
	if g.front().filter != "b" {
		t.Errorf("Backspace leaves %q", g.front().filter)
	}
}

func TestScrollingStopsFollowingAndSaysSo(t *testing.T) {
	g := handed(t)
	text := strings.Repeat("-- a line\n", 200)
	g.model.Text = viewmodel.SourceOf("mine.lua", "", text)
	s := g.notebook.scroll[viewmodel.RoutineTab]
	s.high = 200 * codeRow
	g.step(hand{})
	page := g.notebook.area()
	over := hand{X: page.X + 20, Y: page.Y + 20}
	wheel := over
	wheel.WheelY = -1
	for name, back := range map[string]func(){
		"Y": func() { g.keyed(ebiten.KeyY) },
		"its button": func() {
			r := g.element(t, "follow").Rect
			g.step(hand{X: r.X + 30, Y: r.Y + 5, Pressed: true, Down: true})
		},
		"the next play": func() { g.model.Playing = false; g.model.Seek(1); g.keyed(ebiten.KeySpace) },
	} {
		g.model.Playing = false
		g.step(wheel)
		if g.model.Follows || !g.notebook.strays() {
			t.Fatal("the wheel did not stop it")
		}
		bar := g.element(t, "follow").Rect
		if p := g.notebook.area(); bar.Y != p.Bottom() || bar.Bottom() > g.frame.Notebook.Bottom()+0.5 {
			t.Errorf("the button lies at %+v, the page at %+v", bar, p)
		}
		if back(); !g.model.Follows || g.notebook.strays() {
			t.Errorf("%s does not follow again", name)
		}
		g.step(over)
	}
	g.model.Tab = viewmodel.RobotTab // a page that does not go along with the run
	g.notebook.scroll[viewmodel.RobotTab].high = 5000
	if g.step(wheel); !g.model.Follows {
		t.Error("scrolling the robot's page stops the routine's")
	}
	g.model.Tab = viewmodel.RoutineTab
	wheel.WheelY = 1
	s.at = 0
	if g.step(wheel); !g.model.Follows {
		t.Error("a wheel that moves nothing stops it")
	}
}

func TestKeepingARunIsAskedAndNeverOverwrites(t *testing.T) {
	g := handed(t)
	files := func() []string {
		var names []string
		entries, err := os.ReadDir(".")
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	g.keyed(ebiten.KeyS)
	if len(files()) != 0 || g.front() == nil || g.front().name != "keep" ||
		g.front().list()[g.front().cursor].label != "Write record_1.jsonl" {
		t.Fatalf("files %v, card %+v", files(), g.front())
	}
	if g.keyed(ebiten.KeyEscape); len(files()) != 0 {
		t.Errorf("Esc wrote %v", files())
	}
	g.keyed(ebiten.KeyS)
	g.keyed(ebiten.KeyArrowDown)
	if g.keyed(ebiten.KeyEnter); len(files()) != 0 || g.model.Notice.Text != "Nothing was written." {
		t.Errorf("declined, yet %v: %q", files(), g.model.Notice.Text)
	}
	g.keyed(ebiten.KeyS)
	if err := os.WriteFile("record_1.jsonl", []byte("mine"), 0o600); err != nil { // comes to be there while it asks
		t.Fatal(err)
	}
	g.keyed(ebiten.KeyEnter)
	if data, err := os.ReadFile("record_1.jsonl"); err != nil || string(data) != "mine" || !g.model.Notice.Bad {
		t.Errorf("the file is now %q, notice %q", data, g.model.Notice.Text)
	}
	g.keyed(ebiten.KeyS)
	g.keyed(ebiten.KeyEnter)
	if !slices.Contains(files(), "record_2.jsonl") || !strings.HasSuffix(g.model.Notice.Text, "record_2.jsonl") {
		t.Errorf("files %v, notice %q", files(), g.model.Notice.Text)
	}
	g.model.Now = nil
	if g.keyed(ebiten.KeyS); g.front() != nil {
		t.Error("it asks about nothing")
	}
}

func TestWhatCannotBeOpenedIsNotRemembered(t *testing.T) {
	g := handed(t)
	bad := absolute("bad.jsonl")
	if err := os.WriteFile(bad, []byte("{}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	gone, mended := absolute("gone.jsonl"), absolute("mended.lua")
	if err := os.WriteFile(mended, []byte("return routine {\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	g.disk.memory.Recent = []viewmodel.Files{{Record: bad}, {Record: gone}, {Routine: absolute("gone.lua")}}
	for _, files := range slices.Clone(g.disk.memory.Recent) {
		g.disk.openFiles(files)
	}
	if len(g.disk.memory.Recent) != 0 {
		t.Errorf("remembered: %+v", g.disk.memory.Recent)
	}
	g.disk.open(mended)
	if len(g.disk.memory.Recent) != 1 {
		t.Errorf("a routine with a mistake is worth finding again: %+v", g.disk.memory.Recent)
	}
	g.disk.open("no-such.toml")
	g.disk.open("letter.txt")
	if len(g.disk.memory.Recent) != 1 {
		t.Errorf("remembered: %+v", g.disk.memory.Recent)
	}
	load := func(viewmodel.Files) (viewmodel.Loaded, error) { return viewmodel.Loaded{}, os.ErrNotExist }
	first := newGame(t.Context(), Options{Files: viewmodel.Files{Record: bad}, Load: load, Out: io.Discard,
		Err: io.Discard}, viewmodel.Settings{Recent: []viewmodel.Files{{Record: bad}}}, "")
	defer first.close()
	if len(first.disk.memory.Recent) != 0 {
		t.Errorf("opened with a bad record: %+v", first.disk.memory.Recent)
	}
}

func TestTheTitleNamesTheFile(t *testing.T) {
	g := handed(t)
	for _, c := range []struct {
		files viewmodel.Files
		text  viewmodel.Source
		want  string
	}{
		{viewmodel.Files{}, viewmodel.Source{Name: "core_haul_demo.lua"}, "core_haul_demo.lua - Chalkfield"},
		{viewmodel.Files{Routine: "a/mine.lua"}, viewmodel.Source{Name: "mine.lua", Path: "a/mine.lua"},
			"mine.lua - Chalkfield"},
		{viewmodel.Files{Routine: "kiln_yard_bricks"}, viewmodel.Source{Name: "kiln_yard_bricks.lua"},
			"kiln_yard_bricks - Chalkfield"},
		{viewmodel.Files{Record: filepath.Join("b", "third.jsonl")}, viewmodel.Source{}, "third.jsonl - Chalkfield"},
		{viewmodel.Files{}, viewmodel.Source{}, "Chalkfield"},
	} {
		g.model.Files, g.model.Text = c.files, c.text
		if got := g.model.Called(); got != c.want {
			t.Errorf("%+v: %q, want %q", c.files, got, c.want)
		}
	}
}

type display struct{ width, height int }

func (d display) Size() (int, int) { return d.width, d.height }

func TestARememberedSizeFitsTheDisplay(t *testing.T) {
	for _, c := range []struct{ width, height, onWidth, onHeight, wantWidth, wantHeight int }{
		{1280, 800, 1920, 1080, 1280, 800}, {1920, 1080, 1920, 1080, 1920, 1032}, {3000, 2000, 1600, 1000, 1600, 952},
		{1280, 1100, 1366, 768, 1280, 720}, {1280, 800, 0, 0, 1280, 800},
	} {
		if w, h := onDisplay(c.width, c.height, display{c.onWidth, c.onHeight}); w != c.wantWidth || h != c.wantHeight {
			t.Errorf("%d x %d on %d x %d: %d x %d", c.width, c.height, c.onWidth, c.onHeight, w, h)
		}
	}
}

// On a field whose side has nearly the usual accent, the window takes another.
func TestTheAccentChangesWithTheField(t *testing.T) {
	g := handed(t)
	usual := g.accent
	field, err := fields.OpenEmbedded("kiln_yard")
	if err != nil {
		t.Fatal(err)
	}
	g.draws(t, "a field")
	kept := g.strip.kept.kept
	g.model.Now.Setup.Field = field
	g.draws(t, "another field")
	if g.accent == usual || g.accent != scene.TintOf(field).Accent || kept == 0 || g.strip.kept.kept == kept {
		t.Errorf("the accent is %v, the strip's kept drawing %v, then %v", g.accent, kept, g.strip.kept.kept)
	}
}

// A picture can be taken of a card too.
func TestAPictureIsTakenOverACard(t *testing.T) {
	g := valued(t)
	g.keyed(ebiten.KeyF12)
	if g.front() == nil || filepath.Base(g.disk.shot) != "chalkfield_1.png" {
		t.Errorf("card %v, picture %q", g.front() != nil, g.disk.shot)
	}
}

// On a busy machine, or by a tap on a trackpad, the button goes down and up between two updates.
func TestAQuickClickWhileArrangingDragsNothing(t *testing.T) {
	g := handed(t)
	g.keyed(ebiten.KeyA)
	robot := viewmodel.Thing{Kind: viewmodel.RobotThing}
	at, ok := g.model.Now.PoseOf(robot, 0)
	if !ok {
		t.Fatal("the robot stands nowhere")
	}
	pixel := g.field.view.Pixel(at.At())
	g.step(hand{X: pixel.X, Y: pixel.Y})
	g.step(hand{X: pixel.X, Y: pixel.Y, Pressed: true, Released: true})
	g.step(hand{X: pixel.X + 50, Y: pixel.Y})
	if g.model.Selected != robot || g.arrange.drag.thing != viewmodel.Nothing || g.model.UndoSteps() != 0 {
		t.Errorf("selected %+v, dragged %+v, %d steps of undo", g.model.Selected, g.arrange.drag.thing, g.model.UndoSteps())
	}
}

// The middle or right button moves the view with the pointer, and the wheel zooms about it: what was under the pointer
// stays there.
func TestAHeldButtonAndTheWheelMoveTheView(t *testing.T) {
	g := handed(t)
	g.step(hand{})
	area := g.frame.Field
	x, y := area.X+area.W/3, area.Y+area.H/2
	g.step(hand{X: x, Y: y})
	under := func(x, y float64) geom.Vec { return g.field.view.Place(geom.Vec{X: x, Y: y}) }
	near := func(a, b geom.Vec) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-6 }
	at := under(x, y)
	g.step(hand{X: x, Y: y, WheelY: 2})
	if g.field.zoom <= 1 || !near(under(x, y), at) {
		t.Errorf("zoom %g, %v came under the pointer in place of %v", g.field.zoom, under(x, y), at)
	}
	g.step(hand{X: x, Y: y, Pan: true})
	g.step(hand{X: x + 30, Y: y - 20, Pan: true})
	if !near(under(x+30, y-20), at) {
		t.Errorf("moved by hand %v is under the pointer, want %v", under(x+30, y-20), at)
	}
}
