package window

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/assets"
	"chalkfield/render/scene"
	"chalkfield/scripting"
)

// layer is an overlay of the scene as the card of layers names it.
type layer struct {
	overlay scene.Overlay
	words   string
	note    string
}

var layers = []layer{
	{scene.Belief, "belief", "where the robot thinks it is"},
	{scene.Trail, "trail", "the way it took, by speed"},
	{scene.Ticks, "seconds", "marks on the trail"},
	{scene.Plan, "planned curve", "what a motion follows"},
	{scene.Contacts, "contacts", "what it hit"},
	{scene.Slip, "slip", "where a wheel slipped"},
	{scene.Rays, "sensor rays", "what distance sensors see"},
	{scene.Events, "events", "numbered marks"},
	{scene.Labels, "names", "of pieces, goals and zones"},
	{scene.Zones, "zones", ""},
	{scene.Lines, "lines", ""},
	{scene.Legend, "legend", "under the field"},
}

// showLayers lists what can be drawn on the field.
func (s *shared) showLayers() {
	s.lay(&card{name: "layers", title: "Layers", key: ebiten.KeyL, own: true, passes: true,
		foot: "Enter, Space or a click switches one, L or Esc closes.", rows: func() []cardRow {
			var rows []cardRow
			for _, l := range layers {
				rows = append(rows, cardRow{label: l.words, about: l.note, on: s.model.Overlays.Has(l.overlay), keeps: true,
					do: func() { s.model.Layer(l.overlay) }})
			}
			rows = append(rows, cardRow{label: "the run before", about: "pale", on: s.model.Pale, keeps: true,
				do: s.model.Paler}, cardRow{label: "paths of the study", on: s.model.Bundle, keeps: true, do: s.model.ToggleBundle},
				cardRow{label: "What the marks mean", head: true})
			for _, row := range s.marks() {
				rows = append(rows, cardRow{label: row.Words, mark: &row})
			}
			return rows
		}})
}

// valueSteps is how many steps of a key go through a value's range.
const valueSteps = 20

// showValues lists the routine's param() values, to be turned and rehearsed.
func (s *shared) showValues() {
	const foot = "Left, Right or a drag turn, a click and the wheel too (" + strides + "). Enter writes into the file, " +
		"Backspace resets, T or Esc closes."
	const none = "param(\"name\", default, least, greatest) in the routine puts a number here."
	s.lay(&card{name: "values", title: "Values of the routine", key: ebiten.KeyT, own: true, passes: true, foot: foot,
		rows: func() []cardRow {
			var rows []cardRow
			for _, p := range s.model.Values() {
				rows = append(rows, s.valueRow(p))
			}
			if len(rows) == 0 {
				rows = []cardRow{{label: "It has none.", about: none}}
			}
			return rows
		}})
}

// stepOf is how far a turn takes a value.
func stepOf(p scripting.Param) float64 {
	if p.Whole() {
		return 1
	}
	return (p.Max - p.Min) / valueSteps
}

// valueRow is a value: choosing it only puts the cursor there.
func (s *shared) valueRow(p scripting.Param) cardRow {
	row := cardRow{
		label: p.Name, note: p.Words(p.Used), keeps: true,
		about: fmt.Sprintf("%s, the file says %s", p.Span(), p.Words(p.Default)),
		do:    func() {},
		turn:  func(way float64) { s.model.SetValue(p, p.Used+way*stepOf(p)) },
	}
	if s.model.Driving() { // a turn would end the drive
		row.about, row.turn = "not while somebody drives", nil
		return row
	}
	if outcome := s.model.Outcome(); outcome != "" && s.model.Turning(p.Name) {
		row.about += ": " + outcome
	}
	if p.Used != p.Default {
		row.on, row.reset = true, func() { s.model.SetValue(p, p.Default) }
		row.write = func() {
			if err := s.model.HoldDefault(p); err != nil {
				s.model.Warn("Not written: " + err.Error() + ".")
				return
			}
			s.write()
		}
	}
	return row
}

// caution stands at the end of the sheet of keys (design, section 11).
var caution = []string{
	"A rehearsal is a model. On the real robot: first runs of a new routine at low speed,",
	"on blocks or with the field clear, a person at the disable switch, eye protection on,",
	"air released before hands go in. The event's rules and the people responsible",
	"for the site decide.",
}

// showKeys lists every shortcut; where driving is the matter, those of driving first. A card about driving waits under
// it.
func (s *shared) showKeys() {
	var under *card
	if s.card.aboutDriving() {
		under = s.card
	}
	rows, driving := s.actionRows(), sheetRows("Driving", driveSheet(putsOf(s.memory.Pad)))
	if s.model.Driving() || under != nil {
		rows = append(driving, rows...)
	} else {
		rows = append(rows, driving...)
	}
	rows = append(rows, sheetRows("Pointer", pointerSheet)...)
	rows = append(rows, guideRows()...)
	rows = append(rows, cardRow{label: "Before a real robot moves", head: true})
	for _, line := range caution {
		rows = append(rows, cardRow{label: line})
	}
	s.show(&card{name: "keys", title: "Keys", passes: under == nil && !s.model.Driving(), foot: "Esc or F1 closes.",
		under: under, rows: func() []cardRow { return rows }})
}

// guideRows name the pages of the guide, which a terminal shows.
func guideRows() []cardRow {
	rows := []cardRow{{label: "The guide, in a terminal", head: true}}
	for _, page := range assets.GuidePages {
		rows = append(rows, cardRow{label: assets.GuideTitle(page), note: "chalkfield guide " + page})
	}
	return rows
}

// actionRows are the actions that have keys, by group: those of what one is at come first.
func (s *shared) actionRows() []cardRow {
	var rows []cardRow
	group := ""
	actions := slices.Clone(s.actions)
	slices.SortStableFunc(actions, func(a, b action) int { return cmp.Compare(s.farFrom(a), s.farFrom(b)) })
	for _, a := range actions {
		if a.keyWords() == "" {
			continue
		}
		if a.group != group {
			group = a.group
			rows = append(rows, cardRow{label: group, head: true})
		}
		rows = append(rows, cardRow{label: a.does, note: a.keyWords()})
	}
	return rows
}

// farFrom is 1 for an action of building where nothing is built, and for the others where something is.
func (s *shared) farFrom(a action) int {
	if (a.group == "Build") == (s.model.Board() != nil) {
		return 0
	}
	return 1
}

// showActions lists all that can be done; letters narrow the list.
func (s *shared) showActions() {
	s.show(&card{name: "actions", title: "Actions", typed: true,
		foot: "Letters narrow the list, Enter does it, Esc closes.", rows: func() []cardRow {
			var rows []cardRow
			for _, a := range s.actions {
				if a.name != "actions" && a.name != "escape" && s.possible(a) {
					rows = append(rows, cardRow{label: a.does, note: a.keyWords(), also: a.group, do: a.do})
				}
			}
			return rows
		}})
}

// possible reports whether there is something for an action to do now.
func (s *shared) possible(a action) bool {
	if s.model.Board() != nil && !a.builds() {
		return false
	}
	return (a.mode == "" || a.mode == s.model.Mode || a.at != 0) && (a.can == nil || a.can())
}

func sheetRows(title string, lines [][2]string) []cardRow {
	rows := []cardRow{{label: title, head: true}}
	for _, line := range lines {
		rows = append(rows, cardRow{label: line[1], note: line[0]})
	}
	return rows
}

var pointerSheet = [][2]string{
	{"drag a number of the page", "turn it: each step is rehearsed, letting go writes it; Ctrl+wheel too"},
	{"click a number", "type another over it"},
	{"double click a line", "edit it in its place"},
	{"click a line", "choose it: its times are marked on the strip, Shift+N and Shift+P go through them"},
	{"click a line's number", "pause when it runs, or no more"},
	{"drag a ring, arm or bar", "turn the numbers of a motion; Alt: onto nothing near"},
	{"wheel on the field", "zoom"},
	{"drag on the floor", "move the view; the middle and right button do too"},
	{"click on a study's path", "show that seed; a row of the page Study does too"},
	{"drag on strip, charts", "go through the time"},
	{"click on an event", "go to it"},
	{"wheel on the strip", "stretch it; sideways: move the stretch"},
	{"wheel on the charts", "show others when there is no room for all; with Ctrl: stretch the time, Shift: move it"},
	{"wheel on tasks' names", "show others when there is no room for all"},
	{"drag between two parts", "make one larger; a double click puts it back"},
}
