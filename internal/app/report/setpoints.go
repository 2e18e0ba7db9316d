package report

import (
	"chalkfield/internal/base/geom"
	"fmt"
	"path/filepath"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
)

// AddSetpoints adds to a rehearsal's document what its plan came to as a table, and what the table cannot carry.
func (d *Document) AddSetpoints(t *setpoints.Table, path string) {
	d.Sections = append(d.Sections, planSections(t, filepath.Base(path))...)
	d.with(func(a *Account) { a.Setpoints = &t.Head })
}

// AddBesideSetpoints adds how the real robot kept to a table, by its log.
func (d *Document) AddBesideSetpoints(plan *record.Record, name string, p *alongside.Pair) {
	d.Sections = append(d.Sections, Section{Title: "The log " + p.Log + " beside the setpoints of " + name,
		Lines: Beside(d.In, "The real robot", p.Trace, plan)})
}

// Setpoints tells what a table of setpoints is.
func Setpoints(in units.System, t *setpoints.Table, name string) *Document {
	m := t.Made
	how := fmt.Sprintf("seed %d", m.Seed)
	if m.Nominal {
		how = "nominal"
	}
	d := &Document{In: in, Title: "Setpoints " + name, Data: t.Head, Head: []string{
		fmt.Sprintf("A table of setpoints: the plan of %s with the robot %s on %s (%s), %s, by %s.", m.Routine, m.Robot,
			m.Field, m.Session, how, m.Simulator)}}
	d.Sections = planSections(t, name)
	steps := &Table{Columns: heads("#step", "#from s", "motion", "at")}
	for i, s := range t.Steps {
		if from, is := t.Begins(i); is && i > 0 {
			steps.Add(fmt.Sprint(i), fmt.Sprintf("%.2f", from), s.Motion+" "+in.Retold(s.Words), s.At)
		}
	}
	files := &Table{Look: Plain, Columns: heads("of", "name", "sha")}
	for _, f := range m.Files {
		files.Add(f.Of, f.Name, f.SHA256)
	}
	d.Sections = append(d.Sections, Section{Title: "Steps", Table: steps}, Section{Title: "Made from", Table: files})
	return d
}

func planSections(t *setpoints.Table, name string) []Section {
	commands := 0
	waits := map[int]bool{}
	for i := range t.Rows {
		commands += len(t.Rows[i].Do)
		if w := t.Rows[i].Waits; w != 0 {
			waits[w] = true
		}
	}
	s := Section{Title: "Setpoints in " + name, Lines: []string{fmt.Sprintf("%s over %.2f s, one every %g ms: %s, %s.",
		units.Counted(len(t.Rows), "row"), t.Seconds(), t.Period*1000, units.Counted(len(t.Steps)-1, "motion"),
		units.Counted(commands, "command"))}}
	if len(waits) > 0 {
		s.Lines = append(s.Lines, fmt.Sprintf("Rows at which the routine waited for what a sensor tells are marked, with "+
			"the line of %s: the table goes on by time.", units.Counted(len(waits), "condition")))
	}
	open := Section{Title: "What the table cannot carry"}
	switch {
	case t.Made.Program:
		open.Lines = []string{"It was made from a program, whose decisions are not known here. The table has what came of " +
			"them in this one rehearsal: look where the program asks its sensors."}
		return []Section{s, open}
	case len(t.Open) == 0:
		s.Lines = append(s.Lines, "As far as its text shows, nothing in the routine hangs on a sensor.")
		return []Section{s}
	}
	open.Lines = []string{"These hang on what the robot senses, as far as the text shows. The table has what came of " +
		"them in this one rehearsal: look at each, and write it into the robot's program."}
	open.Table = &Table{Look: Plain, Columns: heads("where", "what", "text")}
	for _, d := range t.Open {
		open.Table.Add(fmt.Sprintf("%s:%d", d.File, d.Line), decisionWords[d.What], d.Text)
	}
	return []Section{s, open}
}

// decisionWords say what hangs on a reading.
var decisionWords = map[string]string{
	scripting.Branch: "branch", scripting.Loop: "loop", scripting.Wait: "wait until", scripting.Number: "given a reading",
}

// Beside says how a run's first robot keeps to another way by the same clock, such as a table of setpoints: where it
// leaves that by more than the usual limits for a tenth of a second, where it is farthest, and how far at its end.
func Beside(in units.System, who string, run, way *record.Record) []string {
	gaps := alongside.Gaps(run, way)
	if len(gaps) == 0 {
		return []string{who + " is nowhere at the table's times."}
	}
	limits := alongside.Usual
	farthest, end := gaps[0], gaps[len(gaps)-1]
	for _, g := range gaps {
		if g.Place > farthest.Place {
			farthest = g
		}
	}
	line := in.Sprintf("%s keeps to it within %.0f mm and %.0f deg.", who, limits.Place, geom.Degrees(limits.Heading))
	if first := limits.Departs(gaps); first >= 0 {
		line = in.Sprintf("%s departs from it by more than %.0f mm or %.0f deg at %.2f s: %s.", who, limits.Place,
			geom.Degrees(limits.Heading), gaps[first].T, gapWords(in, gaps[first], false))
	}
	return []string{line, "Farthest: " + gapWords(in, farthest, true) + fmt.Sprintf("; at its end (%.2f s): ", end.T) +
		gapWords(in, end, false) + "."}
}
