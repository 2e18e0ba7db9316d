package report

import (
	"fmt"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

// Model is the caution that stands below everything that rehearsals suggest to do with a real robot.
const Model = "A rehearsal is a model. First runs of a changed routine on the real robot: at low speed, on blocks or " +
	"with the field clear, a person at the\n" +
	"disable switch, eye protection on, air released before hands go in. The event's rules and the people in charge of " +
	"the site decide."

// Study tells what a study of any kind shows. It needs a result at least, a comparison two pairs.
func Study(in units.System, f *results.File) (d *Document, err error) {
	switch f.Header.Kind {
	case results.Compare:
		d, err = comparison(f)
	case results.Sweep:
		d, err = sweep(f)
	default:
		d, err = trials(in, f)
	}
	if err != nil {
		return nil, err
	}
	d.In = in
	d.retell()
	return d, nil
}

// retell tells in a person's units what lists say of rehearsals, which a study keeps in metric ones.
func (d *Document) retell() {
	for _, s := range d.Sections {
		if s.Table == nil || s.Table.Look != List {
			continue
		}
		for _, row := range s.Table.Rows {
			if len(row.Cells) > 1 {
				row.Cells[1].Words = d.In.Retold(row.Cells[1].Words)
			}
		}
	}
}

// Part tells of a part of a study that by itself shows nothing.
func Part(shard results.Shard, have, due int) *Document {
	words := fmt.Sprintf("%d of %s done.", have, units.Counted(due, "rehearsal"))
	if due == 0 {
		words = "it has no rehearsals, because there are fewer of them than parts; all is well."
	}
	return &Document{
		Head: []string{fmt.Sprintf("Part %d of %d: %s Merge the parts for the result.", shard.Number, shard.Of, words)},
		Data: struct {
			Shard results.Shard `json:"shard"`
			Have  int           `json:"have"`
			Due   int           `json:"due"`
		}{shard, have, due},
	}
}

// failuresListed is how many lines with errors a terminal shows.
const failuresListed = 5

// errorsAt lists errors with the command that opens the first rehearsal of each; nothing of none.
func errorsAt(title string, list []analysis.Failure, point int) []Section {
	if len(list) == 0 {
		return nil
	}
	t := newList("error", "#at")
	t.Most, t.Rest = failuresListed, "      and at "+units.Counted(len(list)-failuresListed, "other line")
	for _, f := range list {
		t.Add(fmt.Sprint(f.Count), f.Words(), fmt.Sprintf("%.2f s", f.T)).see("see one", f.Open,
			Trial{point, f.Seed})
	}
	return []Section{{Title: title, Table: t}}
}

// newList counts something, and says what it is, in a line each.
func newList(names ...string) *Table {
	t := &Table{Look: List, Columns: heads(append([]string{"#how many"}, names...)...)}
	t.Columns[0].Width = 4
	return t
}

// see adds a command, if there is one. It brings a rehearsal up.
func (r *Row) see(words, command string, of Trial) {
	if command != "" {
		r.Commands = append(r.Commands, Command{words, command})
	}
	if r.Shows == nil {
		r.Shows = &of
	}
}

// Numbered is how many groups of departures a terminal lists and a picture numbers.
const Numbered = 8

// groups lists the rehearsals that were not good by where they first left the plan.
func groups(title string, list []analysis.Group, good analysis.Share, point int) Section {
	if len(list) == 0 {
		return Section{Lines: []string{"Every rehearsal was good."}}
	}
	t := newList("first departure", "#of those", "#median", "#mean score")
	t.Columns[2].On = OnPage
	rest := 0
	for i, g := range list {
		share := float64(g.Count) / float64(good.Of-good.Hits)
		row := t.Add(fmt.Sprint(g.Count), groupWords(g), fmt.Sprintf("%.0f %%", 100*share),
			fmt.Sprintf("%.2f s", g.T.Median), fmt.Sprintf("%.1f", g.Score))
		row.Mark = markOf(i)
		if g.Good > 0 {
			row.More = append(row.More, goodAllTheSame(g.Good))
		}
		row.More = append(row.More, lines(g.Goes)...)
		row.see("see one", g.Open, Trial{point, g.Seed})
		if i >= Numbered {
			rest += g.Count
		}
	}
	t.Most = Numbered
	t.Rest = fmt.Sprintf("%4d  in %s", rest, units.Counted(len(list)-Numbered, "smaller group"))
	return Section{Title: title, Table: t}
}

// markOf is the number by which a picture calls a group; "" for those that it does not number.
func markOf(group int) string {
	if group >= Numbered {
		return ""
	}
	return fmt.Sprint(group + 1)
}

// goodAllTheSame tells of those that departed in the same way and were good.
func goodAllTheSame(n int) string {
	if n == 1 {
		return "1 other left it there too and was good"
	}
	return fmt.Sprintf("%d others left it there too and were good", n)
}

// groupWords is the group's words, with the text of a routine error as an example.
func groupWords(g analysis.Group) string {
	switch {
	case g.Text == "":
		return g.Words
	case g.Texts == 1:
		return g.Words + ": " + g.Text
	}
	return g.Words + ", one of them: " + g.Text
}

// binWords names a bin by its scores: "14" for one of one whole point, else "10 to 15".
func binWords(b stats.Bin, number string) string {
	if b.To-b.From == 1 {
		return fmt.Sprintf(number, b.From)
	}
	return fmt.Sprintf(number+" to "+number, b.From, b.To)
}

// histogram has a row a bin that is not empty. Bins below need are bad.
func histogram(of, counted, number string, bins []stats.Bin, need float64) *Table {
	t := &Table{Look: Plain, Columns: heads("#"+of, "#"+counted+"s", "")}
	t.Columns[1].Width, t.Columns[2].Width = 5, 40
	most := fullest(bins)
	for _, b := range bins {
		if b.Count > 0 {
			row := t.Add(binWords(b, number), fmt.Sprint(b.Count))
			row.Cells = append(row.Cells, bar(bad(b.From < need), units.Counted(b.Count, counted),
				float64(b.Count)/float64(most)))
		}
	}
	return t
}

func fullest(lists ...[]stats.Bin) int {
	most := 1
	for _, bins := range lists {
		for _, b := range bins {
			most = max(most, b.Count)
		}
	}
	return most
}

// bad is the class of a bar that tells of what went wrong.
func bad(is bool) string {
	if is {
		return "bad"
	}
	return ""
}

// timeTrack draws when something came over the seconds of the session, in those that had it, and when the plan has it.
func timeTrack(d stats.Distribution, plan, seconds float64) Track {
	var t Track
	if plan >= 0 {
		t.Label = fmt.Sprintf("planned at %.2f s, ", plan)
		t.Marks = []float64{plan / seconds}
	}
	if d.N == 0 {
		t.Label += "reached by none"
		return t
	}
	t.Label += fmt.Sprintf("median %.2f s, 5 %% to 95 %%: %s", d.Median, fromTo95(d))
	t.Bars = []Bar{{Class: "range", From: d.P5 / seconds, Width: (d.P95 - d.P5) / seconds}}
	t.Ticks = []float64{d.Median / seconds}
	return t
}

// fromTo95 is "1.58 to 1.61 s".
func fromTo95(d stats.Distribution) string { return fmt.Sprintf("%.2f to %.2f s", d.P5, d.P95) }

// medianWords is "1.59 s", or "-" of nothing.
func medianWords(d stats.Distribution) string {
	if d.N == 0 {
		return "-"
	}
	return fmt.Sprintf("%.2f s", d.Median)
}

// trackNote explains a column of timeTracks.
func trackNote(seconds float64, whose string) string {
	return fmt.Sprintf("Over the %.6g s of the session%s: dashed, when the plan has it; solid line, the median; band, "+
		"5 %% to 95 %% of the rehearsals that reached it.", seconds, whose)
}
