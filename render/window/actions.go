package window

import (
	"fmt"
	"math"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
)

// action is something to do, by its key and under a name. The sheet of keys lists the same table that is acted on.
type action struct {
	name  string // for parts that offer it; "": none does
	group string
	keys  string // as the sheet writes them
	does  string
	key   ebiten.Key
	ctrl  bool
	shift either
	also  ebiten.Key     // a second key for the same, 0 (KeyA has its own row) for none
	mode  viewmodel.Mode // in which it is done; "" for any
	do    func()
}

// either says whether a shortcut minds the Shift key.
type either int

const (
	anyShift either = iota
	withShift
	noShift
)

const (
	keyStep  = 0.01         // m, ten times with Shift
	turnStep = math.Pi / 36 // rad: 5 degrees
)

// allActions are looked through in order: the first that fits is done.
func (g *game) allActions() []action {
	return slices.Concat(g.timeKeys(), g.fieldKeys(), g.arrangeKeys(), g.windowKeys())
}

// timeKeys and the like are the actions by what they are about.
func (g *game) timeKeys() []action {
	step := func(samples int) func() { return func() { g.model.Step(samples, record.SamplePeriod) } }
	seek := func(seconds float64) func() { return func() { g.model.Seek(g.model.Time + seconds) } }
	stretch := func(factor float64) func() { return func() { g.strip.zoom(g.model.Time, factor) } }
	return about("Time", []action{
		{keys: "Space", does: "play or pause", key: ebiten.KeySpace, do: g.model.Toggle},
		{keys: "Left, Right", does: "one sample (20 ms) back or on", key: ebiten.KeyArrowLeft, shift: noShift,
			mode: viewmodel.Watch, do: step(-1)},
		{key: ebiten.KeyArrowRight, shift: noShift, mode: viewmodel.Watch, do: step(1)},
		{keys: "Shift+Left, Right", does: "one second back or on", key: ebiten.KeyArrowLeft, shift: withShift,
			mode: viewmodel.Watch, do: seek(-1)},
		{key: ebiten.KeyArrowRight, shift: withShift, mode: viewmodel.Watch, do: seek(1)},
		{keys: "P, N", does: "the event before, the next event", key: ebiten.KeyP, do: g.model.EventBack},
		{key: ebiten.KeyN, do: g.model.EventOn},
		{keys: "Home, End", does: "the start, the end", key: ebiten.KeyHome, do: func() { g.model.Seek(0) }},
		{key: ebiten.KeyEnd, do: func() { g.model.Seek(g.model.End) }},
		{keys: "Up, Down", does: "watch faster or slower", key: ebiten.KeyArrowUp, mode: viewmodel.Watch, do: g.model.Faster},
		{key: ebiten.KeyArrowDown, mode: viewmodel.Watch, do: g.model.Slower},
		{keys: "X, Shift+X", does: "stretch or shrink the time strip", key: ebiten.KeyX, shift: noShift, do: stretch(0.5)},
		{key: ebiten.KeyX, shift: withShift, do: stretch(2)},
	})
}

func (g *game) fieldKeys() []action {
	aim := func(x, y float64) func() {
		return func() { g.field.keyAim(g.hand.coarse(x*keyStep), g.hand.coarse(y*keyStep)) }
	}
	zoom := func(factor float64) func() { return func() { g.field.zoomAt(g.field.middle(), factor) } }
	pan := func(x, y float64) func() { return func() { g.field.panBy(40*x, 40*y) } }
	return about("Field", []action{
		{name: "watch", keys: "V", does: "watch: point at a thing to ask what it is", key: ebiten.KeyV,
			do: func() { g.setMode(viewmodel.Watch) }},
		{name: "measure", keys: "M", does: "measure: arrow keys or the pointer, Enter or a click", key: ebiten.KeyM,
			do: func() { g.setMode(viewmodel.Measure) }},
		{key: ebiten.KeyArrowLeft, mode: viewmodel.Measure, do: aim(-1, 0)},
		{key: ebiten.KeyArrowRight, mode: viewmodel.Measure, do: aim(1, 0)},
		{key: ebiten.KeyArrowUp, mode: viewmodel.Measure, do: aim(0, 1)},
		{key: ebiten.KeyArrowDown, mode: viewmodel.Measure, do: aim(0, -1)},
		{key: ebiten.KeyEnter, mode: viewmodel.Measure, do: func() { g.model.TakePoint(g.field.aim.at) }},
		{keys: "Tab, Shift+Tab", does: "select the next thing, the one before", key: ebiten.KeyTab, shift: noShift,
			do: func() { g.model.SelectNext(1) }},
		{key: ebiten.KeyTab, shift: withShift, do: func() { g.model.SelectNext(-1) }},
		{keys: "C", does: "copy the place asked after as Lua", key: ebiten.KeyC, do: g.facts.copyPlace},
		{keys: "F", does: "speak of the next robot", key: ebiten.KeyF, do: g.model.NextRobot},
		{keys: "+, -, 0", does: "zoom in, zoom out, all of the field", key: ebiten.KeyEqual, also: ebiten.KeyNumpadAdd,
			do: zoom(zoomStep)},
		{key: ebiten.KeyMinus, also: ebiten.KeyNumpadSubtract, do: zoom(1 / zoomStep)},
		{key: ebiten.KeyDigit0, also: ebiten.KeyNumpad0, do: func() { g.field.zoom = 1 }},
		{keys: "Ctrl+arrow keys", does: "move the view when zoomed in", key: ebiten.KeyArrowUp, ctrl: true, do: pan(0, 1)},
		{key: ebiten.KeyArrowDown, ctrl: true, do: pan(0, -1)},
		{key: ebiten.KeyArrowLeft, ctrl: true, do: pan(1, 0)},
		{key: ebiten.KeyArrowRight, ctrl: true, do: pan(-1, 0)},
	})
}

func (g *game) arrangeKeys() []action {
	nudge := func(x, y, turn float64) func() {
		return func() { g.arrange.nudge(g.hand.coarse(x*keyStep), g.hand.coarse(y*keyStep), turn*turnStep) }
	}
	return about("Arrange", []action{
		{name: "arrange", keys: "A", does: "arrange: drag the start, pieces and goals before the run", key: ebiten.KeyA,
			do: func() { g.setMode(viewmodel.Arrange) }},
		{keys: "Arrow keys", does: "move the selected thing 10 mm (Shift: 100 mm)", key: ebiten.KeyArrowLeft,
			mode: viewmodel.Arrange, do: nudge(-1, 0, 0)},
		{key: ebiten.KeyArrowRight, mode: viewmodel.Arrange, do: nudge(1, 0, 0)},
		{key: ebiten.KeyArrowUp, mode: viewmodel.Arrange, do: nudge(0, 1, 0)},
		{key: ebiten.KeyArrowDown, mode: viewmodel.Arrange, do: nudge(0, -1, 0)},
		{keys: "Q, E", does: "turn it 5 degrees (dragging with Shift turns too)", key: ebiten.KeyQ, mode: viewmodel.Arrange,
			do: nudge(0, 0, 1)},
		{key: ebiten.KeyE, mode: viewmodel.Arrange, do: nudge(0, 0, -1)},
		{keys: "Ctrl+Z, Ctrl+Y", does: "undo, redo a move, a value or a written start", key: ebiten.KeyZ, ctrl: true,
			do: func() { g.disk.travel((*viewmodel.Model).Undo) }},
		{key: ebiten.KeyY, ctrl: true, do: func() { g.disk.travel((*viewmodel.Model).Redo) }},
		{keys: "B", does: "everything back to what the files say", key: ebiten.KeyB, do: g.model.PutBack},
		{keys: "W", does: "write the moved start into the routine (asks first)", key: ebiten.KeyW, do: g.disk.showWriteStart},
	})
}

func (g *game) windowKeys() []action {
	pages := fmt.Sprintf("1 to %d", len(viewmodel.Tabs))
	list := []action{
		{name: "open", keys: "O", does: "open a routine, robot, field or record", key: ebiten.KeyO, do: g.disk.showOpen},
		{name: "again", keys: "R, F5", does: "read the files and rehearse again", key: ebiten.KeyR, also: ebiten.KeyF5,
			do: g.disk.again},
		{name: "drive", keys: "D", does: "drive, or take the last drive up again", key: ebiten.KeyD,
			do: func() { g.setMode(viewmodel.Drive) }},
		{name: "layers", keys: "L", does: "layers: what is drawn on the field", key: ebiten.KeyL, do: g.showLayers},
		{name: "signals", keys: "G", does: "signals: the charts under the time strip", key: ebiten.KeyG,
			do: g.charts.showSignals},
		{name: "values", keys: "T", does: "turn the values of the routine's param()", key: ebiten.KeyT, do: g.showValues},
		{keys: "H", does: "hide or show the notebook", key: ebiten.KeyH,
			do: func() { g.notebook.shown = !g.notebook.shown }},
		{keys: "PageUp, PageDown", does: "scroll the notebook (Y follows the run again)", key: ebiten.KeyPageUp,
			shift: noShift, do: func() { g.notebook.turnPage(-0.8) }},
		{key: ebiten.KeyPageDown, shift: noShift, do: func() { g.notebook.turnPage(0.8) }},
		{keys: "Shift+PageUp, PageDown", does: "scroll the charts when there is no room for all", key: ebiten.KeyPageUp,
			shift: withShift, do: func() { g.charts.scroll(-1) }},
		{key: ebiten.KeyPageDown, shift: withShift, do: func() { g.charts.scroll(1) }},
		{keys: "Ctrl+PageUp, PageDown", does: "scroll the tasks of the time strip", key: ebiten.KeyPageUp, ctrl: true,
			do: func() { g.strip.scroll(-1) }},
		{key: ebiten.KeyPageDown, ctrl: true, do: func() { g.strip.scroll(1) }},
		{key: ebiten.KeyY, do: func() { g.model.Follow(true) }},
		{keys: "Ctrl +, Ctrl -", does: "larger, smaller text", key: ebiten.KeyEqual, ctrl: true,
			also: ebiten.KeyNumpadAdd, do: func() { g.enlarge(1.1) }},
		{key: ebiten.KeyMinus, ctrl: true, also: ebiten.KeyNumpadSubtract, do: func() { g.enlarge(1 / 1.1) }},
		{keys: "F11, F12", does: "full screen, a picture of the window as a file", key: ebiten.KeyF11,
			do: func() { ebiten.SetFullscreen(!ebiten.IsFullscreen()) }},
		{key: ebiten.KeyF12, do: g.disk.wantShot},
		{keys: "S", does: "keep the run shown as a record (asks first)", key: ebiten.KeyS, do: g.disk.showKeep},
		{name: "keys", keys: "F1, ?", does: "this sheet", key: ebiten.KeyF1, do: g.showKeys},
		// in every mode: see act,
		{keys: "Ctrl+Q", does: "close the window", key: ebiten.KeyQ, ctrl: true, do: func() {}},
		{keys: "Esc", does: "give up work or a drag under way, close a card, end a drive, back to watching",
			key: ebiten.KeyEscape, do: g.escape},
		{keys: pages, does: "the notebook's pages: routine, robot, score, events", key: tabKey(0),
			do: func() { g.notebook.turnTo(viewmodel.Tabs[0]) }},
	}
	for i, tab := range viewmodel.Tabs[1:] {
		list = append(list, action{key: tabKey(i + 1), do: func() { g.notebook.turnTo(tab) }})
	}
	return about("Window", list)
}

// about puts actions into a group of the sheet: those that have a row there.
func about(group string, list []action) []action {
	for i := range list {
		if list[i].keys != "" {
			list[i].group = group
		}
	}
	return list
}

// tabKey is the key of one of the notebook's pages.
func tabKey(page int) ebiten.Key { return ebiten.KeyDigit1 + ebiten.Key(page) }

// fits reports whether the keys of an Update ask for the action.
func (a action) fits(key ebiten.Key, h *hand, mode viewmodel.Mode) bool {
	if key != a.key && (a.also == 0 || key != a.also) || a.ctrl != h.Ctrl {
		return false
	}
	if a.shift == withShift && !h.Shift || a.shift == noShift && h.Shift {
		return false
	}
	return a.mode == "" || a.mode == mode
}

// act does what the keys and the pointer ask for.
func (g *game) act() {
	g.field.aimNow()
	g.disk.takeDropped()
	if g.hand.Ctrl && slices.Contains(g.hand.Keys, ebiten.KeyQ) {
		g.leave = true
	}
	switch {
	case g.card != nil:
		g.dialog.keys()
	case g.model.Driving():
		g.driveKeys()
	default:
		g.pressKeys()
	}
	if len(g.hand.Keys) > 0 || g.hand.Dropped != nil { // a click in the same Update meets what is there now
		g.layout()
		g.field.aimNow()
	}
	g.pointElements()
	for _, p := range slices.Backward(g.parts) {
		p.point()
	}
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
	for _, a := range g.actions {
		if a.fits(key, &g.hand, g.model.Mode) {
			a.do()
			return
		}
	}
}

// driveKeys leaves all keys to the pad but the ones that end or start the drive, and those that only show something.
func (g *game) driveKeys() {
	for _, key := range g.hand.Keys {
		switch key {
		case ebiten.KeyEscape:
			g.driver.end()
			return
		case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
			if slices.Contains(g.hand.fresh, key) { // not the press that chose the session, still held
				g.model.Go()
			}
		case ebiten.KeyF12:
			g.disk.wantShot()
		case ebiten.KeyF1:
			g.showKeys()
		}
		for i, tab := range viewmodel.Tabs {
			if key == tabKey(i) {
				g.notebook.turnTo(tab)
			}
		}
	}
}

func (g *game) escape() {
	if g.arrange.drag.thing != viewmodel.Nothing { // it goes back to where it stood
		g.arrange.drag = drag{}
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
	g.field.aim.keyed = false
}

// enlarge makes letters larger or smaller, as far as the window lets.
func (g *game) enlarge(factor float64) {
	if !g.disk.memory.Enlarge(factor, mostLetters(g.size.width, g.size.height)) {
		g.model.Say("The window is too small for larger letters.")
		return
	}
	g.model.Say(fmt.Sprintf("Text at %.0f %%.", 100*g.disk.memory.Zoom))
}

// What the line at the bottom says when a mode begins.
const (
	watchHint   = "Point at a thing to ask what it is; click to keep it."
	measureHint = "Click two points, or move the cross with the arrow keys and press Enter."
	arrangeHint = "Drag the robot, a piece or a goal; Shift turns. Tab chooses, arrows move. W writes the start into " +
		"the routine."
)

// setMode changes what the pointer does on the field.
func (g *game) setMode(m viewmodel.Mode) {
	driven := false
	if g.model.Driving() && m != viewmodel.Drive {
		if driven = g.model.EndDrive(); !driven {
			g.driver.afterDrive(false)
		}
	}
	switch m {
	case viewmodel.Watch:
		g.model.Say(watchHint)
	case viewmodel.Measure:
		g.model.Say(measureHint)
	case viewmodel.Arrange:
		g.model.Say(arrangeHint)
	case viewmodel.Drive:
		g.driver.showDrive()
		return
	}
	g.model.SetMode(m)
	if driven {
		g.driver.afterDrive(true)
	}
}
