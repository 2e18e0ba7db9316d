package window

import (
	"cmp"
	"math"
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
	line     int    // from 1
	text     []rune // as it is edited
	caret    int    // before that letter
	anchor   int    // where what is selected begins or ends, opposite the caret; there: nothing is
	past     []lineWas
	since    float64 // s since the last click on a line
	last     int     // that line
	pointed  int     // the line that a menu was opened on; 0: none
	lead     string  // what stands before the text of a line that is new: the end of the line before, and its blanks
	end      string  // what ends a line that is not
	fresh    bool    // the line is new
	blank    bool    // it was at first
	rests    float64 // s since the last letter

	reference []viewmodel.Known
	bot       string            // as the robot is called in the line
	offers    []viewmodel.Known // what may be meant at the caret
	from      int               // the letter at which the name begins that they would replace
	chosen    int               // of them
}

// lineWas is the line as it was before a letter came or went.
type lineWas struct {
	text  []rune
	caret int
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

// meant is the line that was pointed at or looked for last, else the one that runs.
func (e *editLine) meant() int {
	lit, at := e.notebook.routine.found, e.at()
	if e.model.Follows {
		lit = 0
	}
	if e.notebook.routine.keyed && lit > 0 {
		at = 0
	}
	return cmp.Or(e.pointed, at, lit, e.model.LineNow(), 1)
}

// begin opens a line.
func (e *editLine) begin(line int) {
	text, end, err := e.model.HoldLine(line)
	if err != nil {
		e.model.Say("Not edited: " + err.Error() + ".")
		return
	}
	e.lead, e.end, e.fresh = "", end, false
	e.edit(line, text)
}

// beginBelow opens a new line under a line.
func (e *editLine) beginBelow(line int) {
	lead, err := e.model.HoldBelow(line)
	if err != nil {
		e.model.Say("No line was added: " + err.Error() + ".")
		return
	}
	blanks := strings.TrimLeft(lead, "\r\n")
	e.lead, e.end, e.fresh = strings.TrimSuffix(lead, blanks), "", true
	e.edit(line+1, blanks)
}

func (e *editLine) edit(line int, text string) {
	e.notebook.showLine(line)
	e.open, e.line, e.text, e.blank, e.past = true, line, []rune(text), isBlank(text), nil
	e.moveTo(len(e.text))
	e.anchor = e.caret
	e.reference, e.bot, e.offers = viewmodel.Reference(e.model.Machine()), e.model.BotInHand(), nil
}

// goOn writes the line and opens a new one under it; a new one that is empty stays open, so that nothing typed after it
// is taken for keys.
func (e *editLine) goOn() {
	if e.empty() {
		e.model.Say("This line is empty yet: type it, or Esc leaves it out.")
		return
	}
	if e.write(); !e.open && !e.numbers.asked {
		e.beginBelow(e.line)
	}
}

// empty reports whether the line is new and has nothing yet.
func (e *editLine) empty() bool { return e.fresh && isBlank(string(e.text)) }

// takesOut reports whether nothing is left of a line that had something: it is taken out then.
func (e *editLine) takesOut() bool { return !e.fresh && !e.blank && isBlank(string(e.text)) }

func isBlank(text string) bool { return strings.TrimSpace(text) == "" }

// drop leaves all as the file has it.
func (e *editLine) drop() {
	e.open = false
	if e.fresh {
		e.notebook.routine.found = e.line - 1
	}
	e.model.Drop()
}

// settle writes the line when something else is clicked.
func (e *editLine) settle() {
	if e.hand.Menu {
		e.pointed = e.at()
	}
	if e.open && (e.hand.Pressed || e.hand.Menu) && e.at() != e.line && !e.offered() && !e.putsBack() {
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
	if e.hand.X != e.hand.lastX || e.hand.Y != e.hand.lastY {
		e.notebook.routine.keyed = false
	}
	before := e.rests
	e.rests += e.passed
	e.stale = e.stale || e.open && before < faultAfter && e.rests >= faultAfter
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
	if e.empty() {
		e.drop()
		return
	}
	if e.takesOut() {
		e.model.Try("")
	}
	if err := e.model.Unreadable(); err != nil {
		e.model.Warn("Not written yet: " + viewmodel.FaultOf(err).Short() + ".")
		return
	}
	e.open = false
	e.numbers.write()
}

// takeOut takes a line out of the file.
func (e *editLine) takeOut(line int) {
	if e.begin(line); e.open {
		e.text, e.blank = nil, false
		if e.write(); e.open {
			told := e.model.Notice.Text
			e.drop()
			e.model.Warn(told)
		}
	}
}

// choose goes to the next line, or the one before.
func (e *editLine) choose(by int) {
	if line := e.meant() + by; line >= 1 && line <= len(e.model.Source().Lines) {
		e.notebook.find(line)
	}
}

// goTo writes the line, and begins the one under it or over it.
func (e *editLine) goTo(by int) {
	line, caret := e.line+by, e.caret
	if by > 0 && (e.takesOut() || e.empty()) { // there is no such line then
		line--
	}
	if line < 1 || line > len(e.model.Source().Lines) {
		return
	}
	if e.write(); !e.open && !e.numbers.asked {
		e.begin(line)
		e.moveTo(min(caret, len(e.text)))
		e.anchor = e.caret
	}
}

func (e *editLine) keys() {
	for _, key := range e.hand.Keys {
		if len(e.offers) > 0 && !e.hand.Ctrl && !e.hand.Shift && e.offerKey(key) {
			continue
		}
		switch key {
		case ebiten.KeyEscape:
			e.drop()
			return
		case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
			if e.hand.Ctrl {
				e.goOn()
			} else {
				e.write()
			}
			return
		case ebiten.KeyArrowUp:
			e.goTo(-1)
			return
		case ebiten.KeyArrowDown:
			e.goTo(1)
			return
		}
		if e.hand.Ctrl {
			e.ctrlKey(key)
		}
		e.key(key)
	}
	if !e.hand.Ctrl && !e.hand.Alt {
		e.insert(e.hand.Runes)
	}
}

// key moves the caret, with Shift selecting, or takes letters away.
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
		e.takeAway(e.caret - 1)
	case ebiten.KeyDelete:
		e.takeAway(e.caret + 1)
	}
}

// ctrlKey does what a key means with Ctrl.
func (e *editLine) ctrlKey(key ebiten.Key) {
	from, to := e.selected()
	switch key {
	case ebiten.KeyA:
		from := len(e.text) - len([]rune(strings.TrimLeft(string(e.text), " \t")))
		if e.anchor == from && e.caret == len(e.text) {
			from = 0 // what it is set in by, too
		}
		e.anchor, e.caret, e.offers = from, len(e.text), nil
	case ebiten.KeyC, ebiten.KeyX:
		if err := toClipboard(string(e.text[from:to])); err != nil {
			e.model.Say("Not copied: " + err.Error() + ".")
		} else if key == ebiten.KeyX {
			e.replace(from, to, nil)
		}
	case ebiten.KeyV:
		if text, err := fromClipboard(); err == nil {
			first, _, _ := strings.Cut(text, "\n")
			e.insert([]rune(first))
		}
	case ebiten.KeyZ:
		if last := len(e.past) - 1; last >= 0 {
			e.text, e.caret, e.past = e.past[last].text, e.past[last].caret, e.past[:last]
			e.anchor = e.caret
			e.try()
		}
	}
}

// selected is what is selected.
func (e *editLine) selected() (from, to int) { return min(e.anchor, e.caret), max(e.anchor, e.caret) }

// takeAway takes what is selected away, else what is between the caret and another place.
func (e *editLine) takeAway(to int) {
	if e.anchor == e.caret {
		e.anchor = min(max(to, 0), len(e.text))
	}
	if from, to := e.selected(); from < to {
		e.replace(from, to, nil)
	}
}

const (
	longestLine = 1000 // letters that are typed into a line
	faultAfter  = 1.0  // s without a letter after which it is told why a line cannot be read
)

func (e *editLine) insert(letters []rune) {
	for _, r := range letters {
		if unicode.IsPrint(r) && len(e.text) < longestLine {
			from, to := e.selected()
			e.replace(from, to, []rune{r})
		}
	}
}

// replace puts letters in place of others, and tries the line as it is then.
func (e *editLine) replace(from, to int, letters []rune) {
	e.past = append(e.past, lineWas{e.text, e.caret})
	e.text = append(append(append([]rune{}, e.text[:from]...), letters...), e.text[to:]...)
	e.caret = from + len(letters)
	e.anchor = e.caret
	e.try()
}

// try rehearses the line as it is, and offers what can be meant at the caret.
func (e *editLine) try() {
	e.rests = 0
	e.model.Try(e.lead + string(e.text) + e.end)
	e.offer()
}

func (e *editLine) moveTo(caret int) {
	if e.caret, e.offers = caret, nil; !e.hand.Shift {
		e.anchor = caret
	}
}

// row is where the line's box stands in the page, as high as its text takes; empty: it is not seen.
func (e *editLine) row(page Rect) (row Rect) {
	e.notebook.routine.rows(page, e.notebook.scroll[viewmodel.RoutineTab], func(y float64, line foldedLine) {
		if line.number == e.line && line.first {
			row = Rect{X: page.X + codeLeft - 3, Y: y, W: page.W - codeLeft - 4, H: codeRow}
		}
	})
	if row.H > 0 {
		row.H *= math.Ceil(float64(len(e.text)+1) / float64(e.columns(row)))
		row.Y = math.Max(page.Y, math.Min(row.Y, page.Bottom()-row.H-2))
	}
	return row
}

// columns is how many letters a row of the box has.
func (e *editLine) columns(row Rect) int {
	return max(int((row.W-6)/canvas.MonoAdvance(codeSize, e.density)), 1)
}

// draw paints the line over its row and as many more as it takes, and under it what is wrong or comes of it.
func (e *editLine) draw() {
	page := e.numbers.page()
	if !e.open || page.H <= 0 {
		return
	}
	row := e.row(page)
	if row.W <= 0 {
		return
	}
	e.pen.Rect(row.X-1, row.Y-1, row.W+2, row.H+2, e.accent)
	e.fill(row, e.raised)
	columns, text := e.columns(row), []rune(strings.ReplaceAll(string(e.text), "\t", " "))
	at := Rect{X: row.X + 3, Y: row.Y, W: row.W, H: codeRow}
	begin, end := e.selected()
	for from := 0; from <= len(text); from += columns {
		if first, last := max(begin-from, 0), min(end-from, columns); first < last {
			advance := canvas.MonoAdvance(codeSize, e.density)
			marked := Rect{X: at.X + float64(first)*advance, Y: at.Y, W: float64(last-first) * advance, H: codeRow}
			e.fill(marked, e.look.chosen)
			e.fill(Rect{X: marked.X, Y: marked.Bottom() - 2, W: marked.W, H: 2}, e.accent)
		}
		e.mono(string(text[from:min(len(text), from+columns)]), at, codeSize, false, scene.Chalk)
		at.Y += codeRow
	}
	x := row.X + 3 + float64(e.caret%columns)*canvas.MonoAdvance(codeSize, e.density)
	e.pen.Rect(x, row.Y+float64(e.caret/columns)*codeRow+2, 2, codeRow-4, e.accent)
	e.drawUnder(page, row)
}
