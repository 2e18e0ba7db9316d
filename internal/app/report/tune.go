package report

import (
	"fmt"
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
	if better := t.Unfinished(); len(better) > 0 {
		list = append(list, "The search has not come to its end: the winner with "+strings.Join(better, ", or with ")+
			" is better still; give it more rehearsals (-n)")
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
	table := &Table{Columns: heads("", "#today", "#runner-up", "#winner", "about the winner")}
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
	table.Add(t.For, t.worth(t.Today.Worth), next, t.worth(t.Winner.Worth), "").Total = true
	out := Section{Title: "Values", Table: table,
		Below: []string{"See the winner: `" + t.Winner.Open + "`", "See today's: `" + t.Today.Open + "`"}}
	if t.OverNext != nil && !t.Nominal {
		out.Below = append(out.Below, fmt.Sprintf("The winner against the runner-up: %s (95 %%: %s to %s), %s.",
			t.shown(t.OverNext.Mean), t.shown(t.OverNext.Interval.Low), t.shown(t.OverNext.Interval.High),
			map[bool]string{true: "beyond chance", false: "no difference that could be shown"}[t.OverNext.Real]))
	}
	return out
}

func (t *tuned) shown(value float64) string { return results.Shown(t.in, value, t.Unit) }

// worth is a value of the goal with what keeps it from counting.
func (t *tuned) worth(w results.Worth) string {
	words := t.shown(w.Value)
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
	table := &Table{Columns: heads("", "#value", "#"+t.For, "#against the winner", "#p")}
	for _, f := range t.Freedoms {
		name := f.Name
		for _, p := range f.Points {
			cells := []string{name, p.Words, t.worth(p.Worth), t.shown(p.Change), chance(p.P)}
			switch {
			case p.Own:
				cells[3], cells[4] = "winner", ""
			case t.Nominal:
				cells[3], cells[4] = t.shown(p.Change), ""
			}
			table.Add(cells...)
			name = ""
		}
	}
	return Section{Title: "How flat it is: each alone about the winner", Table: table}
}

// progress is when something better was found.
func (t *tuned) progress() Section {
	names := []string{"#rehearsals", "#" + t.For}
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
	return Section{Title: "The best so far, over the seeds of the search", Table: table, On: OnPage}
}

func (t *tuned) method() string {
	if t.Nominal {
		return "Nothing was drawn: one rehearsal tells all of a candidate."
	}
	return fmt.Sprintf("Winner, runner-up and today's values: %d rehearsals each with seeds that nothing was picked by, "+
		"pair by pair; interval: Student's t,\nbetter: it keeps off 0 and p (sign flips) is below 0.05. About the winner: "+
		"%d rehearsals a point, p corrected for their number (Holm).", t.Confirm, t.Around)
}
