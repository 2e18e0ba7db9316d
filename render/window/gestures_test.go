package window

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// emptyFloor is a place of the screen at which nothing stands.
func (g *game) emptyFloor(t *testing.T) geom.Vec {
	t.Helper()
	area := g.frame.Field
	for x := area.X + 60; x < area.Right()-60; x += 7 {
		for y := area.Y + 60; y < area.Bottom()-60; y += 7 {
			at := g.field.view.Place(geom.Vec{X: x, Y: y})
			thing := g.model.Now.ThingAt(at, g.model.Time, 0.1)
			if thing.Kind == viewmodel.FloorThing {
				return geom.Vec{X: x, Y: y}
			}
		}
	}
	t.Fatal("no empty floor")
	return geom.Vec{}
}

func (g *game) dragged(from, to geom.Vec) {
	g.step(hand{X: from.X, Y: from.Y})
	g.step(hand{X: from.X, Y: from.Y, Pressed: true, Down: true})
	g.step(hand{X: (from.X + to.X) / 2, Y: (from.Y + to.Y) / 2, Down: true})
	g.step(hand{X: to.X, Y: to.Y, Down: true})
	g.step(hand{X: to.X, Y: to.Y, Released: true})
	g.step(hand{X: to.X, Y: to.Y})
}

// The floor that was taken stays under the pointer, zoomed in or not; a click that shakes moves nothing; 0 shows all.
func TestTheFloorIsDraggedByTheLeftButton(t *testing.T) {
	for _, zoom := range []float64{1, 3} {
		for _, mode := range []viewmodel.Mode{viewmodel.Watch, viewmodel.Arrange} {
			g := sized(t, 1280, 800)
			g.setMode(mode)
			g.step(hand{})
			g.field.zoomAt(g.field.middle(), zoom)
			g.step(hand{})
			from := g.emptyFloor(t)
			place := g.field.view.Place(from)
			to := geom.Vec{X: from.X + 37, Y: from.Y - 21}
			g.dragged(from, to)
			if now := g.field.view.Pixel(place); math.Hypot(now.X-to.X, now.Y-to.Y) > 0.01 || !g.field.moved() {
				t.Errorf("%s, zoom %g: what was taken at %v lies at %v, the pointer at %v", mode, zoom, from, now, to)
			}
			view := g.field.view
			from = g.emptyFloor(t)
			if g.dragged(from, geom.Vec{X: from.X + 2, Y: from.Y + 1}); g.field.view != view {
				t.Errorf("a click moved the view")
			}
			if g.keyed(ebiten.KeyDigit0); g.field.moved() {
				t.Errorf("not all is shown: zoom %g, shift %v", g.field.zoom, g.field.shift)
			}
			if g.model.UndoSteps() != 0 {
				t.Error("something was moved")
			}
		}
	}
}

// However far it is dragged, some of the floor stays in view.
func TestTheViewStaysOnTheFloor(t *testing.T) {
	g := sized(t, 960, 600)
	g.step(hand{})
	for range 30 {
		g.field.panBy(500, 300)
		g.step(hand{})
	}
	low, high, _ := g.field.extents()
	if at := g.field.view.Place(g.field.middle()); at.X < low.X-0.01 || at.Y > high.Y+0.01 {
		t.Errorf("the middle of the view is %v", at)
	}
}

// The menu of a place has what can be done there, and does it there.
func TestTheRightButtonOpensAMenuOfThePlace(t *testing.T) {
	g := sized(t, 960, 600)
	g.step(hand{})
	labels := func() string {
		var list []string
		for _, row := range g.card.list() {
			list = append(list, row.label)
		}
		return strings.Join(list, "; ")
	}
	open := func(x, y float64, title string, want ...string) {
		t.Helper()
		g.step(hand{X: x, Y: y})
		g.step(hand{X: x, Y: y, Menu: true})
		g.draws(t, "the menu "+title)
		if g.card == nil || g.card.name != "menu" || g.card.title != title {
			t.Fatalf("at %g, %g: %+v", x, y, g.card)
		}
		for _, one := range want {
			if !strings.Contains(labels(), one) {
				t.Errorf("%s: no %q in %q", title, one, labels())
			}
		}
		box := g.dialog.centre(len(g.card.list()))
		if box.X < 0 || box.Y < 0 || box.Right() > g.width || box.Bottom() > g.height {
			t.Errorf("the menu %s leaves the window: %+v", title, box)
		}
	}
	floor := g.emptyFloor(t)
	place := g.field.view.Place(floor)
	open(floor.X, floor.Y, "Field", "copy the place", "measure from", "layers")
	g.choice(t, g.action("point").does)
	if g.model.Mode != viewmodel.Measure || g.model.Measured.Points != 1 {
		t.Fatalf("mode %s, measured %+v", g.model.Mode, g.model.Measured)
	}
	if at := g.model.Measured.A; math.Hypot(at.X-place.X, at.Y-place.Y) > 0.002 {
		t.Errorf("measured from %v, the menu was opened at %v", at, place)
	}
	g.setMode(viewmodel.Watch)
	pose, _ := g.model.Now.PoseOf(viewmodel.Thing{Kind: viewmodel.RobotThing}, g.model.Time)
	robot := g.field.view.Pixel(pose.At())
	open(robot.X, robot.Y, g.model.NameOf(viewmodel.Thing{Kind: viewmodel.RobotThing}), "copy the place", "arrange")
	strip := g.strip.timeArea()
	open(strip.X+strip.W/2, strip.Y+strip.H-4, "Time strip", "go to this time", "play or pause", "the next event")
	g.choice(t, "go to this time")
	if want := g.model.Length() / 2; math.Abs(g.model.Time-want) > 0.1 {
		t.Errorf("it went to %g s, want %g", g.model.Time, want)
	}
	chart := g.charts.plots()
	open(chart.X+20, chart.Y+50, "Charts", "take this chart away", "choose what is charted", "go to this time")
	g.choice(t, "take this chart away")
	if len(g.model.Signals) != 0 {
		t.Errorf("charted: %v", g.model.Signals)
	}
	page := g.notebook.area()
	open(page.X+20, page.Y+50, "Notebook", "find", "fold")
	g.step(hand{X: 3, Y: 3, Pressed: true, Down: true})
	if g.card != nil {
		t.Errorf("a click beside it leaves it open")
	}
	if g.step(hand{X: 20, Y: 5, Menu: true}); g.card != nil {
		t.Errorf("the title's menu is %+v", g.card)
	}
}

// Each divider is dragged, is kept in the settings, and goes back by a double click.
func TestDividersAreDraggedAndReset(t *testing.T) {
	for _, c := range []struct {
		name   string
		dx, dy float64
		is     func(*game) float64
	}{
		{"beside the field", -60, 0, func(g *game) float64 { return g.frame.Notebook.W }},
		{"under the field", 0, -60, func(g *game) float64 { return g.frame.Strip.H }},
		{"over the list", 0, -40, func(g *game) float64 { return g.frame.Panel.H }},
		{"over the charts", 0, -40, func(g *game) float64 { return g.frame.Charts.H }},
		{"beside what is built", -60, 0, func(g *game) float64 { return g.frame.Things.W }},
		{"under the list of things", 0, 60, func(g *game) float64 { return g.frame.Things.H }},
	} {
		g := sized(t, 1280, 800)
		if strings.Contains(c.name, "thing") || strings.Contains(c.name, "built") {
			g = atBench(t, "practice_yard").game
		} else {
			g.model.Now.Lanes[0] = append(g.model.Now.Lanes[0], make([]viewmodel.Lane, 6)...)
			g.keyed(ebiten.KeyL)
		}
		g.draws(t, c.name)
		before, layout := c.is(g), g.memory.Layout
		r := g.element(t, "divider "+c.name).Rect
		from := geom.Vec{X: r.X + r.W/2, Y: r.Y + r.H/2}
		g.dragged(from, geom.Vec{X: from.X + c.dx, Y: from.Y + c.dy})
		g.draws(t, c.name+" dragged")
		if c.is(g) < before+25 {
			t.Errorf("%s: %g after the drag, %g before", c.name, c.is(g), before)
		}
		if g.memory.Layout == layout {
			t.Errorf("%s is not remembered", c.name)
		}
		r = g.element(t, "divider "+c.name).Rect
		for range 2 {
			g.step(hand{X: r.X + r.W/2, Y: r.Y + r.H/2, Pressed: true, Down: true})
			g.step(hand{X: r.X + r.W/2, Y: r.Y + r.H/2, Released: true})
		}
		if g.step(hand{}); math.Abs(c.is(g)-before) > 1 || g.memory.Layout != layout {
			t.Errorf("%s: %g after a double click, %g before; %+v", c.name, c.is(g), before, g.memory.Layout)
		}
	}
}

// What is folded is gone, and comes back as it was; all of it is in the settings.
func TestPartsFoldAndUnfold(t *testing.T) {
	g := sized(t, 960, 600)
	g.keyed(ebiten.KeyT)
	g.keyed(ebiten.KeyM) // the list stays, without the keys
	g.draws(t, "all open")
	all := g.frame
	for _, c := range []struct {
		h    hand
		gone func() bool
	}{
		{hand{Keys: []ebiten.Key{ebiten.KeyH}}, func() bool { return g.frame.Notebook.W == 0 && g.frame.Charts.W == 0 }},
		{hand{Keys: []ebiten.Key{ebiten.KeyH}, Shift: true}, func() bool { return g.frame.Notebook.H == tabHeight }},
		{hand{Keys: []ebiten.Key{ebiten.KeyG}, Shift: true}, func() bool { return g.frame.Charts.H == chartsHead }},
	} {
		g.step(c.h)
		g.draws(t, "folded")
		if !c.gone() {
			t.Errorf("%v folds nothing: %+v", c.h.Keys, g.frame)
		}
		if got := g.frame.Field.W * g.frame.Field.H; got < 0.4*960*600 {
			t.Errorf("the field has %g", got)
		}
		if g.step(c.h); g.frame != all {
			t.Errorf("unfolded: %+v, before %+v", g.frame, all)
		}
	}
	g.press(t, "fold")
	if !g.memory.Layout.Folded {
		t.Error("the arrow on the edge folds nothing")
	}
	g.press(t, "fold")
	g.press(t, "fold pages")
	g.press(t, "fold charts")
	if l := g.memory.Layout; l.Folded || !l.NoPages || !l.NoCharts || l.Open != "values" {
		t.Errorf("the layout is %+v", l)
	}
	g.press(t, "tab score")
	g.keyed(ebiten.KeyF3)
	if l := g.memory.Layout; l != (viewmodel.Layout{Open: "values"}) || g.frame != all {
		t.Errorf("F3 gives %+v", l)
	}
}

// The next start finds the layout, and the list that was open, without the keys.
func TestTheLayoutIsFoundAgain(t *testing.T) {
	l := viewmodel.Layout{Dock: 333, Charts: 0.5, NoPages: true, Open: "layers"}
	g := compose(t.Context(), Options{}, viewmodel.New(viewmodel.Files{}, nil), viewmodel.Settings{Zoom: 1, Layout: l}, "")
	defer g.model.Close()
	if g.beside == nil || g.beside.name != "layers" || g.focus || g.memory.Layout != l {
		t.Errorf("beside %+v, keys %v, layout %+v", g.beside, g.focus, g.memory.Layout)
	}
}

// A list that stands beside the field in a drive takes none of its keys, and a value is not turned by accident, which
// would end it.
func TestAListBesideTheFieldLeavesADriveAlone(t *testing.T) {
	g := driving(t)
	g.showValues()
	at, tab := g.model.Time, g.model.Tab
	g.held(ebiten.KeyW, 10)
	if !g.model.Driving() || g.model.Time <= at || g.beside == nil || g.model.Tab != tab {
		t.Fatalf("driving %v, at %g s after %g s, list %v", g.model.Driving(), g.model.Time, at, g.beside != nil)
	}
	for _, e := range slices.Clone(g.elements) {
		if r := e.Rect; strings.HasPrefix(e.Name, "row ") {
			g.step(hand{X: r.X + 30, Y: r.Y + 5, WheelY: 1})
			g.step(hand{X: r.X + 30, Y: r.Y + 5, Pressed: true, Down: true})
			g.step(hand{X: r.X + 90, Y: r.Y + 5, Down: true})
			g.step(hand{X: r.X + 90, Y: r.Y + 5, Released: true})
		}
	}
	if !g.model.Driving() || g.model.UndoSteps() != 0 {
		t.Errorf("driving %v, %d values turned", g.model.Driving(), g.model.UndoSteps())
	}
}

// Esc closes the list that the last start left beside the field, and a click on the legend opens the list of all marks.
func TestEscClosesTheListAndTheLegendOpensIt(t *testing.T) {
	g := sized(t, 960, 600)
	g.openAgain(viewmodel.Layout{Open: "signals"})
	if g.keyed(ebiten.KeyEscape); g.beside != nil {
		t.Error("Esc leaves the list")
	}
	g.draws(t, "without a list")
	if g.press(t, "legend"); g.beside == nil || g.beside.name != "layers" {
		t.Errorf("a click on the legend opens %+v", g.beside)
	}
}

// press clicks a button of a name.
func (g *game) press(t *testing.T, name string) {
	t.Helper()
	r := g.element(t, name).Rect
	g.step(hand{X: r.X + r.W/2, Y: r.Y + r.H/2})
	g.step(hand{X: r.X + r.W/2, Y: r.Y + r.H/2, Pressed: true, Down: true})
	g.step(hand{X: r.X + r.W/2, Y: r.Y + r.H/2, Released: true})
}

// Every button tells what it does when the pointer rests on it, within the window.
func TestEveryButtonTellsWhatItDoes(t *testing.T) {
	g := sized(t, 960, 600)
	g.keyed(ebiten.KeyL)
	g.step(hand{})
	var tips *tip
	for _, p := range g.parts {
		if p, ok := p.(*tip); ok {
			tips = p
		}
	}
	told := 0
	for _, e := range g.elements {
		if e.Bare && e.Name != "fold" {
			continue
		}
		if a := slices.IndexFunc(g.actions, func(a action) bool { return a.name == e.Name }); a >= 0 && e.Tip == "" &&
			capital(g.actions[a].does) == e.Label && g.actions[a].keyWords() == e.Hint {
			continue // it says that itself
		}
		if e.Tip == "" {
			t.Errorf("%s tells nothing", e.Name)
			continue
		}
		for range int(tipAfter/frameSeconds) + 2 {
			g.step(hand{X: e.Rect.X + e.Rect.W/2, Y: e.Rect.Y + e.Rect.H/2})
			g.hand.lastX, g.hand.lastY = g.hand.X, g.hand.Y
		}
		if told++; tips.rests < tipAfter || tips.on != e.Name {
			t.Errorf("resting on %s tells of %q after %g s", e.Name, tips.on, tips.rests)
		}
		g.stale = true
		g.Draw(ebiten.NewImage(960, 600))
		if len(g.cut) > 0 {
			t.Errorf("%s: no room for %q", e.Name, g.cut)
		}
	}
	if told < 25 {
		t.Errorf("only %d buttons", told)
	}
}

// The list of actions is searched by any of its words, and does what is chosen.
func TestAnActionIsFoundAndDone(t *testing.T) {
	g := sized(t, 960, 600)
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyK}, Ctrl: true})
	if g.card == nil || g.card.name != "actions" || len(g.card.list()) < 40 {
		t.Fatalf("Ctrl+K opens %+v", g.card)
	}
	g.draws(t, "the actions")
	g.step(hand{Runes: []rune("zoom f1")})
	if rows := g.card.list(); rows[0].do != nil {
		t.Errorf("no action has both words: %+v", rows)
	}
	g.card.filter = ""
	g.step(hand{Runes: []rune("in zoom")})
	zoom := g.field.zoom
	if g.keyed(ebiten.KeyEnter); g.field.zoom <= zoom || g.card != nil {
		t.Errorf("zoom %g, before %g; card %+v", g.field.zoom, zoom, g.card)
	}
}

// Ctrl+F finds a line of the routine and an event.
func TestALineAndAnEventAreFound(t *testing.T) {
	g := sized(t, 960, 600)
	lines := strings.Repeat("-- a line\n", 90) + "bot.clamp:shut()\n" + strings.Repeat("-- a line\n", 90)
	g.model.Text = viewmodel.SourceOf("mine.lua", "", lines)
	g.draws(t, "a long routine")
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyF}, Ctrl: true})
	g.step(hand{Runes: []rune("clamp:shut")})
	g.draws(t, "finding")
	g.keyed(ebiten.KeyEnter)
	s, page := g.notebook.scroll[viewmodel.RoutineTab], g.notebook.area()
	if g.card != nil || s.at > 90*codeRow || s.at+page.H < 91*codeRow || g.model.Follows {
		t.Errorf("the page is at line %.0f, card %+v", s.at/codeRow+1, g.card)
	}
	g.step(hand{Keys: []ebiten.Key{ebiten.KeyF}, Ctrl: true})
	event := g.drawn.Furniture.AllEvents[2]
	g.step(hand{Runes: []rune(event.Words)})
	if g.keyed(ebiten.KeyEnter); math.Abs(g.model.Time-event.T) > 1e-6 {
		t.Errorf("at %g s, the event is at %g s", g.model.Time, event.T)
	}
}

// Ctrl and a letter do what they do elsewhere, where there is something to do.
func TestCtrlKeysDoWhatIsUsual(t *testing.T) {
	g := sized(t, 960, 600)
	ctrl := func(key ebiten.Key) { g.step(hand{Keys: []ebiten.Key{key}, Ctrl: true}) }
	for key, name := range map[ebiten.Key]string{ebiten.KeyO: "open", ebiten.KeyS: "keep", ebiten.KeyF: "find"} {
		if ctrl(key); g.card == nil || g.card.name != name {
			t.Errorf("Ctrl+%v opens %+v", key, g.card)
		}
		if ctrl(ebiten.KeyW); g.card != nil || g.leave {
			t.Errorf("Ctrl+W leaves %+v", g.card)
		}
	}
	g.keyed(ebiten.KeyA)
	g.model.Select(viewmodel.Thing{Kind: viewmodel.RobotThing})
	g.keyed(ebiten.KeyArrowUp)
	g.rest(t)
	if ctrl(ebiten.KeyS); g.card == nil || g.card.name != "keep" && g.card.name != "write start" {
		t.Errorf("Ctrl+S opens %+v", g.card)
	}
	g.closeCard()
	if ctrl(ebiten.KeyZ); g.model.UndoSteps() != 0 {
		t.Errorf("%d steps to undo", g.model.UndoSteps())
	}
	if ctrl(ebiten.KeyY); g.model.UndoSteps() != 1 {
		t.Errorf("%d steps to undo", g.model.UndoSteps())
	}
	ctrl(ebiten.KeyZ)
	if g.step(hand{Keys: []ebiten.Key{ebiten.KeyZ}, Ctrl: true, Shift: true}); g.model.UndoSteps() != 1 {
		t.Errorf("Ctrl+Shift+Z: %d steps to undo", g.model.UndoSteps())
	}
	g.keyed(ebiten.KeyL)
	if ctrl(ebiten.KeyW); g.beside != nil || g.leave {
		t.Error("Ctrl+W does not close the list beside the field")
	}
	if ctrl(ebiten.KeyW); !g.leave {
		t.Error("Ctrl+W does not close the window")
	}
}

// Ctrl+C and Ctrl+V take a place from one thing to another by the system's clipboard, here a program of the test's.
func TestAPlaceIsCopiedAndPasted(t *testing.T) {
	g := sized(t, 960, 600)
	folder := t.TempDir()
	script := "#!/bin/sh\ncase \"$*\" in *-out*) while read -r l; do echo \"$l\"; done < " + folder + "/held;; *) " +
		"while read -r l || [ \"$l\" ]; do echo \"$l\"; done > " + folder + "/held;; esac\n"
	if err := os.WriteFile(filepath.Join(folder, "xclip"), []byte(script), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", folder)
	g.step(hand{})
	ctrl := func(key ebiten.Key) { g.step(hand{Keys: []ebiten.Key{key}, Ctrl: true}) }
	g.keyed(ebiten.KeyA)
	g.model.Select(viewmodel.Thing{Kind: viewmodel.RobotThing})
	if ctrl(ebiten.KeyC); !strings.HasPrefix(g.model.Notice.Text, "Copied {x = ") {
		t.Skipf("no shell to run the clipboard's program: %q", g.model.Notice.Text)
	}
	if err := os.WriteFile(filepath.Join(folder, "held"), []byte("{700, 1100}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	ctrl(ebiten.KeyV)
	g.rest(t)
	if at, ok := g.model.Standing(viewmodel.Thing{Kind: viewmodel.RobotThing}); !ok || math.Abs(at.X-0.7) > 1e-9 ||
		math.Abs(at.Y-1.1) > 1e-9 || g.model.UndoSteps() != 1 {
		t.Errorf("pasted, it stands at %+v: %q", at, g.model.Notice.Text)
	}
	if err := os.WriteFile(filepath.Join(folder, "held"), []byte("something else\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if ctrl(ebiten.KeyV); !strings.HasPrefix(g.model.Notice.Text, "Nothing to paste") || g.model.UndoSteps() != 1 {
		t.Errorf("it says %q", g.model.Notice.Text)
	}
	ctrl(ebiten.KeyK)
	if ctrl(ebiten.KeyV); g.card.filter != "something else" {
		t.Errorf("pasted into the list: %q", g.card.filter)
	}
}

// The wheel sideways, and comma and full stop, move the stretch of time shown.
func TestTheStripMovesSideways(t *testing.T) {
	g := sized(t, 960, 600)
	g.keyed(ebiten.KeyX)
	g.keyed(ebiten.KeyX)
	from, to := g.strip.span()
	area := g.strip.timeArea()
	g.step(hand{X: area.X + 50, Y: area.Y + 20, WheelX: -1})
	on, end := g.strip.span()
	if on <= from || math.Abs((end-on)-(to-from)) > 1e-9 {
		t.Errorf("from %g to %g s, then from %g to %g s", from, to, on, end)
	}
	g.keyed(ebiten.KeyComma)
	if back, _ := g.strip.span(); back >= on {
		t.Errorf("comma leads from %g to %g s", on, back)
	}
	g.keyed(ebiten.KeyPeriod)
	if again, _ := g.strip.span(); math.Abs(again-on) > 1e-9 {
		t.Errorf("full stop leads to %g s, want %g", again, on)
	}
}

// The whole new way shows while a value is turned, at any time of the run, and the list lies beside the field.
func TestTheWholeWayShowsWhileAValueIsTurned(t *testing.T) {
	g := valued(t)
	if g.field.wholeWay() != true {
		t.Error("with the list of values in hand only a part of the way is shown")
	}
	g.draws(t, "values")
	if p := g.frame.Panel; p.X < g.frame.Field.Right() || p.H == 0 {
		t.Errorf("the list lies at %+v, the field at %+v", p, g.frame.Field)
	}
	floor := g.emptyFloor(t)
	g.step(hand{X: floor.X, Y: floor.Y, Pressed: true, Down: true})
	if g.step(hand{X: floor.X, Y: floor.Y, Released: true}); g.field.wholeWay() || g.beside == nil {
		t.Error("a click on the field does not take the keys back, or closes the list")
	}
}
