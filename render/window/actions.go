package window

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
)

// action is something to do, by its keys, from the list of all (Ctrl+K), by a button or from the menu of a place. The
// sheet of keys, the list, buttons, menus and what is told of them are made from the same table that is acted on.
type action struct {
	name  string // for parts that offer it, and tests; no two are alike
	group string
	label string // on its button; "": its name
	does  string
	keys  []stroke
	mode  viewmodel.Mode // in which its keys do it; "" for any
	at    spot           // whose menus offer it
	can   func() bool    // there is something for it to do; nil: always
	do    func()
}

// stroke is a key with what is held beside it.
type stroke struct {
	key   ebiten.Key
	ctrl  bool
	shift either
	alt   bool // else Alt is not minded: it makes steps finer
}

// either says whether a shortcut minds the Shift key.
type either int

const (
	anyShift either = iota
	withShift
	noShift
)

func on(keys ...ebiten.Key) (list []stroke) {
	for _, key := range keys {
		list = append(list, stroke{key: key})
	}
	return list
}

func plain(key ebiten.Key) []stroke   { return []stroke{{key: key, shift: noShift}} }
func shifted(key ebiten.Key) []stroke { return []stroke{{key: key, shift: withShift}} }
func ctrl(key ebiten.Key) []stroke    { return []stroke{{key: key, ctrl: true}} }

// spot is a part of the window, for its menu.
type spot int

const (
	atFloor spot = 1 << iota
	atThing
	atStrip
	atCharts
	atPages
)

const (
	keyStep  = 0.01         // m, ten times with Shift
	turnStep = math.Pi / 36 // rad: 5 degrees
)

// allActions are looked through in order: the first that fits is done.
func (g *game) allActions() []action {
	return slices.Concat(g.buildActions(), g.lessons.actions(), g.timeActions(), g.addActions(), g.fieldActions(),
		g.arrangeActions(), g.studyActions(), g.windowActions(), g.lookActions())
}

// timeActions and the like are the actions by what they are about.
func (g *game) timeActions() []action {
	step := func(samples int) func() { return func() { g.model.Step(samples, record.SamplePeriod) } }
	seek := func(seconds float64) func() { return func() { g.model.Seek(g.model.Time + seconds) } }
	stretch := func(factor float64) func() { return func() { g.strip.zoom(g.model.Time, factor) } }
	slide := func(share float64) func() { return func() { g.strip.slide(share) } }
	stretched := func() bool { return g.strip.wide > 0 }
	return about("Time", []action{
		{name: "times", does: "where the time goes: the longest lines, and numbers that bring the end sooner",
			keys: append(plain(ebiten.KeyZ), stroke{key: ebiten.KeyArrowDown, alt: true}), mode: viewmodel.Watch,
			at: atPages | atStrip, do: g.times.showList},
		{name: "play", does: "play or pause", keys: on(ebiten.KeySpace), at: atStrip, do: g.model.Toggle},
		{name: "back", does: "one sample (20 ms) back", keys: plain(ebiten.KeyArrowLeft), mode: viewmodel.Watch,
			do: step(-1)},
		{name: "on", does: "one sample on", keys: plain(ebiten.KeyArrowRight), mode: viewmodel.Watch, do: step(1)},
		{name: "second back", does: "one second back", keys: shifted(ebiten.KeyArrowLeft), mode: viewmodel.Watch,
			do: seek(-1)},
		{name: "second on", does: "one second on", keys: shifted(ebiten.KeyArrowRight), mode: viewmodel.Watch, do: seek(1)},
		{name: "event back", does: "the event before", keys: plain(ebiten.KeyP), at: atStrip, do: g.model.EventBack},
		{name: "event on", does: "the next event", keys: plain(ebiten.KeyN), at: atStrip, do: g.model.EventOn},
		{name: "line above", does: "choose the line of the routine above the one chosen, or the one that runs",
			keys: shifted(ebiten.KeyArrowUp), mode: viewmodel.Watch, can: g.moment.any, do: func() { g.line.choose(-1) }},
		{name: "line below", does: "choose the line below it", keys: shifted(ebiten.KeyArrowDown), mode: viewmodel.Watch,
			can: g.moment.any, do: func() { g.line.choose(1) }},
		{name: "line back", does: "the time before at which the chosen line of the routine ran",
			keys: shifted(ebiten.KeyP), at: atStrip | atPages, can: g.moment.chosen, do: g.model.LineBack},
		{name: "line on", does: "the next time at which the chosen line ran", keys: shifted(ebiten.KeyN),
			at: atStrip | atPages, can: g.moment.chosen, do: g.model.LineOn},
		{name: "run to", does: "run to the line: the next time at which it runs", keys: plain(ebiten.KeyF7), at: atPages,
			can: g.moment.any, do: func() { g.model.RunTo(g.line.meant()) }},
		{name: "stop", does: "pause when the line runs, or no more (a click beside its number, too)",
			keys: shifted(ebiten.KeyF7), at: atPages, can: g.moment.any,
			do: func() { g.model.ToggleStop(g.line.meant()) }},
		{name: "here", does: "go to this time", at: atStrip | atCharts, can: g.menu.open,
			do: func() { g.model.GoTo(g.menu.time) }},
		{name: "start", does: "go to the start", keys: on(ebiten.KeyHome), at: atStrip | atCharts,
			do: func() { g.model.Seek(0) }},
		{name: "end", does: "go to the end", keys: on(ebiten.KeyEnd), at: atStrip | atCharts,
			do: func() { g.model.Seek(g.model.End) }},
		{name: "pin", does: "pin a second hand at this time, or take it away", keys: plain(ebiten.KeyK),
			at: atStrip | atCharts, do: g.pin},
		{name: "faster", does: "watch faster", keys: plain(ebiten.KeyArrowUp), mode: viewmodel.Watch,
			do: g.model.Faster},
		{name: "slower", does: "watch slower", keys: plain(ebiten.KeyArrowDown), mode: viewmodel.Watch,
			do: g.model.Slower},
		{name: "stretch", does: "stretch the time strip", keys: plain(ebiten.KeyX), at: atStrip | atCharts, do: stretch(0.5)},
		{name: "shrink", does: "shrink the time strip", keys: shifted(ebiten.KeyX), at: atStrip | atCharts, can: stretched,
			do: stretch(2)},
		{name: "earlier", does: "move the stretched strip to earlier", keys: on(ebiten.KeyComma), can: stretched,
			do: slide(-0.25)},
		{name: "later", does: "move the stretched strip to later", keys: on(ebiten.KeyPeriod), can: stretched,
			do: slide(0.25)},
	})
}

// pin puts the second hand where the menu was opened, else at the time shown.
func (g *game) pin() {
	t := g.model.Time
	if g.menu.open() {
		t = g.menu.time
	}
	g.charts.togglePin(t)
}

func (g *game) fieldActions() []action {
	aim := func(x, y float64) func() {
		return func() { g.field.keyAim(g.hand.stride(x*keyStep), g.hand.stride(y*keyStep)) }
	}
	zoom := func(factor float64) func() { return func() { g.field.zoomAt(g.field.middle(), factor) } }
	pan := func(x, y float64) func() { return func() { g.field.panBy(40*x, 40*y) } }
	moved := func() bool { return g.field.moved() }
	return about("Field", []action{
		{name: "watch", does: "watch: point at a thing to ask what it is", keys: on(ebiten.KeyV),
			do: func() { g.setMode(viewmodel.Watch) }},
		{name: "measure", does: "measure distances by two clicks or with the keys", keys: on(ebiten.KeyM),
			do: func() { g.setMode(viewmodel.Measure) }},
		{name: "point", does: "measure from or to the place pointed at", keys: on(ebiten.KeyEnter), mode: viewmodel.Measure,
			at: atFloor | atThing, do: g.measure.take},
		{name: "aim left", does: "move the cross left (Shift: farther)", keys: on(ebiten.KeyArrowLeft),
			mode: viewmodel.Measure, do: aim(-1, 0)},
		{name: "aim right", does: "move the cross right", keys: on(ebiten.KeyArrowRight), mode: viewmodel.Measure,
			do: aim(1, 0)},
		{name: "aim up", does: "move the cross up", keys: on(ebiten.KeyArrowUp), mode: viewmodel.Measure, do: aim(0, 1)},
		{name: "aim down", does: "move the cross down", keys: on(ebiten.KeyArrowDown), mode: viewmodel.Measure,
			do: aim(0, -1)},
		{name: "next thing", does: "select the next thing", keys: plain(ebiten.KeyTab),
			do: func() { g.model.SelectNext(1) }},
		{name: "thing before", does: "select the thing before", keys: shifted(ebiten.KeyTab),
			do: func() { g.model.SelectNext(-1) }},
		{name: "copy", does: "copy the place asked after as Lua", keys: slices.Concat(on(ebiten.KeyC), ctrl(ebiten.KeyC)),
			at: atFloor | atThing, do: g.facts.copyPlace},
		{name: "paste", does: "paste: a copied place for the selected thing, or a file to open", keys: ctrl(ebiten.KeyV),
			at: atThing, do: g.paste},
		{name: "next robot", does: "speak of the next robot", keys: on(ebiten.KeyF), do: g.model.NextRobot},
		{name: "zoom in", does: "zoom in", keys: on(ebiten.KeyEqual, ebiten.KeyNumpadAdd), do: zoom(zoomStep)},
		{name: "zoom out", does: "zoom out", keys: on(ebiten.KeyMinus, ebiten.KeyNumpadSubtract), do: zoom(1 / zoomStep)},
		{name: "all", does: "show all of the field", keys: on(ebiten.KeyDigit0, ebiten.KeyNumpad0), at: atFloor, can: moved,
			do: func() { g.field.showAll() }},
		{name: "view up", does: "move the view up", keys: ctrl(ebiten.KeyArrowUp), do: pan(0, 1)},
		{name: "view down", does: "move the view down", keys: ctrl(ebiten.KeyArrowDown), do: pan(0, -1)},
		{name: "view left", does: "move the view left", keys: ctrl(ebiten.KeyArrowLeft), do: pan(1, 0)},
		{name: "view right", does: "move the view right", keys: ctrl(ebiten.KeyArrowRight), do: pan(-1, 0)},
	})
}

func (g *game) arrangeActions() []action {
	step := g.arrange.step()
	nudge := func(x, y, turn float64) func() {
		return func() {
			g.arrange.nudge(g.hand.stride(x*step), g.hand.stride(y*step), turn*turnStep)
		}
	}
	return about("Arrange", []action{
		{name: "arrange", does: "arrange: drag the start, pieces and goals before the run", keys: on(ebiten.KeyA),
			at: atThing | atFloor, do: func() { g.setMode(viewmodel.Arrange) }},
		{name: "nudge left", keys: on(ebiten.KeyArrowLeft),
			does: g.model.Units.Sprintf("move the selected thing %.0f mm left (Shift: %.0f mm)", step, 10*step),
			mode: viewmodel.Arrange, do: nudge(-1, 0, 0)},
		{name: "nudge right", does: "move it right", keys: on(ebiten.KeyArrowRight), mode: viewmodel.Arrange,
			do: nudge(1, 0, 0)},
		{name: "nudge up", does: "move it up", keys: on(ebiten.KeyArrowUp), mode: viewmodel.Arrange, do: nudge(0, 1, 0)},
		{name: "nudge down", does: "move it down", keys: on(ebiten.KeyArrowDown), mode: viewmodel.Arrange,
			do: nudge(0, -1, 0)},
		{name: "turn left", does: "turn it 5 degrees left (dragging with Shift turns too)", keys: on(ebiten.KeyQ),
			mode: viewmodel.Arrange, do: nudge(0, 0, 1)},
		{name: "turn right", does: "turn it 5 degrees right", keys: on(ebiten.KeyE), mode: viewmodel.Arrange,
			do: nudge(0, 0, -1)},
		{name: "undo", does: "undo a move, a value, or what was written of a number, line or start",
			keys: []stroke{{key: ebiten.KeyZ, ctrl: true, shift: noShift}}, at: atFloor | atThing | atPages,
			can: func() bool { return g.model.UndoSteps() > 0 },
			do:  func() { g.disk.travel((*viewmodel.Model).Undo) }},
		{name: "redo", does: "do again what was undone", at: atFloor | atThing | atPages,
			can:  func() bool { return g.model.RedoSteps() > 0 },
			keys: slices.Concat(ctrl(ebiten.KeyY), []stroke{{key: ebiten.KeyZ, ctrl: true, shift: withShift}}),
			do:   func() { g.disk.travel((*viewmodel.Model).Redo) }},
		{name: "put back", does: "everything back to what the files say", keys: plain(ebiten.KeyB), at: atFloor,
			can: g.model.Arranged, do: g.model.PutBack},
		{name: "write start", does: "write the moved start into the routine (asks first)", keys: on(ebiten.KeyW),
			at: atThing | atFloor, can: g.model.StartMoved, do: g.disk.showWriteStart},
	})
}

func (g *game) studyActions() []action {
	ready := func() bool { return g.model.Now != nil && !g.model.Driving() }
	return about("Studies", []action{
		{name: "studies", does: "studies from here: seed, side, others; trials, comparison, sweep",
			keys: plain(ebiten.KeyJ), at: atFloor, do: g.studies.showList},
		{name: "beside", does: "another run beside this one: the one before, a seed, a routine, a record",
			keys: shifted(ebiten.KeyJ), at: atFloor, can: ready, do: g.studies.showBeside},
		{name: "trials", does: "rehearse it over and over: how often does it work, and why not?", keys: ctrl(ebiten.KeyT),
			can: ready, do: g.studies.beginTrials},
		{name: "compare", does: "compare it with how it was before: is it better?", can: ready,
			keys: []stroke{{key: ebiten.KeyB, ctrl: true, shift: noShift}},
			do:   g.studies.beginCompare},
		{name: "rehearsals", does: "the study's rehearsals, the worst first: look one up by its seed, and show it",
			keys: ctrl(ebiten.KeyR), at: atPages, can: g.studies.has, do: g.studies.showRehearsals},
		{name: "sweep", does: "sweep a number: which value is best?", keys: ctrl(ebiten.KeyJ), can: ready,
			do: g.studies.beginSweep},
	})
}

func (g *game) windowActions() []action {
	return about("Window", []action{
		{name: "actions", label: "All ...", does: "all actions, to search and do", keys: ctrl(ebiten.KeyK),
			do: g.showActions},
		{name: "keys", does: "all keys", keys: on(ebiten.KeyF1), do: g.showKeys}, // "?" too: see pressKeys
		{name: "open", does: "open a routine, robot, field or record",
			keys: slices.Concat(on(ebiten.KeyO), ctrl(ebiten.KeyO)), do: g.disk.showOpen},
		{name: "new", does: "begin a new, empty routine (asks first)", keys: ctrl(ebiten.KeyN), do: g.disk.showNew},
		{name: "again", does: "read the files and rehearse again", keys: on(ebiten.KeyR, ebiten.KeyF5), do: g.disk.again},
		{name: "drive", does: "drive, or take the last drive up again", keys: on(ebiten.KeyD),
			do: func() { g.setMode(viewmodel.Drive) }},
		{name: "sounds", does: "sounds of drives, off or on", keys: on(ebiten.KeyF9), do: g.driver.hush},
		{name: "pad keys", does: "put the keys and buttons of driving elsewhere", keys: on(ebiten.KeyF8),
			do: g.driver.showPad},
		{name: "find", does: "find a line of the routine or an event", keys: ctrl(ebiten.KeyF), at: atPages,
			do: g.notebook.showFind},
		{name: "files", does: "another file of the routine: those that it requires", at: atPages,
			can: func() bool { return len(g.model.Modules()) > 0 }, do: g.notebook.showFiles},
		{name: "edit line", does: "edit the line pointed at in the page, or the one that runs (a double click, too)",
			keys: on(ebiten.KeyU), at: atPages, can: g.numbers.any, do: func() { g.line.begin(g.line.meant()) }},
		{name: "take out line", does: "take this line out of the routine (emptying it does, too)",
			keys: ctrl(ebiten.KeyDelete), at: atPages, can: g.moment.any, do: func() { g.line.takeOut(g.line.meant()) }},
		{name: "let go", does: "put back what is typed or turned, unwritten (Esc)", at: atPages, can: g.inHand,
			do: g.putBack},
		{name: "editor", does: "open that line in your own editor", at: atPages, can: g.numbers.any,
			do: func() { g.disk.openEditor(g.line.meant()) }},
		{name: "number", does: "turn a number of the line chosen, or of the one that runs: type, arrows, Enter writes it, " +
			"Tab writes it and takes the next", keys: on(ebiten.KeyI), at: atPages, can: g.numbers.any,
			do: func() { g.numbers.choose(g.line.meant()) }},
		{name: "keep", does: "keep the run shown as a record (asks first)", keys: on(ebiten.KeyS), do: g.disk.showKeep},
		{name: "save", does: "save: the moved start into the routine, else the run as a record (asks first)",
			keys: ctrl(ebiten.KeyS), do: g.disk.save},
		{name: "others", does: "show the run to others: replay, movie, picture of the field", keys: ctrl(ebiten.KeyE),
			at: atFloor, do: g.others.showCard},
		{name: "picture", does: "a picture of the window as a file", keys: on(ebiten.KeyF12), do: g.disk.wantShot},
		{name: "escape", does: "give up work or a drag under way, close a card or list, end a drive, back to watching",
			keys: on(ebiten.KeyEscape), do: g.escape},
		{name: "close", does: "close what is in front: a card, the list beside the field, the window",
			keys: ctrl(ebiten.KeyW), do: g.closeFront},
		{name: "quit", does: "close the window", keys: ctrl(ebiten.KeyQ), do: func() { g.leave = true }},
	})
}

// inHand reports whether a line or number is in hand that is not written; putBack leaves it as the file has it.
func (g *game) inHand() bool { return g.line.open || g.numbers.grip == chosen }

func (g *game) putBack() {
	if g.line.open {
		g.line.drop()
		return
	}
	g.numbers.drop()
}

// lookActions are about what the window shows.
func (g *game) lookActions() []action {
	list := []action{
		{name: "values", does: "turn the values of the routine's param()", keys: on(ebiten.KeyT), at: atPages,
			do: g.showValues},
		g.gainAction(),
		{name: "layers", does: "layers: what is drawn on the field", keys: on(ebiten.KeyL), at: atFloor, do: g.showLayers},
		{name: "signals", does: "signals: choose what is charted", keys: plain(ebiten.KeyG), at: atCharts,
			do: g.charts.showSignals},
		{name: "variables", does: "variables of the routine at this moment", keys: plain(ebiten.KeyF4),
			at: atPages | atCharts, do: g.moment.showVariables},
		{name: "stops", does: "stops: where playing pauses", keys: shifted(ebiten.KeyF4), at: atPages | atStrip,
			do: g.moment.showStops},
		{name: "drop chart", does: "take this chart away", at: atCharts, can: g.menu.onChart,
			do: func() { g.model.ToggleSignal(g.menu.signal) }},
		{name: "fold charts", does: "fold the charts, or unfold them", keys: shifted(ebiten.KeyG), at: atCharts,
			do: func() { g.fold(func(l *viewmodel.Layout) *bool { return &l.NoCharts }) }},
		{name: "fold", does: "fold all beside the field, or unfold it", keys: plain(ebiten.KeyH), at: atPages | atFloor,
			do: func() { g.fold(func(l *viewmodel.Layout) *bool { return &l.Folded }) }},
		{name: "fold pages", does: "fold the notebook's pages, or unfold them", keys: shifted(ebiten.KeyH), at: atPages,
			do: func() { g.fold(func(l *viewmodel.Layout) *bool { return &l.NoPages }) }},
		{name: "usual layout", does: "put all dividers back", keys: on(ebiten.KeyF3), do: g.usualLayout},
		{name: "follow", does: "let the notebook follow the run again", keys: plain(ebiten.KeyY), at: atPages,
			do: func() { g.model.Follow(true) }},
		{name: "page up", does: "scroll the notebook up", keys: plain(ebiten.KeyPageUp),
			do: func() { g.notebook.turnPage(-0.8) }},
		{name: "page down", does: "scroll the notebook down", keys: plain(ebiten.KeyPageDown),
			do: func() { g.notebook.turnPage(0.8) }},
		{name: "charts up", does: "scroll the charts up", keys: shifted(ebiten.KeyPageUp),
			do: func() { g.charts.scroll(-1) }},
		{name: "charts down", does: "scroll the charts down", keys: shifted(ebiten.KeyPageDown),
			do: func() { g.charts.scroll(1) }},
		{name: "tasks up", does: "scroll the tasks of the time strip up", keys: ctrl(ebiten.KeyPageUp),
			do: func() { g.strip.scroll(-1) }},
		{name: "tasks down", does: "scroll the tasks of the time strip down", keys: ctrl(ebiten.KeyPageDown),
			do: func() { g.strip.scroll(1) }},
		{name: "larger", does: "larger text", keys: slices.Concat(ctrl(ebiten.KeyEqual), ctrl(ebiten.KeyNumpadAdd)),
			do: func() { g.enlarge(1.1) }},
		{name: "smaller", does: "smaller text", keys: slices.Concat(ctrl(ebiten.KeyMinus),
			ctrl(ebiten.KeyNumpadSubtract)), do: func() { g.enlarge(1 / 1.1) }},
		{name: "theme", does: "another theme: slate, light, high contrast", keys: on(ebiten.KeyF2), do: g.nextTheme},
		{name: "units", does: "quantities in inches and pounds, or in metric units again", at: atFloor | atCharts,
			do: g.nextUnits},
		{name: "full screen", does: "full screen, or a window again", keys: on(ebiten.KeyF11),
			do: func() { ebiten.SetFullscreen(!ebiten.IsFullscreen()) }},
	}
	for i, tab := range viewmodel.Tabs {
		list = append(list, action{name: "page " + string(tab), does: "the notebook's page " + string(tab),
			keys: on(tabKey(i)), do: func() { g.notebook.turnTo(tab) }})
	}
	return about("What is shown", list)
}

// about puts actions into a group of the sheet.
func about(group string, list []action) []action {
	for i := range list {
		list[i].group = group
	}
	return list
}

// tabKey is the key of one of the notebook's pages.
func tabKey(page int) ebiten.Key { return ebiten.KeyDigit1 + ebiten.Key(page) }

// fits reports whether the keys of an Update ask for the action.
func (a action) fits(key ebiten.Key, h *hand, mode viewmodel.Mode) bool {
	return (a.mode == "" || a.mode == mode) && slices.ContainsFunc(a.keys, func(s stroke) bool { return s.fits(key, h) })
}

func (s stroke) fits(key ebiten.Key, h *hand) bool {
	shift := !(s.shift == withShift && !h.Shift || s.shift == noShift && h.Shift)
	return key == s.key && s.ctrl == h.Ctrl && (h.Alt || !s.alt) && shift
}

// keyNames are the keys whose names are not what stands on them.
var keyNames = map[ebiten.Key]string{
	ebiten.KeyArrowLeft: "Left", ebiten.KeyArrowRight: "Right", ebiten.KeyArrowUp: "Up", ebiten.KeyArrowDown: "Down",
	ebiten.KeyEscape: "Esc", ebiten.KeyEqual: "+", ebiten.KeyMinus: "-",
	ebiten.KeyComma: "Comma", ebiten.KeyPeriod: "Period",
}

// String is the stroke as people write it; "" for one of the number pad, which stands for another key.
func (s stroke) String() string {
	name := s.key.String()
	if strings.HasPrefix(name, "Numpad") {
		return ""
	}
	if own, ok := keyNames[s.key]; ok {
		name = own
	}
	name = strings.TrimPrefix(name, "Digit")
	if s.shift == withShift {
		name = "Shift+" + name
	}
	if s.alt {
		name = "Alt+" + name
	}
	if s.ctrl {
		name = "Ctrl+" + name
	}
	return name
}

// keyWords are the action's keys in words.
func (a action) keyWords() string {
	var words []string
	for _, s := range a.keys {
		if s.String() != "" {
			words = append(words, s.String())
		}
	}
	return strings.Join(words, ", ")
}

// told is what the action does, with its keys.
func (a action) told() string {
	if words := a.keyWords(); words != "" {
		return a.does + " (" + words + ")"
	}
	return a.does
}

// act does what the keys and the pointer ask for.
func (g *game) act() {
	if g.model.Board() != nil {
		g.actBuild()
		return
	}
	g.field.aimNow()
	g.disk.takeDropped()
	if g.hand.Ctrl && slices.Contains(g.hand.Keys, ebiten.KeyQ) { // over every card
		g.leave = true
	}
	switch {
	case g.card != nil:
		g.dialog.keys()
	case g.model.Driving():
		g.driveKeys()
	case g.numbers.held():
		g.numbers.keys()
	case g.line.open:
		g.line.keys()
	case g.handles.taken != nil:
		g.handles.keys()
	case g.front() != nil:
		g.panel.keys()
	default:
		g.pressKeys()
	}
	if len(g.hand.Keys) > 0 || g.hand.Dropped != nil { // a click in the same Update meets what is there now
		g.layout()
		g.field.aimNow()
	}
	g.numbers.settle()
	g.line.settle()
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
		if a.fits(key, &g.hand, g.model.Mode) && (g.model.Board() == nil || a.builds()) {
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
		case ebiten.KeyF8:
			g.driver.showPad()
		case ebiten.KeyF9:
			g.driver.hush()
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
	if g.others.end() {
		g.model.Say("Given up: nothing was written.")
		return
	}
	if g.model.StopStudy() {
		return
	}
	if g.beside != nil && g.model.Mode == viewmodel.Watch && g.model.Selected == viewmodel.Nothing {
		g.closeBeside() // though it has no keys: nothing else is there to give up
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
	if !g.memory.Enlarge(factor, mostLetters(g.size.width, g.size.height)) {
		g.model.Say("The window is too small for larger letters.")
		return
	}
	g.model.Say(fmt.Sprintf("Text at %.0f %%.", 100*g.memory.Zoom))
}

// fold folds a part of the window, or unfolds it.
func (g *game) fold(part func(*viewmodel.Layout) *bool) {
	if g.model.Driving() {
		g.aside = !g.aside
		return
	}
	l := g.memory.Layout
	flag := part(&l)
	if *flag = !*flag; flag != &l.Folded {
		l.Folded = false
	}
	g.memory.Divide(l)
}

// usualLayout puts all dividers back, and shows all.
func (g *game) usualLayout() {
	g.memory.Divide(viewmodel.Layout{Open: g.memory.Layout.Open})
	g.model.Say("All dividers are where they were at first.")
}

// closeFront closes the card, else the list beside the field, else the window.
func (g *game) closeFront() {
	switch {
	case g.card != nil:
		g.closeCard()
	case g.beside != nil:
		g.closeBeside()
	default:
		g.leave = true
	}
}

// What the line at the bottom says when a mode begins.
const (
	watchHint   = "Point at a thing to ask what it is; click to keep it."
	measureHint = "Click two points, or move the cross with the arrow keys and press Enter."
	arrangeHint = "Drag the robot, a piece or a goal; Shift turns, Alt keeps off lines that are near. Tab chooses, " +
		"arrows move. W writes the start into the routine."
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
		if g.model.DrivesCourse() {
			g.driver.driveCourse()
		} else {
			g.driver.showDrive()
		}
		return
	}
	g.model.SetMode(m)
	if driven {
		g.driver.afterDrive(true)
	}
}
