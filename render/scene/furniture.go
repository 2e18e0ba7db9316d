package scene

import (
	"fmt"
	"strconv"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Furniture is what stands around the field rather than on it. It is text and swatches; where they stand is the page's
// or the window's choice.
type Furniture struct {
	Title    string
	Subtitle string         // robot, session, seed
	Time     string         // of the state shown
	Scored   *record.Record // at its end, it has the score sheet; nil: not the end, not shown, or there is none
	Running  string         // before the end: the score so far, as the last change of it said
	Sides    []SideTag      // names and marks of the sheet's columns
	Units    units.System   // of what is told
	Legend   []LegendRow
	// AllEvents are the rows of the whole record, Events those of the stretch shown. Both in order of time.
	AllEvents, Events []EventRow
}

// SideTag names a side.
type SideTag struct {
	Name   string
	Mark   Shape
	Colour Colour // legible on Slate
}

// LegendRow explains one way of drawing. Exactly one of Ramp, Line.Width and Shape says what its swatch is.
type LegendRow struct {
	Words string
	Ramp  []Colour // shades from slow to fast; RampEnd names the last one's end
	Line  Pen
	Shape Shape
	Fill  Colour
	Pen   Pen
}

// furnish makes all furniture but what changes with time.
func (b *Builder) furnish() {
	header := &b.index.Record.Header
	focus := b.focus()
	f := Furniture{Title: b.title(focus), Subtitle: b.subtitle(focus), Units: b.in.Units}
	rows := b.in.Focus
	if rows >= len(b.robots) {
		rows = -1
	}
	f.AllEvents = b.newRows(rows)
	if !b.in.Show.Has(Contacts) {
		f.AllEvents = withoutKind(f.AllEvents, true)
	}
	if !b.in.Show.Has(Events) {
		f.AllEvents = withoutKind(f.AllEvents, false)
	}
	for i, name := range b.index.Record.Sheet.Sides {
		own := b.side(i)
		f.Sides = append(f.Sides, SideTag{name, shapeOr(own.mark), own.text})
	}
	b.scene.Furniture = f
	if b.in.Show.Has(Legend) {
		b.scene.Furniture.Legend = b.legend(focus, len(header.Robots))
	}
}

// withoutKind keeps the rows that are contacts, or those that are not.
func withoutKind(rows []EventRow, contacts bool) []EventRow {
	var kept []EventRow
	for _, row := range rows {
		if (row.Kind == record.Contact) != contacts {
			kept = append(kept, row)
		}
	}
	return kept
}

// title is the routine's on the field's.
func (b *Builder) title(focus int) string {
	header := &b.index.Record.Header
	field := firstOf(b.in.Field.Title, header.Field.Title, b.in.Field.Name, header.Field.Name, "field")
	if focus < 0 {
		return field
	}
	routine := header.Robots[focus].Routine
	name := firstOf(routine.Title, routine.Name)
	if name == "" {
		return field
	}
	return name + " on " + field
}

func firstOf(texts ...string) string {
	for _, text := range texts {
		if text != "" {
			return text
		}
	}
	return ""
}

// subtitle says what else determined the record.
func (b *Builder) subtitle(focus int) string {
	header := &b.index.Record.Header
	if b.in.Record == nil && len(b.in.Field.Floor) >= 3 {
		if b.in.Units != units.Metric {
			return "numbers at the edges in inches"
		}
		return "numbers at the edges in mm, as routines write them"
	}
	var parts []string
	if focus >= 0 {
		robot := header.Robots[focus]
		parts = append(parts, "robot "+firstOf(robot.File.Title, robot.File.Name, strconv.Itoa(focus+1)))
		if robot.Side >= 0 && robot.Side < len(b.sides) {
			parts = append(parts, "side "+b.sides[robot.Side].name)
		}
	}
	if header.Session != "" {
		parts = append(parts, "session "+header.Session)
	}
	if b.in.Record != nil {
		if header.Nominal {
			parts = append(parts, fmt.Sprintf("nominal, seed %d", header.Seed))
		} else {
			parts = append(parts, fmt.Sprintf("seed %d", header.Seed))
		}
	}
	for _, p := range header.Params {
		parts = append(parts, p.Name+" = "+p.Words())
	}
	return strings.Join(parts, ", ")
}

// furnishTime says which moment is shown.
func (b *Builder) furnishTime() {
	words := make([]byte, 0, 64)
	switch end := b.index.End(); {
	case len(b.index.Record.Samples) == 0 && b.in.Record == nil:
		words = append(words, "as laid out"...)
	case len(b.index.Record.Samples) == 0:
		words = append(words, "nothing was recorded: as laid out"...)
	case b.in.Whole:
		words = strconv.AppendFloat(append(words, "whole run, "...), end, 'f', 2, 64)
		words = append(words, " s"...)
	default:
		words = strconv.AppendFloat(words, b.in.T, 'f', 2, 64)
		words = strconv.AppendFloat(append(words, " s of "...), end, 'f', 2, 64)
		words = append(words, " s"...)
		if phase := b.phase(); phase != "" {
			words = append(append(words, ", "...), phase...)
		}
	}
	b.scene.Furniture.Time = string(words)
}

// furnishScore gives the score sheet at the end of the record and the running score before it.
func (b *Builder) furnishScore() {
	f, rec := &b.scene.Furniture, b.index.Record
	f.Scored, f.Running = nil, ""
	if !b.in.Show.Has(ScoreBox) {
		return
	}
	if b.in.T >= b.index.End() {
		if len(rec.Sheet.Sides) > 0 {
			f.Scored = rec
		}
		return
	}
	if len(rec.Samples) > 0 {
		f.Running = "nothing yet"
	}
	for i := range rec.Events {
		if e := &rec.Events[i]; e.Kind == record.ScoreChange && e.T <= b.in.T {
			f.Running = e.Totals.String()
		}
	}
}

// Score is the score at the time shown, in a line: "ochre 4, teal 2".
func (f *Furniture) Score() string {
	if f.Scored != nil {
		return f.Scored.Sheet.Totals().String()
	}
	return f.Running
}

// phase is the name of the phase at the time shown.
func (b *Builder) phase() string {
	name := ""
	for _, p := range b.index.Record.Header.Phases {
		if b.in.T >= p.Start {
			name = p.Name
		}
	}
	return name
}
