package window

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// times tells where the routine's time goes, and which numbers bring its end sooner, in a list beside the field.
type times struct {
	*shared
	numbers *numbers
	goesOn  bool // numbers are looked for anew whenever the routine has become another, until all are tried
	tenths  int  // of the search under way, as last drawn
	order   []soonerRow
	of      *viewmodel.Search // whose order that is
}

// soonerRow is where an offer stands in the list, with the words that stand there when it is gone.
type soonerRow struct {
	line, nth int
	words     string
}

const lineLetters = 17 // of a line that stand in its row; all of it is told under the rows

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
		foot: "Enter or a click goes to a line, or takes a number and writes it. In brackets: against the routine as it " +
			"was opened. Esc closes."}
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
		words := []rune(strings.TrimPrefix(strings.TrimPrefix(line.Text, "bot."), "drive:"))
		if len(words) > lineLetters {
			words = append(words[:lineLetters-1], '…')
		}
		label := fmt.Sprintf("%.2f s  line %d: %s", line.Took, line.Line, string(words))
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
	rows := []cardRow{{label: "Sooner by one number", head: true}}
	s := t.model.Search()
	try := cardRow{label: "Try every number", note: "which save time?", keeps: true, do: t.look,
		about: "each alone, smaller and larger: what ends sooner and scores no less in " + t.model.SoonerSeeds()}
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
	t.arrange(s)
	for i := range t.order {
		rows = append(rows, t.offer(s, &t.order[i]))
	}
	if s.Ended && len(s.Found) == 0 {
		rows = append(rows, cardRow{label: "Nothing more was found in this pass."})
	}
	return rows
}

// arrange puts what is found into an order. While the pointer is on the list, nothing of it moves.
func (t *times) arrange(s *viewmodel.Search) {
	over := t.frame.Panel.Contains(t.hand.X, t.hand.Y)
	if t.of != s && !over {
		t.order = nil
	}
	t.of = s
	for _, one := range s.Found {
		if !slices.ContainsFunc(t.order, func(r soonerRow) bool { return r.line == one.Line && r.nth == one.Nth }) {
			t.order = append(t.order, soonerRow{line: one.Line, nth: one.Nth})
		}
	}
	if over {
		return
	}
	t.order = slices.DeleteFunc(t.order, func(r soonerRow) bool { return r.in(s) < 0 })
	if s.Ended {
		slices.SortStableFunc(t.order, func(a, b soonerRow) int {
			return cmp.Compare(s.Found[b.in(s)].Saves, s.Found[a.in(s)].Saves)
		})
	}
}

// in is the place of the row's offer among what is found, -1 when it is gone.
func (r soonerRow) in(s *viewmodel.Search) int {
	return slices.IndexFunc(s.Found, func(o viewmodel.Sooner) bool { return o.Line == r.line && o.Nth == r.nth })
}

// offer is the row of one.
func (t *times) offer(s *viewmodel.Search, r *soonerRow) cardRow {
	at := r.in(s)
	if at < 0 {
		return cardRow{label: r.words, note: "gone"}
	}
	one := s.Found[at]
	r.words = fmt.Sprintf("-%.2f s  line %d: %s → %s", one.Saves, one.Line, one.Old, one.New)
	row := cardRow{label: r.words, keeps: true, do: func() { t.take(one) }, about: t.model.LineText(one.Line) +
		". As many points in " + t.model.SoonerSeeds() + ". Enter writes it; the others are then tried again."}
	switch {
	case one.Stale:
		row.note = "?"
		row.about = "Found before the last change; it is being tried again. " + row.about
	case one.Points > 0:
		row.note = fmt.Sprintf("%+g points", one.Points)
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
	t.numbers.notebook.lightLine(one.Line)
	t.numbers.write()
}

// goTo shows a line and the time at which it runs.
func (t *times) goTo(line int) {
	t.numbers.notebook.find(line)
	t.model.RunTo(line)
}
