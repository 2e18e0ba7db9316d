package scene

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// EventRow is one event as a picture lists it.
type EventRow struct {
	Number int // counts the rows from 1, the same in every picture of a record
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

// eventLook is how a kind of event is drawn and called.
type eventLook struct {
	kind   record.Kind
	words  string
	shape  Shape
	hollow bool
	weight int
}

// eventLooks has the kinds that pictures list. The others (motions' and tasks' starts, prints, score changes) are
// the window's timeline's.
var eventLooks = [...]eventLook{
	{record.Failure, "error", Cross, false, 9},
	{record.Foul, "foul", Cross, true, 8},
	{record.Warning, "warning", Cross, true, 8},
	{record.Scored, "scored", Star, false, 7},
	{record.Unscored, "unscored", Star, true, 7},
	{record.Clamped, "clamped", Square, false, 6},
	{record.Unclamped, "unclamped", Square, true, 6},
	{record.Slipped, "slipped", Square, true, 6},
	{record.Missed, "missed", Diamond, true, 6},
	{record.Jammed, "jammed", Diamond, true, 6},
	{record.Stalled, "stalled", Diamond, true, 6},
	{record.Tips, "tips", TriangleDown, false, 8},
	{record.Crooked, "crooked", Diamond, true, 5},
	{record.Seated, "seated", Diamond, false, 5},
	{record.Pickup, "picked up", Triangle, false, 5},
	{record.Release, "let go", TriangleDown, true, 5},
	{record.Note, "note", RoundShape, true, 4},
	{record.PhaseStart, "phase", Flag, false, 4},
	{record.PressedKey, "button", Keycap, true, 3},
	{record.Contact, "touches", Plus, false, 3},
	{record.MotionEnd, "motion", RoundShape, false, 2},
}

func lookOf(kind record.Kind) (eventLook, bool) {
	for _, look := range eventLooks {
		if look.kind == kind {
			return look, true
		}
	}
	return eventLook{}, false
}

// EventMark is the mark of a kind of event; what no picture lists is a small hollow disc.
func EventMark(kind record.Kind) (shape Shape, hollow bool) {
	if look, listed := lookOf(kind); listed {
		return look.shape, look.hollow
	}
	return RoundShape, true
}

// EventName is what a kind of event is called in pictures, and EventWords says an event in a line as they do.
func EventName(kind record.Kind) string {
	if look, listed := lookOf(kind); listed {
		return look.words
	}
	return string(kind)
}

func EventWords(e record.Event) string {
	look, listed := lookOf(e.Kind)
	if !listed {
		look.words = string(e.Kind)
	}
	return eventWords(look, e)
}

// newRows lists the events that concern a robot (-1: any), numbered in order of time.
func (b *Builder) newRows(robot int) []EventRow {
	events := slices.Clone(b.index.Record.Events)
	slices.SortStableFunc(events, func(a, b record.Event) int { return cmp.Compare(a.T, b.T) })
	var rows []EventRow
	for _, e := range events {
		look, listed := lookOf(e.Kind)
		if !listed || (robot >= 0 && e.Robot >= 0 && e.Robot != robot) {
			continue
		}
		row := EventRow{Number: len(rows) + 1, T: e.T, Kind: e.Kind, Shape: look.shape, Hollow: look.hollow, Colour: b.tint.Accent, Weight: eventWeight(look, e)}
		row.Words = eventWords(look, e)
		if robot < 0 && e.Robot >= 0 && len(b.robots) > 1 {
			row.Words = "robot " + strconv.Itoa(e.Robot+1) + ": " + row.Words
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
func eventWeight(look eventLook, e record.Event) int {
	switch {
	case e.Kind == record.Contact && e.Value >= 0.5:
		return 5
	case e.Kind == record.MotionEnd && (strings.HasPrefix(e.Text, "timeout") || strings.HasPrefix(e.Text, "stalled")):
		return 6
	}
	return look.weight
}

// eventWords says an event in a line: what happened, then to what.
func eventWords(look eventLook, e record.Event) string {
	text := e.Text
	if text == "" {
		text = e.What
	}
	text, _, _ = strings.Cut(strings.TrimSpace(text), "\n") // an error's traceback stays in the record
	switch e.Kind {
	case record.Contact:
		return look.words + leading(" ", text) + " at " + strconv.FormatFloat(e.Value, 'f', 2, 64) + " m/s"
	case record.MotionEnd:
		if e.What != "" && e.Text != "" {
			return e.What + ": " + text
		}
	case record.PhaseStart:
		if e.What != "" && e.Text != "" {
			return look.words + " " + e.What + " " + text
		}
	case record.Failure, record.Warning, record.Foul, record.Note, record.Print, record.Missed, record.Jammed, record.Stalled:
		return look.words + leading(": ", text)
	}
	return look.words + leading(" ", text)
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
		layer.add(b.eventMark(row))
		layer.label(Label{Number: row.Number, At: row.At, Clear: Size{Pixels: 7}, Size: 12, Bold: true, Colour: b.tint.Accent, Rank: rank})
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

func (b *Builder) eventMark(row *EventRow) Item {
	fill, pen := b.tint.Accent, Pen{Width: 1, Colour: Plate}
	if row.Hollow {
		fill, pen = Plate, Pen{Width: 1.8, Colour: b.tint.Accent}
	}
	return Item{Kind: Mark, Shape: row.Shape, At: row.At, Radius: Size{Pixels: 6}, Fill: fill, Pen: pen, Avoid: true}
}
