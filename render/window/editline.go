package window

import (
	"cmp"
	"strings"
	"unicode"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/window/canvas"
	"chalkfield/render/window/viewmodel"
)

// editLine lets one line of the routine's page be written anew. What can be read of it is rehearsed at every letter;
// the file is written by Enter.
type editLine struct {
	*shared
	notebook *notebook
	numbers  *numbers
	open     bool
	line     int     // from 1
	text     []rune  // as it is edited
	caret    int     // before that letter
	since    float64 // s since the last click on a line
	last     int     // that line
	pointed  int     // the line that a menu was opened on; 0: none

	reference []viewmodel.Known
	bot       string            // as the robot is called in the line
	offers    []viewmodel.Known // what may be meant at the caret
	from      int               // the letter at which the name begins that they would replace
	chosen    int               // of them
}

// at is the line of the routine at the pointer, 0 for none.
func (e *editLine) at() int {
	line := 0
	page := e.numbers.page()
	if page.H <= 0 || e.card != nil || !page.Contains(e.hand.X, e.hand.Y) {
		return 0
	}
	e.notebook.routine.rows(page, e.notebook.scroll[viewmodel.RoutineTab], func(y float64, row foldedLine) {
		if e.hand.Y >= y && e.hand.Y < y+codeRow {
			line = row.number
		}
	})
	return line
}

// meant is the line that was pointed at, else the one that was looked for and is lit, else the one that runs.
func (e *editLine) meant() int {
	lit := e.notebook.routine.found
	if e.model.Follows {
		lit = 0
	}
	return cmp.Or(e.pointed, e.at(), lit, e.model.LineNow(), 1)
}

// begin opens a line.
func (e *editLine) begin(line int) {
	text, err := e.model.HoldLine(line)
	if err != nil {
		e.model.Say("Not edited: " + err.Error() + ".")
		return
	}
	e.notebook.showLine(line)
	e.open, e.line, e.text, e.caret = true, line, []rune(text), len([]rune(text))
	e.reference, e.bot, e.offers = viewmodel.Reference(e.model.Machine()), e.model.BotInHand(), nil
}

// settle writes the line when something else is clicked.
func (e *editLine) settle() {
	if e.hand.Menu {
		e.pointed = e.at()
	}
	if e.open && (e.hand.Pressed || e.hand.Menu) && e.at() != e.line && !e.offered() {
		e.write()
	}
}

func (e *editLine) point() {
	if _, held := e.model.Held(); !held {
		e.open = false
	}
	if e.since += e.passed; e.card == nil {
		e.pointed = 0
	}
	if !e.hand.Pressed || e.open {
		return
	}
	if line := e.at(); line > 0 && line == e.last && e.since < doubleClick {
		e.last = 0
		e.begin(line)
	} else {
		e.last, e.since = line, 0
	}
}

// write writes the line into the file, if it can be read; else it stays open.
func (e *editLine) write() {
	if err := e.model.Unreadable(); err != nil {
		e.model.Warn("Not written yet: " + viewmodel.FaultOf(err).Short() + ".")
		return
	}
	e.open = false
	e.numbers.write()
}

func (e *editLine) keys() {
	for _, key := range e.hand.Keys {
		if len(e.offers) > 0 && e.offerKey(key) {
			continue
		}
		switch key {
		case ebiten.KeyEscape:
			e.open = false
			e.model.Drop()
			return
		case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
			e.write()
			return
		}
		e.key(key)
	}
	if !e.hand.Ctrl && !e.hand.Alt {
		e.insert(e.hand.Runes)
	}
}

// key moves the caret or takes letters away.
func (e *editLine) key(key ebiten.Key) {
	switch key {
	case ebiten.KeyArrowLeft:
		e.moveTo(max(e.caret-1, 0))
	case ebiten.KeyArrowRight:
		e.moveTo(min(e.caret+1, len(e.text)))
	case ebiten.KeyHome:
		e.moveTo(0)
	case ebiten.KeyEnd:
		e.moveTo(len(e.text))
	case ebiten.KeyTab:
		e.offer()
	case ebiten.KeyBackspace:
		if e.caret > 0 {
			e.replace(e.caret-1, e.caret, nil)
		}
	case ebiten.KeyDelete:
		if e.caret < len(e.text) {
			e.replace(e.caret, e.caret+1, nil)
		}
	case ebiten.KeyV:
		if text, err := fromClipboard(); e.hand.Ctrl && err == nil {
			first, _, _ := strings.Cut(text, "\n")
			e.insert([]rune(first))
		}
	}
}

const longestLine = 1000 // letters that are typed into a line

func (e *editLine) insert(letters []rune) {
	for _, r := range letters {
		if unicode.IsPrint(r) && len(e.text) < longestLine {
			e.replace(e.caret, e.caret, []rune{r})
		}
	}
}

// replace puts letters in place of others, and tries the line as it is then.
func (e *editLine) replace(from, to int, letters []rune) {
	e.text = append(append(append([]rune{}, e.text[:from]...), letters...), e.text[to:]...)
	e.caret = from + len(letters)
	e.model.Try(string(e.text))
	e.offer()
}

func (e *editLine) moveTo(caret int) { e.caret, e.offers = caret, nil }

// row is where the line stands in the page; empty: it is not seen.
func (e *editLine) row(page Rect) (row Rect) {
	e.notebook.routine.rows(page, e.notebook.scroll[viewmodel.RoutineTab], func(y float64, line foldedLine) {
		if line.number == e.line && line.first {
			row = Rect{X: page.X + codeLeft - 3, Y: y, W: page.W - codeLeft - 4, H: codeRow}
		}
	})
	return row
}

// draw paints the line over its row, scrolled so that the caret is seen, and under it what is wrong or comes of it.
func (e *editLine) draw() {
	page := e.numbers.page()
	if !e.open || page.H <= 0 {
		return
	}
	row := e.row(page)
	if row.W <= 0 {
		return
	}
	advance := canvas.MonoAdvance(codeSize, e.density)
	shown := int(row.W/advance) - 1
	from := max(0, e.caret-shown)
	words := strings.ReplaceAll(string(e.text[from:min(len(e.text), from+shown)]), "\t", " ")
	e.pen.Rect(row.X-1, row.Y-1, row.W+2, row.H+2, e.accent)
	e.fill(row, e.raised)
	e.mono(words, Rect{X: row.X + 3, Y: row.Y, W: row.W, H: row.H}, codeSize, false, scene.Chalk)
	e.pen.Rect(row.X+3+float64(e.caret-from)*advance, row.Y+2, 2, row.H-4, e.accent)
	e.drawUnder(page, row)
}
