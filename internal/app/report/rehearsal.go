package report

import (
	"chalkfield/internal/base/geom"
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Rehearsal tells what a record says: timeline, where each second and each joule went, score sheet, end pose and belief
// error. marks are the numbers by which a picture calls events, by their index; nil for none.
func Rehearsal(in units.System, r *record.Record, marks map[int]int) (*Document, error) {
	s, err := Summarise(r)
	if err != nil {
		return nil, err
	}
	d := &Document{In: in, Data: &Account{Summary: s}, Foot: "fingerprint " + s.Fingerprint,
		Inputs: inputsOfRun(&r.Header, s.Fingerprint)}
	d.head(r, s)
	d.Sections = append(d.Sections, timeline(in, r, marks))
	for i := range s.Robots {
		d.Sections = append(d.Sections, TimeSpent(r, i))
	}
	d.Sections = append(d.Sections, ScoreSheet(in, r))
	for i := range s.Sheet.Energy {
		d.Sections = append(d.Sections, EnergySpent(r, i))
	}
	d.Sections = append(d.Sections, Section{Title: "End pose", Lines: s.ends(in)})
	return d, nil
}

// Account is what is told of a rehearsal for machines (`run --json`), with what was asked for beside it.
type Account struct {
	Summary
	Log       *alongside.Pair `json:"log,omitempty"`
	Setpoints *setpoints.Head `json:"setpoints,omitempty"`
	Variables *Moment         `json:"variables,omitempty"`
	Lines     []Line          `json:"lines,omitempty"`
}

// with adds to the account of a rehearsal.
func (d *Document) with(add func(*Account)) {
	if a, is := d.Data.(*Account); is {
		add(a)
	}
}

func (d *Document) head(r *record.Record, s Summary) {
	own, drawn := s.Robots[0], fmt.Sprintf("seed %d", s.Seed)
	if s.Nominal {
		drawn = "nominal: nothing drawn"
	}
	d.Head = []string{fmt.Sprintf("%s, %s, %.0f s, %s", s.Field, s.Session, s.Seconds, drawn)}
	for _, robot := range s.Robots {
		routine := "without a routine"
		if robot.Routine != "" {
			routine = fmt.Sprintf("with %q", robot.Routine)
		}
		d.Head = append(d.Head, fmt.Sprintf("%s: %s %s", robot.Side, robot.Robot, routine))
	}
	d.Title, d.Big = own.Routine, units.Counted(s.Sheet.Total[r.Header.Robots[0].Side], "point")
	if own.Failed != "" {
		d.Big, d.Bad = "The routine failed: "+own.Failed, true
	}
}

// timeline tells the events, each in a sentence and where in its file it came about.
func timeline(in units.System, r *record.Record, marks map[int]int) Section {
	t := &Table{Look: Plain, Columns: heads("#when", "what", "where")}
	t.Columns[0].Width = len("  0.00 s")
	for i, e := range r.Events {
		if !e.Kind.Is(record.Timeline) {
			continue
		}
		row := t.Add(fmt.Sprintf("%.2f s", e.T), r.Header.Told(e, in), e.Place())
		if n := marks[i]; n > 0 {
			row.Mark = fmt.Sprint(n)
		}
		for _, line := range lines(e.Sentence(in))[1:] {
			row.More = append(row.More, "  "+line)
		}
	}
	return Section{Title: "Timeline", Table: t, Note: "Numbers as on the picture."}
}

// of is " (Hauler 2)" where there are several robots.
func of(header *record.Header, robot int) string {
	if len(header.Robots) < 2 {
		return ""
	}
	return fmt.Sprintf(" (%s)", header.RobotName(robot))
}

// barSigns is how long a whole bar is in a terminal.
const barSigns = 30

// part is one of those into which a whole is divided.
type part struct {
	name   string
	amount float64
}

// spent is a table of parts with their bars, each amount in a form. Less than the least is no row.
func spent(what, form string, whole, least float64, parts []part) *Table {
	t := &Table{Look: Plain, Columns: heads(what, "#", "")}
	t.Columns[2].Width = barSigns
	for _, p := range parts {
		t.Columns[0].Width = max(t.Columns[0].Width, len(p.name))
		if math.Abs(p.amount) >= least {
			words := fmt.Sprintf(form, p.amount)
			row := t.Add(p.name, words)
			row.Cells = append(row.Cells, bar("", strings.TrimSpace(words), p.amount/whole))
		}
	}
	return t
}

// TimeSpent says what a robot's time went into. The record needs at least one sample.
func TimeSpent(r *record.Record, robot int) Section {
	var parts []part
	for _, share := range shares(r, robot) {
		parts = append(parts, part{string(share.Doing), share.Seconds})
	}
	const least = 1e-9 // s
	return Section{Title: "Where the time went" + of(&r.Header, robot),
		Table: spent("doing", "%6.2f s", r.Samples[len(r.Samples)-1].T, least, parts)}
}

// EnergySpent says where a robot's energy went. A record of before this was booked has none.
func EnergySpent(r *record.Record, robot int) Section {
	e := r.Sheet.Energy[robot]
	const least = 0.05 // J
	return Section{Title: "Where the energy went",
		Lead: fmt.Sprintf("%.1f J from the battery%s", e.Taken, of(&r.Header, robot)),
		Table: spent("what", "%7.1f J", e.Taken, least, []part{
			{"battery's resistance", e.Battery},
			{"heat of the motors", e.Motors},
			{"gears and bearings", e.Gears},
			{"rolling resistance", e.Rolling},
			{"slip of the tyres", e.Slip},
			{"mechanisms", e.Mechanisms},
			{"against walls", e.Walls},
			{"moved: pushed, hauled", e.Pushed},
			{"still in motion", e.Kinetic},
		})}
}

// ScoreSheet has a column a side, and below who is ahead and what each robot has left.
func ScoreSheet(in units.System, r *record.Record) Section {
	sheet := &r.Sheet
	t := &Table{Columns: heads("rule")}
	for _, name := range sheet.Sides {
		t.Columns = append(t.Columns, Column{Name: name, Number: true})
	}
	for _, row := range sheet.Rows {
		t.Add(append([]string{row.Rule}, row.Cells(len(sheet.Sides))...)...)
	}
	t.Add(append([]string{"total"}, sheet.Points()...)...).Total = true
	out := Section{Title: "Score sheet", Table: t}
	if ahead := sheet.Ahead(); ahead != "" {
		out.Below = append(out.Below, ahead)
	}
	for i, left := range sheet.Left[:min(len(sheet.Left), len(r.Header.Robots))] {
		out.Below = append(out.Below, fmt.Sprintf("%s has left: %s", r.Header.RobotName(i), left.In(in)))
	}
	return out
}

// ends says where each robot ended, and where it believed that.
func (s *Summary) ends(in units.System) []string {
	var out []string
	for _, r := range s.Robots {
		off := math.Round(10*geom.Degrees(r.HeadingError))/10 + 0 // no minus before zero
		out = append(out, in.Sprintf("%s: true %s, belief %s, off by %.0f mm and %.1f deg", r.Robot, r.End.In(in),
			r.Belief.In(in), r.BeliefError, off))
	}
	return out
}
