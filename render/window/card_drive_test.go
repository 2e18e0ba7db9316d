package window

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// keyed is an Update in which these keys go down.
func (g *game) keyed(keys ...ebiten.Key) { g.step(hand{Keys: keys, fresh: keys}) }

// held lets so many Updates pass with a key held.
func (g *game) held(key ebiten.Key, updates int) {
	for range updates {
		g.step(hand{held: []ebiten.Key{key}})
	}
}

// driving is a window in which somebody has driven the field's first session for half a second.
func driving(t *testing.T) *game {
	t.Helper()
	g := handed(t)
	g.driver.begin(g.model.DriverSessions()[0].Name)
	g.held(ebiten.KeyW, 30)
	if !g.model.Begun() || g.model.Time == 0 {
		t.Fatalf("begun %v at %g s: %q", g.model.Begun(), g.model.Time, g.model.Notice.Text)
	}
	return g
}

func TestADriveStandsBehindACardThatOpensAtTheDrivingKeys(t *testing.T) {
	g := driving(t)
	g.keyed(ebiten.KeyF1)
	if g.front() == nil || g.front().list()[0].label != "Driving" || g.front().top != 0 {
		t.Fatalf("the card is %+v", g.front())
	}
	at := g.model.Time
	g.held(ebiten.KeyW, 60)
	if g.model.Time != at || !g.model.Driving() {
		t.Errorf("the clock went from %g to %g s behind the card", at, g.model.Time)
	}
	g.keyed(ebiten.KeyEscape)
	g.held(ebiten.KeyW, 10)
	if !g.model.Driving() || !(g.model.Time > at+0.1 && g.model.Time < at+0.3) {
		t.Errorf("driving %v, from %g to %g s in a sixth of a second", g.model.Driving(), at, g.model.Time)
	}
	g.driver.end()
	g.closeCard()
	g.keyed(ebiten.KeyF1)
	if first := g.front().list()[0].label; first == "Driving" {
		t.Errorf("the sheet begins with %q while nobody drives", first)
	}
}

func TestDigitsTurnTheNotebooksPagesInADrive(t *testing.T) {
	for i := range viewmodel.Tabs {
		for _, u := range usualPuts {
			if u.key == tabKey(i) || taken(u.key) {
				t.Errorf("the key of page %d, or another in use, is the usual one of %s", i+1, u.control)
			}
		}
	}
	g := driving(t)
	for i, tab := range viewmodel.Tabs {
		g.keyed(tabKey(i))
		if g.model.Tab != tab || !g.model.Driving() {
			t.Errorf("key %d: page %s, driving %v", i+1, g.model.Tab, g.model.Driving())
		}
	}
}

func TestHomeAndEndWorkInEveryCard(t *testing.T) {
	g := handed(t)
	for _, opening := range []ebiten.Key{ebiten.KeyF1, ebiten.KeyD, ebiten.KeyL, ebiten.KeyG, ebiten.KeyO} {
		g.keyed(opening)
		if g.front() == nil {
			t.Fatalf("%v opens no card", opening)
		}
		rows := g.front().list()
		last := len(rows) - 1
		for last > 0 && !canBeChosen(rows[last]) {
			last--
		}
		sheet := !slices.ContainsFunc(rows, canBeChosen)
		g.keyed(ebiten.KeyEnd)
		if sheet && (g.front().top != len(rows)-g.front().shown || g.front().top == 0) || !sheet && g.front().cursor != last {
			t.Errorf("%s, End: at %d, top %d of %d rows", g.front().name, g.front().cursor, g.front().top, len(rows))
		}
		g.keyed(ebiten.KeyHome)
		if g.front().top != 0 || !sheet && g.front().cursor != slices.IndexFunc(rows, canBeChosen) {
			t.Errorf("%s, Home: at %d, top %d", g.front().name, g.front().cursor, g.front().top)
		}
		g.keyed(ebiten.KeyEscape)
	}
}

func TestAnotherModeAsksWhatToDoWithTheDrive(t *testing.T) {
	for _, mode := range []viewmodel.Mode{viewmodel.Watch, viewmodel.Measure, viewmodel.Arrange} {
		g := driving(t)
		g.setMode(mode)
		if g.model.Driving() || g.model.Mode != mode || g.front() == nil || g.front().name != "driven" {
			t.Errorf("%s: driving %v, mode %s, card %+v", mode, g.model.Driving(), g.model.Mode, g.front())
		}
		g.closeCard()
		g.driver.begin(g.model.DriverSessions()[0].Name)
		g.setMode(mode) // before it began: there is nothing to ask about
		if g.model.Driving() || g.model.Mode != mode || g.front() != nil {
			t.Errorf("%s, not begun: driving %v, mode %s, card %v", mode, g.model.Driving(), g.model.Mode, g.front() != nil)
		}
	}
}

func TestTheCardOfADriveSaysWhatFailed(t *testing.T) {
	g := driving(t)
	g.driver.end()
	for _, row := range g.front().list() {
		if strings.Contains(row.label, "failed") {
			t.Errorf("the card of a sound drive says %q", row.label)
		}
	}
	g.closeCard()
	long := "boom: " + strings.Repeat("so long a story ", 12)
	text := "return routine {\n  start = {x = 600, y = 1000, heading = 0},\n  driver = function(bot, pad)\n    " +
		"wait(0.1) error(\"" + long + "\")\n  end,\n}\n"
	program, err := scripting.LoadFS(fstest.MapFS{"mine.lua": {Data: []byte(text)}}, "mine.lua")
	if err != nil {
		t.Fatal(err)
	}
	g.model.Setup.Entrants[0].Routine = program
	g.driver.begin(g.model.DriverSessions()[0].Name)
	g.held(ebiten.KeyW, 60)
	if !g.model.Notice.Bad || !strings.Contains(g.model.Notice.Text, "mine.lua:4: boom") {
		t.Errorf("the notice is %+v", g.model.Notice)
	}
	g.driver.end()
	rows := g.front().list()
	var told []string
	for _, row := range rows[:slices.IndexFunc(rows, canBeChosen)] {
		told = append(told, row.label)
	}
	words := strings.Join(told, " ")
	if want := "The driver function failed at line 4 of mine.lua: " + strings.TrimSpace(long); len(told) < 2 ||
		words != want {
		t.Errorf("the card says %q", told)
	}
	if rows[g.front().cursor].label != "Look at it" {
		t.Errorf("the cursor is at %q", rows[g.front().cursor].label)
	}
}

func TestTheHintOfADriveSaysWhatIsKnown(t *testing.T) {
	for _, c := range []struct {
		own, tank, alone bool
		want             []string
	}{
		{true, false, true, []string{"Arcade keys", "First the routine drives by itself", "Enter starts the clock",
			"Esc ends"}},
		{true, false, false, []string{"Arcade keys", "W S are the left stick (left_y)",
			"A D the right one across (right_x)", "your driver function decides", "Esc ends"}},
		{true, true, false, []string{"Tank keys", "W S are the left stick (left_y)", "Up Down the right one (right_y)",
			"your driver function decides", "Esc ends"}},
		{false, false, false, []string{"no driver function", "W S, A D", "Esc ends"}},
		{false, true, false, []string{"no driver function", "W S left side, Up Down right side", "Esc ends"}},
	} {
		for _, want := range c.want {
			d := driver{pad: padMaker{tank: c.tank, puts: putsOf(viewmodel.PadMap{})}}
			if got := d.hint(c.own, c.alone); !strings.Contains(got, want) {
				t.Errorf("own %v, tank %v, alone %v: %q does not say %q", c.own, c.tank, c.alone, got, want)
			}
		}
	}
	// What the hint says of the sticks is what the keys do.
	for _, c := range []struct {
		tank bool
		key  ebiten.Key
		want func(scripting.PadState) float64
	}{
		{false, ebiten.KeyW, func(s scripting.PadState) float64 { return s.LeftY }},
		{false, ebiten.KeyD, func(s scripting.PadState) float64 { return s.RightX }},
		{true, ebiten.KeyW, func(s scripting.PadState) float64 { return s.LeftY }},
		{true, ebiten.KeyArrowUp, func(s scripting.PadState) float64 { return s.RightY }},
	} {
		p := padMaker{tank: c.tank, puts: putsOf(viewmodel.PadMap{})}
		state := p.keys(&hand{held: []ebiten.Key{c.key}}, frameSeconds)
		all := state.LeftX + state.LeftY + state.RightX + state.RightY
		if got := c.want(state); !(got > 0) || got != all {
			t.Errorf("tank %v, key %v: %+v", c.tank, c.key, state)
		}
	}
}

// What was opened is kept at once: the program may be ended from outside.
func TestWhatIsOpenedIsKeptAtOnce(t *testing.T) {
	g := handed(t)
	g.disk.path = filepath.Join(t.TempDir(), "window.json")
	if err := os.WriteFile("mine.lua", []byte("return routine {}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	g.disk.open("mine.lua")
	data, err := os.ReadFile(g.disk.path)
	var kept viewmodel.Settings
	if err == nil {
		err = json.Unmarshal(data, &kept)
	}
	if err != nil || len(kept.Recent) == 0 || filepath.Base(kept.Recent[0].Routine) != "mine.lua" {
		t.Errorf("kept %+v, %v", kept, err)
	}
}

// The keys are looked up over a card about driving, which shows again afterwards.
func TestF1OverACardAboutDrivingShowsTheKeys(t *testing.T) {
	begun := handed(t)
	begun.keyed(ebiten.KeyD)
	ended := driving(t)
	ended.driver.end()
	for name, g := range map[string]*game{"drive": begun, "driven": ended} {
		for _, closing := range []ebiten.Key{ebiten.KeyF1, ebiten.KeyEscape} {
			g.keyed(ebiten.KeyF1)
			if g.front() == nil || g.front().name != "keys" || g.front().list()[0].label != "Driving" {
				t.Fatalf("F1 over %s shows %+v", name, g.front())
			}
			g.driver.takeSave()
			if g.model.Saved != (name == "driven") {
				t.Errorf("%s: a save waits: %v", name, g.model.Saved)
			}
			g.keyed(closing)
			if g.front() == nil || g.front().name != name {
				t.Errorf("%v on the keys over %s leads to %+v", closing, name, g.front())
			}
		}
		g.keyed(ebiten.KeyEscape)
		if g.front() != nil {
			t.Errorf("Esc on %s leads to %s", name, g.front().name)
		}
		g.keyed(ebiten.KeyF1)
		g.keyed(ebiten.KeyF1)
		if g.front() != nil {
			t.Errorf("F1 twice leaves %s", g.front().name)
		}
	}
}

func TestTheCardOfADriveNamesTheOpponent(t *testing.T) {
	g := handed(t) // with an opponent given
	driven := driving(t)
	driven.driver.end()
	driven.closeCard()
	for _, c := range []struct {
		g     *game
		way   ebiten.Key
		words []string
	}{
		{g, ebiten.KeyArrowRight, []string{"core_haul_demo.lua", "nobody", "core_haul_demo.lua"}},
		{driven, ebiten.KeyArrowRight, []string{"core_haul_demo.lua", "the drive kept as opponent", "nobody",
			"core_haul_demo.lua"}},
		{driven, ebiten.KeyArrowLeft, []string{"core_haul_demo.lua", "nobody", "the drive kept as opponent",
			"core_haul_demo.lua"}},
	} {
		c.g.keyed(ebiten.KeyD)
		against := slices.IndexFunc(c.g.front().list(), func(row cardRow) bool { return row.label == "against" })
		c.g.front().cursor = against
		for i, want := range c.words {
			if i > 0 {
				c.g.keyed(c.way)
			}
			if got := c.g.front().list()[against].note; got != want {
				t.Errorf("after %d times %v: against %q, not %q (%s)", i, c.way, got, want, c.g.model.Notice.Text)
			}
		}
		c.g.closeCard()
	}
}

func TestLeavingAModeClearsItsHint(t *testing.T) {
	g := handed(t)
	for _, mode := range []ebiten.Key{ebiten.KeyA, ebiten.KeyM} {
		g.keyed(mode)
		if text := g.model.Notice.Text; text != arrangeHint && text != measureHint {
			t.Fatalf("%v says %q", mode, text)
		}
		g.keyed(ebiten.KeyEscape)
		if g.model.Notice.Text != watchHint {
			t.Errorf("after Esc it says %q", g.model.Notice.Text)
		}
	}
	g.keyed(ebiten.KeyA)
	g.model.Say("Not moved.")
	g.keyed(ebiten.KeyEscape)
	if g.model.Notice.Text != "Not moved." {
		t.Errorf("other words are lost: %q", g.model.Notice.Text)
	}
}
