package webpage

import (
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

func trialsPage(f *results.File, field *fields.Field) (*page, error) {
	t, err := analysis.OfTrials(f)
	if err != nil {
		return nil, err
	}
	h := &f.Header
	p := &page{
		Title: t.Name + ": how often it works",
		Subtitle: fmt.Sprintf("%s on %s, %s, for %s, each with another draw of the spread",
			units.Counted(t.Have, "rehearsal"), t.Field, t.Session, t.Side),
		Big: fmt.Sprintf("%.0f %%", 100*t.Good.Portion()),
		Lead: []string{
			fmt.Sprintf("%d of %d reached %s. With 95 %% confidence the true share lies between %.1f and %.1f %%.",
				t.Good.Hits, t.Good.Of, t.GoodMeans(), 100*t.Good.Interval.Low, 100*t.Good.Interval.High),
			scoresWords(t),
		},
		Figure: trialsFigure(f, t, field),
		Made:   madeFrom(h),
	}
	if t.Have < t.Count || t.Shard != results.Whole {
		p.warn(fmt.Sprintf("Not the whole study: part %d of %d, %d of its %s.", t.Shard.Number, t.Shard.Of, t.Have,
			units.Counted(t.Count, "rehearsal")))
	}
	p.warn(t.Notes...)
	if t.PlanFails != "" {
		p.Big, p.BadNews = "The routine fails with an error", true
	}
	p.Sections = append(p.Sections, scoreSection(t), departures("Where they first left the plan", t.Groups, t.Good),
		causesSection(t), stepsSection(t, h.Seconds), rulesSection(t))
	if len(t.Worst) > 0 {
		s := section{Title: "Worst rehearsals"}
		for _, w := range t.Worst {
			s.Commands = append(s.Commands, command{fmt.Sprintf("%s: %s, at %.2f s", units.Counted(w.Score, "point"),
				w.Words, w.T), w.Open})
		}
		p.Sections = append(p.Sections, s)
	}
	return p, nil
}

// scoresWords tells of the plan's score and the rehearsals'.
func scoresWords(t analysis.Trials) string {
	if t.Have == 1 {
		return fmt.Sprintf("The plan scores %.6g, the one rehearsal %.6g.", t.Plan, t.Score.Mean)
	}
	half := fmt.Sprintf("half of them lie between %.6g and %.6g", t.Score.Q1, t.Score.Q3)
	if t.Score.Q1 == t.Score.Q3 {
		half = fmt.Sprintf("at least half of them score %.6g", t.Score.Q1)
	}
	return fmt.Sprintf("The plan scores %.6g; the mean of the rehearsals is %.2f, %s.", t.Plan, t.Score.Mean, half)
}

// trialsFigure draws every path, the plan on top, and a cross where each rehearsal that was not good left it.
func trialsFigure(f *results.File, t analysis.Trials, field *fields.Field) *figure {
	if field == nil {
		return nil
	}
	v := &f.Header.Variants[0]
	list := chosen(f.Results, mostWays)
	pic := fieldPicture{field: field, title: "All paths on the field"}
	pic.ways = ways(list, func(r *results.Result) bool { return f.Header.Good(v, r) }, v.Plan)
	crosses := pic.mark(places(t.Groups))
	return &figure{Pictures: []panel{{SVG: pic.svg()}}, Caption: pathWords(len(list), t.Have) + crosses +
		" Numbers: see the table of departures.", Key: pathKey()}
}

// chosen takes at most so many of the results that are there, evenly.
func chosen(all []*results.Result, most int) []*results.Result {
	var have []*results.Result
	for _, r := range all {
		if r != nil {
			have = append(have, r)
		}
	}
	if len(have) <= most {
		return have
	}
	out := make([]*results.Result, most)
	for i := range out {
		out[i] = have[i*len(have)/most]
	}
	return out
}

func scoreSection(t analysis.Trials) section {
	most := 0
	for _, b := range t.Bins {
		most = max(most, b.Count)
	}
	tab := &table{Head: heads("#points", "", "#rehearsals")}
	for _, b := range t.Bins {
		if b.Count == 0 {
			continue
		}
		label := binWords(b)
		class := ""
		if b.From < t.Need || t.Good.Hits == 0 {
			class = "bad"
		}
		bar := track{Label: units.Counted(b.Count, "rehearsal"),
			Bars: []span{{Class: class, Width: percent(100 * float64(b.Count) / float64(most))}}}
		tab.Rows = append(tab.Rows, []cell{{Words: label}, {Tracks: []track{bar}}, {Words: fmt.Sprint(b.Count)}})
	}
	return section{
		Title: "Score", Table: tab,
		Note: fmt.Sprintf("Good from %.6g points on. Ahead at the end: %s. The routine came to its end: %s.", t.Need,
			t.Ahead, t.Done),
	}
}

// binWords names a bin by its scores.
func binWords(b stats.Bin) string {
	if b.To-b.From != 1 {
		return fmt.Sprintf("%.6g to %.6g", b.From, b.To)
	}
	return fmt.Sprintf("%.6g", b.From)
}

func causesSection(t analysis.Trials) section {
	s := section{Title: "What the score goes with", Note: sentence(t.CausesMeans())}
	if len(t.Causes) == 0 {
		return s
	}
	s.Table = &table{Stack: true, Head: heads("drawn quantity", "#rank correlation", "", "in words")}
	for _, c := range t.Causes {
		name := c.Quantity
		if c.Apart {
			name += ", either way"
		}
		bar := track{Label: fmt.Sprintf("rank correlation %+.2f", c.Rho), Ticks: []percent{50}}
		from := 50.0
		if c.Rho < 0 {
			from += 50 * c.Rho
		}
		bar.Bars = []span{{From: percent(from), Width: percent(50 * math.Abs(c.Rho))}}
		s.Table.Rows = append(s.Table.Rows, []cell{{Words: name}, {Words: fmt.Sprintf("%+.2f", c.Rho)},
			{Tracks: []track{bar}}, {Words: c.Sentence}})
	}
	return s
}

func stepsSection(t analysis.Trials, seconds float64) section {
	s := section{Title: "Steps of the plan", Note: fmt.Sprintf("Over the %.6g s of the session: dashed, when the plan "+
		"has it; solid line, the median; band, 5 %% to 95 %% of the rehearsals that reached it.", seconds)}
	if len(t.Steps) == 0 {
		s.Note = "The plan picks nothing up, clamps nothing and scores nothing."
		return s
	}
	s.Table = &table{Stack: true, Head: heads("step", "#line", "#plan", "#reached", "#median", "when")}
	for _, step := range t.Steps {
		line := ""
		if step.Line > 0 {
			line = fmt.Sprint(step.Line)
		}
		s.Table.Rows = append(s.Table.Rows, []cell{{Words: step.Words}, {Words: line},
			{Words: fmt.Sprintf("%.2f s", step.Plan)},
			{Words: fmt.Sprintf("%.1f %%", 100*step.Reached.Portion())}, {Words: medianWords(step)},
			{Tracks: []track{stepTrack(step, seconds)}}})
	}
	return s
}

func medianWords(step analysis.Step) string {
	if step.T.N == 0 {
		return "-"
	}
	return fmt.Sprintf("%.2f s", step.T.Median)
}

// stepTrack draws when a step came over the seconds of the session.
func stepTrack(step analysis.Step, seconds float64) track {
	at := func(x float64) percent { return percent(100 * x / seconds) }
	bar := track{Label: fmt.Sprintf("planned at %.2f s, reached by none", step.Plan), Marks: []percent{at(step.Plan)}}
	if step.T.N > 0 {
		bar.Label = fmt.Sprintf("planned at %.2f s, median %.2f s, 5 %% to 95 %%: %.2f to %.2f s", step.Plan, step.T.Median,
			step.T.P5, step.T.P95)
		bar.Bars = []span{{Class: "range", From: at(step.T.P5), Width: at(step.T.P95) - at(step.T.P5)}}
		bar.Ticks = []percent{at(step.T.Median)}
	}
	return bar
}

func rulesSection(t analysis.Trials) section {
	s := section{Title: "Rules", Note: "How often each rule counts at least what it counts in the plan, with its 95 % " +
		"Wilson interval."}
	if len(t.Rules) == 0 {
		s.Note = "No rule counted in the plan or in any rehearsal."
		return s
	}
	s.Table = &table{Stack: true, Head: heads("rule", "#in the plan", "#as planned or better", "#mean points")}
	for _, r := range t.Rules {
		s.Table.Rows = append(s.Table.Rows, []cell{{Words: r.Name}, {Words: fmt.Sprintf("%.6g", r.Plan)},
			{Words: r.Kept.String()}, {Words: fmt.Sprintf("%.2f", r.Points.Mean)}})
	}
	return s
}
