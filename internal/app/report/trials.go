package report

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

// tried is trials that are told.
type tried struct {
	analysis.Trials
	in units.System
}

func trials(in units.System, f *results.File) (*Document, error) {
	data, err := analysis.OfTrials(f)
	if err != nil {
		return nil, err
	}
	t := tried{data, in}
	d := &Document{
		Title: t.Name + ": how often it works", Big: fmt.Sprintf("%.0f %%", 100*t.Good.Portion()),
		Head: []string{fmt.Sprintf("%s: %s on %s, %s, for %s, seeds from %d", t.Name, units.Counted(t.Have, "rehearsal"),
			t.Field, t.Session, t.Side, t.Seed)},
		Foot: Model, Inputs: inputsOf(&f.Header), Data: data,
	}
	if t.Shard != results.Whole {
		d.Notes = append(d.Notes, fmt.Sprintf("Part %d of %d: merge the parts for the whole result", t.Shard.Number,
			t.Shard.Of))
	}
	d.Notes = append(d.Notes, t.Notes...)
	d.unfinished(t.Have, t.Count, "")
	if t.PlanFails != "" {
		d.Big, d.Bad = "The routine fails with an error", true
	}
	need := t.Need
	if t.Good.Hits == 0 {
		need = math.Inf(1) // none is good, whatever it scores
	}
	d.Sections = []Section{
		{Title: "Score", Lead: t.scores(), Table: histogram("points", "rehearsal", "%.6g", t.Bins, need)},
		{Lines: t.shares()}, t.rules(), t.steps(f.Header.Seconds),
	}
	if t.Goal != nil {
		d.Sections = slices.Insert(d.Sections, 0, Section{Lines: []string{t.Goal.Sentence(in)}})
	}
	d.Sections = append(d.Sections, errorsAt("Routine errors", t.Errors, 0)...)
	d.Sections = append(d.Sections, groups(t.groupsTitle(), t.Groups, t.Good, 0), t.causes())
	if len(t.Worst) > 0 {
		d.Sections = append(d.Sections, t.worst())
	}
	return d, nil
}

// unfinished notes what is not done yet.
func (d *Document) unfinished(have, due int, what string) {
	if have < due {
		d.Notes = append(d.Notes, fmt.Sprintf("Not finished: %d of %d%s are done", have, due, what))
	}
}

// scores tells of the plan's score and the rehearsals'.
func (t tried) scores() string {
	s := t.Score
	return fmt.Sprintf("%s %.6g, mean %.2f, half of them %s, least %.6g, most %.6g", t.plan(), t.Plan, s.Mean,
		fromTo(s.Q1, s.Q3), s.Least, s.Most)
}

// plan is what the nominal rehearsal is called: one that fails with an error is no plan.
func (t tried) plan() string {
	if t.PlanFails != "" {
		return "nominal"
	}
	return "plan"
}

// fromTo is "10 to 14", or "14" where both are.
func fromTo(low, high float64) string {
	if low == high {
		return fmt.Sprintf("%.6g", low)
	}
	return fmt.Sprintf("%.6g to %.6g", low, high)
}

// shares says how often what matters came about.
func (t tried) shares() []string {
	out := []string{
		fmt.Sprintf("Good (%s): %s, %d of %d", t.goodMeans(), t.Good, t.Good.Hits, t.Good.Of),
		fmt.Sprintf("Ahead at the end: %s", t.Ahead), fmt.Sprintf("Routine came to its end: %s", t.Done),
	}
	if t.Tips.Hits > 0 {
		out = append(out, fmt.Sprintf("Tips in %.3g %% of the rehearsals (%d of %d)", 100*t.Tips.Portion(), t.Tips.Hits,
			t.Tips.Of))
	}
	if t.Failed > 0 {
		out = append(out, fmt.Sprintf("Routine failed with an error: %d of %d; none of these counts as good", t.Failed,
			t.Have))
	}
	return append(out, t.in.Sprintf("Belief off at the end: median %.0f mm, 95 %% below %.0f mm", t.BeliefOff.Median,
		t.BeliefOff.P95))
}

// goodMeans says what counts as good: "14 points or more, as planned".
func (t tried) goodMeans() string {
	words := units.Counted(t.Need, "point") + " or more"
	if t.Need == t.Plan && t.PlanFails == "" {
		words += ", as planned"
	}
	if t.Failed > 0 {
		words += ", without an error"
	}
	return words
}

func (t tried) rules() Section {
	out := Section{Title: "Rules", Note: "How often each rule counts at least what it counts in the plan, with its 95 % " +
		"Wilson interval."}
	if len(t.Rules) == 0 {
		out.On, out.Note = OnPage, "No rule counted in the plan or in any rehearsal."
		return out
	}
	better := "as planned or better"
	if t.PlanFails != "" {
		better = "as nominal or better"
	}
	out.Table = &Table{Columns: heads("rule", "#"+t.plan(), "#"+better, "#mean points")}
	for _, r := range t.Rules {
		out.Table.Add(r.Name, fmt.Sprintf("%.6g", r.Plan), r.Kept.String(), fmt.Sprintf("%.2f", r.Points.Mean))
	}
	return out
}

func (t tried) steps(seconds float64) Section {
	out := Section{Title: "Steps of the plan", Note: trackNote(seconds, "")}
	if t.PlanFails != "" {
		out.Title = "Steps of the nominal rehearsal, up to its error"
	}
	if len(t.Steps) == 0 {
		out.On, out.Note = OnPage, "The plan picks nothing up, clamps nothing and scores nothing."
		return out
	}
	out.Table = &Table{Columns: heads("step", "#line", "#"+t.plan(), "#reached", "#median", "5 % to 95 %")}
	for _, s := range t.Steps {
		line, times := "-", "-"
		if s.Line != 0 {
			line = fmt.Sprint(s.Line)
		}
		if s.T.N > 0 {
			times = fromTo95(s.T)
		}
		row := out.Table.Add(s.Words, line, fmt.Sprintf("%.2f s", s.Plan), fmt.Sprintf("%.1f %%", 100*s.Reached.Portion()),
			medianWords(s.T), times)
		row.Cells[5].Tracks = []Track{timeTrack(s.T, s.Plan, seconds)}
	}
	return out
}

// groupsTitle stands above the groups of those that were not good.
func (t tried) groupsTitle() string {
	bad := fmt.Sprintf("the %d that were", t.Good.Of-t.Good.Hits)
	if t.Good.Of-t.Good.Hits == 1 {
		bad = "the one that was"
	}
	if t.PlanFails != "" {
		return "What first went wrong in " + bad + " not good"
	}
	return "Where " + bad + " not good first left the plan"
}

func (t tried) causes() Section {
	out := Section{Title: "What the score goes with, among all that is drawn from the spread",
		Lines: []string{t.causesMean()}}
	if len(t.Causes) == 0 {
		return out
	}
	out.Table = &Table{Look: Plain, Columns: heads("#rank correlation", "", "in words")}
	out.Table.Columns[1].On = OnPage
	for _, c := range t.Causes {
		words := fmt.Sprintf("%+.2f", c.Rho)
		out.Table.Add(words, "", c.Sentence).Cells[1].Tracks = []Track{{Label: "rank correlation " + words,
			Bars: []Bar{{From: 0.5 + min(0, c.Rho/2), Width: math.Abs(c.Rho / 2)}}, Ticks: []float64{0.5}}}
	}
	return out
}

// causesMean says how the causes were found, or why there are none.
func (t tried) causesMean() string {
	switch {
	case t.Have < analysis.Fewest:
		return fmt.Sprintf("fewer than %d rehearsals: too few to say", analysis.Fewest)
	case t.Score.Least == t.Score.Most:
		return "every rehearsal has the same score: there is nothing to explain"
	case len(t.Causes) == 0:
		return "nothing beyond chance: no single quantity explains the score"
	}
	return "rank correlation (Spearman), 5 % chance of even one false alarm among all (Holm); it shows what goes " +
		"together, not what causes what"
}

func (t tried) worst() Section {
	list := newList("what", "#at")
	list.Columns[0].Name = "score"
	for _, s := range t.Worst {
		list.Add(units.Counted(s.Score, "point"), s.Words, fmt.Sprintf("%.2f s", s.T)).see("see it", s.Open,
			Trial{0, s.Seed})
	}
	return Section{Title: "Worst", Table: list}
}
