package window

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/build"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/render/scene/paint"
)

// benchLists are what stands beside a field that is built: the list of what it has, and the values of what is chosen.
type benchLists struct {
	*shared
	bench  *bench
	things list
	values list
	cards  [2]card
	has    int    // the one that has the keys: 1 things, 2 values; 0: the field
	typed  string // over the value at the cursor, so far
	typing bool
	of     string // the table that the values are of
	turned bool   // a value was turned in this Update

	problems int // rows that tell what is wrong, in the last Update
}

func newBenchLists(s *shared, b *bench) *benchLists {
	l := &benchLists{shared: s, bench: b}
	b.values = l.goTo
	l.cards[0] = card{name: "things", passes: true, rows: l.thingRows}
	l.cards[1] = card{name: "values of it", typed: true, passes: true, rows: l.valueRows, takes: l.takes}
	l.things = list{shared: s, card: func() *card { return &l.cards[0] }, box: func(int) Rect { return s.frame.Things },
		close: l.leave, leave: l.leave, ground: l.ground("things", 1)}
	l.values = list{shared: s, card: func() *card { return &l.cards[1] }, box: func(int) Rect { return s.frame.Values },
		close: l.leave, leave: l.leave, ground: l.ground("values", 2)}
	return l
}

// leave gives the keys back to the field.
func (l *benchLists) leave() { l.has, l.typing, l.typed = 0, false, "" }

// ground: a click anywhere on a list gives it the keys.
func (l *benchLists) ground(name string, has int) func(Rect) {
	return func(box Rect) {
		l.add(element{Name: name, Rect: box, Bare: true, Do: func() { l.give(has) }})
	}
}

// give gives a list the keys; what was typed over a value is dropped.
func (l *benchLists) give(has int) {
	l.has, l.typing, l.typed = has, false, ""
}

// thingRows are the problems, then all tables of the file by their kinds.
func (l *benchLists) thingRows() (rows []cardRow) {
	board := l.model.Board()
	if board == nil {
		return nil
	}
	sheet := board.Sheet()
	for i, p := range sheet.Problems {
		if i == 0 {
			rows = append(rows, cardRow{label: boardWords(sheet), head: true})
		}
		note, about := "?", p.What
		if !p.Doubtful {
			note, about = "!", fmt.Sprintf("line %d: %s", p.Line, p.What)
		}
		rows = append(rows, cardRow{label: paint.Fit(paint.Clean(p.What), l.frame.Things.W-110, normal, true), note: note,
			about: about, keeps: true, do: func() { l.goTo(p.Path) }})
	}
	for _, g := range sheet.Groups {
		if g.List && len(g.Items) == 0 {
			continue
		}
		if g.List {
			rows = append(rows, cardRow{label: fmt.Sprintf("%s (%d)", g.Title, len(g.Items)), head: true})
		}
		for _, item := range g.Items {
			note := ""
			if n := len(sheet.ProblemsOf(item.Path)); n > 0 {
				note = "!"
			}
			rows = append(rows, cardRow{label: item.Words, note: note, on: item.Path == board.Chosen(), keeps: true,
				do: func() { board.Choose(item.Path) }})
		}
	}
	return rows
}

// goTo chooses the table that a key is of and gives its value the keys, to be typed.
func (l *benchLists) goTo(path string) {
	l.chooseOf(path)
	l.of = l.model.Board().Chosen() // place would put the cursor at the top
	l.showChosen()
	c := &l.cards[1]
	c.cursor, c.top = 0, 0
	for i, r := range l.model.Board().Rows() {
		if r.Path == path || strings.HasPrefix(path, r.Path+"[") {
			c.cursor, c.top = i, max(i-max(c.shown, 1)/2, 0)
		}
	}
	l.give(2)
}

// chooseOf chooses the table that a key is of.
func (l *benchLists) chooseOf(path string) {
	for {
		l.model.Board().Choose(path)
		if l.model.Board().Chosen() == path || path == "" {
			return
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
		if cut := strings.LastIndexByte(path, ']'); cut >= 0 && cut < len(path)-1 && !strings.Contains(path[cut:], ".") {
			path = path[:cut+1]
		}
	}
}

// valueRows are the keys of what is chosen.
func (l *benchLists) valueRows() (rows []cardRow) {
	board := l.model.Board()
	if board == nil {
		return nil
	}
	for i, r := range board.Rows() {
		row := cardRow{label: r.Label, note: l.brief(r), about: r.About, keeps: true}
		if r.Wrong != "" {
			row.about, row.label = r.Wrong+". "+r.About, r.Label+" !"
		}
		if !r.Given && r.Value != "" {
			row.note = "(" + row.note + ")"
		}
		if l.typing && i == l.cards[1].cursor {
			row.note = l.tail(r, l.typed) + "_"
		}
		row.do = func() { l.begin(r) }
		row.turn = func(way float64) { l.turn(r, way) }
		if r.Given && r.Need == "" {
			row.drop = func() { l.bench.do("took "+r.Label+" away", board.Clear(r)) }
		}
		rows = append(rows, row)
	}
	return rows
}

// brief is as much of a value as there is room for beside its key, tail as much of its end.
func (l *benchLists) brief(r build.Row) string {
	return paint.Fit(paint.Clean(r.Value), l.noteRoom(r), normal, false)
}

func (l *benchLists) tail(r build.Row, words string) string {
	letters := []rune(paint.Clean(words))
	for len(letters) > 1 && paint.Width(string(letters)+"_", normal, false) > l.noteRoom(r) {
		letters = letters[1:]
	}
	return string(letters)
}

// noteRoom is how wide the value of a row may be: what its label leaves, at least six tenths, less the button.
func (l *benchLists) noteRoom(r build.Row) float64 {
	room := l.frame.Values.W - 40 - resetWidth
	return math.Max(0.6*room, room-labelRoom(r.Label+" !")) - 16
}

// begin lets a row be typed over, or lists what it may be.
func (l *benchLists) begin(r build.Row) {
	l.has = 2
	choices := l.model.Board().Choices(r)
	if len(choices) == 0 {
		l.typing, l.typed = true, ""
		return
	}
	several, write := r.Takes == tomlfile.Names, (*build.Board).Write
	foot := "Letters narrow the list, Enter chooses. Esc closes."
	if several {
		write = (*build.Board).Switch
		foot = "Enter or a click puts a name in, or takes it out; letters narrow the list. Esc closes."
	}
	l.shared.show(&card{name: "choices", title: r.Label, typed: true, foot: foot, rows: func() (rows []cardRow) {
		now := l.now(r)
		for _, word := range choices {
			rows = append(rows, cardRow{label: word, on: now.Has(word), keeps: several, do: func() {
				l.bench.do(r.Label+": "+word, write(l.model.Board(), l.now(r), word))
			}})
		}
		return rows
	}})
}

// now is a row as the file has it now.
func (l *benchLists) now(r build.Row) build.Row {
	for _, row := range l.model.Board().Rows() {
		if row.Path == r.Path {
			return row
		}
	}
	return r
}

// turn tries the next value of a row; it is written once the keys and the pointer rest.
func (l *benchLists) turn(r build.Row, way float64) {
	steps := int(math.Round(way))
	if steps == 0 {
		steps = int(math.Copysign(1, way))
	}
	if err := l.model.Board().Turn(r, steps); err != nil {
		l.model.Say(capital(err.Error()) + ".")
		return
	}
	l.turned = true
}

// takes has the keys that type over a value.
func (l *benchLists) takes() bool {
	rows := l.model.Board().Rows()
	at := l.cards[1].cursor
	if at >= len(rows) {
		return false
	}
	if !l.hand.Ctrl && !l.hand.Alt {
		for _, r := range l.hand.Runes {
			if unicode.IsPrint(r) && len(l.typed) < 400 {
				l.typing, l.typed = true, l.typed+string(r)
			}
		}
		if len(l.hand.Runes) > 0 {
			return true
		}
	}
	for _, key := range l.hand.Keys {
		switch {
		case key == ebiten.KeyTab:
			by := 1
			if l.hand.Shift {
				by = -1
			}
			l.step(rows, by)
			return true
		case !l.typing:
			return false
		case key == ebiten.KeyEscape:
			l.typing, l.typed = false, ""
		case key == ebiten.KeyEnter || key == ebiten.KeyNumpadEnter:
			l.write(rows[at])
		case key == ebiten.KeyBackspace:
			_, last := utf8.DecodeLastRuneInString(l.typed)
			l.typed = l.typed[:len(l.typed)-last]
		case key == ebiten.KeyV && l.hand.Ctrl:
			if text, err := fromClipboard(); err == nil {
				first, _, _ := strings.Cut(text, "\n")
				l.typed += first
			}
		case key == ebiten.KeyArrowDown:
			l.step(rows, 1)
		case key == ebiten.KeyArrowUp:
			l.step(rows, -1)
		default:
			continue
		}
		return true
	}
	return l.typing
}

// step writes what was typed and goes on to another row; what cannot be written stays, to be put right.
func (l *benchLists) step(rows []build.Row, by int) {
	if l.typing {
		if l.write(rows[l.cards[1].cursor]); l.typing {
			return
		}
	}
	l.cards[1].step(by, l.valueRows())
}

// write writes what was typed. What cannot be read stays, to be put right.
func (l *benchLists) write(r build.Row) {
	if err := l.model.Board().Write(r, l.typed); err != nil {
		l.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	l.bench.told(fmt.Sprintf("%s: %s", strings.TrimSpace(r.Label), l.typed))
	l.typing, l.typed = false, ""
}

func (l *benchLists) want(w *wants) {
	if board := l.model.Board(); board != nil {
		w.Values = cardHead + benchFoot + float64(len(board.Rows()))*cardRowH
	}
}

// benchFoot is the room for what is said under the values of a thing, whichever row the cursor is on.
const benchFoot = cardFoot + 5*footRow

func (l *benchLists) place() {
	board := l.model.Board()
	board.In(l.model.Units)
	l.cards[0].title = board.Name()
	l.cards[1].title = "Values"
	for _, g := range board.Sheet().Groups {
		for _, item := range g.Items {
			if item.Path == board.Chosen() {
				l.cards[1].title = item.Words
			}
		}
	}
	l.settle()
	if l.of != board.Chosen() {
		l.of, l.typing, l.typed = board.Chosen(), false, ""
		l.cards[1].cursor, l.cards[1].top = 0, 0
		l.showChosen()
	}
	l.cards[0].foot = "Click, or press Enter in the field, to type values."
	l.cards[1].foot = "Click a value, or press Enter in the field, to type it."
	switch l.has {
	case 1:
		l.cards[0].foot = "N adds. Delete takes what is chosen away, D puts another like it beside it. Esc: the field."
	case 2:
		l.cards[1].foot = "Type over a value, Enter writes it. Left and right, the wheel or a drag turn it. Tab: the next, " +
			"Esc: the field."
	}
	l.things.place()
	l.values.place()
}

// settle keeps the rows of things under the pointer where they are when problems come or go over them.
func (l *benchLists) settle() {
	now, c := len(l.model.Board().Sheet().Problems), &l.cards[0]
	if now > 0 {
		now++ // their head
	}
	switch by := now - l.problems; {
	case by == 0:
	case l.frame.Things.Contains(l.hand.X, l.hand.Y):
		c.top, c.cursor = max(c.top+by, 0), max(c.cursor+by, 0)
	default:
		l.showChosen()
	}
	l.problems = now
}

// showChosen brings the row of what is chosen into the list's view.
func (l *benchLists) showChosen() {
	c := &l.cards[0]
	for i, row := range c.rows() {
		if row.on {
			c.cursor = i
			if i < c.top || i >= c.top+max(c.shown, 1) {
				c.top = max(i-max(c.shown, 1)/2, 0)
			}
		}
	}
}

func (l *benchLists) point() {
	if l.shared.card != nil {
		return
	}
	moved := l.hand.Pressed || !l.typing && (l.hand.X != l.hand.lastX || l.hand.Y != l.hand.lastY)
	if moved && l.frame.Field.Contains(l.hand.X, l.hand.Y) { // what the pointer is on has the keys
		l.leave()
	}
	l.things.point()
	l.values.point()
	if !l.turned && !l.hand.Down && l.bench.took.shape == nil && l.model.Board().Trying() {
		l.bench.keep("turned a value")
	}
	l.turned = false
}

func (l *benchLists) draw() {
	for i, part := range []*list{&l.things, &l.values} {
		c, box := &l.cards[i], part.box(0)
		part.paintIn(c, c.list(), box, l.has == i+1)
		l.pen.Rect(box.X, box.Y, 1, box.H, l.edge)
		top := l.edge
		if l.has == i+1 {
			top = l.accent
		}
		l.pen.Rect(box.X, box.Y, box.W, 1, top)
	}
}
