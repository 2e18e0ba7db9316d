package webpage

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

func comparePage(f *results.File, field *fields.Field) (*page, error) {
	c, err := analysis.OfCompare(f)
	if err != nil {
		return nil, err
	}
	h := &f.Header
	each := [2]analysis.Each{analysis.EachOf(f, 0), analysis.EachOf(f, 1)}
	p := &page{
		Title: fmt.Sprintf("%s against %s", c.A, c.B),
		Subtitle: fmt.Sprintf("%s of rehearsals on %s, %s; the two of a pair meet the same draw of the spread",
			units.Counted(c.Pairs, "pair"), c.Field, c.Session),
		Lead: []string{
			c.Score.Sentence + ".",
			c.GoodSentence() + ".",
			"Last piece scored: " + c.Last.Sentence + ". Routine's end: " + c.Done.Sentence + ".",
		},
		Figure: compareFigure(f, each, field),
		Made:   madeFrom(h),
	}
	good := [2]analysis.Share{c.GoodA, c.GoodB}
	p.Sections = []section{differences(c), scoresSection(each, good, h.Need), bothSteps(each, h.Seconds)}
	for k, e := range each {
		p.Sections = append(p.Sections, departures(fmt.Sprintf("Where %c first left its plan", 'a'+k), e.Groups, good[k]))
	}
	p.Sections = append(p.Sections, pairsSection(f), seedsSection(c))
	if c.Pairs < c.Count {
		p.warn(fmt.Sprintf("Not finished: %d of %s are done.", c.Pairs, units.Counted(c.Count, "pair")))
	}
	p.warn(c.Notes...)
	return p, nil
}

// compareFigure draws the paths of a and of b in two pictures, side by side: they mostly lie over each other.
func compareFigure(f *results.File, each [2]analysis.Each, field *fields.Field) *figure {
	if field == nil {
		return nil
	}
	out := &figure{Key: pathKey()}
	shown, have, crosses := 0, 0, ""
	for k, list := range analysis.Pairs(f) {
		v := &f.Header.Variants[k]
		drawn := chosen(list, mostWays/2)
		shown, have = len(drawn), len(list)
		pic := fieldPicture{id: fmt.Sprintf("-%c", 'a'+k), half: true, field: field,
			title: fmt.Sprintf("Paths of %c on the field", 'a'+k)}
		pic.ways = ways(drawn, func(r *results.Result) bool { return f.Header.Good(v, r) }, v.Plan)
		crosses += pic.mark(places(each[k].Groups))
		out.Pictures = append(out.Pictures, panel{Title: fmt.Sprintf("%c: %s", 'a'+k, v.Name), SVG: pic.svg()})
	}
	out.Caption = "In each picture: " + pathWords(shown, have) + crosses + " Numbers: see the two tables of departures."
	return out
}

// scoresSection is the scores of a above those of b.
func scoresSection(each [2]analysis.Each, good [2]analysis.Share, need float64) section {
	s := section{Title: "Score", Note: fmt.Sprintf("How many rehearsals of each had which score. Good from %s on.",
		units.Counted(need, "point"))}
	s.Table = &table{Head: heads("#points", "", "#a", "#b")}
	most := 1
	for _, e := range each {
		for _, b := range e.Bins {
			most = max(most, b.Count)
		}
	}
	for i, bin := range each[0].Bins {
		var tracks []track
		for k, e := range each {
			class := ""
			if bin.From < need || good[k].Hits == 0 {
				class = "bad"
			}
			n := e.Bins[i].Count
			bar := span{Class: class, Width: percent(100 * float64(n) / float64(most))}
			tracks = append(tracks, track{Of: string(rune('a' + k)), Label: units.Counted(n, "rehearsal"), Bars: []span{bar}})
		}
		if a, b := each[0].Bins[i].Count, each[1].Bins[i].Count; a+b > 0 {
			s.Table.Rows = append(s.Table.Rows, []cell{{Words: binWords(bin)}, {Tracks: tracks}, {Words: fmt.Sprint(a)},
				{Words: fmt.Sprint(b)}})
		}
	}
	return s
}

// bothSteps is when the steps of the two plans came. Steps of the same words stand in one row, in the order of a's
// plan, b's own in between by their time.
func bothSteps(each [2]analysis.Each, seconds float64) section {
	s := section{Title: "Timeline: steps of the plans", Note: fmt.Sprintf(
		"Over the %.6g s of the session, a above b: dashed, when its plan has it; solid line, the median; band, 5 %% to 95 "+
			"%% of the rehearsals that reached it.", seconds)}
	rows := joinedSteps(each)
	if len(rows) == 0 {
		s.Note = "Neither plan picks anything up, clamps anything or scores anything."
		return s
	}
	s.Table = &table{Stack: true, Head: heads("step", "#a reached", "#a median", "#b reached", "#b median", "when")}
	for _, row := range rows {
		cells := []cell{{Words: row.words}}
		var tracks []track
		for k, step := range row.of {
			reached, median, drawn := "-", "-", track{Label: "not in the plan"}
			if step != nil {
				reached, median, drawn = fmt.Sprintf("%.0f %%", 100*step.Reached.Portion()), medianWords(*step),
					stepTrack(*step, seconds)
			}
			drawn.Of = string(rune('a' + k))
			cells, tracks = append(cells, cell{Words: reached}, cell{Words: median}), append(tracks, drawn)
		}
		s.Table.Rows = append(s.Table.Rows, append(cells, cell{Tracks: tracks}))
	}
	return s
}

// stepRow is a step of a's plan, of b's, or of both.
type stepRow struct {
	words string
	of    [2]*analysis.Step
}

func (r stepRow) plan() float64 {
	if r.of[0] != nil {
		return r.of[0].Plan
	}
	return r.of[1].Plan
}

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

// differences draws each difference with its interval about 0, each on its own scale.
func differences(c analysis.Compare) section {
	s := section{Title: "Differences, b minus a", Note: "Line: the mean; band: its 95 % interval; dashed: no " +
		"difference. " + analysis.CompareMeans}
	s.Table = &table{Stack: true, Head: heads("", "#a", "#b", "#b - a", "", "#p", "b higher, lower in", "real?")}
	for _, d := range append([]analysis.Diff{c.Score, c.Last, c.Done}, c.Rules...) {
		if d.Pairs < 2 {
			s.Table.Rows = append(s.Table.Rows, []cell{{Words: d.What}, {}, {}, {}, {}, {},
				{Words: units.Counted(d.Pairs, "pair") + " only"}, {}})
			continue
		}
		verdict := "not shown"
		if d.Real {
			verdict = "real"
		}
		s.Table.Rows = append(s.Table.Rows, []cell{
			{Words: d.What}, {Words: fmt.Sprintf("%.2f", d.A)}, {Words: fmt.Sprintf("%.2f", d.B)},
			{Words: fmt.Sprintf("%+.2f", d.Mean)}, {Tracks: []track{interval(d)}},
			{Words: analysis.Chance(d.P)}, {Words: fmt.Sprintf("%d, %d of %d", d.Higher, d.Lower, d.Pairs)},
			{Words: verdict, Whole: true},
		})
	}
	return s
}

func interval(d analysis.Diff) track {
	reach := 1.25 * math.Max(math.Abs(d.Interval.Low), math.Abs(d.Interval.High))
	if reach == 0 {
		reach = 1
	}
	at := func(x float64) percent { return percent(50 + 50*x/reach) }
	return track{
		Label: fmt.Sprintf("mean %+.2f, 95 %% from %+.2f to %+.2f", d.Mean, d.Interval.Low, d.Interval.High),
		Bars:  []span{{Class: "range", From: at(d.Interval.Low), Width: at(d.Interval.High) - at(d.Interval.Low)}},
		Ticks: []percent{at(d.Mean)}, Marks: []percent{50},
	}
}

// pairsSection is the histogram of the differences in score.
func pairsSection(f *results.File) section {
	bins := analysis.PairBins(f)
	most := 0
	for _, b := range bins {
		most = max(most, b.Count)
	}
	tab := &table{Head: heads("#b - a, points", "", "#pairs")}
	for _, b := range bins {
		if b.Count == 0 {
			continue
		}
		label := fmt.Sprintf("%+.6g", b.From)
		if b.To-b.From != 1 {
			label = fmt.Sprintf("%+.6g to %+.6g", b.From, b.To)
		}
		class := ""
		if b.From < 0 {
			class = "bad"
		}
		bar := track{Label: units.Counted(b.Count, "pair"),
			Bars: []span{{Class: class, Width: percent(100 * float64(b.Count) / float64(most))}}}
		tab.Rows = append(tab.Rows, []cell{{Words: label}, {Tracks: []track{bar}}, {Words: fmt.Sprint(b.Count)}})
	}
	return section{Title: "Difference in score, pair by pair", Table: tab}
}

func seedsSection(c analysis.Compare) section {
	s := section{Title: "Pairs that differ most"}
	for _, pair := range c.Seeds {
		s.Commands = append(s.Commands, command{fmt.Sprintf("Seed %d: a %s", pair.Seed, units.Counted(pair.A, "point")),
			pair.OpenA}, command{fmt.Sprintf("b %s", units.Counted(pair.B, "point")), pair.OpenB})
	}
	if len(c.Seeds) == 0 {
		s.Note = "No pair differs in score."
	}
	return s
}
