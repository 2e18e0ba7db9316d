package analysis

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// Model is the caution that stands below everything that rehearsals suggest to do with a real robot.
const Model = "A rehearsal is a model. First runs of a changed routine on the real robot: at low speed, on blocks or " +
	"with the field clear, a person at the\n" +
	"disable switch, eye protection on, air released before hands go in. The event's rules and the people in charge of " +
	"the site decide."

const barWidth = 40

// Text writes what trials tell for a person.
func (t Trials) Text(w io.Writer) error {
	out := &strings.Builder{}
	t.writeTitle(out)
	t.writeScore(out)
	t.writeRules(out)
	t.writeSteps(out)
	writeFailures(out, "Routine errors", t.Errors)
	t.writeGroups(out)
	t.writeCauses(out)
	t.writeWorst(out)
	fmt.Fprintf(out, "\n%s\n", Model)
	_, err := io.WriteString(w, out.String())
	return err
}

func (t Trials) writeTitle(out *strings.Builder) {
	fmt.Fprintf(out, "%s: %s on %s, %s, for %s, seeds from %d\n", t.Name, units.Counted(t.Have, "rehearsal"), t.Field,
		t.Session, t.Side, t.Seed)
	if t.Shard != results.Whole {
		fmt.Fprintf(out, "Part %d of %d: merge the parts for the whole result.\n", t.Shard.Number, t.Shard.Of)
	}
	writeNotes(out, t.Notes)
	if t.Have < t.Count {
		fmt.Fprintf(out, "Not finished: %d of %d are done.\n", t.Have, t.Count)
	}
}

// writeNotes writes a sentence a line.
func writeNotes(out *strings.Builder, notes []string) {
	for _, note := range notes {
		fmt.Fprintf(out, "%s.\n", note)
	}
}

func (t Trials) writeScore(out *strings.Builder) {
	s := t.Score
	fmt.Fprintf(out, "\nScore: %s %.6g, mean %.2f, half of them %s, least %.6g, most %.6g\n", t.planWord(), t.Plan,
		s.Mean, fromTo(s.Q1, s.Q3), s.Least, s.Most)
	most := 0
	for _, b := range t.Bins {
		most = max(most, b.Count)
	}
	for _, b := range t.Bins {
		if b.Count == 0 {
			continue
		}
		bar := strings.Repeat("#", int(math.Ceil(barWidth*float64(b.Count)/float64(most))))
		fmt.Fprintf(out, "  %s  %5d  %s\n", binLabel(b, t.Bins), b.Count, bar)
	}
	fmt.Fprintf(out, "\nGood (%s): %s, %d of %d\n", t.GoodMeans(), t.Good, t.Good.Hits, t.Good.Of)
	fmt.Fprintf(out, "Ahead at the end: %s\n", t.Ahead)
	fmt.Fprintf(out, "Routine came to its end: %s\n", t.Done)
	if t.Failed > 0 {
		fmt.Fprintf(out, "Routine failed with an error: %d of %d; none of these counts as good\n", t.Failed, t.Have)
	}
	fmt.Fprintf(out, "Belief off at the end: median %.0f mm, 95 %% below %.0f mm\n", 1000*t.BeliefOff.Median,
		1000*t.BeliefOff.P95)
}

// GoodMeans says what counts as good: "14 points or more, as planned".
func (t Trials) GoodMeans() string {
	words := units.Counted(t.Need, "point") + " or more"
	if t.Need == t.Plan && t.PlanFails == "" {
		words += ", as planned"
	}
	if t.Failed > 0 {
		words += ", without an error"
	}
	return words
}

// planWord is what the nominal rehearsal is called: one that fails with an error is no plan.
func (t Trials) planWord() string {
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

// binLabel is "14" for a bin of one whole point, else "10 to 15".
func binLabel(b stats.Bin, all []stats.Bin) string {
	width, label := 0, ""
	for _, one := range all {
		text := fmt.Sprintf("%.6g", one.From)
		if one.To-one.From != 1 {
			text = fmt.Sprintf("%.6g to %.6g", one.From, one.To)
		}
		width = max(width, len(text))
		if one == b {
			label = text
		}
	}
	return fmt.Sprintf("%*s", width, label)
}

func (t Trials) writeRules(out *strings.Builder) {
	if len(t.Rules) == 0 {
		return
	}
	out.WriteString("\nRules\n")
	table := newTable(out)
	better := "as planned or better"
	if t.PlanFails != "" {
		better = "as nominal or better"
	}
	fmt.Fprintf(table, "  rule\t%s\t%s\tmean points\n", t.planWord(), better)
	for _, r := range t.Rules {
		fmt.Fprintf(table, "  %s\t%.6g\t%s\t%.2f\n", r.Name, r.Plan, r.Kept, r.Points.Mean)
	}
	table.Flush()
}

func (t Trials) writeSteps(out *strings.Builder) {
	if len(t.Steps) == 0 {
		return
	}
	if t.PlanFails == "" {
		out.WriteString("\nSteps of the plan\n")
	} else {
		out.WriteString("\nSteps of the nominal rehearsal, up to its error\n")
	}
	table := newTable(out)
	fmt.Fprintf(table, "  step\tline\t%s\treached\tmedian\t5 %% to 95 %%\n", t.planWord())
	for _, s := range t.Steps {
		times := "-\t-"
		if s.T.N > 0 {
			times = fmt.Sprintf("%.2f s\t%.2f to %.2f s", s.T.Median, s.T.P5, s.T.P95)
		}
		fmt.Fprintf(table, "  %s\t%s\t%.2f s\t%.1f %%\t%s\n", s.Words, lineWord(s.Line), s.Plan, 100*s.Reached.Portion(),
			times)
	}
	table.Flush()
}

func lineWord(line int) string {
	if line == 0 {
		return "-"
	}
	return fmt.Sprint(line)
}

const groupsListed = 8

func (t Trials) writeGroups(out *strings.Builder) {
	if len(t.Groups) == 0 {
		fmt.Fprintf(out, "\nEvery rehearsal was good.\n")
		return
	}
	fmt.Fprintf(out, "\n%s\n", t.GroupsTitle())
	for _, g := range t.Groups[:min(groupsListed, len(t.Groups))] {
		fmt.Fprintf(out, "  %4d  %s; median %.2f s, mean score %.1f", g.Count, g.What(), g.T.Median, g.Score)
		if g.Good > 0 {
			fmt.Fprintf(out, "; %s", g.GoodWords())
		}
		out.WriteString("\n")
		if g.Goes != "" {
			fmt.Fprintf(out, "        %s\n", g.Goes)
		}
		fmt.Fprintf(out, "        see one: %s\n", g.Open)
	}
	if more := len(t.Groups) - groupsListed; more > 0 {
		rest := 0
		for _, g := range t.Groups[groupsListed:] {
			rest += g.Count
		}
		fmt.Fprintf(out, "  %4d  in %s\n", rest, units.Counted(more, "smaller group"))
	}
}

// GroupsTitle stands above the groups of those that were not good.
func (t Trials) GroupsTitle() string {
	bad := fmt.Sprintf("the %d that were", t.Good.Of-t.Good.Hits)
	if t.Good.Of-t.Good.Hits == 1 {
		bad = "the one that was"
	}
	if t.PlanFails != "" {
		return "What first went wrong in " + bad + " not good"
	}
	return "Where " + bad + " not good first left the plan"
}

func (t Trials) writeCauses(out *strings.Builder) {
	out.WriteString("\nWhat the score goes with, among all that is drawn from the spread\n")
	fmt.Fprintf(out, "  %s\n", t.CausesMeans())
	for _, c := range t.Causes {
		fmt.Fprintf(out, "  %+.2f  %s\n", c.Rho, c.Sentence)
	}
}

// CausesMeans says how the causes were found, or why there are none.
func (t Trials) CausesMeans() string {
	switch {
	case t.Have < fewest:
		return fmt.Sprintf("fewer than %d rehearsals: too few to say", fewest)
	case t.Score.Least == t.Score.Most:
		return "every rehearsal has the same score: there is nothing to explain"
	case len(t.Causes) == 0:
		return "nothing beyond chance: no single quantity explains the score"
	}
	return "rank correlation (Spearman), 5 % chance of even one false alarm among all (Holm); it shows what goes " +
		"together, not what causes what"
}

func (t Trials) writeWorst(out *strings.Builder) {
	if len(t.Worst) == 0 {
		return
	}
	out.WriteString("\nWorst\n")
	for _, s := range t.Worst {
		fmt.Fprintf(out, "  %s, %s, %.2f s\n      %s\n", units.Counted(s.Score, "point"), s.Words, s.T, s.Open)
	}
}

func newTable(out io.Writer) *wording.Table { return wording.NewTable(out, 3) }
