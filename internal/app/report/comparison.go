package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

// method says how a difference is judged.
const method = "Interval: Student's t of the paired differences. p: share of sign flips of the differences " +
	"that go at least as far (Fisher); rules corrected\n" +
	"for their number (Holm). Real: the interval keeps off 0 and p is below 0.05."

func comparison(f *results.File) (*Document, error) {
	c, err := analysis.OfCompare(f)
	if err != nil {
		return nil, err
	}
	d := &Document{
		Title: fmt.Sprintf("%s against %s", c.A, c.B),
		Head: []string{"a: " + c.A, "b: " + c.B, fmt.Sprintf("%s on %s, %s, each pair with the same seed, from %d",
			units.Counted(c.Pairs, "pair"), c.Field, c.Session, c.Seed)},
		Foot: method + "\n\n" + Model, Inputs: inputsOf(&f.Header), Data: c,
	}
	d.unfinished(c.Pairs, c.Count, " pairs")
	d.Notes = append(d.Notes, c.Notes...)
	d.Sections = []Section{{Lines: []string{c.Score.Sentence}}, differences(c),
		{Lines: []string{goodOfBoth(c), "Last piece scored: " + c.Last.Sentence, "Routine's end: " + c.Done.Sentence}}}
	if c.Goal != nil {
		d.Sections[0].Lines = goalAndScore(c)
	}
	d.Sections = append(d.Sections, ofEach(f, c)...)
	d.Sections = append(d.Sections, errorsAt("Routine errors of a", c.ErrorsA, 0)...)
	d.Sections = append(d.Sections, errorsAt("Routine errors of b", c.ErrorsB, 1)...)
	if len(c.Seeds) > 0 {
		d.Sections = append(d.Sections, farthest(c))
	}
	return d, nil
}

// goalAndScore tells the difference by a goal, then that in score if it is another.
func goalAndScore(c analysis.Compare) []string {
	what := c.Goal.What
	if c.Lowered {
		what += " (the less, the better)"
	}
	lines := []string{what + ": " + c.Goal.Sentence}
	if c.Goal.What != c.Score.What {
		lines = append(lines, "Score: "+c.Score.Sentence)
	}
	return lines
}

// goodOfBoth says how often each was good.
func goodOfBoth(c analysis.Compare) string {
	means := units.Counted(c.Need, "point") + " or more"
	if len(c.ErrorsA)+len(c.ErrorsB) > 0 {
		means += ", without an error"
	}
	return fmt.Sprintf("Good (%s): a %s, b %s", means, c.GoodA, c.GoodB)
}

// differences draws each difference with its interval about 0, each on its own scale.
func differences(c analysis.Compare) Section {
	t := &Table{Columns: heads("", "#a", "#b", "#b - a", "95 %", "#p", "b higher, lower in", "beyond chance?")}
	t.Columns[7].On = OnPage
	list := append([]analysis.Diff{c.Score, c.Last, c.Done}, c.Rules...)
	if c.Goal != nil && c.Goal.What != c.Score.What {
		list = slices.Insert(list, 0, *c.Goal)
	}
	for _, d := range list {
		if d.Pairs < 2 {
			t.Add(d.What, "-", "-", "-", "-", "-", units.Counted(d.Pairs, "pair")+" only", "")
			continue
		}
		verdict := "not shown"
		if d.Real {
			verdict = "yes"
		}
		t.Add(d.What, fmt.Sprintf("%.2f", d.A), fmt.Sprintf("%.2f", d.B), fmt.Sprintf("%+.2f", d.Mean),
			fmt.Sprintf("%+.2f to %+.2f", d.Interval.Low, d.Interval.High), chance(d.P),
			fmt.Sprintf("%d, %d of %d", d.Higher, d.Lower, d.Pairs), verdict).Cells[4].Tracks = []Track{interval(d)}
	}
	return Section{Title: "Differences, b minus a", Table: t,
		Note: "Line: the mean; band: its 95 % interval; dashed: no difference. " + method}
}

// chance is a p-value: "0.013", "< 0.001".
func chance(p float64) string {
	if p < 0.001 {
		return "< 0.001"
	}
	return fmt.Sprintf("%.3f", p)
}

func interval(d analysis.Diff) Track {
	reach := 2.5 * math.Max(math.Abs(d.Interval.Low), math.Abs(d.Interval.High))
	if reach == 0 {
		reach = 1
	}
	return Track{
		Label: fmt.Sprintf("mean %+.2f, 95 %% from %+.2f to %+.2f", d.Mean, d.Interval.Low, d.Interval.High),
		Bars:  []Bar{{Class: "range", From: 0.5 + d.Interval.Low/reach, Width: (d.Interval.High - d.Interval.Low) / reach}},
		Ticks: []float64{0.5 + d.Mean/reach}, Marks: []float64{0.5},
	}
}

// ofEach is what the rehearsals of a and of b tell by themselves, side by side.
func ofEach(f *results.File, c analysis.Compare) []Section {
	each := [2]analysis.Each{analysis.EachOf(f, 0), analysis.EachOf(f, 1)}
	good := [2]analysis.Share{c.GoodA, c.GoodB}
	out := []Section{scoresOfBoth(each, good, c.Need), stepsOfBoth(each, f.Header.Seconds)}
	for k, e := range each {
		out = append(out, groups(fmt.Sprintf("Where %c first left its plan", 'a'+k), e.Groups, good[k], k))
	}
	out = append(out, Section{Title: "Difference in score, pair by pair",
		Table: histogram("b - a, points", "pair", "%+.6g", analysis.PairBins(f), 0)})
	for i := range out {
		out[i].On = OnPage
	}
	return out
}

// scoresOfBoth is the scores of a above those of b.
func scoresOfBoth(each [2]analysis.Each, good [2]analysis.Share, need float64) Section {
	t := &Table{Columns: heads("#points", "", "#a", "#b")}
	most := float64(fullest(each[0].Bins, each[1].Bins))
	for i, bin := range each[0].Bins {
		var tracks []Track
		var counts [2]int
		for k, e := range each {
			counts[k] = e.Bins[i].Count
			one := bar(bad(bin.From < need || good[k].Hits == 0), units.Counted(counts[k], "rehearsal"),
				float64(counts[k])/most).Tracks[0]
			one.Of = string(rune('a' + k))
			tracks = append(tracks, one)
		}
		if counts != [2]int{} {
			t.Add(binWords(bin, "%.6g"), "", fmt.Sprint(counts[0]), fmt.Sprint(counts[1])).Cells[1].Tracks = tracks
		}
	}
	return Section{Title: "Score", Table: t,
		Note: "How many rehearsals of each had which score. Good from " + units.Counted(need, "point") + " on."}
}

// stepsOfBoth is when the steps of the two plans came. Steps of the same words stand in one row, in the order of a's
// plan, b's own in between by their time.
func stepsOfBoth(each [2]analysis.Each, seconds float64) Section {
	out := Section{Title: "Timeline: steps of the plans", Note: trackNote(seconds, ", a above b")}
	rows := joinedSteps(each)
	if len(rows) == 0 {
		out.Note = "Neither plan picks anything up, clamps anything or scores anything."
		return out
	}
	out.Table = &Table{Columns: heads("step", "#a reached", "#a median", "#b reached", "#b median", "when")}
	for _, row := range rows {
		cells := []string{row.words}
		var tracks []Track
		for k, step := range row.of {
			reached, median, drawn := "-", "-", Track{Label: "not in the plan"}
			if step != nil {
				reached, median = fmt.Sprintf("%.0f %%", 100*step.Reached.Portion()), medianWords(step.T)
				drawn = timeTrack(step.T, step.Plan, seconds)
			}
			drawn.Of = string(rune('a' + k))
			cells, tracks = append(cells, reached, median), append(tracks, drawn)
		}
		out.Table.Add(append(cells, "")...).Cells[5].Tracks = tracks
	}
	return out
}

// stepRow is a step of a's plan, of b's, or of both.
type stepRow struct {
	words string
	of    [2]*analysis.Step
}

func (r stepRow) plan() float64 { return cmp.Or(r.of[0], r.of[1]).Plan }

func joinedSteps(each [2]analysis.Each) []stepRow {
	var rows []stepRow
	for k := range each {
		for i := range each[k].Steps {
			step := &each[k].Steps[i]
			at := slices.IndexFunc(rows, func(r stepRow) bool { return r.words == step.Words && r.of[k] == nil })
			if at < 0 {
				at, rows = len(rows), append(rows, stepRow{words: step.Words})
			}
			rows[at].of[k] = step
		}
	}
	slices.SortStableFunc(rows, func(a, b stepRow) int { return cmp.Compare(a.plan(), b.plan()) })
	return rows
}

// farthest lists the pairs that differ most.
func farthest(c analysis.Compare) Section {
	t := newList("points")
	t.Columns[0].Name = "seed"
	for _, p := range c.Seeds {
		row := t.Add(fmt.Sprintf("seed %d", p.Seed), fmt.Sprintf("a %.6g, b %.6g points", p.A, p.B))
		row.see("a", p.OpenA, Trial{1, p.Seed})
		row.see("b", p.OpenB, Trial{1, p.Seed})
	}
	return Section{Title: "Pairs that differ most", Table: t}
}
