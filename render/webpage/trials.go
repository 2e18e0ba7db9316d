package webpage

import (
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/geom"
	"chalkfield/internal/study/findings"
	"chalkfield/internal/study/part"
	"chalkfield/internal/study/trial"
)

const numbered = 8 // groups of departures that the picture and the table number

func trialsPage(f *part.File, field *fields.Field) (*page, error) {
	t, err := findings.OfTrials(f)
	if err != nil {
		return nil, err
	}
	h := &f.Header
	p := &page{
		Title:    t.Name + ": how often it works",
		Subtitle: fmt.Sprintf("%d rehearsals on %s, %s, for %s, each with another draw of the spread", t.Have, t.Field, t.Session, t.Side),
		Big:      fmt.Sprintf("%.0f %%", 100*t.Good.Portion()),
		Lead: []string{
			fmt.Sprintf("%d of %d reached %s. With 95 %% confidence the true share lies between %.1f and %.1f %%.", t.Good.Hits, t.Good.Of, t.GoodMeans(), 100*t.Good.Interval.Low, 100*t.Good.Interval.High),
			fmt.Sprintf("The plan scores %g; the mean of the rehearsals is %.2f, half of them lie between %g and %g.", t.Plan, t.Score.Mean, t.Score.Q1, t.Score.Q3),
		},
		Picture: trialsPicture(f, t, field),
		Made:    madeFrom(h),
	}
	if t.Have < t.Count || t.Shard != part.Whole {
		p.Unfinished = fmt.Sprintf("Not the whole study: part %d of %d, %d of its %d rehearsals.", t.Shard.Number, t.Shard.Of, t.Have, t.Count)
	}
	p.Lead = append(sentences(t.Notes), p.Lead...)
	p.Sections = append(p.Sections, scoreSection(t), groupsSection(t), causesSection(t), stepsSection(t, h.Seconds), rulesSection(t))
	if len(t.Worst) > 0 {
		s := section{Title: "Worst rehearsals"}
		for _, w := range t.Worst {
			s.Commands = append(s.Commands, command{fmt.Sprintf("%g points: %s, at %.2f s", w.Score, w.Words, w.T), w.Open})
		}
		p.Sections = append(p.Sections, s)
	}
	return p, nil
}

// sentences are notes with a full stop.
func sentences(notes []string) []string {
	out := make([]string, len(notes))
	for i, note := range notes {
		out[i] = note + "."
	}
	return out
}

// trialsPicture draws every path, the plan on top, and a cross where each rehearsal that was not good left it.
func trialsPicture(f *part.File, t findings.Trials, field *fields.Field) *figure {
	if field == nil {
		return nil
	}
	v := &f.Header.Variants[0]
	pic := fieldPicture{field: field, title: "All paths on the field"}
	var good, bad []way
	for _, r := range chosen(f.Results, mostWays) {
		if f.Header.Good(v, r) {
			good = append(good, way{"good", r.Way()})
		} else {
			bad = append(bad, way{"bad", r.Way()})
		}
	}
	pic.ways = append(append(good, bad...), way{"plan", v.Plan.Way()})
	for i, g := range t.Groups {
		for _, at := range g.Places {
			s := spot{at: geom.Vec{X: at[0], Y: at[1]}}
			if i < numbered {
				s.number = i + 1
			}
			pic.spots = append(pic.spots, s)
		}
	}
	caption := fmt.Sprintf("%d paths of the robot's centre.", len(good)+len(bad))
	if len(good)+len(bad) < t.Have {
		caption = fmt.Sprintf("%d of the %d paths of the robot's centre, evenly chosen.", len(good)+len(bad), t.Have)
	}
	return &figure{SVG: pic.svg(), Caption: caption + " Numbers: see the table of departures.", Key: []keyRow{
		{swatch("plan"), "the plan: nothing drawn from the spread"}, {swatch("good"), "good"}, {swatch("bad"), "not good"},
		{crossSwatch(), "where one that was not good first left the plan"},
	}}
}

// chosen takes at most so many of the results that are there, evenly.
func chosen(all []*trial.Result, most int) []*trial.Result {
	var have []*trial.Result
	for _, r := range all {
		if r != nil {
			have = append(have, r)
		}
	}
	if len(have) <= most {
		return have
	}
	out := make([]*trial.Result, most)
	for i := range out {
		out[i] = have[i*len(have)/most]
	}
	return out
}

func scoreSection(t findings.Trials) section {
	most := 0
	for _, b := range t.Bins {
		most = max(most, b.Count)
	}
	tab := &table{Head: heads("#points", "", "#rehearsals")}
	for _, b := range t.Bins {
		if b.Count == 0 {
			continue
		}
		label := fmt.Sprintf("%.6g", b.From)
		if b.To-b.From != 1 {
			label = fmt.Sprintf("%.6g to %.6g", b.From, b.To)
		}
		class := ""
		if b.From < t.Need {
			class = "bad"
		}
		bar := track{Label: fmt.Sprintf("%d rehearsals", b.Count), Bars: []span{{class, 0, percent(100 * float64(b.Count) / float64(most))}}}
		tab.Rows = append(tab.Rows, []cell{{Words: label}, {Track: &bar}, {Words: fmt.Sprint(b.Count)}})
	}
	return section{
		Title: "Score", Table: tab,
		Note: fmt.Sprintf("Good from %g points on. Ahead at the end: %s. The routine came to its end: %s.", t.Need, t.Ahead, t.Done),
	}
}

func groupsSection(t findings.Trials) section {
	s := section{Title: "Where they first left the plan", Note: "Rehearsals that were not good, by the first thing that went another way than in the plan."}
	if len(t.Groups) == 0 {
		s.Note = "Every rehearsal was good."
		return s
	}
	s.Table = &table{Stack: true, Head: heads("", "first departure", "#how many", "#when", "#mean score")}
	bad := t.Good.Of - t.Good.Hits
	for i, g := range t.Groups {
		words := g.What()
		if g.Goes != "" {
			words += "; " + g.Goes
		}
		if g.Good > 0 {
			words += "; " + g.GoodWords()
		}
		row := []cell{{Badge: i + 1}, {Words: words, Command: g.Open}, {Words: fmt.Sprintf("%d (%.0f %%)", g.Count, 100*float64(g.Count)/float64(bad))}, {Words: fmt.Sprintf("%.2f s", g.T.Median)}, {Words: fmt.Sprintf("%.1f", g.Score)}}
		if i >= numbered {
			row[0] = cell{} // not on the picture
		}
		s.Table.Rows = append(s.Table.Rows, row)
	}
	return s
}

func causesSection(t findings.Trials) section {
	s := section{Title: "What the score goes with", Note: t.CausesMeans() + "."}
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
		bar.Bars = []span{{"", percent(from), percent(50 * math.Abs(c.Rho))}}
		s.Table.Rows = append(s.Table.Rows, []cell{{Words: name}, {Words: fmt.Sprintf("%+.2f", c.Rho)}, {Track: &bar}, {Words: c.Sentence}})
	}
	return s
}

func stepsSection(t findings.Trials, seconds float64) section {
	s := section{Title: "Steps of the plan", Note: fmt.Sprintf("Over the %g s of the session: dashed, when the plan has it; solid line, the median; band, 5 %% to 95 %% of the rehearsals that reached it.", seconds)}
	if len(t.Steps) == 0 {
		s.Note = "The plan picks nothing up, clamps nothing and scores nothing."
		return s
	}
	s.Table = &table{Stack: true, Head: heads("step", "#line", "#plan", "#reached", "#median", "when")}
	at := func(x float64) percent { return percent(100 * x / seconds) }
	for _, step := range t.Steps {
		line, median := "", "-"
		if step.Line > 0 {
			line = fmt.Sprint(step.Line)
		}
		bar := track{Label: fmt.Sprintf("planned at %.2f s, reached by none", step.Plan), Marks: []percent{at(step.Plan)}}
		if step.T.N > 0 {
			median = fmt.Sprintf("%.2f s", step.T.Median)
			bar.Label = fmt.Sprintf("planned at %.2f s, median %.2f s, 5 %% to 95 %%: %.2f to %.2f s", step.Plan, step.T.Median, step.T.P5, step.T.P95)
			bar.Bars = []span{{"range", at(step.T.P5), at(step.T.P95) - at(step.T.P5)}}
			bar.Ticks = []percent{at(step.T.Median)}
		}
		s.Table.Rows = append(s.Table.Rows, []cell{{Words: step.Words}, {Words: line}, {Words: fmt.Sprintf("%.2f s", step.Plan)},
			{Words: fmt.Sprintf("%.1f %%", 100*step.Reached.Portion())}, {Words: median}, {Track: &bar}})
	}
	return s
}

func rulesSection(t findings.Trials) section {
	s := section{Title: "Rules", Note: "How often each rule counts at least what it counts in the plan, with its 95 % Wilson interval."}
	s.Table = &table{Stack: true, Head: heads("rule", "#in the plan", "#as planned or better", "#mean points")}
	for _, r := range t.Rules {
		s.Table.Rows = append(s.Table.Rows, []cell{{Words: r.Name}, {Words: fmt.Sprintf("%g", r.Plan)}, {Words: r.Kept.String()}, {Words: fmt.Sprintf("%.2f", r.Points.Mean)}})
	}
	return s
}
