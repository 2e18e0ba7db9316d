package window

import (
	"fmt"

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
	s.show(&card{name: "layers", title: "Layers", key: ebiten.KeyL, own: true, passes: true,
		foot: "Space or a click switches one, L or Esc closes.", rows: func() []cardRow {
			var rows []cardRow
			for _, l := range layers {
				rows = append(rows, cardRow{label: l.words, note: l.note, on: s.model.Overlays.Has(l.overlay), keeps: true,
					do: func() { s.model.Layer(l.overlay) }})
			}
			return append(rows, cardRow{label: "the run before", note: "pale", on: s.model.Pale, keeps: true, do: s.model.Paler})
		}})
}

// valueSteps is how many steps of a key go through a value's range.
const valueSteps = 20

// showValues lists the routine's param() values, to be turned and rehearsed.
func (s *shared) showValues() {
	const foot = "Left, Right, wheel or a drag turn (Shift: finer), Backspace resets, T or Esc closes."
	s.show(&card{name: "values", title: "Values of the routine", key: ebiten.KeyT, own: true, passes: true, foot: foot,
		rows: func() []cardRow {
			var rows []cardRow
			for _, p := range s.model.Values() {
				rows = append(rows, s.valueRow(p))
			}
			if len(rows) == 0 {
				rows = []cardRow{{label: "It has none: a number written as param(\"name\", default, least, greatest) is " +
					"listed here."}}
			}
			return rows
		}})
}

// valueRow is a value: choosing it only puts the cursor there.
func (s *shared) valueRow(p scripting.Param) cardRow {
	row := cardRow{
		label: p.Name, note: fmt.Sprintf("%g   (%g to %g, file %g)", p.Used, p.Min, p.Max, p.Default), keeps: true,
		do:   func() {},
		turn: func(way float64) { s.model.SetValue(p, p.Used+way*(p.Max-p.Min)/valueSteps) },
	}
	if p.Used != p.Default {
		row.on, row.reset = true, func() { s.model.SetValue(p, p.Default) }
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
	rows, driving := s.actionRows(), sheetRows("Driving", driveSheet)
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

// actionRows are the actions, by group.
func (s *shared) actionRows() []cardRow {
	var rows []cardRow
	group := ""
	for _, a := range s.actions {
		if a.keys == "" {
			continue
		}
		if a.group != group {
			group = a.group
			rows = append(rows, cardRow{label: group, head: true})
		}
		rows = append(rows, cardRow{label: a.does, note: a.keys})
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
