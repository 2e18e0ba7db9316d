package webpage

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
)

func sweepPage(f *results.File, field *fields.Field) (*page, error) {
	s, err := analysis.OfSweep(f)
	if err != nil {
		return nil, err
	}
	shown, leaves := shownPoints(f, s), analysis.Leaves(f)
	p := &page{
		Title: fmt.Sprintf("%s over %s", s.Name, s.Axes[0].Name),
		Subtitle: fmt.Sprintf("%s at %s on %s, %s; %s", units.Counted(s.Have, "rehearsal"),
			units.Counted(len(s.Points), "point"), s.Field, s.Session, drawnAtPoints(s)),
		Lead:   []string{s.Sentence()},
		Figure: sweepFigure(f, s, shown, leaves, field),
		Made:   madeFrom(&f.Header),
	}
	if len(s.Axes) == 2 {
		p.Title += " and " + s.Axes[1].Name
	}
	if s.Caution != "" {
		p.Lead = append(p.Lead, s.Caution)
	}
	if due := s.Count * len(s.Points); s.Have < due {
		p.warn(fmt.Sprintf("Not finished: %d of %s are done.", s.Have, units.Counted(due, "rehearsal")))
	}
	p.warn(s.Notes...)
	p.Sections = append(p.Sections, pictureSection(s), pointsSection(f, s, shown), lastSection(f, s, shown),
		leavesSection(s, leaves))
	return p, nil
}

func drawnAtPoints(s analysis.Sweep) string {
	if s.Nominal {
		return "nothing drawn from the spread"
	}
	return "every point meets the same seeds"
}

// pictureSection shows the scores as --map does, in a size for a desk and one for a phone.
func pictureSection(s analysis.Sweep) section {
	out := &picture.SVG{}
	for _, size := range []struct {
		class string
		width float64
	}{{"wide", widePicture}, {"narrow", narrowPicture}} {
		d := picture.Sweep(s, size.width)
		out.Begin(d.Width, d.Height, fmt.Sprintf(`class="field %s"`, size.class), d.Title, d.Ground)
		d.Draw(out)
		out.End()
	}
	title := map[bool]string{false: "Map of the mean score", true: "Map of the score"}[s.Nominal]
	if len(s.Axes) == 1 {
		title = "The score over " + s.Axes[0].Name
	}
	return section{Title: title, Picture: template.HTML(out.String())}
}

// pointsSection lists every point with its scores, their mean and its interval.
func pointsSection(f *results.File, s analysis.Sweep, shown []shownPoint) section {
	scale := newScoreScale(f, s)
	out := section{Title: "Every point", Note: fmt.Sprintf(
		"Columns: how many rehearsals had which score; line: the mean; band: its 95 %% interval (Student's t); the scale "+
			"runs from %.4g to %s. Good: %s or more. Letters: as on the field. %s",
		scale.least, units.Counted(scale.most, "point"), units.Counted(s.Need, "point"), verdictNote(s))}
	out.Table = &table{Stack: true, Head: heads(append(axisHeads(s), "#mean score", "", "#good", "against the best")...)}
	out.Note += onlyShown(len(s.Points), mostListed)
	for i := range s.Points {
		p := &s.Points[i]
		if len(s.Points) > mostListed && letterOf(shown, i) == "" {
			continue
		}
		row := pointCells(s, shown, i)
		if p.Score.N == 0 {
			row = append(row, cell{Words: "-"}, cell{}, cell{}, cell{Words: verdict(s, i), Whole: true})
		} else {
			row = append(row, cell{Words: fmt.Sprintf("%.2f", p.Score.Mean)}, cell{Tracks: []track{scale.track(s, i)}},
				cell{Words: fmt.Sprintf("%.0f %%", 100*p.Good.Portion())}, cell{Words: verdict(s, i), Whole: true})
		}
		out.Table.Rows = append(out.Table.Rows, row)
	}
	return out
}

// axisHeads are the headings of what tells a point: its letter and its values.
func axisHeads(s analysis.Sweep) []string {
	names := []string{""}
	for _, a := range s.Axes {
		names = append(names, "#"+a.Name)
	}
	return names
}

// pointCells are the cells under axisHeads.
func pointCells(s analysis.Sweep, shown []shownPoint, i int) []cell {
	row := []cell{{Badge: letterOf(shown, i)}}
	for k, a := range s.Axes {
		row = append(row, cell{Words: a.Labels[s.Points[i].At[k]]})
	}
	return row
}

// verdict is the point's standing in a few words, for a narrow column; verdictNote explains them.
func verdict(s analysis.Sweep, i int) string {
	p := &s.Points[i]
	switch {
	case p.Failed > 0 && s.Nominal:
		return "fails"
	case p.Failed > 0:
		return fmt.Sprintf("failed in %d", p.Failed)
	case i == s.Best || s.Nominal:
	case !s.Told && p.Worse == 0:
		return "the same"
	case !s.Told && p.Score.N > 0:
		return fmt.Sprintf("%.2f below", p.Worse)
	case s.NotWorse(i):
		return "not shown"
	}
	return s.Verdict(i)
}

func verdictNote(s analysis.Sweep) string {
	var notes []string
	switch {
	case s.Nominal:
	case !s.Told:
		notes = append(notes, fmt.Sprintf("Too few rehearsals to tell which points are worse: %d a point are needed.",
			s.Fewest))
	case len(s.Alike) > 1:
		notes = append(notes, "Not shown: not shown to be worse than the best.")
	}
	if slices.ContainsFunc(s.Points, func(p analysis.Point) bool { return p.Failed > 0 }) {
		notes = append(notes, "Failed: the routine ended with an error.")
	}
	return strings.Join(notes, " ")
}

// scoreScale is the scale of scores that all points share.
type scoreScale struct {
	low, high   float64 // at the track's ends
	least, most float64 // the scores at which it is labelled
	bins        [][]stats.Bin
	tallest     int // the greatest count of a bin
}

func newScoreScale(f *results.File, s analysis.Sweep) scoreScale {
	scale := scoreScale{low: math.Inf(1), high: math.Inf(-1), bins: analysis.PointBins(f), tallest: 1}
	for i := range s.Points {
		if p := &s.Points[i]; p.Score.N > 0 {
			half := analysis.HalfWidth(p.Score)
			scale.low, scale.high = min(scale.low, p.Score.Least, p.Score.Mean-half),
				max(scale.high, p.Score.Most, p.Score.Mean+half)
		}
		for _, b := range scale.bins[i] {
			scale.tallest = max(scale.tallest, b.Count)
		}
	}
	if !(scale.high > scale.low) {
		scale.high = scale.low + 1
	}
	scale.least, scale.most = math.Floor(scale.low), math.Ceil(scale.high)
	scale.low, scale.high = scale.least, scale.most
	margin := 0.03 * (scale.high - scale.low)
	scale.low, scale.high = scale.low-margin, scale.high+margin
	return scale
}

func (c scoreScale) at(score float64) percent {
	return percent(100 * (score - c.low) / (c.high - c.low))
}

// columnWidth is the width of a column, percent of the track: scores are told apart even where many are in one bin.
const columnWidth = 2

// columnHeight leaves the band above the columns free, percent of the track.
const columnHeight = 75

func (c scoreScale) track(s analysis.Sweep, i int) track {
	p := &s.Points[i]
	half := analysis.HalfWidth(p.Score)
	out := track{Tall: true, Label: fmt.Sprintf("mean %.2f, 95 %% from %.2f to %.2f, all from %.6g to %.6g",
		p.Score.Mean, p.Score.Mean-half, p.Score.Mean+half, p.Score.Least, p.Score.Most),
		Ticks: []percent{c.at(p.Score.Mean)}}
	for _, b := range c.bins[i] {
		if b.Count == 0 {
			continue
		}
		class := "column"
		if b.From < s.Need || p.Good.Hits == 0 {
			class = "column bad"
		}
		out.Bars = append(out.Bars, span{class, c.at(b.From) - columnWidth/2, columnWidth,
			percent(columnHeight * float64(b.Count) / float64(c.tallest))})
	}
	if half > 0 {
		out.Bars = append(out.Bars, span{Class: "range", From: c.at(p.Score.Mean - half), Width: c.at(p.Score.Mean+half) -
			c.at(p.Score.Mean-half)})
	}
	return out
}

// Up to how many points all are in the list, and in the timeline; of more, those on the field picture.
const (
	mostListed = 500
	mostTimed  = 40
)

func onlyShown(points, most int) string {
	if points <= most {
		return ""
	}
	return fmt.Sprintf(" Of the %d points only those on the field; --csv gives all.", points)
}

// lastSection is when the last point of each point's rehearsals came.
func lastSection(f *results.File, s analysis.Sweep, shown []shownPoint) section {
	seconds := f.Header.Seconds
	out := section{Title: "Timeline: the last piece scored", Note: fmt.Sprintf(
		"Over the %.6g s of the session: dashed, when the plan has it; solid line, the median; band, 5 %% to 95 %% of the "+
			"rehearsals that scored at all.", seconds)}
	out.Note += onlyShown(len(s.Points), mostTimed)
	if !slices.ContainsFunc(s.Points, func(p analysis.Point) bool { return p.Last.N > 0 }) {
		out.Note = "No piece was scored at any point."
		return out
	}
	out.Table = &table{Stack: true, Head: heads(append(axisHeads(s), "#scored at all", "#median", "when")...)}
	plan := f.Header.Variants[0].Plan.Last
	at := func(x float64) percent { return percent(100 * x / seconds) }
	for i := range s.Points {
		p := &s.Points[i]
		if p.Score.N == 0 || len(s.Points) > mostTimed && letterOf(shown, i) == "" {
			continue
		}
		bar, median := track{Label: "nothing scored"}, "-"
		if plan != results.Never {
			bar.Marks = []percent{at(plan)}
		}
		if p.Last.N > 0 {
			median = fmt.Sprintf("%.2f s", p.Last.Median)
			bar.Label = fmt.Sprintf("median %.2f s, 5 %% to 95 %%: %.2f to %.2f s", p.Last.Median, p.Last.P5, p.Last.P95)
			bar.Bars, bar.Ticks = []span{{Class: "range", From: at(p.Last.P5), Width: at(p.Last.P95) - at(p.Last.P5)}},
				[]percent{at(p.Last.Median)}
		}
		row := append(pointCells(s, shown, i), cell{Words: fmt.Sprintf("%d of %d", p.Last.N, p.Score.N)},
			cell{Words: median}, cell{Tracks: []track{bar}})
		out.Table.Rows = append(out.Table.Rows, row)
	}
	return out
}
