package window

import (
	"strings"

	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// canAdd reports whether a call can be put into the routine for the place pointed at.
func (g *game) canAdd() bool { return g.field.aim.valid && g.model.CanAdd() }

// adds is what puts a call for the place pointed at after the line of the moment shown.
func (g *game) adds(what viewmodel.Adding) func() {
	return func() {
		at := g.model.Snap(g.field.aim.at, handleReach/g.field.view.Scale)
		g.added(g.model.HoldAdding(what, at))
	}
}

// added writes the call that is in hand, or says why there is none.
func (g *game) added(err error) {
	if err != nil {
		g.model.Warn("Not added: " + err.Error() + ".")
		return
	}
	g.numbers.write()
}

// showParts lists what the robot's parts can be told, to be put after the line of the moment shown.
func (g *game) showParts() {
	g.showCalls("parts", "Tell a part of the robot, after the line that runs", g.model.PartCalls, g.model.HoldPart)
}

// showConditions lists what can be waited for there.
func (g *game) showConditions() {
	g.showCalls("conditions", "Wait until, after the line that runs", g.model.Conditions, g.model.HoldUntil)
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

// inShort is what a call does up to its first comma or colon; nothing, where that is long: it is told under the rows.
func inShort(does string) string {
	if at := strings.IndexAny(does, ",:"); at > 0 {
		does = does[:at]
	}
	if len(does) > 50 {
		return ""
	}
	return does
}
