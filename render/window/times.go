package window

import (
	"fmt"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// times tells where the routine's time goes, and which numbers bring its end sooner, in a list beside the field.
type times struct {
	*shared
	numbers *numbers
	again   bool // numbers are looked for anew once what was taken has been rehearsed
	tenths  int  // of the search under way, as last drawn
}

const lineLetters = 17 // of a line that stand in its row; all of it is told under the rows

func (t *times) draw() {}

// want goes on with the search, and has the window drawn as it comes on.
func (t *times) want(*wants) {
	if _, busy := t.model.Busy(); t.again && !busy && t.shared.card == nil && !t.numbers.held() {
		t.again = false
		t.look()
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
			do: func() { t.again = false; t.model.StopSearch() }}
	}
	if rows = append(rows, try); s == nil {
		return rows
	}
	for _, one := range s.Found {
		row := cardRow{label: fmt.Sprintf("-%.2f s  line %d: %s → %s", one.Saves, one.Line, one.Old, one.New), keeps: true,
			do: func() { t.take(one) }, about: t.model.LineText(one.Line) + ". As many points in " + t.model.SoonerSeeds() +
				". Enter writes it; the others are then tried again."}
		if one.Points > 0 {
			row.note = fmt.Sprintf("%+g points", one.Points)
		}
		rows = append(rows, row)
	}
	if s.Ended && len(s.Found) == 0 {
		rows = append(rows, cardRow{label: "No single number brings it sooner."})
	}
	return rows
}

// look begins to look for numbers.
func (t *times) look() {
	if err := t.model.BeginSearch(); err != nil {
		t.model.Say("Not tried: " + err.Error() + ".")
	}
}

// take writes a number that was found, and looks for others then.
func (t *times) take(one viewmodel.Sooner) {
	if err := t.model.HoldSooner(one); err != nil {
		t.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	t.again = true
	t.numbers.notebook.lightLine(one.Line)
	t.numbers.write()
}

// goTo shows a line and the time at which it runs.
func (t *times) goTo(line int) {
	t.numbers.notebook.find(line)
	t.model.RunTo(line)
}
