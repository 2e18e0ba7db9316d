package webpage

import (
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/study/findings"
	"chalkfield/internal/study/part"
)

func comparePage(f *part.File, field *fields.Field) (*page, error) {
	c, err := findings.OfCompare(f)
	if err != nil {
		return nil, err
	}
	p := &page{
		Title:    fmt.Sprintf("%s against %s", c.A, c.B),
		Subtitle: fmt.Sprintf("%d pairs of rehearsals on %s, %s; the two of a pair meet the same draw of the spread", c.Pairs, c.Field, c.Session),
		Lead: []string{
			c.Score.Sentence + ".",
			c.GoodSentence() + ".",
			"Last piece scored: " + c.Last.Sentence + ". Routine's end: " + c.Done.Sentence + ".",
		},
		Picture:  comparePicture(f, field),
		Sections: []section{differences(c), pairsSection(f), seedsSection(c)},
		Made:     madeFrom(&f.Header),
	}
	p.Lead = append(sentences(c.Notes), p.Lead...)
	if c.Pairs < c.Count {
		p.Unfinished = fmt.Sprintf("Not finished: %d of %d pairs are done.", c.Pairs, c.Count)
	}
	return p, nil
}

func comparePicture(f *part.File, field *fields.Field) *figure {
	if field == nil {
		return nil
	}
	pic := fieldPicture{field: field, title: "Paths of both on the field"}
	classes := [2]string{"good", "second"}
	for job, r := range f.Results[:min(len(f.Results), mostWays)] { // a and b in turn, so that neither hides the other
		if r != nil {
			pic.ways = append(pic.ways, way{classes[f.Header.Point(job)], r.Way()})
		}
	}
	return &figure{SVG: pic.svg(), Caption: fmt.Sprintf("Paths of the robot's centre in the first %d rehearsals.", len(pic.ways)), Key: []keyRow{
		{swatch("good"), "a: " + f.Header.Variants[0].Name}, {swatch("second"), "b: " + f.Header.Variants[1].Name},
	}}
}

// differences draws each difference with its interval about 0, each on its own scale.
func differences(c findings.Compare) section {
	s := section{Title: "Differences, b minus a", Note: "Line: the mean; band: its 95 % interval; dashed: no difference. " + findings.CompareMeans}
	s.Table = &table{Stack: true, Head: heads("", "#a", "#b", "#b - a", "", "#p", "b higher, lower in", "real?")}
	for _, d := range append([]findings.Diff{c.Score, c.Last, c.Done}, c.Rules...) {
		if d.Pairs < 2 {
			s.Table.Rows = append(s.Table.Rows, []cell{{Words: d.What}, {}, {}, {}, {}, {}, {Words: fmt.Sprintf("%d pairs only", d.Pairs)}, {}})
			continue
		}
		verdict := "not shown"
		if d.Real {
			verdict = "real"
		}
		s.Table.Rows = append(s.Table.Rows, []cell{
			{Words: d.What}, {Words: fmt.Sprintf("%.2f", d.A)}, {Words: fmt.Sprintf("%.2f", d.B)}, {Words: fmt.Sprintf("%+.2f", d.Mean)}, {Track: interval(d)},
			{Words: findings.Chance(d.P)}, {Words: fmt.Sprintf("%d, %d of %d", d.Higher, d.Lower, d.Pairs)}, {Words: verdict},
		})
	}
	return s
}

func interval(d findings.Diff) *track {
	reach := 1.25 * math.Max(math.Abs(d.Interval.Low), math.Abs(d.Interval.High))
	if reach == 0 {
		reach = 1
	}
	at := func(x float64) percent { return percent(50 + 50*x/reach) }
	return &track{
		Label: fmt.Sprintf("mean %+.2f, 95 %% from %+.2f to %+.2f", d.Mean, d.Interval.Low, d.Interval.High),
		Bars:  []span{{"range", at(d.Interval.Low), at(d.Interval.High) - at(d.Interval.Low)}}, Ticks: []percent{at(d.Mean)}, Marks: []percent{50},
	}
}

// pairsSection is the histogram of the differences in score.
func pairsSection(f *part.File) section {
	bins := findings.PairBins(f)
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
		bar := track{Label: fmt.Sprintf("%d pairs", b.Count), Bars: []span{{class, 0, percent(100 * float64(b.Count) / float64(most))}}}
		tab.Rows = append(tab.Rows, []cell{{Words: label}, {Track: &bar}, {Words: fmt.Sprint(b.Count)}})
	}
	return section{Title: "Difference in score, pair by pair", Table: tab}
}

func seedsSection(c findings.Compare) section {
	s := section{Title: "Pairs that differ most"}
	for _, pair := range c.Seeds {
		s.Commands = append(s.Commands, command{fmt.Sprintf("Seed %d: a %g points", pair.Seed, pair.A), pair.OpenA}, command{fmt.Sprintf("b %g points", pair.B), pair.OpenB})
	}
	if len(c.Seeds) == 0 {
		s.Note = "No pair differs in score."
	}
	return s
}
