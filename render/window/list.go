package window

import (
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// list is a card's rows to choose from and turn: over the window (dialog), or beside the field (panel).
type list struct {
	*shared
	card    func() *card // nil: none is open
	box     func(rows int) Rect
	close   func()
	leave   func()         // gives up the keys
	ground  func(box Rect) // places what lies under the rows
	turning turning
	pass    func(ebiten.Key) // does what a key means without the card
}

// turning is a row whose number is being dragged.
type turning struct {
	label string
	from  float64 // points: where the pointer was at the last step
	undo  int     // steps that could be undone before
	types bool    // it went down on the number, which is typed when it comes up there
}

// turnPoints is how far the pointer is dragged for one step of a number.
const turnPoints = 12.0

// resetWidth is the room at a row's right end for the button that takes the file's value.
const resetWidth = 52.0

const (
	rowSides = 24 + 32 + 8.0 // beside a row's label, where it has no note
	cardRowH = 22.0
	cardHead = 30.0
	cardFoot = 24.0
)

// choose does what the row at the cursor stands for.
func (d *list) choose(rows []cardRow) {
	c := d.card()
	if c.cursor >= len(rows) || rows[c.cursor].do == nil {
		return
	}
	row := rows[c.cursor]
	if !row.keeps {
		d.close()
	}
	row.do()
}

// turn makes the number of the row at the cursor smaller or larger.
func (d *list) turn(rows []cardRow, way float64) {
	if c := d.card(); c.cursor < len(rows) && rows[c.cursor].turn != nil {
		c.wheels = rows[c.cursor].label
		rows[c.cursor].turn(d.hand.stride(way))
	}
}

// keys gives the card the keys of this Update.
func (d *list) keys() {
	c := d.card()
	if c.takes != nil && c.takes() {
		return
	}
	if c.name == "keys" && slices.Contains(d.hand.Runes, '?') {
		d.close()
		return
	}
	rows := c.list()
	c.follow(rows)
	if !c.typed && c.cursor < len(rows) && rows[c.cursor].digit != nil {
		if typed := strings.TrimFunc(string(d.hand.Runes), func(r rune) bool { return r < '0' || r > '9' }); typed != "" {
			rows[c.cursor].digit(typed)
			return
		}
	}
	for _, key := range d.hand.Keys {
		if d.key(c, key) {
			return
		}
	}
	if c.typed {
		d.typeInto(c)
	}
}

// key does what a key means on a card. It reports whether the card is done with this Update's keys.
func (d *list) key(c *card, key ebiten.Key) bool {
	rows := c.list()
	if c.timed && c.filter == "" && d.timeKey(key) {
		return key == ebiten.KeySpace // which is no letter then
	}
	switch key {
	case ebiten.KeyEscape:
		d.close()
		return true
	case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
		if c.entry != nil && c.filter != "" {
			d.take(c)
			return true
		}
		if c.cursor < len(rows) && rows[c.cursor].write != nil {
			rows[c.cursor].write()
			return true
		}
		d.choose(rows)
		return true
	case ebiten.KeySpace:
		if !c.typed {
			d.choose(rows)
		}
		return !c.typed
	case ebiten.KeyF1:
		if c.aboutDriving() || c == d.beside {
			d.showKeys()
		} else {
			d.close()
		}
		return true
	case ebiten.KeyW:
		if d.hand.Ctrl {
			d.close()
			return true
		}
	case ebiten.KeyV:
		if d.hand.Ctrl && c.typed {
			d.paste(c)
			return true
		}
	case ebiten.KeyBackspace, ebiten.KeyDelete:
		d.takeBack(c, rows)
		return false
	}
	if c.moves(key, rows) || d.turnKey(key, rows) {
		return false
	}
	if c.own && key == c.key && c.filter == "" && !d.hand.Ctrl && !d.hand.Shift {
		d.close()
		return true
	}
	if letter := key <= ebiten.KeyZ && !d.hand.Ctrl && !d.hand.Alt; !c.passes || c.typed && (letter || isDigit(key)) {
		return false
	}
	return d.passKey(c, key)
}

// timeKey plays or steps, where the key does that.
func (d *list) timeKey(key ebiten.Key) bool {
	arrow := key == ebiten.KeyArrowLeft || key == ebiten.KeyArrowRight
	if key != ebiten.KeySpace && !(arrow && d.model.Mode == viewmodel.Watch && !d.hand.Ctrl) {
		return false
	}
	d.pass(key)
	return true
}

func isDigit(key ebiten.Key) bool { return key >= ebiten.KeyDigit0 && key <= ebiten.KeyDigit9 }

// turnKey turns the number of the row at the cursor, where the key does that.
func (d *list) turnKey(key ebiten.Key, rows []cardRow) bool {
	switch key {
	case ebiten.KeyArrowLeft:
		d.turn(rows, -1)
	case ebiten.KeyArrowRight:
		d.turn(rows, 1)
	default:
		return false
	}
	return true
}

// takeBack takes the last letter typed back, or the row's number back to what the file says.
func (d *list) takeBack(c *card, rows []cardRow) {
	if c.filter != "" {
		_, last := utf8.DecodeLastRuneInString(c.filter)
		c.filter = c.filter[:len(c.filter)-last]
		return
	}
	switch {
	case c.cursor >= len(rows):
	case rows[c.cursor].reset != nil:
		rows[c.cursor].reset()
	case rows[c.cursor].drop != nil:
		rows[c.cursor].drop()
	}
}

// take gives what is typed to who takes it. What cannot be taken stays, to be put right.
func (d *list) take(c *card) {
	if err := c.entry(c.filter); err != nil {
		d.model.Warn(capital(err.Error()) + ".")
		return
	}
	c.filter = ""
	rows := c.list() // the last is what was taken
	c.cursor, c.top = max(len(rows)-1, 0), max(len(rows)-c.shown, 0)
}

// passKey does what a key means without the card, which stays unless it would be in the way: another card, or another
// mode of the pointer.
func (d *list) passKey(c *card, key ebiten.Key) bool {
	mode := d.model.Mode
	d.pass(key)
	if d.card() == c && d.model.Mode != mode {
		d.leave()
	}
	return d.card() != c
}

func (d *list) typeInto(c *card) {
	if !d.hand.Ctrl && !d.hand.Alt {
		d.enter(c, d.hand.Runes)
	}
}

// paste types what the clipboard holds.
func (d *list) paste(c *card) {
	text, err := fromClipboard()
	if err != nil {
		d.model.Say("Nothing to paste: " + err.Error() + ".")
		return
	}
	d.enter(c, []rune(text))
}

func (d *list) enter(c *card, letters []rune) {
	before := c.filter
	for _, r := range letters {
		if unicode.IsPrint(r) && len(c.filter) < 60 {
			c.filter += string(r)
		}
	}
	if c.filter != before {
		c.cursor, c.top = 0, 0
		c.settle(c.list())
	}
}

// place puts the rows that there is room for where they can be clicked.
func (d *list) place() {
	c := d.card()
	if c == nil {
		return
	}
	rows := c.list()
	c.follow(rows)
	box := d.box(len(rows))
	before := c.shown
	foot := d.footLines(c, rows, box)
	c.shown = max(int((box.H-cardHead-footHeight(foot))/cardRowH), 1)
	if c.cursor >= c.top+c.shown && c.cursor < c.top+before { // what is said of its row took the room
		c.top = c.cursor - c.shown + 1
	}
	c.top = min(max(c.top, 0), max(len(rows)-c.shown, 0))
	d.ground(box)
	if all := d.allFootLines(c, rows, box.W-24); len(foot) < len(all) && box.H > 0 {
		high := footHeight(foot)
		d.add(element{Name: "help", Rect: Rect{X: box.X, Y: box.Bottom() - high, W: box.W, H: high}, Bare: true,
			Tip: strings.Join(all, " "), Do: func() { d.focus = true }})
	}
	for i := c.top; i < min(c.top+c.shown, len(rows)); i++ {
		if rows[i].head || rows[i].do == nil {
			continue
		}
		row, r := rows[i], cardRowRect(box, i-c.top)
		d.add(element{Name: "row " + row.label, Rect: r, Bare: true, Do: func() {
			c.cursor, c.wheels = i, row.label
			over := d.shared.card
			d.choose(rows)
			if row.turn != nil && d.shared.card == over { // a list that it opened has the pointer now
				d.turning = turning{label: row.label, from: d.hand.X, undo: d.model.UndoSteps()}
			}
		}})
		if at := numberRect(r, row); row.digit != nil {
			d.add(element{Name: "number of " + row.label, Rect: at, Tip: "a click types it, a drag turns it", Bare: true,
				Do: func() {
					c.cursor, c.wheels = i, row.label
					d.turning = turning{label: row.label, from: d.hand.X, undo: d.model.UndoSteps(), types: true}
				}})
		}
		if row.write != nil {
			d.add(element{Name: "write " + row.label, Rect: writeRect(r), Tip: "write it into the file (Enter)", Bare: true,
				Do: row.write})
		}
		if row.reset != nil {
			d.add(element{Name: "reset " + row.label, Rect: resetRect(r), Bare: true, Do: row.reset})
		}
		if row.drop != nil {
			d.add(element{Name: "remove " + row.label, Rect: resetRect(r), Tip: "take it away (Backspace)", Bare: true,
				Do: row.drop})
		}
	}
}

// closer is the button in the corner of a list that closes it.
func (d *list) closer(box Rect, name, tip string) element {
	return element{Name: name, Rect: Rect{X: box.Right() - 34, Y: box.Y + 4, W: 28, H: cardHead - 8}, Label: "x", Tip: tip,
		Bare: true, Do: d.close}
}

// drawCloser draws it over the list.
func (d *list) drawCloser(name string) {
	for i := range d.elements {
		if e := &d.elements[i]; e.Name == name {
			d.drawButton(e, e == d.under())
		}
	}
}

// resetRect is the button at a row's end that takes the file's value.
func resetRect(row Rect) Rect {
	return Rect{X: row.Right() - resetWidth, Y: row.Y + 2, W: resetWidth, H: row.H - 4}
}

// numberRect is the number at a row's end that can be typed.
func numberRect(r Rect, row cardRow) Rect {
	w := paint.Width(paint.Clean(row.note), normal, false) + 14
	if row.reset != nil {
		r.W -= resetWidth
	}
	return Rect{X: r.Right() - w - 4, Y: r.Y + 1, W: w, H: r.H - 2}
}

// writeRect is the button before that one, which writes the value into the file.
func writeRect(row Rect) Rect {
	r := resetRect(row)
	r.X -= r.W + 4
	return r
}

// point takes the wheel and drags on a card: the wheel shows other rows, and turns the number that was pressed or
// turned last while it is on it.
func (d *list) point() {
	c := d.card()
	if c == nil {
		d.turning = turning{}
		return
	}
	d.dragTurn(c)
	rows := c.list()
	box := d.box(len(rows))
	if d.hand.WheelY == 0 || !box.Contains(d.hand.X, d.hand.Y) {
		return
	}
	for i := c.top; i < min(c.top+c.shown, len(rows)); i++ {
		mine := rows[i].turn != nil && rows[i].label == c.wheels
		if mine && cardRowRect(box, i-c.top).Contains(d.hand.X, d.hand.Y) {
			c.cursor = i
			d.turn(rows, math.Copysign(1, d.hand.WheelY))
			return
		}
	}
	c.wheels = "" // what comes under the pointer now was not pressed
	c.top = min(max(c.top-int(math.Copysign(3, d.hand.WheelY)), 0), max(len(rows)-c.shown, 0))
}

// dragTurn turns the row taken by so many steps as the pointer has gone. A whole drag is one step of undo.
func (d *list) dragTurn(c *card) {
	t := &d.turning
	if t.label == "" {
		return
	}
	if steps := math.Trunc((d.hand.X - t.from) / turnPoints); d.hand.Down && steps != 0 {
		rows := c.list()
		if i := slices.IndexFunc(rows, func(r cardRow) bool { return r.label == t.label && r.turn != nil }); i >= 0 {
			c.cursor = i
			d.turn(rows, steps)
			d.model.MergeUndo(t.undo)
		}
		t.from += steps * turnPoints
		t.types = false
	}
	if d.hand.Down {
		return
	}
	was := *t
	*t = turning{}
	if was.types {
		for _, row := range c.list() {
			if row.label == was.label && row.digit != nil {
				row.digit("")
				return
			}
		}
	}
}

func cardRowRect(box Rect, i int) Rect {
	return Rect{X: box.X + 12, Y: box.Y + cardHead + float64(i)*cardRowH, W: box.W - 24, H: cardRowH}
}

// footLines are what stands under the rows. Beside the field it takes a quarter of the list at most, and a tip has it
// all.
func (d *list) footLines(c *card, rows []cardRow, box Rect) []string {
	lines := d.allFootLines(c, rows, box.W-24)
	most := max(int((box.H-cardHead)/4/footRow), 1)
	if c != d.beside || len(lines) <= most {
		return lines
	}
	last := paint.Wrap(strings.Join(lines[most-1:], " "), box.W-24, small, false, 1)
	return append(slices.Clone(lines[:most-1]), last...)
}

// allFootLines tell what the row at the cursor is about, and how the card is used.
func (d *list) allFootLines(c *card, rows []cardRow, width float64) []string {
	foot := c.foot
	if c.menu != nil {
		return nil
	}
	if d.model.Driving() && d.shared.card == c {
		foot += "  The drive's clock stands meanwhile."
	}
	lines := paint.Wrap(foot, width, small, false, noteMost)
	if c.cursor < len(rows) && rows[c.cursor].about != "" {
		lines = append(paint.Wrap(rows[c.cursor].about, width, small, false, noteMost), lines...)
	}
	return lines
}

const footRow = 15.0

func footHeight(lines []string) float64 {
	if len(lines) == 0 {
		return 0
	}
	return float64(len(lines))*footRow + cardFoot - footRow
}

// paintIn paints the card's rows in its box.
func (d *list) paintIn(c *card, rows []cardRow, box Rect, focus bool) {
	d.fill(box, d.panel)
	head := Rect{X: box.X + 12, Y: box.Y, W: box.W - 24, H: cardHead}
	if c.menu == nil {
		head.W -= 28 // the button that closes it
	}
	used := d.words(c.title, head, normal, true, scene.Chalk)
	if c.filter != "" {
		d.words(c.filter+"_", head.Rest(used+16), normal, true, d.accent)
	}
	for i := c.top; i < min(c.top+c.shown, len(rows)); i++ {
		d.drawRow(cardRowRect(box, i-c.top), rows[i], focus && i == c.cursor)
	}
	if len(rows) > c.shown {
		high := math.Max(20, float64(c.shown*c.shown)*cardRowH/float64(len(rows)))
		span := float64(c.shown)*cardRowH - high
		d.pen.Rect(box.Right()-6, box.Y+cardHead+span*float64(c.top)/float64(len(rows)-c.shown), 4, high, d.edge)
	}
	lines := d.footLines(c, rows, box)
	line := Rect{X: box.X + 12, Y: box.Bottom() - footHeight(lines) + 4, W: box.W - 24, H: footRow}
	for _, words := range lines {
		d.words(words, line, small, false, scene.Dust)
		line.Y += footRow
	}
}

func (d *list) drawRow(r Rect, row cardRow, current bool) {
	letters := scene.Chalk
	if row.head {
		d.words(row.label, r, normal, true, d.accent)
		return
	}
	if current && row.do != nil {
		d.fill(r, d.chosen)
	} else if r.Contains(d.hand.X, d.hand.Y) && row.do != nil {
		d.fill(r, d.hovered)
	}
	if at := numberRect(r, row); row.digit != nil && at.Contains(d.hand.X, d.hand.Y) {
		d.fill(at, d.edge)
	}
	inner := Rect{X: r.X + 8, Y: r.Y, W: r.W - 16, H: r.H}
	if row.on {
		d.drawer.Mark(d.pen, scene.RoundShape, pointAt(inner.X+4, r.Y+r.H/2), 4, d.accent, scene.Pen{})
	}
	if row.mark != nil {
		d.drawer.Swatch(d.pen, *row.mark, paint.Box{Left: inner.X, Top: inner.Y + 4, Right: inner.X + 22,
			Bottom: inner.Bottom() - 4})
		inner = inner.Rest(14)
	}
	if row.reset != nil {
		d.drawReset(resetRect(r), "reset")
		inner.W -= resetWidth
	}
	if row.write != nil {
		d.drawReset(writeRect(r), "write")
		inner.W -= resetWidth + 4
	}
	if row.drop != nil {
		d.drawReset(resetRect(r), "remove")
		inner.W -= resetWidth
	}
	room, noteSize := math.Max(0.6*inner.W, inner.W-labelRoom(row.label)), normal
	if d.widthOf(row.note)+2 > room {
		noteSize = small
	}
	note := math.Min(room, paint.Width(paint.Clean(row.note), noteSize, false)+2)
	if row.note == "" {
		note = 0
	}
	label := Rect{X: inner.X + 16, Y: r.Y, W: inner.W - 16 - note - 8, H: r.H}
	size, bold := normal, current && canBeChosen(row)
	if words := paint.Clean(row.label); paint.Width(words, size, bold) > label.W { // beside a narrow field
		size, bold = small, false
		if paint.Width(words, size, bold) > label.W && d.shared.card == nil {
			note, label.W = 0, inner.W-16
		}
	}
	d.words(row.label, label, size, bold, letters)
	if note > 0 {
		d.rightward(row.note, Rect{X: inner.Right() - note, Y: r.Y, W: note, H: r.H}, noteSize, false, scene.Dust)
	}
}

// labelRoom is how wide a label is with what parts it from its note.
func labelRoom(label string) float64 { return paint.Width(paint.Clean(label), normal, true) + 28 }

func (d *list) drawReset(r Rect, words string) {
	d.fill(r, d.shared.ground(r))
	d.centred(words, r, small, false, scene.Chalk)
}
