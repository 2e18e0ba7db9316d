package window

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// times tells where the routine's time goes, and which numbers and options bring its end sooner, in a list beside the
// field.
type times struct {
	*shared
	numbers *numbers
	disk    *disk
	goesOn  bool // numbers are looked for anew whenever the routine has become another, until all are tried
	tenths  int  // of the search under way, as last drawn
	order   []soonerRow
	of      *viewmodel.Search // whose order that is
	taken   *soonerTaken      // the last one written; nil: none
}

// soonerTaken is one that was written, which its row takes back.
type soonerTaken struct {
	viewmodel.Sooner
	steps int // that could be undone when it was written
}

// soonerRow is where an offer stands in the list, with the words that stand there when it is gone.
type soonerRow struct {
	viewmodel.Spot
	words string
	costs bool // it stands among those that lose points
}

func (r soonerRow) id() string {
	return fmt.Sprintf("%s %d of line %d", cmp.Or(r.Option, "number"), r.Nth, r.Line)
}

func (t *times) draw() {}

// want goes on with the search, and has the window drawn as it comes on.
func (t *times) want(*wants) {
	s := t.model.Search()
	_, busy := t.model.Busy()
	_, held := t.model.Held()
	if old := t.model.SearchIsOld(); t.goesOn && old && !busy && !held && t.shared.card == nil {
		t.look()
	} else if s != nil && s.Ended && !old {
		t.goesOn = false
	}
	if s := t.model.Search(); s != nil && !s.Ended {
		now := int(10 * s.Progress())
		t.stale = t.stale || now != t.tenths
		t.tenths = now
	}
}

// showList opens the list.
func (t *times) showList() {
	c := &card{name: "times", key: ebiten.KeyArrowDown, passes: true,
		foot: "Enter or a click goes to a line, or writes a number, and once more takes it back. Ctrl+B compares 200 seeds " +
			"with before. Esc closes."}
	c.rows = func() []cardRow {
		c.title = t.model.EndWords() // it is seen wherever the rows are
		return t.rows()
	}
	t.lay(c)
}

func (t *times) rows() []cardRow {
	rows := t.soonerRows()
	rows = append(rows, cardRow{label: "The longest lines", head: true})
	list := t.model.LineTimes()
	for _, line := range list {
		label := fmt.Sprintf("%.2f s  line %d: %s", line.Took, line.Line, strings.TrimPrefix(line.Text, "bot."))
		label = paint.Fit(paint.Clean(label), math.Max(t.frame.Panel.W, leastDock)-rowSides, small, false)
		rows = append(rows, cardRow{label: label, keeps: true, about: line.Words() + ": " + line.Text,
			do: func() { t.goTo(line.Line) }})
	}
	if len(list) == 0 {
		rows = append(rows, cardRow{label: t.model.LineWords(1)})
	}
	return rows
}

// soonerRows are the numbers that bring the end sooner, or what looks for them.
func (t *times) soonerRows() []cardRow {
	rows := []cardRow{{label: "Sooner by one change", head: true}}
	s := t.model.Search()
	try := cardRow{label: "Try every number", note: "which save time?", keeps: true, do: t.look,
		about: "each alone, smaller and larger, and motions with an option more: what ends sooner, and what it does to " +
			"the points in " + t.model.SoonerSeeds() + "."}
	switch {
	case s == nil:
	case s.Ended:
		try.label, try.note = "Try every number again", ""
	default:
		try = cardRow{label: "Trying every number: give it up", note: fmt.Sprintf("%.0f %%", 100*s.Progress()), keeps: true,
			do: func() { t.goesOn = false; t.model.StopSearch() }}
	}
	if rows = append(rows, try); s == nil {
		return rows
	}
	if points := t.model.SoonerPoints(); points != "" {
		rows = append(rows, cardRow{label: points})
	}
	t.arrange(s)
	rows = append(rows, t.offers(s, false)...)
	if costly := t.offers(s, true); len(costly) > 0 {
		rows = append(append(rows, cardRow{label: "Sooner, but with fewer points", head: true}), costly...)
	}
	if s.Ended && len(s.Found) == 0 {
		rows = append(rows, cardRow{label: "Nothing more was found in this pass."})
	}
	return rows
}

// offers are the rows of what was found that loses points on average, or of what does not.
func (t *times) offers(s *viewmodel.Search, costs bool) []cardRow {
	var rows []cardRow
	for i := range t.order {
		if r := &t.order[i]; r.costs == costs {
			row := t.offer(s, r)
			row.id, row.keeps = r.id(), true
			rows = append(rows, row)
		}
	}
	return rows
}

// arrange puts what is found into an order. While the pointer is on the list, nothing of it moves, and the row that is
// chosen goes on only when another is.
func (t *times) arrange(s *viewmodel.Search) {
	over := t.frame.Panel.Contains(t.hand.X, t.hand.Y)
	if t.of != s && (!over || t.of == nil || !t.of.Follows(s)) {
		t.order = slices.DeleteFunc(t.order, func(r soonerRow) bool {
			return t.of == nil || !t.of.Follows(s) || !t.isChosen(r)
		})
	}
	t.of = s
	for _, one := range s.Found {
		if !slices.ContainsFunc(t.order, func(r soonerRow) bool { return r.Spot == one.Spot() }) {
			t.order = append(t.order, soonerRow{Spot: one.Spot(), costs: one.Costs()})
		}
	}
	if over {
		return
	}
	t.order = slices.DeleteFunc(t.order, func(r soonerRow) bool { return r.in(s) < 0 && !t.isChosen(r) })
	for i := range t.order {
		if r := &t.order[i]; r.in(s) >= 0 {
			r.costs = s.Found[r.in(s)].Costs()
		}
	}
	if s.Ended {
		slices.SortStableFunc(t.order, func(a, b soonerRow) int { return cmp.Compare(b.saves(s), a.saves(s)) })
	}
}

// isChosen reports whether the list's cursor is on a row.
func (t *times) isChosen(r soonerRow) bool {
	return t.beside != nil && t.beside.name == "times" && t.beside.followed == r.id()
}

// in is the place of the row's offer among what is found, -1 when it is gone.
func (r soonerRow) in(s *viewmodel.Search) int {
	return slices.IndexFunc(s.Found, func(o viewmodel.Sooner) bool { return o.Spot() == r.Spot })
}

// saves is what its offer saves, s; one that is gone stands first.
func (r soonerRow) saves(s *viewmodel.Search) float64 {
	if at := r.in(s); at >= 0 {
		return s.Found[at].Saves
	}
	return math.Inf(1)
}

// offer is the row of one.
func (t *times) offer(s *viewmodel.Search, r *soonerRow) cardRow {
	at := r.in(s)
	switch taken := t.taken; {
	case at < 0 && taken != nil && taken.Spot() == r.Spot:
		return cardRow{label: taken.Words(), note: "written",
			about: "Enter or a click takes it back.", do: t.takeBack}
	case at < 0:
		return cardRow{label: r.words, note: "gone", do: func() { t.model.Say("That saves nothing any more.") }}
	}
	one := s.Found[at]
	r.words = fmt.Sprintf("-%.2f s  %s", one.Saves, one.Words())
	row := cardRow{label: r.words, do: func() { t.take(one) },
		about: t.model.LineText(one.Line) + ". " + t.model.SoonerWords(one) + " Enter writes it."}
	if one.Points != 0 {
		row.note = fmt.Sprintf("%+.2g points", one.Points)
	}
	if one.Stale {
		row.note = "?"
		row.about = "Found before the last change; it is being tried again. " + row.about
	}
	return row
}

// look begins to look for numbers.
func (t *times) look() {
	t.goesOn = true
	if err := t.model.BeginSearch(); err != nil {
		t.goesOn = false
		t.model.Say("Not tried: " + err.Error() + ".")
	}
}

// take writes a number that was found, and looks for others then.
func (t *times) take(one viewmodel.Sooner) {
	if err := t.model.HoldSooner(one); err != nil {
		t.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	t.goesOn = true
	t.taken = &soonerTaken{one, t.model.UndoSteps()}
	t.numbers.notebook.lightLine(one.Line)
	t.numbers.write()
}

// takeBack undoes the one that was written last, unless something else was done since.
func (t *times) takeBack() {
	if t.model.UndoSteps() != t.taken.steps+1 {
		t.model.Say("Something else was done since: Ctrl+Z takes one after the other back.")
		return
	}
	t.taken = nil
	t.disk.travel((*viewmodel.Model).Undo)
}

// goTo shows a line and the time at which it runs.
func (t *times) goTo(line int) {
	t.numbers.notebook.find(line)
	t.model.RunTo(line)
}
