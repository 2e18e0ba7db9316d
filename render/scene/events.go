package scene

import (
	"cmp"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// EventRow is one event as a picture lists it.
type EventRow struct {
	Number int // counts the rows from 1, the same in every picture of a record
	Event  int // its index in the record
	T      float64
	Kind   record.Kind
	Shape  Shape
	Hollow bool
	Colour Colour // of number and mark
	Words  string
	Weight int      // who stays when there is no room for all: higher is kept
	At     geom.Vec // m
	Placed bool     // At is known
}

// EventMark is the mark of a kind of event.
func EventMark(kind record.Kind) (shape Shape, hollow bool) {
	mark := kind.Mark()
	return ParseShape(mark.Shape), mark.Hollow
}

// newRows lists the events that concern a robot (-1: any), numbered in order of time.
func (b *Builder) newRows(robot int) []EventRow {
	events := b.index.Record.Events
	order := make([]int, len(events))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(events[i].T, events[k].T) })
	var rows []EventRow
	for _, i := range order {
		e := events[i]
		if kind := e.Kind.Traits(); kind.Mark == (record.Mark{}) || (robot >= 0 && e.Robot >= 0 && e.Robot != robot) {
			continue
		}
		row := EventRow{Number: len(rows) + 1, Event: i, T: e.T, Kind: e.Kind, Colour: b.tint.Accent,
			Words: e.Brief(b.in.Units), Weight: eventWeight(e)}
		row.Shape, row.Hollow = EventMark(e.Kind)
		if robot < 0 {
			row.Words = b.index.Record.Header.Told(e, b.in.Units)
		}
		row.At, row.Placed = b.eventPlace(e)
		rows = append(rows, row)
	}
	return rows
}

// eventPlace is where an event happened: its own place, or its robot's at that time.
func (b *Builder) eventPlace(e record.Event) (geom.Vec, bool) {
	if e.At != nil {
		at := geom.Vec{X: e.At[0], Y: e.At[1]}
		return at, plausible(at)
	}
	state, known := b.index.Robot(e.Robot, b.index.At(e.T))
	if !known || e.Kind == record.PhaseStart {
		return geom.Vec{}, false
	}
	at := state.True.Geom().At()
	return at, plausible(at)
}

// A hard contact or a motion that did not arrive matters more than others of its kind.
func eventWeight(e record.Event) int {
	switch {
	case e.Kind == record.Contact && e.Value >= 0.5:
		return 5
	case e.Kind == record.MotionEnd && (e.Reason == record.TimedOut || e.Reason == record.GotStuck):
		return 6
	}
	return e.Kind.Traits().Weight
}

// drawEvents marks the events of the stretch shown.
func (b *Builder) drawEvents() {
	for i := range b.shownRows() {
		row := &b.scene.Furniture.Events[i]
		if !row.Placed {
			continue
		}
		layer, rank := b.layer(Events), RankEvent
		if row.Kind == record.Contact {
			layer, rank = b.layer(Contacts), RankContact
		}
		layer.add(row.Mark())
		layer.label(Label{Number: row.Number, At: row.At, Clear: Size{Pixels: 7}, Size: 12, Bold: true,
			Colour: b.tint.Accent, Rank: rank})
	}
}

// shownRows sets the furniture's rows to the stretch shown.
func (b *Builder) shownRows() []EventRow {
	all := b.scene.Furniture.AllEvents
	low := 0
	for low < len(all) && all[low].T < b.in.From {
		low++
	}
	high := low
	for high < len(all) && all[high].T <= b.in.T {
		high++
	}
	b.scene.Furniture.Events = all[low:high]
	return b.scene.Furniture.Events
}

// Mark is the event's mark at its place.
func (row *EventRow) Mark() Item {
	fill, pen := row.Colour, Pen{Width: 1, Colour: Plate}
	if row.Hollow {
		fill, pen = Plate, Pen{Width: 1.8, Colour: row.Colour}
	}
	return Item{Kind: Mark, Shape: row.Shape, At: row.At, Radius: Size{Pixels: 6}, Fill: fill, Pen: pen, Avoid: true}
}
