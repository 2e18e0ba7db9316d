package webpage

import (
	"fmt"
	"io"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
)

// WriteStudy writes what a study tells, with pictures. The field is for those; nil leaves out the ones that show it.
func WriteStudy(w io.Writer, told *report.Document, f *results.File, field *fields.Field) error {
	p := page{Document: told}
	if field != nil {
		field = asStarted(field, &f.Header)
	}
	switch found := told.Data.(type) {
	case analysis.Trials:
		p.Figures = []*figure{trialsFigure(f, found, field)}
	case analysis.Compare:
		p.Figures = []*figure{compareFigure(f, field)}
	case analysis.Tune:
		p.Figures = tuneFigures(f, found, field)
	case analysis.Sweep:
		p.Figures = []*figure{sweepFigure(f, found, field), scoresFigure(found)}
	}
	return p.write(w)
}

// asStarted is the field without the pieces that the study's robots have on board from the start; a side without a
// robot has its own on the floor.
func asStarted(field *fields.Field, h *results.Header) *fields.Field {
	out := *field
	out.Pieces = slices.DeleteFunc(slices.Clone(field.Pieces), func(p fields.Piece) bool {
		return p.Robot >= 0 && slices.ContainsFunc(h.Variants, func(v results.Variant) bool {
			return slices.ContainsFunc(v.Robots, func(r record.Robot) bool { return r.Side == p.Robot })
		})
	})
	return &out
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

// compareFigure draws the paths of a and of b in two pictures, side by side: they mostly lie over each other.
func compareFigure(f *results.File, field *fields.Field) *figure {
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
		crosses += pic.mark(places(analysis.EachOf(f, k).Groups))
		out.Pictures = append(out.Pictures, panel{Title: fmt.Sprintf("%c: %s", 'a'+k, v.Name), SVG: pic.svg()})
	}
	out.Caption = "In each picture: " + pathWords(shown, have) + crosses + " Numbers: see the two tables of departures."
	return out
}

// sweepFigure draws the first rehearsal of some points, and where all that were not good left the plan.
func sweepFigure(f *results.File, s analysis.Sweep, field *fields.Field) *figure {
	shown := analysis.ShownPoints(f, s)
	if field == nil || len(shown) == 0 {
		return nil
	}
	pic := fieldPicture{field: field, title: "Paths of points of the sweep on the field"}
	out := &figure{}
	for k, p := range shown {
		class := fmt.Sprintf("point%d", k+1)
		pic.ways = append(pic.ways, way{class: class, points: f.Results[p.Point].Way(), letter: p.Letter})
		words := fmt.Sprintf("%s: %s: %.1f", p.Letter, s.Points[p.Point].Label, s.Points[p.Point].Score.Mean)
		if p.Point == s.Best {
			words += ", the best"
		}
		out.Key = append(out.Key, keyRow{Swatch: swatch(class), Words: words})
	}
	var left [][][2]float64
	for _, l := range analysis.Leaves(f) {
		left = append(left, l.Places)
	}
	crosses := pic.mark(left)
	out.Pictures = []panel{{SVG: pic.svg()}}
	out.Caption = sweepCaption(f, s, len(shown))
	if len(pic.spots) > 0 {
		out.Key = append(out.Key, crossRow())
		out.Caption += " Crosses: of all rehearsals at all points; numbers: see the table of departures." + crosses
	}
	return out
}

func sweepCaption(f *results.File, s analysis.Sweep, shown int) string {
	which, score := fmt.Sprintf("seed %d", f.Header.Seed), "mean score"
	if s.Nominal {
		which, score = "nothing drawn from the spread", "score"
	}
	at := "every point"
	if shown < len(s.Points) {
		at = fmt.Sprintf("%d of %s, from the best to the worst, the same path only once", shown,
			units.Counted(len(s.Points), "point"))
	}
	if s.For != "" {
		score = s.Of
	}
	return fmt.Sprintf("The path of the robot's centre at %s; %s. Behind each its %s.", at, which, score)
}

// scoresFigure shows the scores of a sweep as --map does.
func scoresFigure(s analysis.Sweep) *figure {
	title := map[bool]string{false: "Map of the mean score", true: "Map of the score"}[s.Nominal]
	if s.For != "" {
		title = "Map of " + s.Of
	}
	if len(s.Axes) == 1 {
		title = map[bool]string{true: "The score", false: s.Of}[s.For == ""] + " over " + s.Axes[0].Name
	}
	draw := func(width float64) picture.Drawing { return picture.Sweep(s, width) }
	return &figure{Title: title, Pictures: []panel{{SVG: inBothSizes(draw)}}}
}

// tuneFigures are the paths before and after, how flat the goal is about the winner, and the progress.
func tuneFigures(f *results.File, t analysis.Tune, field *fields.Field) (list []*figure) {
	if field != nil {
		list = append(list, beforeAndAfter(f, t, field))
	}
	curve := func(title string, s analysis.Sweep) *figure {
		draw := func(width float64) picture.Drawing { return picture.Sweep(s, width) }
		return &figure{Title: title, Pictures: []panel{{SVG: inBothSizes(draw)}}}
	}
	for i := range t.Freedoms {
		if len(t.Freedoms[i].Points) > 1 {
			title := fmt.Sprintf("%s alone about the %s, %s: %s", t.Freedoms[i].Name, t.Called(), t.Freedoms[i].Winner,
				t.Freedoms[i].Matters)
			list = append(list, curve(title, t.SliceOf(i)))
		}
	}
	if len(t.Progress) > 1 {
		list = append(list, curve("The best so far", t.ProgressOf()))
	}
	return list
}

// beforeAndAfter draws the paths with today's values and the winner's, side by side, with the same fresh seeds.
func beforeAndAfter(f *results.File, t analysis.Tune, field *fields.Field) *figure {
	out := &figure{Title: "Paths before and after", Key: []keyRow{
		{Swatch: swatch("good"), Words: "the routine did not fail"},
		{Swatch: swatch("bad"), Words: "it failed with an error"}}}
	shown := 0
	for k, one := range []struct {
		name string
		of   analysis.Tried
	}{{"before: today's values", t.Today}, {"after: the " + t.Called(), t.Winner}} {
		var list []*results.Result
		for _, r := range f.Results {
			if r != nil && slices.Equal(r.Tried, one.of.Values) && len(r.Path) > 0 && r.Seed >= t.Fresh {
				list = append(list, r)
			}
		}
		shown = len(list)
		pic := fieldPicture{id: fmt.Sprintf("-%c", 'a'+k), half: true, field: field, title: "Paths, " + one.name}
		pic.ways = ways(list, func(r *results.Result) bool { return r.Failed() == nil }, results.Result{})
		out.Pictures = append(out.Pictures, panel{Title: one.name, SVG: pic.svg()})
	}
	out.Caption = "In each picture: " + pathWords(shown, shown) + " The same seeds in both."
	return out
}
