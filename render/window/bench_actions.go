package window

import (
	"io"
	"math"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/build"
	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// composeBench makes the parts that there are while a field is built.
func (g *game) composeBench() {
	view := &fieldView{shared: g.shared, zoom: 1}
	g.bench = &bench{fieldView: view, disk: g.disk}
	view.spans = g.bench.extent
	g.lists = newBenchLists(g.shared, g.bench)
	g.lists.things.pass, g.lists.values.pass = g.pressKey, g.pressKey
	g.buildTools = &tools{shared: g.shared, names: fieldTools}
	g.building = []part{g.bench, &header{g.shared}, g.lists, g.buildTools,
		&status{shared: g.shared, view: view, strip: g.strip, studies: g.studies},
		&dividers{shared: g.shared}, &tip{shared: g.shared, axis: g.bench.axis}, g.dialog}
}

// fieldTools are the actions that have a button while a field is built, robotTools while a robot is.
var fieldTools = []string{"stop building", "add thing", "add zone", "add line", "add piece", "add grid", "add goal",
	"add start", "corner", "twin", "take away", "scale", "keys"}

var robotTools = []string{"stop building", "add thing", "add wheels", "add part", "add sensor", "corner", "twin",
	"take away", "keys"}

// buildActions are those of building. Their letters mean something else elsewhere.
func (g *game) buildActions() []action {
	nudge := func(x, y float64) func() {
		return func() { g.bench.nudge(geom.Vec{X: g.hand.stride(x * keyStep), Y: g.hand.stride(y * keyStep)}) }
	}
	next := func(by int) func() { return func() { g.bench.next(by) } }
	const in = viewmodel.Build
	return about("Build", []action{
		{name: "build", does: "build: make the field itself, or end that",
			keys: append(shifted(ebiten.KeyB), stroke{key: ebiten.KeyB, ctrl: true, shift: withShift}), at: atFloor,
			do: g.toggleBuild},
		{name: "build robot", does: "build: make the robot itself, or end that",
			keys: []stroke{{key: ebiten.KeyM, ctrl: true, shift: withShift}}, at: atFloor, do: g.toggleBuildRobot},
		{name: "add thing", label: "Add", does: "add something: choose from a list", keys: plain(ebiten.KeyN), mode: in,
			do: func() { g.bench.showAdd() }},
		{name: "add zone", label: "Zone", does: "add a zone: drag from corner to corner", keys: plain(ebiten.KeyZ), mode: in,
			can: g.buildsField, do: g.buildAdds("zone")},
		{name: "add line", label: "Line", does: "add a line: drag from end to end", keys: plain(ebiten.KeyL), mode: in,
			can: g.buildsField, do: g.buildAdds("line")},
		{name: "add piece", label: "Piece", does: "add a piece: click its place (Shift: and another)",
			keys: on(ebiten.KeyP), mode: in, can: g.buildsField, do: g.buildAdds("piece")},
		{name: "add grid", label: "Grid", does: "add a grid of pieces: drag from the first to the last",
			keys: plain(ebiten.KeyR), mode: in, can: g.buildsField, do: g.buildAdds("grid")},
		{name: "add goal", label: "Goal", does: "add a goal: click its place", keys: plain(ebiten.KeyG), mode: in,
			can: g.buildsField, do: g.buildAdds("goal")},
		{name: "add start", label: "Start", does: "add a place where robots begin: click it", keys: plain(ebiten.KeyS),
			mode: in, can: g.buildsField, do: g.buildAdds("start")},
		{name: "add wheels", label: "Wheels", does: "add a pair of wheels: click the place of one", keys: plain(ebiten.KeyW),
			mode: in, can: g.buildsRobot, do: g.buildAdds("pair of wheels")},
		{name: "add part", label: "Part", does: "add a mechanism: choose its kind, then its place", keys: plain(ebiten.KeyA),
			mode: in, can: g.buildsRobot, do: g.buildAdds("part")},
		{name: "add sensor", label: "Sensor", does: "add a sensor: choose its kind, then its place", keys: plain(ebiten.KeyE),
			mode: in, can: g.buildsRobot, do: g.buildAdds("sensor")},
		{name: "corner", does: "put a corner into the outline chosen, where the pointer is", keys: plain(ebiten.KeyK),
			mode: in, do: func() { g.bench.corner() }},
		{name: "twin", label: "Twin", does: "another like what is chosen, beside it", keys: plain(ebiten.KeyD), mode: in,
			do: func() { g.bench.do("put another beside it", g.model.Board().Twin()) }},
		{name: "take away", label: "Delete", does: "take away what is chosen, or the corner pointed at",
			keys: on(ebiten.KeyDelete, ebiten.KeyBackspace), mode: in, do: func() { g.bench.takeAway() }},
		{name: "scale", does: "scale the picture by two places and their distance", keys: plain(ebiten.KeyM), mode: in,
			do: func() { g.bench.beginRuler() }},
		{name: "type values", does: "type the values of what is chosen, or take the place of the cross",
			keys: on(ebiten.KeyEnter), mode: in, do: g.enterBuilt},
		{name: "next built", does: "choose the next thing", keys: plain(ebiten.KeyTab), mode: in, do: next(1)},
		{name: "built before", does: "choose the thing before", keys: shifted(ebiten.KeyTab), mode: in, do: next(-1)},
		{name: "left", does: "move what is chosen, or the cross, 10 mm left (" + strides + ")",
			keys: on(ebiten.KeyArrowLeft), mode: in, do: nudge(-1, 0)},
		{name: "right", does: "move it right", keys: on(ebiten.KeyArrowRight), mode: in, do: nudge(1, 0)},
		{name: "up", does: "move it up", keys: on(ebiten.KeyArrowUp), mode: in, do: nudge(0, 1)},
		{name: "down", does: "move it down", keys: on(ebiten.KeyArrowDown), mode: in, do: nudge(0, -1)},
		{name: "undo built", does: "take the last change of the field back",
			keys: []stroke{{key: ebiten.KeyZ, ctrl: true, shift: noShift}}, mode: in,
			do: func() { g.bench.travel((*build.Board).Undo, "Undone: ") }},
		{name: "redo built", does: "make it again",
			keys: slices.Concat(ctrl(ebiten.KeyY), []stroke{{key: ebiten.KeyZ, ctrl: true, shift: withShift}}),
			mode: in, do: func() { g.bench.travel((*build.Board).Redo, "Done again: ") }},
		{name: "stop building", label: "End", does: "give up a drag or a place, else end building: twice",
			keys: on(ebiten.KeyEscape), mode: in, do: func() {
				switch leaving := g.bench.leaving; {
				case g.bench.give():
					g.model.Say("Given up.")
				case leaving || len(g.hand.Keys) == 0: // by the button
					g.endBuild()
				default:
					g.bench.leaving = true
					g.model.Say("Once more ends building.")
				}
			}},
		{name: "zoom in built", does: "zoom in", keys: on(ebiten.KeyEqual, ebiten.KeyNumpadAdd), mode: in,
			do: func() { g.bench.zoomAt(g.bench.middle(), zoomStep) }},
		{name: "zoom out built", does: "zoom out", keys: on(ebiten.KeyMinus, ebiten.KeyNumpadSubtract), mode: in,
			do: func() { g.bench.zoomAt(g.bench.middle(), 1/zoomStep) }},
		{name: "all built", does: "show all of it", keys: on(ebiten.KeyDigit0, ebiten.KeyNumpad0), mode: in,
			do: func() { g.bench.showWhole() }},
	})
}

// alsoBuilding are the actions of other groups that their keys do while a field is built, too.
var alsoBuilding = []string{"build", "actions", "keys", "picture", "quit", "larger", "smaller", "theme", "full screen"}

func (g *game) buildsField() bool {
	return g.model.Board() != nil && g.model.Board().Sheet().Field != nil
}
func (g *game) buildsRobot() bool {
	return g.model.Board() != nil && g.model.Board().Sheet().Robot != nil
}

// builds reports whether the action's keys do it while a field is built.
func (a action) builds() bool {
	if a.can != nil && !a.can() {
		return false
	}
	return a.mode == viewmodel.Build || slices.Contains(alsoBuilding, a.name)
}

func (g *game) buildAdds(begins string) func() { return func() { g.bench.adds(begins)() } }

// actBuild does what the keys and the pointer ask for while a field is built.
func (g *game) actBuild() {
	g.bench.aimNow()
	if g.hand.Pressed || len(g.hand.Keys) > 0 && !slices.Contains(g.hand.Keys, ebiten.KeyEscape) {
		g.bench.leaving = false
	}
	if g.hand.Ctrl && slices.Contains(g.hand.Keys, ebiten.KeyQ) {
		g.leave = true
	}
	switch {
	case g.card != nil:
		g.dialog.keys()
	case g.lists.has == 1:
		g.lists.things.keys()
	case g.lists.has == 2:
		g.lists.values.keys()
	default:
		g.pressKeys()
	}
	if g.model.Board() == nil {
		g.layout()
		return
	}
	if len(g.hand.Keys) > 0 {
		g.layout()
		g.bench.aimNow()
	}
	if g.hand.Released {
		g.bench.endPlace()
	}
	g.pointElements()
	if g.model.Board() == nil { // ended by a button
		return
	}
	for _, p := range slices.Backward(g.building) {
		p.point()
	}
}

// enterBuilt takes the place that arrows have gone to, where one is asked for; else it types values.
func (g *game) enterBuilt() {
	switch {
	case g.bench.adding == nil && g.bench.ruler == nil:
		g.lists.give(2)
	case !g.bench.aim.valid:
		g.model.Say("Arrows move a cross to the place, Enter takes it.")
	default:
		g.bench.press()
	}
}

// nudge moves what is chosen by keys, or the cross where a place is asked for.
func (b *bench) nudge(by geom.Vec) {
	if b.adding != nil || b.ruler != nil {
		if !b.aim.valid {
			s := b.model.Board().Sheet()
			round := func(m float64) float64 { return math.Round(m/keyStep) * keyStep }
			b.aim.at = geom.Vec{X: round((s.Low.X + s.High.X) / 2), Y: round((s.Low.Y + s.High.Y) / 2)}
		}
		b.keyAim(by.X, by.Y)
		return
	}
	shape := b.model.Board().Sheet().Shape(b.model.Board().Chosen())
	if shape == nil || shape.Move == nil {
		b.model.Say("Nothing is chosen that moves: Tab chooses the next thing.")
		return
	}
	b.do("moved "+shape.Words, b.model.Board().Do("moved "+shape.Words, shape.Move(by)...))
}

// next chooses the next thing of the drawing.
func (b *bench) next(by int) {
	shapes := b.model.Board().Sheet().Shapes
	at := slices.IndexFunc(shapes, func(s build.Shape) bool { return s.Path == b.model.Board().Chosen() })
	if len(shapes) > 0 {
		shape := shapes[((at+by)%len(shapes)+len(shapes))%len(shapes)]
		b.choose(shape.Path)
		b.model.Say(capital(shape.Words) + ". Enter types its values.")
	}
}

// corner puts a corner into the outline chosen, where the pointer is.
func (b *bench) corner() {
	board := b.model.Board()
	if !b.aim.valid {
		b.model.Say("Point at the edge where the corner is to be, then press K.")
		return
	}
	shape := board.Sheet().Shape(board.Chosen())
	b.do("put a corner there", board.Corner(shape, b.snapped(b.aim.at, "")))
}

// takeAway takes away the corner pointed at, else what is chosen.
func (b *bench) takeAway() {
	board := b.model.Board()
	if shape := board.Sheet().Shape(board.Chosen()); shape != nil && b.aim.valid {
		for _, g := range shape.Grips {
			at := b.view.Pixel(g.At)
			if d := geom.Norm(geom.Vec{X: at.X - b.hand.X, Y: at.Y - b.hand.Y}); d <= handleReach && g.Take != nil {
				b.do("took "+g.Words+" away", board.Do("took "+g.Words+" away", g.Take...))
				return
			}
		}
	}
	b.do("took it away", board.Delete())
}

// travel undoes or does again.
func (b *bench) travel(along func(*build.Board) (string, error), said string) {
	b.give()
	words, err := along(b.model.Board())
	switch {
	case err != nil:
		b.model.Warn("Not done: " + err.Error() + ".")
	case words == "":
		b.model.Say("There is nothing more of that.")
	default:
		b.model.Say(said + words + ".")
	}
	b.note()
	b.watch()
}

// writes gives a text to a file.
func writes(text string) func(io.Writer) error {
	return func(out io.Writer) error { _, err := io.WriteString(out, text); return err }
}
