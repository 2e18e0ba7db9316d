package window

import (
	"fmt"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/assets"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

func (g *game) widthOf(words string) float64 { return paint.Width(words, normal, false) }

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
func (g *game) showLayers() {
	g.show(&card{name: "layers", title: "Layers", key: ebiten.KeyL, own: true, passes: true,
		foot: "Space or a click switches one, L or Esc closes.", rows: func() []cardRow {
			var rows []cardRow
			for _, l := range layers {
				rows = append(rows, cardRow{label: l.words, note: l.note, on: g.model.Overlays.Has(l.overlay), keeps: true,
					do: func() { g.model.Layer(l.overlay) }})
			}
			return append(rows, cardRow{label: "the run before", note: "pale", on: g.model.Pale, keeps: true, do: g.model.Paler})
		}})
}

// showSignals lists what can be charted.
func (g *game) showSignals() {
	g.show(&card{name: "signals", title: "Signals", typed: true, key: ebiten.KeyG, own: true, passes: true,
		foot: "Enter switches one, letters narrow the list, G or Esc closes.", rows: func() []cardRow {
			if g.model.Now == nil || g.model.Robot >= len(g.model.Now.Record.Header.Robots) {
				return []cardRow{{label: "nothing has been rehearsed yet"}}
			}
			var rows []cardRow
			for _, s := range g.model.Now.Signals(g.model.Robot) {
				rows = append(rows, cardRow{label: s.Title, note: s.Unit, on: g.model.Shows(s.Key), keeps: true, do: func() {
					g.model.ToggleSignal(s.Key)
					g.chartTop = 0 // where the latest stands
				}})
			}
			return rows
		}})
}

// valueSteps is how many steps of a key go through a value's range.
const valueSteps = 20

// showValues lists the routine's param() values, to be turned and rehearsed.
func (g *game) showValues() {
	const foot = "Left, Right, wheel or a drag turn (Shift: finer), Backspace resets, T or Esc closes."
	g.show(&card{name: "values", title: "Values of the routine", key: ebiten.KeyT, own: true, passes: true, foot: foot,
		rows: func() []cardRow {
			var rows []cardRow
			for _, p := range g.model.Values() {
				rows = append(rows, g.valueRow(p))
			}
			if len(rows) == 0 {
				rows = []cardRow{{label: "It has none: a number written as param(\"name\", default, least, greatest) is " +
					"listed here."}}
			}
			return rows
		}})
}

// valueRow is a value: choosing it only puts the cursor there.
func (g *game) valueRow(p scripting.Param) cardRow {
	row := cardRow{
		label: p.Name, note: fmt.Sprintf("%g   (%g to %g, file %g)", p.Used, p.Min, p.Max, p.Default), keeps: true,
		do:   func() {},
		turn: func(way float64) { g.model.SetValue(p, p.Used+way*(p.Max-p.Min)/valueSteps) },
	}
	if p.Used != p.Default {
		row.on, row.reset = true, func() { g.model.SetValue(p, p.Default) }
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
func (g *game) showKeys() {
	var under *card
	if g.card.aboutDriving() {
		under = g.card
	}
	rows, driving := shortcutRows(), sheetRows("Driving", driveSheet)
	if g.model.Driving() || under != nil {
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
	g.show(&card{name: "keys", title: "Keys", passes: under == nil && !g.model.Driving(), foot: "Esc or F1 closes.",
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

// shortcutRows are the rows of keys.go, by group.
func shortcutRows() []cardRow {
	var rows []cardRow
	group := ""
	for _, s := range shortcuts() {
		if s.keys == "" {
			continue
		}
		if s.group != group {
			group = s.group
			rows = append(rows, cardRow{label: group, head: true})
		}
		rows = append(rows, cardRow{label: s.does, note: s.keys})
	}
	return rows
}

func sheetRows(title string, lines [][2]string) []cardRow {
	rows := []cardRow{{label: title, head: true}}
	for _, line := range lines {
		rows = append(rows, cardRow{label: line[1], note: line[0]})
	}
	return rows
}

var pointerSheet = [][2]string{
	{"wheel on the field", "zoom; the middle or right button moves the view"},
	{"drag on the strip", "go through the time; a click on an event goes to it"},
	{"wheel on the strip", "stretch or shrink it"},
	{"wheel on the charts", "show others when there is no room for all"},
	{"wheel on the tasks' names", "show other tasks when there is no room for all"},
}

// showWriteStart asks before the routine's file is changed.
func (g *game) showWriteStart() {
	change, err := g.model.StartChange()
	if err != nil {
		g.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	g.show(&card{name: "write start", title: "Write the start into " + change.Name + "?",
		foot: "Enter chooses, Esc leaves the file as it is.", rows: func() []cardRow {
			return []cardRow{
				{label: "now: start = " + change.Old},
				{label: "then: start = " + change.New},
				{label: "Leave the file as it is", do: func() { g.model.Say("The file was left as it is.") }},
				{label: "Write it", do: func() { g.writeStart(change) }},
			}
		}})
}

// travel undoes or does again. What it wrote itself is not news to the watcher.
func (g *game) travel(along func(*viewmodel.Model) bool) {
	if along(g.model) {
		g.watch.follow(g.model.Watch)
	}
}

func (g *game) writeStart(change viewmodel.StartChange) {
	if err := change.Write(); err != nil {
		g.model.Warn("Not written: " + err.Error())
		return
	}
	g.model.StartWritten(change)
	g.reload()
}
