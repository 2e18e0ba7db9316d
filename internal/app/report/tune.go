package report

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

// tuned is a tune that is told.
type tuned struct {
	analysis.Tune
	in units.System
}

// Tune tells what a search found.
func Tune(in units.System, h *results.Header, data analysis.Tune) *Document {
	t := tuned{data, in}
	d := &Document{
		Title: fmt.Sprintf("%s, tuned for %s", t.Name, t.For), Head: t.head(), Notes: t.notes(),
		Sections: []Section{{Lines: []string{in.Retold(t.Verdict)}}, t.values(), t.flat()},
		Foot:     t.method() + "\n\n" + Model, Inputs: inputsOf(h), Data: data, In: in,
	}
	d.Sections = append(d.Sections, errorsAt("Values with which the routine fails; they count as worst", t.Errors, 0)...)
	d.Sections = append(d.Sections, t.progress())
	return d
}

func (t *tuned) head() []string {
	drawn := fmt.Sprintf("seeds from %d", t.Seed)
	if t.Nominal {
		drawn = "nothing drawn"
	}
	wanted := "for: " + t.For
	if t.Aim.Lowered {
		wanted += fmt.Sprintf(" (the less %s, the better)", t.Aim.Of)
	}
	if len(t.Needs) > 0 {
		wanted += "; limits: " + strings.Join(t.Needs, "; ")
	}
	return []string{
		fmt.Sprintf("%s: a search on %s, %s, %s", t.Name, t.Field, t.Session, drawn), wanted,
		fmt.Sprintf("%s tried, begun anew %s, %s in all", units.Counted(t.Candidates, "candidate"),
			units.Counted(t.Restarts, "time"), units.Counted(t.Have, "rehearsal")),
	}
}

func (t *tuned) notes() (list []string) {
	for _, name := range t.NeverRead {
		list = append(list, fmt.Sprintf("%s was never read in any rehearsal: its value can change nothing", name))
	}
	for _, f := range t.Freedoms {
		switch {
		case strings.HasPrefix(f.Reads, "in "):
			list = append(list, fmt.Sprintf("%s is read only %s: in the others the routine went another way, or came not so "+
				"far", f.Name, f.Reads))
		case f.Reads != "":
			list = append(list, fmt.Sprintf("%s is read only %s: elsewhere its value changes nothing", f.Name, f.Reads))
		}
	}
	if t.Moves > 0 {
		list = append(list, fmt.Sprintf("Beside a winner something better showed, and the search went on from there (%s); "+
			"what is told is of seeds that are fresh again", units.Counted(t.Moves, "time")))
	}
	if better := t.Unfinished(); len(better) > 0 {
		list = append(list, "The search has not come to its end: the winner with "+strings.Join(better, ", or with ")+
			" is better still; give it more rehearsals (-n)")
	}
	for _, at := range t.AtLimits() {
		list = append(list, at+": what is beyond was not tried; widen it if it may be more")
	}
	if n := t.Endless; n > 0 {
		list = append(list, fmt.Sprintf("With the %s the routine does not come to its end in %d of %s: the session is over "+
			"before", t.Called(), n, units.Counted(t.Winner.N, "rehearsal")))
	}
	if t.Lacking != "" {
		list = append(list, "In some rehearsals "+t.Lacking+"; those count as worst")
	}
	if t.Failing > 0 {
		list = append(list, fmt.Sprintf("%d of the candidates fail with an error in some rehearsal; they count as worst",
			t.Failing))
	}
	return list
}

// values stand side by side: today's, the runner-up's, the winner's.
func (t *tuned) values() Section {
	table := &Table{Columns: heads("", "#today", "#runner-up", "#"+t.Called(), "about the "+t.Called())}
	for i, f := range t.Freedoms {
		next := "-"
		if t.RunnerUp != nil {
			next = t.RunnerUp.Words[i]
		}
		table.Add(f.Name, f.Now, next, f.Winner, string(f.Matters))
	}
	next := "-"
	if t.RunnerUp != nil {
		next = t.worth(t.RunnerUp.Worth)
	}
	table.Add(t.Aim.Of, t.worth(t.Today.Worth), next, t.worth(t.Winner.Worth), "").Total = true
	out := Section{Title: "Values", Table: table,
		Below: []string{"See the " + t.Called() + ": `" + t.Winner.Open + "`", "See today's: `" + t.Today.Open + "`"}}
	if len(t.Keeps) > 0 {
		out.Below = slices.Insert(out.Below, 0, t.in.Retold("Limits that the "+t.Called()+" keeps: "+
			strings.Join(t.Keeps, "; ")))
	}
	if d := t.OverNext; d != nil && !t.Nominal && d.Pairs > 1 {
		words := fmt.Sprintf("The %s against the runner-up: %s, ", t.Called(), t.Aim.Within(t.in, d))
		switch {
		case d.Real:
			words += "beyond chance."
		case d.Mean < 0:
			words += "which chance may give: either will do."
		default:
			words += "no difference that could be shown."
		}
		if d.Higher+d.Lower == 0 {
			words = fmt.Sprintf("The %s and the runner-up come to the same in all pairs.", t.Called())
		}
		out.Below = append(out.Below, words)
	}
	return out
}

// worth is a value of the goal with what keeps it from counting.
func (t *tuned) worth(w results.Worth) string {
	words := t.Aim.Value(t.in, w.Value)
	if w.Failed >= 1 {
		words = "-"
	}
	if w.Failed > 0 {
		words += fmt.Sprintf(", fails in %.0f %%", 100*w.Failed)
	}
	if w.Short > 0 {
		words += ", misses a limit"
	}
	return words
}

// flat is each freedom alone about the winner.
func (t *tuned) flat() Section {
	table := &Table{Columns: heads("", "#value", "#"+t.Aim.Of, "#against the "+t.Called(), "#p")}
	for _, f := range t.Freedoms {
		name := f.Name
		for _, p := range f.Points {
			cells := []string{name, p.Words, t.worth(p.Worth), t.Aim.Change(t.in, p.Change), chance(p.P)}
			switch {
			case p.Own:
				cells[3], cells[4] = t.Called(), ""
			case p.Worth.Failed > t.Winner.Worth.Failed:
				cells[3], cells[4] = "fails", ""
			case t.Nominal:
				cells[4] = ""
			}
			table.Add(cells...)
			name = ""
		}
	}
	return Section{Title: "How flat it is: each alone about the " + t.Called(), Table: table}
}

// progress is when something better was found.
func (t *tuned) progress() Section {
	names := []string{"#rehearsals", "#" + t.Aim.Of}
	for _, f := range t.Freedoms {
		names = append(names, "#"+f.Name)
	}
	table := &Table{Columns: heads(names...)}
	for _, p := range t.Progress {
		cells := []string{fmt.Sprint(p.Done), t.worth(p.Worth)}
		for i, f := range t.Freedoms {
			cells = append(cells, f.Words(p.Best[i]))
		}
		table.Add(cells...)
	}
	return Section{Title: "The best so far, over the seeds of the search", Table: table, On: OnPage, Note: "The winner " +
		"is none of these, if another was better with the seeds of the final; and what does not matter is today's again."}
}

func (t *tuned) method() string {
	if t.Nominal {
		return "Nothing was drawn: one rehearsal tells all of a candidate."
	}
	text := fmt.Sprintf("Winner, runner-up and today's values: %d rehearsals each with seeds that nothing was picked by, "+
		"pair by pair; interval: Student's t,\nbetter: it keeps off 0 and p (sign flips) is below 0.05. About the winner: "+
		"%d rehearsals a point, p corrected for their number (Holm).", t.Confirm, t.Around)
	if !t.Plain {
		text += "\nThe goal is no mean: its differences are found by leaving out one rehearsal at a time (pseudo-values), " +
			"so they need not be\nthose of the values in the tables."
	}
	return text
}
