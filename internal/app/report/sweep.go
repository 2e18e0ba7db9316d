package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

// sweptOver is a sweep that is told, with the points whose paths a picture shows.
type sweptOver struct {
	analysis.Sweep
	shown []analysis.Shown
}

func sweep(f *results.File) (*Document, error) {
	data, err := analysis.OfSweep(f)
	if err != nil {
		return nil, err
	}
	s := sweptOver{data, analysis.ShownPoints(f, data)}
	d := &Document{
		Title: fmt.Sprintf("%s over %s", s.Name, s.Axes[0].Name),
		Head: []string{fmt.Sprintf("%s: %s at %s on %s, %s", s.Name, units.Counted(s.Have, "rehearsal"),
			units.Counted(len(s.Points), "point"), s.Field, s.Session)},
		Foot: Model, Inputs: inputsOf(&f.Header), Data: data,
	}
	if len(s.Axes) == 2 {
		d.Title += " and " + s.Axes[1].Name
	}
	d.unfinished(s.Have, s.Count*len(s.Points), "")
	d.Notes = append(d.Notes, s.Notes...)
	d.Sections = append([]Section{s.points(f)}, s.errors()...)
	outcome := []string{s.outcome()}
	if s.Caution != "" {
		outcome = append(outcome, s.Caution)
	}
	d.Sections = append(d.Sections, Section{Lines: outcome}, s.last(f), s.leaves(f))
	return d, nil
}

// Up to how many points a page has all in the list, and in the timeline; of more, those whose paths are shown.
const (
	mostListed = 500
	mostTimed  = 40
)

// table has the columns that tell a point, and some more.
func (s sweptOver) table(most int, names ...string) *Table {
	t := &Table{}
	for _, a := range s.Axes {
		t.Columns = append(t.Columns, Column{Name: a.Name, Number: true})
	}
	t.Columns = append(t.Columns, heads(names...)...)
	t.OnlyMarked = len(s.Points) > most
	return t
}

// add adds what tells a point, and more words.
func (s sweptOver) add(t *Table, i int, words ...string) *Row {
	var cells []string
	for k, a := range s.Axes {
		cells = append(cells, a.Labels[s.Points[i].At[k]])
	}
	row := t.Add(append(cells, words...)...)
	row.Shows = &Trial{i, s.Seed}
	for _, p := range s.shown {
		if p.Point == i {
			row.Mark = p.Letter
		}
	}
	return row
}

// points lists every point with its scores, their mean and its interval.
func (s sweptOver) points(f *results.File) Section {
	scale := newScoreScale(f, s.Sweep)
	t := s.table(mostListed, "#"+s.name(), "", "#good", fmt.Sprintf("good (%.6g or more)", s.Need), "last piece scored",
		"against the best")
	track := len(s.Axes) + 1
	for i, on := range []Medium{OnPage, OnPage, InTerminal, InTerminal} {
		t.Columns[track+i].On = on
	}
	for i := range s.Points {
		p := &s.Points[i]
		if p.Score.N == 0 {
			s.add(t, i, "-", "", "-", "-", "-", s.verdict(i))
			continue
		}
		last := "-"
		if p.Last.N > 0 {
			last = fmt.Sprintf("%.2f s", p.Last.Mean)
		}
		row := s.add(t, i, fmt.Sprintf("%.2f", p.Score.Mean), "",
			fmt.Sprintf("%.0f %%", 100*p.Good.Portion()), s.good(p), last, s.verdict(i))
		row.Cells[track].Tracks = []Track{scale.track(s.Sweep, i)}
	}
	note := fmt.Sprintf("Columns: how many rehearsals had which score; line: the mean; band: its 95 %% interval "+
		"(Student's t); the scale runs from %.4g to %s. Good: %s or more. Letters: as on the field.", scale.least,
		s.amount(scale.most), units.Counted(s.Need, "point"))
	return Section{Title: "Every point", Table: t, Note: note + s.onlyShown(t)}
}

func (s sweptOver) onlyShown(t *Table) string {
	if !t.OnlyMarked {
		return ""
	}
	return fmt.Sprintf(" Of the %d points only those on the field; --csv gives all.", len(s.Points))
}

// name is what the points are measured by.
func (s sweptOver) name() string {
	if s.For == "" {
		return "mean score"
	}
	return s.Of
}

func (s sweptOver) amount(x float64) string {
	if s.For == "" {
		return units.Counted(x, "point")
	}
	return fmt.Sprintf("%.4g", x)
}

// good gives the interval only where something was drawn.
func (s sweptOver) good(p *analysis.Point) string {
	if s.Nominal {
		return map[bool]string{true: "yes", false: "no"}[p.Good.Hits > 0]
	}
	return p.Good.String()
}

// verdict says how a point stands against the best.
func (s sweptOver) verdict(i int) string {
	p := &s.Points[i]
	switch {
	case p.Done == 0:
		return "not done yet"
	case p.Failed > 0 && s.Nominal:
		return "the routine fails with an error"
	case p.Failed > 0:
		return fmt.Sprintf("the routine failed in %d of %d", p.Failed, p.Done)
	case p.Score.N == 0:
		return "no rehearsal has it"
	case len(s.Points) == 1:
		return "-"
	case p.Lacks > 0:
		return fmt.Sprintf("%d of %d lack it", p.Lacks, p.Done)
	case i == s.Best:
		return "best"
	case !s.Told && p.Worse == 0:
		return "the same mean, too few to tell"
	case !s.Told:
		return fmt.Sprintf("%.2f below, too few to tell", p.Worse)
	case s.NotWorse(i) && s.Nominal:
		return "the same"
	case s.NotWorse(i):
		return "not shown to be worse"
	}
	return fmt.Sprintf("%.2f worse", p.Worse)
}

// errors lists the errors point by point, as far as they do not fill the screen.
func (s sweptOver) errors() []Section {
	var out []Section
	for i := range s.Points {
		if p := &s.Points[i]; len(p.Errors) > 0 {
			if len(out) == failuresListed {
				return append(out, Section{
					Lines: []string{"Further points at which routines failed: see the table, or --json."}})
			}
			out = append(out, errorsAt("Routine errors at "+p.Label, p.Errors, i)...)
		}
	}
	return out
}

// outcome tells which point is the best, and how the others stand.
func (s sweptOver) outcome() string {
	best := &s.Points[s.Best]
	if best.Score.N == 0 {
		return "No rehearsal has what the goal reads: each fails with an error, or gives no such result."
	}
	if len(s.Points) == 1 {
		name := map[bool]string{true: "Mean score", false: s.Of}[s.For == ""]
		return fmt.Sprintf("%s: %.2f at %s, the only point: there is nothing to hold it against.", name, best.Score.Mean,
			best.Label)
	}
	text := fmt.Sprintf("Greatest %s: %.2f at %s", s.name(), best.Score.Mean, best.Label)
	ties, worse, failing := s.counts()
	if ties > 0 && !s.Nominal {
		text += fmt.Sprintf(", and the same at %s", units.Counted(ties, "other point"))
	}
	if best.Failed > 0 {
		text += ", although the routine fails there"
	} else if best.Lacks > 0 {
		text += fmt.Sprintf(", although %d of %s there lack it", best.Lacks, units.Counted(best.Done, "rehearsal"))
	}
	text += "." + s.others(worse)
	if n := s.without(); n > 0 {
		text += fmt.Sprintf(" No rehearsal gives what the goal reads at %d of %s: they are not compared.", n,
			units.Counted(len(s.Points), "point"))
	}
	if failing > 0 {
		text += fmt.Sprintf(" The routine failed with an error at %d of %s.", failing,
			units.Counted(len(s.Points), "point"))
	}
	return text
}

// without counts the points where no rehearsal has what the goal reads, although the routine does not fail.
func (s sweptOver) without() (n int) {
	for i := range s.Points {
		if p := &s.Points[i]; p.Done > 0 && p.Score.N == 0 && p.Failed == 0 {
			n++
		}
	}
	return n
}

// counts are the points with the mean of the best, those that are worse, and those at which the routine fails.
func (s sweptOver) counts() (ties, worse, failing int) {
	for i := range s.Points {
		p := &s.Points[i]
		switch {
		case p.Failed > 0:
			failing++
		case p.Score.N > 0 && i != s.Best:
			if p.Score.Mean == s.Points[s.Best].Score.Mean {
				ties++
			}
			if !s.NotWorse(i) {
				worse++
			}
		}
	}
	return ties, worse, failing
}

// others tells how the other points stand against the best.
func (s sweptOver) others(worse int) string {
	alike := len(s.Alike) - 1
	each := units.Counted(s.Points[s.Best].Score.N, "rehearsal") + " a point"
	switch {
	case !s.Told:
		return fmt.Sprintf(" With %s nothing can be shown to be worse: this grid needs %d at least (-n %d).", each,
			s.Fewest, s.Fewest)
	case s.Nominal && alike > 0:
		return fmt.Sprintf(" Other points that score the same: %d.", alike)
	case s.Nominal:
		return ""
	case worse == 0 && alike > 0:
		return fmt.Sprintf(" No other point is shown to be worse by %s: the choice matters little, or more rehearsals "+
			"(-n) are needed.", each)
	case alike > 0:
		return fmt.Sprintf(" Other points that are not shown to be worse: %d.", alike)
	case worse > 0 && worse == len(s.Points)-1:
		return " Every other point is worse."
	case worse > 0:
		return fmt.Sprintf(" Points that are worse: %d.", worse)
	}
	return ""
}

// scoreScale is the scale of scores that all points share.
type scoreScale struct {
	low, high   float64 // at the track's ends
	least, most float64 // the scores at which it is labelled
	bins        [][]stats.Bin
	tallest     float64 // the greatest count of a bin
}

func newScoreScale(f *results.File, s analysis.Sweep) scoreScale {
	c := scoreScale{low: math.Inf(1), high: math.Inf(-1), bins: analysis.PointBins(f)}
	for i := range s.Points {
		if p := &s.Points[i]; p.Score.N > 0 {
			half := analysis.HalfWidth(p.Score)
			c.low, c.high = min(c.low, p.Score.Least, p.Score.Mean-half), max(c.high, p.Score.Most, p.Score.Mean+half)
		}
	}
	if !(c.high > c.low) {
		c.high = c.low + 1
	}
	c.least, c.most, c.tallest = math.Floor(c.low), math.Ceil(c.high), float64(fullest(c.bins...))
	margin := 0.03 * (c.most - c.least)
	c.low, c.high = c.least-margin, c.most+margin
	return c
}

func (c scoreScale) at(score float64) float64 { return (score - c.low) / (c.high - c.low) }

// The columns of a track, in shares of it: scores are told apart even where many are in one bin, and the band above
// stays free.
const (
	columnWidth  = 0.02
	columnHeight = 0.75
)

func (c scoreScale) track(s analysis.Sweep, i int) Track {
	p := &s.Points[i]
	half := analysis.HalfWidth(p.Score)
	out := Track{Tall: true, Label: fmt.Sprintf("mean %.2f, 95 %% from %.2f to %.2f, all from %.6g to %.6g",
		p.Score.Mean, p.Score.Mean-half, p.Score.Mean+half, p.Score.Least, p.Score.Most),
		Ticks: []float64{c.at(p.Score.Mean)}}
	for _, b := range c.bins[i] {
		if b.Count > 0 {
			poor := s.For == "" && (b.From < s.Need || p.Good.Hits == 0)
			out.Bars = append(out.Bars, Bar{"column " + bad(poor), c.at(b.From) - columnWidth/2, columnWidth,
				columnHeight * float64(b.Count) / c.tallest})
		}
	}
	if half > 0 {
		from := c.at(p.Score.Mean - half)
		out.Bars = append(out.Bars, Bar{Class: "range", From: from, Width: c.at(p.Score.Mean+half) - from})
	}
	return out
}

// last is when the last piece of each point's rehearsals was scored.
func (s sweptOver) last(f *results.File) Section {
	seconds := f.Header.Seconds
	out := Section{Title: "Timeline: the last piece scored", On: OnPage}
	if !slices.ContainsFunc(s.Points, func(p analysis.Point) bool { return p.Last.N > 0 }) {
		out.Note = "No piece was scored at any point."
		return out
	}
	out.Table = s.table(mostTimed, "#scored at all", "#median", "when")
	out.Note = trackNote(seconds, "") + s.onlyShown(out.Table)
	for i := range s.Points {
		if p := &s.Points[i]; p.Score.N > 0 {
			row := s.add(out.Table, i, fmt.Sprintf("%d of %d", p.Last.N, p.Score.N), medianWords(p.Last), "")
			row.Cells[len(row.Cells)-1].Tracks = []Track{timeTrack(p.Last, f.Header.Variants[0].Plan.Last, seconds)}
		}
	}
	return out
}

// leaves lists where rehearsals that were not good left the plan, over all points.
func (s sweptOver) leaves(f *results.File) Section {
	out := Section{Title: "Where they first left the plan", On: OnPage, Note: fmt.Sprintf(
		"Rehearsals that were not good (fewer than %s, or a routine that failed with an error), at any point, by the first "+
			"thing that went another way than in the plan: "+
			"the nominal rehearsal with nothing varied.", units.Counted(s.Need, "point"))}
	list := analysis.Leaves(f)
	if len(list) == 0 {
		out.Note = "Every rehearsal was good."
		return out
	}
	out.Table = newList("first departure", "#median", "#at points", "most often at")
	for i, l := range list {
		words := groupWords(analysis.Group{Words: l.Words, Text: l.Text, Texts: map[bool]int{false: 1, true: 2}[l.Varies]})
		out.Table.Add(fmt.Sprint(l.Count), words, fmt.Sprintf("%.2f s", l.T.Median),
			fmt.Sprintf("%d of %d", l.Points, len(s.Points)), fmt.Sprintf("%s (%d)", s.Points[l.Most].Label, l.MostHad)).
			Mark = markOf(i)
	}
	return out
}

// CSV writes one line a point, for spreadsheets. What a point does not have is empty.
func CSV(w io.Writer, s analysis.Sweep) error {
	out := csv.NewWriter(w)
	var head []string
	for _, a := range s.Axes {
		name := a.Name
		if a.Unit != "" {
			name += " [" + a.Unit + "]"
		}
		head = append(head, name)
	}
	name := sweptOver{s, nil}.name()
	head = append(head, "rehearsals", name, "sd", "least", "most", "good", "good low 95 %", "good high 95 %",
		"last piece scored [s]", "worse than best", "p", "failed")
	if s.For != "" {
		head = append(head, "lacking")
	}
	out.Write(head)
	for i := range s.Points {
		p := &s.Points[i]
		var row []string
		for k, a := range s.Axes {
			row = append(row, number(a.Values[p.At[k]]))
		}
		row = append(row, strconv.Itoa(p.Done))
		row = append(row, numbers(p.Score.N > 0, p.Score.Mean, p.Score.SD, p.Score.Least, p.Score.Most)...)
		row = append(row, numbers(p.Done > 0, p.Good.Portion(), p.Good.Interval.Low, p.Good.Interval.High)...)
		row = append(row, numbers(p.Last.N > 0, p.Last.Mean)...)
		row = append(append(row, numbers(p.Score.N > 0, p.Worse, p.P)...), strconv.Itoa(p.Failed))
		if s.For != "" {
			row = append(row, strconv.Itoa(p.Lacks))
		}
		out.Write(row)
	}
	out.Flush()
	return out.Error()
}

// numbers are cells of a table, empty where there is nothing that they tell.
func numbers(told bool, list ...float64) []string {
	cells := make([]string, len(list))
	for i, x := range list {
		if told {
			cells[i] = number(x)
		}
	}
	return cells
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 8, 64) }
