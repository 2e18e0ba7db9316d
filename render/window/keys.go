package window

import (
	"fmt"
	"math"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
)

// shortcut is a key and what it does. The sheet of keys lists the same table that is acted on.
type shortcut struct {
	group string
	keys  string // as the sheet writes them
	does  string
	key   ebiten.Key
	ctrl  bool
	shift either
	also  ebiten.Key // a second key for the same, 0 (KeyA has its own row) for none
	when  func(*game) bool
	do    func(*game)
}

// either says whether a shortcut minds the Shift key.
type either int

const (
	anyShift either = iota
	withShift
	noShift
)

// Conditions of shortcuts that mean something else in another mode.
func arranging(g *game) bool { return g.model.Mode == viewmodel.Arrange }
func measuring(g *game) bool { return g.model.Mode == viewmodel.Measure }
func timing(g *game) bool    { return g.model.Mode == viewmodel.Watch }

const turnStep = math.Pi / 36 // rad: 5 degrees

// shortcuts are looked through in order: the first that fits is done.
func shortcuts() []shortcut {
	return append(append(append(timeKeys(), fieldKeys()...), arrangeKeys()...), windowKeys()...)
}

func timeKeys() []shortcut {
	const group = "Time"
	return []shortcut{
		{group: group, keys: "Space", does: "play or pause", key: ebiten.KeySpace, do: func(g *game) { g.model.Toggle() }},
		{group: group, keys: "Left, Right", does: "one sample (20 ms) back or on", key: ebiten.KeyArrowLeft, shift: noShift,
			when: timing, do: func(g *game) { g.model.Step(-1, record.SamplePeriod) }},
		{key: ebiten.KeyArrowRight, shift: noShift, when: timing, do: func(g *game) { g.model.Step(1, record.SamplePeriod) }},
		{group: group, keys: "Shift+Left, Right", does: "one second back or on", key: ebiten.KeyArrowLeft, shift: withShift,
			when: timing, do: func(g *game) { g.model.Seek(g.model.Time - 1) }},
		{key: ebiten.KeyArrowRight, shift: withShift, when: timing, do: func(g *game) { g.model.Seek(g.model.Time + 1) }},
		{group: group, keys: "P, N", does: "the event before, the next event", key: ebiten.KeyP, do: func(g *game) { g.model.EventBack() }},
		{key: ebiten.KeyN, do: func(g *game) { g.model.EventOn() }},
		{group: group, keys: "Home, End", does: "the start, the end", key: ebiten.KeyHome,
			do: func(g *game) { g.model.Seek(0) }},
		{key: ebiten.KeyEnd, do: func(g *game) { g.model.Seek(g.model.End) }},
		{group: group, keys: "Up, Down", does: "watch faster or slower", key: ebiten.KeyArrowUp, when: timing,
			do: func(g *game) { g.model.Faster() }},
		{key: ebiten.KeyArrowDown, when: timing, do: func(g *game) { g.model.Slower() }},
		{group: group, keys: "X, Shift+X", does: "stretch or shrink the time strip", key: ebiten.KeyX, shift: noShift,
			do: func(g *game) { g.zoomStrip(g.model.Time, 0.5) }},
		{key: ebiten.KeyX, shift: withShift, do: func(g *game) { g.zoomStrip(g.model.Time, 2) }},
	}
}

func fieldKeys() []shortcut {
	const group = "Field"
	return []shortcut{
		{group: group, keys: "V", does: "watch: point at a thing to ask what it is", key: ebiten.KeyV,
			do: func(g *game) { g.setMode(viewmodel.Watch) }},
		{group: group, keys: "M", does: "measure: arrow keys or the pointer, Enter or a click", key: ebiten.KeyM,
			do: func(g *game) { g.setMode(viewmodel.Measure) }},
		{key: ebiten.KeyArrowLeft, when: measuring, do: func(g *game) { g.keyAim(-g.aimStep(), 0) }},
		{key: ebiten.KeyArrowRight, when: measuring, do: func(g *game) { g.keyAim(g.aimStep(), 0) }},
		{key: ebiten.KeyArrowUp, when: measuring, do: func(g *game) { g.keyAim(0, g.aimStep()) }},
		{key: ebiten.KeyArrowDown, when: measuring, do: func(g *game) { g.keyAim(0, -g.aimStep()) }},
		{key: ebiten.KeyEnter, when: measuring, do: (*game).takePoint},
		{group: group, keys: "Tab, Shift+Tab", does: "select the next thing, the one before", key: ebiten.KeyTab,
			shift: noShift, do: func(g *game) { g.model.SelectNext(1) }},
		{key: ebiten.KeyTab, shift: withShift, do: func(g *game) { g.model.SelectNext(-1) }},
		{group: group, keys: "C", does: "copy the place asked after as Lua", key: ebiten.KeyC, do: (*game).copyPlace},
		{group: group, keys: "F", does: "speak of the next robot", key: ebiten.KeyF, do: func(g *game) { g.model.NextRobot() }},
		{group: group, keys: "+, -, 0", does: "zoom in, zoom out, all of the field", key: ebiten.KeyEqual,
			also: ebiten.KeyNumpadAdd, do: func(g *game) { g.zoomAt(g.middle(), zoomStep) }},
		{key: ebiten.KeyMinus, also: ebiten.KeyNumpadSubtract, do: func(g *game) { g.zoomAt(g.middle(), 1/zoomStep) }},
		{key: ebiten.KeyDigit0, also: ebiten.KeyNumpad0, do: func(g *game) { g.field.zoom = 1 }},
		{group: group, keys: "Ctrl+arrow keys", does: "move the view when zoomed in", key: ebiten.KeyArrowUp, ctrl: true,
			do: func(g *game) { g.panBy(0, 40) }},
		{key: ebiten.KeyArrowDown, ctrl: true, do: func(g *game) { g.panBy(0, -40) }},
		{key: ebiten.KeyArrowLeft, ctrl: true, do: func(g *game) { g.panBy(40, 0) }},
		{key: ebiten.KeyArrowRight, ctrl: true, do: func(g *game) { g.panBy(-40, 0) }},
	}
}

func arrangeKeys() []shortcut {
	const group = "Arrange"
	const step = 0.01 // m
	return []shortcut{
		{group: group, keys: "A", does: "arrange: drag the start, pieces and goals before the run", key: ebiten.KeyA,
			do: func(g *game) { g.setMode(viewmodel.Arrange) }},
		{group: group, keys: "Arrow keys", does: "move the selected thing 10 mm (Shift: 100 mm)", key: ebiten.KeyArrowLeft,
			when: arranging, do: func(g *game) { g.nudge(-g.coarse(step), 0, 0) }},
		{key: ebiten.KeyArrowRight, when: arranging, do: func(g *game) { g.nudge(g.coarse(step), 0, 0) }},
		{key: ebiten.KeyArrowUp, when: arranging, do: func(g *game) { g.nudge(0, g.coarse(step), 0) }},
		{key: ebiten.KeyArrowDown, when: arranging, do: func(g *game) { g.nudge(0, -g.coarse(step), 0) }},
		{group: group, keys: "Q, E", does: "turn it 5 degrees (dragging with Shift turns too)", key: ebiten.KeyQ,
			when: arranging, do: func(g *game) { g.nudge(0, 0, turnStep) }},
		{key: ebiten.KeyE, when: arranging, do: func(g *game) { g.nudge(0, 0, -turnStep) }},
		{group: group, keys: "Ctrl+Z, Ctrl+Y", does: "undo, redo a move, a value or a written start", key: ebiten.KeyZ,
			ctrl: true, do: func(g *game) { g.travel((*viewmodel.Model).Undo) }},
		{key: ebiten.KeyY, ctrl: true, do: func(g *game) { g.travel((*viewmodel.Model).Redo) }},
		{group: group, keys: "B", does: "everything back to what the files say", key: ebiten.KeyB,
			do: func(g *game) { g.model.PutBack() }},
		{group: group, keys: "W", does: "write the moved start into the routine (asks first)", key: ebiten.KeyW,
			do: (*game).showWriteStart},
	}
}

func windowKeys() []shortcut {
	const group = "Window"
	list := []shortcut{
		{group: group, keys: "O", does: "open a routine, robot, field or record", key: ebiten.KeyO, do: (*game).showOpen},
		{group: group, keys: "R, F5", does: "read the files and rehearse again", key: ebiten.KeyR, also: ebiten.KeyF5,
			do: (*game).again},
		{group: group, keys: "D", does: "drive, or take the last drive up again", key: ebiten.KeyD,
			do: func(g *game) { g.setMode(viewmodel.Drive) }},
		{group: group, keys: "L", does: "layers: what is drawn on the field", key: ebiten.KeyL, do: (*game).showLayers},
		{group: group, keys: "G", does: "signals: the charts under the time strip", key: ebiten.KeyG,
			do: (*game).showSignals},
		{group: group, keys: "T", does: "turn the values of the routine's param()", key: ebiten.KeyT, do: (*game).showValues},
		{group: group, keys: "H", does: "hide or show the notebook", key: ebiten.KeyH,
			do: func(g *game) { g.notebook = !g.notebook }},
		{group: group, keys: "PageUp, PageDown", does: "scroll the notebook (Y follows the run again)",
			key: ebiten.KeyPageUp, shift: noShift, do: func(g *game) { g.turnPage(-0.8) }},
		{key: ebiten.KeyPageDown, shift: noShift, do: func(g *game) { g.turnPage(0.8) }},
		{group: group, keys: "Shift+PageUp, PageDown", does: "scroll the charts when there is no room for all",
			key: ebiten.KeyPageUp, shift: withShift, do: func(g *game) { g.scrollCharts(-1) }},
		{key: ebiten.KeyPageDown, shift: withShift, do: func(g *game) { g.scrollCharts(1) }},
		{group: group, keys: "Ctrl+PageUp, PageDown", does: "scroll the tasks of the time strip", key: ebiten.KeyPageUp,
			ctrl: true, do: func(g *game) { g.scrollLanes(-1) }},
		{key: ebiten.KeyPageDown, ctrl: true, do: func(g *game) { g.scrollLanes(1) }},
		{key: ebiten.KeyY, do: func(g *game) { g.model.Follow(true) }},
		{group: group, keys: "Ctrl +, Ctrl -", does: "larger, smaller text", key: ebiten.KeyEqual, ctrl: true,
			also: ebiten.KeyNumpadAdd, do: func(g *game) { g.enlarge(1.1) }},
		{key: ebiten.KeyMinus, ctrl: true, also: ebiten.KeyNumpadSubtract, do: func(g *game) { g.enlarge(1 / 1.1) }},
		{group: group, keys: "F11, F12", does: "full screen, a picture of the window as a file", key: ebiten.KeyF11,
			do: func(*game) { ebiten.SetFullscreen(!ebiten.IsFullscreen()) }},
		{key: ebiten.KeyF12, do: (*game).wantShot},
		{group: group, keys: "S", does: "keep the run shown as a record (asks first)", key: ebiten.KeyS,
			do: (*game).showKeep},
		{group: group, keys: "F1, ?", does: "this sheet", key: ebiten.KeyF1, do: (*game).showKeys},
		// in every mode: see act,
		{group: group, keys: "Ctrl+Q", does: "close the window", key: ebiten.KeyQ, ctrl: true, do: func(*game) {}},
		{group: group, keys: "Esc", does: "give up work or a drag under way, close a card, end a drive, back to watching",
			key: ebiten.KeyEscape, do: (*game).escape},
	}
	for i, tab := range viewmodel.Tabs {
		row := shortcut{key: tabKey(i), do: func(g *game) { g.turnTo(tab) }}
		if i == 0 {
			row.group, row.keys, row.does = group, fmt.Sprintf("1 to %d", len(viewmodel.Tabs)),
				"the notebook's pages: routine, robot, score, events"
		}
		list = append(list, row)
	}
	return list
}

// tabKey is the key of one of the notebook's pages.
func tabKey(page int) ebiten.Key { return ebiten.KeyDigit1 + ebiten.Key(page) }

func (g *game) turnTo(tab viewmodel.Tab) {
	g.model.Turn(tab)
	g.notebook = true
}

// act does what the keys and the pointer ask for.
func (g *game) act() {
	g.aimNow()
	g.takeDropped()
	if g.hand.Ctrl && slices.Contains(g.hand.Keys, ebiten.KeyQ) {
		g.leave = true
	}
	switch {
	case g.card != nil:
		g.cardKeys()
	case g.model.Driving():
		g.driveKeys()
	default:
		g.pressKeys()
	}
	if len(g.hand.Keys) > 0 || g.hand.Dropped != nil { // a click in the same Update meets what is there now
		g.layout()
		g.aimNow()
	}
	g.pointElements()
	g.pointCard()
	g.pointStrip()
	g.pointNotebook()
	g.pointField()
}

func (g *game) pressKeys() {
	if slices.Contains(g.hand.Runes, '?') {
		g.showKeys()
		return
	}
	for _, key := range g.hand.Keys {
		g.pressKey(key)
	}
}

func (g *game) pressKey(key ebiten.Key) {
	for _, s := range shortcuts() {
		if s.fits(g, key) {
			s.do(g)
			return
		}
	}
}

func (s shortcut) fits(g *game, key ebiten.Key) bool {
	if key != s.key && (s.also == 0 || key != s.also) || s.ctrl != g.hand.Ctrl {
		return false
	}
	if s.shift == withShift && !g.hand.Shift || s.shift == noShift && g.hand.Shift {
		return false
	}
	return s.when == nil || s.when(g)
}

// driveKeys leaves all keys to the pad but the ones that end or start the drive, and those that only show something.
func (g *game) driveKeys() {
	for _, key := range g.hand.Keys {
		switch key {
		case ebiten.KeyEscape:
			g.endDrive()
			return
		case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
			if slices.Contains(g.hand.fresh, key) { // not the press that chose the session, still held
				g.model.Go()
			}
		case ebiten.KeyF12:
			g.wantShot()
		case ebiten.KeyF1:
			g.showKeys()
		}
		for i, tab := range viewmodel.Tabs {
			if key == tabKey(i) {
				g.turnTo(tab)
			}
		}
	}
}

func (g *game) escape() {
	if g.drag.thing != viewmodel.Nothing { // it goes back to where it stood
		g.drag = drag{}
		g.model.Say("Not moved.")
		return
	}
	if _, busy := g.model.Busy(); busy {
		g.model.Cancel()
		return
	}
	if hint := g.model.Notice.Text; hint == arrangeHint || hint == measureHint { // of the mode that is left
		g.model.Say(watchHint)
	}
	g.model.SetMode(viewmodel.Watch)
	g.model.Select(viewmodel.Nothing)
	g.aim.keyed = false
}

func (g *game) coarse(step float64) float64 {
	if g.hand.Shift {
		return 10 * step
	}
	return step
}

// aimStep is how far an arrow key moves the cross, m.
func (g *game) aimStep() float64 { return g.coarse(0.01) }

// enlarge makes letters larger or smaller, as far as the window lets.
func (g *game) enlarge(factor float64) {
	if !g.memory.Enlarge(factor, mostLetters(g.size.width, g.size.height)) {
		g.model.Say("The window is too small for larger letters.")
		return
	}
	g.model.Say(fmt.Sprintf("Text at %.0f %%.", 100*g.memory.Zoom))
}
