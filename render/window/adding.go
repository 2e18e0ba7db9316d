package window

import (
	"cmp"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// addActions put a call into the routine: for the place pointed at from a menu, by keys for one chosen or typed.
func (g *game) addActions() []action {
	can := g.model.CanAdd
	return about("Add to the routine", []action{
		{name: "add", does: "add what the robot does next, after the line chosen or that runs: choose what, where",
			keys: ctrl(ebiten.KeyL), at: atPages, can: can, do: g.showAdd},
		{name: "new line", does: "write a new line of the routine, under the one chosen or the one that runs",
			keys: ctrl(ebiten.KeyEnter), at: atPages, can: g.moment.any,
			do: func() { g.line.beginBelow(g.line.meant()) }},
		{name: "add visit", does: "drive there: put a visit after the line that runs", at: atFloor | atThing, can: can,
			do: g.adds(viewmodel.AddVisit)},
		{name: "add back", does: "drive there backwards", at: atFloor | atThing, can: can, do: g.adds(viewmodel.AddBack)},
		{name: "add dock", does: "arrive there, headed as from here", at: atFloor | atThing, can: can,
			do: g.adds(viewmodel.AddDock)},
		{name: "add face", does: "turn to face it", at: atFloor | atThing, can: can, do: g.adds(viewmodel.AddFace)},
		{name: "add trace", does: "curve to there", at: atFloor | atThing, can: can, do: g.adds(viewmodel.AddTrace)},
		{name: "add wait", does: "wait half a second", at: atFloor | atThing, can: can, do: g.adds(viewmodel.AddWait)},
		{name: "add call", does: "tell a part of the robot: choose what", at: atFloor | atThing,
			can: func() bool { return can() && len(g.model.PartCalls()) > 0 }, do: g.showParts},
		{name: "add until", does: "wait for a sensor or a part: choose what", at: atFloor | atThing,
			can: func() bool { return can() && len(g.model.Conditions()) > 0 }, do: g.showConditions},
	})
}

// addings are the calls for a place, by the names of their actions.
var addings = map[string]viewmodel.Adding{"add visit": viewmodel.AddVisit, "add back": viewmodel.AddBack,
	"add dock": viewmodel.AddDock, "add face": viewmodel.AddFace, "add trace": viewmodel.AddTrace}

// adds is what puts a call for the place pointed at after the line of the moment shown, or asks for a place.
func (g *game) adds(what viewmodel.Adding) func() {
	return func() {
		switch {
		case what == viewmodel.AddWait:
			g.added(g.model.HoldAdding(what, geom.Vec{}, geom.Vec{}))
		case g.field.aim.valid:
			at := g.field.aim.at
			to := g.model.Snap(at, handleReach/g.field.view.Scale)
			if pose, is := g.model.Now.PoseOf(g.field.aim.thing, g.model.Time); is && what == viewmodel.AddFace {
				to = pose.At()
			}
			if what == viewmodel.AddVisit || what == viewmodel.AddBack {
				to = g.model.BesideFixed(g.field.aim.thing, to, what == viewmodel.AddBack)
			}
			g.added(g.model.HoldAdding(what, to, at))
		default:
			g.showAdd()
		}
	}
}

// showAdd lists what can be added, for a place that is typed, the measuring cross, the thing chosen or the place
// pointed at.
func (g *game) showAdd() {
	c := &card{name: "add", title: "Add " + g.addsWhere(), typed: true,
		foot: "Type a place (1200 600) or letters that narrow the list; Enter adds, Esc closes. Without a typed place it " +
			"is that of the thing chosen with Tab, of the cross (M), or of the pointer."}
	c.rows = func() []cardRow {
		at, where, ok := g.addingPlace(c.filter)
		var rows []cardRow
		for _, a := range g.actions {
			if what := addings[a.name]; what != "" {
				row := cardRow{label: a.does, note: where}
				if ok {
					row.do = func() { g.added(g.model.HoldAdding(what, at, at)) }
				}
				rows = append(rows, row)
			}
		}
		for _, name := range []string{"add wait", "add call", "add until", "new line"} {
			if a := g.action(name); g.possible(a) {
				rows = append(rows, cardRow{label: a.does, note: a.keyWords(), do: a.do})
			}
		}
		return rows
	}
	g.show(c)
}

// addsWhere is where what is added will stand.
func (g *game) addsWhere() string { return cmp.Or(g.model.AddsWhere(), "after the line that runs") }

// addingPlace is the place that a call is added for by keys, with how it is told; false: none is known yet.
func (g *game) addingPlace(typed string) (at geom.Vec, where string, ok bool) {
	var numbers []string
	for _, word := range strings.FieldsFunc(typed, func(r rune) bool { return strings.ContainsRune(" ,{}", r) }) {
		if strings.Trim(word, "-.0123456789") == "" {
			numbers = append(numbers, word)
		}
	}
	if pose, _, is := viewmodel.ReadPlace(strings.Join(numbers, ",")); is {
		return pose.At(), "at {" + strings.Join(numbers, ", ") + "}", true
	} else if len(numbers) > 0 {
		return geom.Vec{}, strings.Join(numbers, " ") + " ... a place is x y", false
	}
	aim, thing := &g.field.aim, g.model.Selected
	if aim.valid && aim.keyed {
		return aim.at, "at the cross, " + viewmodel.LuaPoint(aim.at), true
	}
	if g.model.Now != nil && thing != viewmodel.Nothing && thing.Kind != viewmodel.RobotThing {
		if pose, is := g.model.Now.PoseOf(thing, g.model.Time); is {
			return pose.At(), g.model.NameOf(thing) + ", " + viewmodel.LuaPoint(pose.At()), true
		}
	}
	if aim.valid {
		at = g.model.Snap(aim.at, handleReach/g.field.view.Scale)
		return at, "at the pointer, " + viewmodel.LuaPoint(at), true
	}
	return geom.Vec{}, "type a place: 1200 600", false
}

// added writes the call that is in hand, or says why there is none.
func (g *game) added(err error) {
	if err != nil {
		g.model.Warn("Not added: " + err.Error() + ".")
		return
	}
	if g.numbers.write(); !g.model.Follows { // else the line chosen before would stay lit
		g.notebook.showLine(g.model.AddedLine())
	}
}

// showParts lists what the robot's parts can be told, to be put after the line of the moment shown.
func (g *game) showParts() {
	g.showCalls("parts", "Tell a part of the robot, "+g.addsWhere(), g.model.PartCalls, g.model.HoldPart)
}

// showConditions lists what can be waited for there.
func (g *game) showConditions() {
	g.showCalls("conditions", "Wait until, "+g.addsWhere(), g.model.Conditions, g.model.HoldUntil)
}

func (g *game) showCalls(name, title string, calls func() []scripting.Call, hold func(string) error) {
	g.show(&card{name: name, title: title, typed: true,
		foot: "Letters narrow the list, Enter puts it into the routine, Esc closes.", rows: func() []cardRow {
			var rows []cardRow
			for _, call := range calls() {
				rows = append(rows, cardRow{label: call.Form, note: inShort(call.Does), about: capital(call.Does) + ".",
					do: func() { g.added(hold(call.Form)) }})
			}
			return rows
		}})
}

// inShort is what a call does up to its first comma, colon or sentence's end; nothing, where that is long: it is told
// under the rows.
func inShort(does string) string {
	does, _, _ = strings.Cut(does, ". ")
	if at := strings.IndexAny(does, ",:"); at > 0 {
		does = does[:at]
	}
	if len(does) > 64 {
		return ""
	}
	return does
}
