package window

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/render/picture"
)

// studyPage tells of the study.
type studyPage struct {
	*shared
	told    *report.Document
	made    *report.Document // of which that is
	set     *picture.Print
	printed *report.Document // of which that is
	of      print            // what it depends on beside
}

// document is what there is to tell.
func (p *studyPage) document() *report.Document {
	study := p.model.Study()
	switch {
	case study == nil:
		return &report.Document{Sections: []report.Section{{Title: "No study yet", Lines: []string{
			p.action("studies").told() + " begins one: how often does the routine work, why not, is it better than before?"}}}}
	case study.Seen.Told == nil:
		return &report.Document{Sections: []report.Section{{Lines: []string{"Nothing to tell yet: the first rehearsals " +
			"are under way."}}}}
	case p.made != study.Seen.Told:
		p.made, p.told = study.Seen.Told, p.forHands(study.Seen.Told)
	}
	return p.told
}

// forHands is a document for those who can click on its rows instead of giving a command, and who have the routine
// before them.
func (p *studyPage) forHands(d *report.Document) *report.Document {
	out := *d
	out.Title = "" // what follows says it too
	out.Sections = append([]report.Section(nil), d.Sections...)
	for i := range out.Sections {
		s := &out.Sections[i]
		if s.Table == nil {
			continue
		}
		table := *s.Table
		table.Rows = append([]report.Row(nil), table.Rows...)
		table.Columns = append([]report.Column(nil), table.Columns...)
		for k, column := range table.Columns {
			if words := alone[column.Name]; words != "" {
				table.Columns[k].Name = words
			}
		}
		for k := range table.Rows {
			row := &table.Rows[k]
			row.Cells = append([]report.Cell(nil), row.Cells...)
			for n := range row.Cells {
				row.Cells[n].Words = p.model.WithCallers(row.Cells[n].Words)
			}
			if len(row.Commands) > 0 && row.Shows != nil {
				row.More = append(row.More[:len(row.More):len(row.More)], fmt.Sprintf("click or %s: seed %d",
					p.action("rehearsals").keyWords(), row.Shows.Seed))
				row.Commands = nil
			}
		}
		s.Table = &table
	}
	if _, is := d.Data.(analysis.Trials); is { // why it fails comes first
		slices.SortStableFunc(out.Sections, func(a, b report.Section) int { return cmp.Compare(rank(&a), rank(&b)) })
		for i, s := range out.Sections {
			if s.Table == nil && len(s.Lines) > 0 { // what the large number is of, which is not told twice
				lead := report.Section{Lines: s.Lines[:1]}
				out.Sections[i].Lines = s.Lines[1:]
				out.Sections = slices.Insert(out.Sections, 0, lead)
				break
			}
		}
	}
	return &out
}

// alone are names of columns as they are understood without the table's head over them.
var alone = map[string]string{"of those": "share of these", "median": "half of them by",
	"b higher, lower in": "b higher in, lower in"}

// rank puts what can be clicked before all else.
func rank(s *report.Section) int {
	if s.Table != nil && len(s.Table.Rows) > 0 && s.Table.Rows[0].Shows != nil {
		return 0
	}
	return 1
}

// printStudy sets the document, where it is not set yet.
func (n *notebook) printStudy(page Rect) *picture.Print {
	p, d := &n.study, n.study.document()
	content := noPrint.numbers(page.W).colour(n.accent)
	if p.set == nil || p.of != content || p.printed != d {
		p.set, p.of, p.printed = n.paper(page).Print(d), content, d
	}
	return p.set
}

// drawStudy writes the page and gives its height.
func (n *notebook) drawStudy(page Rect, s *scroll) float64 {
	p := n.printStudy(page)
	p.Draw(n.pen, &n.drawer, pointAt(page.X+pageEdge, page.Y+10-s.at), page.Y, page.Bottom())
	n.cut = append(n.cut, p.Cut...)
	n.eachTrial(page, func(_ picture.PrintedRow, r Rect) {
		if r.Contains(n.hand.X, n.hand.Y) && n.card == nil {
			n.pen.Rect(r.X, r.Y, 3, r.H, n.accent)
		}
	})
	return p.Height + 16
}

// eachTrial gives the rows that a rehearsal shows, with where they are seen.
func (n *notebook) eachTrial(page Rect, do func(picture.PrintedRow, Rect)) {
	at := page.Y + 10 - n.scroll[n.model.Tab].at
	for _, row := range n.printStudy(page).Rows {
		top, bottom := math.Max(at+row.Top, page.Y), math.Min(at+row.Top+row.High, page.Bottom())
		if bottom-top > 4 {
			do(row, Rect{X: page.X + 2, Y: top, W: page.W - 8, H: bottom - top})
		}
	}
}

// placeTrials lets them be clicked.
func (n *notebook) placeTrials() {
	i := 0
	n.eachTrial(n.area(), func(row picture.PrintedRow, r Rect) {
		i++
		n.add(element{Name: fmt.Sprintf("trial %d", i), Rect: r, Bare: true,
			Tip: n.model.Study().TrialWords(row.Trial) + ": a click shows it", Do: func() { n.model.OpenTrial(row.Trial) }})
	})
}
