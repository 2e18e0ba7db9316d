package window

import (
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
)

// card is a list that lies over the window until it is closed: files to open, layers, signals, keys.
type card struct {
	name   string // for the state dump and tests
	title  string
	foot   string
	rows   func() []cardRow
	typed  bool       // letters narrow the list
	key    ebiten.Key // that opened it and closes it too, where own is set
	own    bool
	passes bool // keys that mean nothing on it do what they do without it
	filter string
	cursor int
	top    int   // first row shown
	shown  int   // rows that there was room for, as last placed
	under  *card // what shows again when this one is closed; nil: nothing
}

// cardRow is one line of a card.
type cardRow struct {
	label string
	note  string // at the right
	on    bool
	head  bool              // a heading: the cursor passes over it
	do    func()            // nil: the row only tells
	keeps bool              // the card stays open
	turn  func(way float64) // by keys, wheel or a drag: steps, negative for less; nil: nothing to turn
	reset func()            // back to what the file says; nil: it is there, or there is no such thing
}

// turning is a row whose number is being dragged.
type turning struct {
	label string
	from  float64 // points: where the pointer was at the last step
	undo  int     // steps that could be undone before
}

// turnPoints is how far the pointer is dragged for one step of a number.
const turnPoints = 12.0

// resetWidth is the room at a row's right end for the button that takes the file's value.
const resetWidth = 52.0

const (
	cardWidth = 620.0
	cardRowH  = 22.0
	cardHead  = 40.0
	cardFoot  = 28.0
)

// footMore is said at the foot of a card that has more rows than it shows. There must be room for it after every foot.
const footMore = "  More: arrow keys or wheel."

func (g *game) show(c *card) {
	g.card = c
	c.settle(c.list())
	g.stale = true
}

func (g *game) closeCard() {
	if g.card != nil {
		g.card = g.card.under
	}
	g.stale = true
}

// aboutDriving: the card asks how to drive, or what to do with a drive; the keys may be looked up over it.
func (c *card) aboutDriving() bool { return c != nil && (c.name == "drive" || c.name == "driven") }

// list is the rows that the letters typed so far leave.
func (c *card) list() []cardRow {
	rows := c.rows()
	if c.filter == "" {
		return rows
	}
	var kept []cardRow
	for _, row := range rows {
		if !row.head && strings.Contains(strings.ToLower(row.label), strings.ToLower(c.filter)) {
			kept = append(kept, row)
		}
	}
	if len(kept) == 0 {
		return []cardRow{{label: "Nothing matches. Backspace takes a letter back."}}
	}
	return kept
}

// settle puts the cursor on the first row from it on that can be chosen, where there is one.
func (c *card) settle(rows []cardRow) {
	c.cursor = min(max(c.cursor, 0), max(len(rows)-1, 0))
	if i := slices.IndexFunc(rows[min(c.cursor, len(rows)):], canBeChosen); i >= 0 {
		c.cursor += i
	}
}

func canBeChosen(row cardRow) bool { return row.do != nil }

// step moves the cursor over rows that only tell, and the part shown with it.
func (c *card) step(by int, rows []cardRow) {
	if !slices.ContainsFunc(rows, canBeChosen) { // a sheet to read
		c.top = min(max(c.top+by, 0), max(len(rows)-c.shown, 0))
		return
	}
	for next := c.cursor + by; next >= 0 && next < len(rows); next += sign(by) {
		if canBeChosen(rows[next]) {
			c.cursor = next
			break
		}
	}
	c.top = min(c.top, c.cursor)
	if by < 0 && c.cursor == slices.IndexFunc(rows, canBeChosen) {
		c.top = 0 // what stands over the first row
	}
	c.top = max(c.top, c.cursor-max(c.shown, 1)+1)
}

// page moves by a card's height.
func (c *card) page(way int, rows []cardRow) {
	for range max(c.shown-1, 1) {
		c.step(way, rows)
	}
}

// toEnd moves to the first row, or to the last.
func (c *card) toEnd(way int, rows []cardRow) {
	for range rows {
		c.step(way, rows)
	}
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}

// choose does what the row at the cursor stands for.
func (g *game) choose(rows []cardRow) {
	c := g.card
	if c.cursor >= len(rows) || rows[c.cursor].do == nil {
		return
	}
	row := rows[c.cursor]
	if !row.keeps {
		g.closeCard()
	}
	row.do()
	g.stale = true
}

// turn makes the number of the row at the cursor smaller or larger; with Shift in finer steps.
func (g *game) turn(rows []cardRow, way float64) {
	if c := g.card; c.cursor < len(rows) && rows[c.cursor].turn != nil {
		if g.hand.Shift {
			way /= 10
		}
		rows[c.cursor].turn(way)
	}
}

// cardKeys gives the card the keys of this Update.
func (g *game) cardKeys() {
	c := g.card
	if c.name == "keys" && slices.Contains(g.hand.Runes, '?') {
		g.closeCard()
		return
	}
	for _, key := range g.hand.Keys {
		if g.cardKey(c, key) {
			return
		}
	}
	if c.typed {
		g.typeInto(c)
	}
}

// cardKey does what a key means on a card. It reports whether the card is done with this Update's keys.
func (g *game) cardKey(c *card, key ebiten.Key) bool {
	rows := c.list()
	switch key {
	case ebiten.KeyEscape:
		g.closeCard()
		return true
	case ebiten.KeyEnter, ebiten.KeyNumpadEnter:
		g.choose(rows)
		return true
	case ebiten.KeySpace:
		if !c.typed {
			g.choose(rows)
		}
		return !c.typed
	case ebiten.KeyF1:
		if c.aboutDriving() {
			g.showKeys()
		} else {
			g.closeCard()
		}
		return true
	case ebiten.KeyBackspace, ebiten.KeyDelete:
		g.takeBack(c, rows)
		return false
	}
	if c.moves(key, rows) || g.turnKey(key, rows) {
		return false
	}
	if c.own && key == c.key && c.filter == "" && !g.hand.Ctrl {
		g.closeCard()
		return true
	}
	if letter := key <= ebiten.KeyZ && !g.hand.Ctrl && !g.hand.Alt; !c.passes || c.typed && (letter || isDigit(key)) {
		return false
	}
	return g.passKey(c, key)
}

func isDigit(key ebiten.Key) bool { return key >= ebiten.KeyDigit0 && key <= ebiten.KeyDigit9 }

// moves moves the cursor, where the key does that.
func (c *card) moves(key ebiten.Key, rows []cardRow) bool {
	switch key {
	case ebiten.KeyArrowDown:
		c.step(1, rows)
	case ebiten.KeyArrowUp:
		c.step(-1, rows)
	case ebiten.KeyPageDown:
		c.page(1, rows)
	case ebiten.KeyPageUp:
		c.page(-1, rows)
	case ebiten.KeyHome:
		c.toEnd(-1, rows)
	case ebiten.KeyEnd:
		c.toEnd(1, rows)
	default:
		return false
	}
	return true
}

// turnKey turns the number of the row at the cursor, where the key does that.
func (g *game) turnKey(key ebiten.Key, rows []cardRow) bool {
	switch key {
	case ebiten.KeyArrowLeft:
		g.turn(rows, -1)
	case ebiten.KeyArrowRight:
		g.turn(rows, 1)
	default:
		return false
	}
	return true
}

// takeBack takes the last letter typed back, or the row's number back to what the file says.
func (g *game) takeBack(c *card, rows []cardRow) {
	if c.filter != "" {
		_, last := utf8.DecodeLastRuneInString(c.filter)
		c.filter = c.filter[:len(c.filter)-last]
		return
	}
	if c.cursor < len(rows) && rows[c.cursor].reset != nil {
		rows[c.cursor].reset()
	}
}

// passKey does what a key means without the card, which stays unless it would be in the way: another card, or another
// mode of the pointer.
func (g *game) passKey(c *card, key ebiten.Key) bool {
	mode := g.model.Mode
	g.pressKey(key)
	if g.card == c && g.model.Mode != mode {
		g.closeCard()
	}
	return g.card != c
}

func (g *game) typeInto(c *card) {
	if g.hand.Ctrl || g.hand.Alt {
		return
	}
	before := c.filter
	for _, r := range g.hand.Runes {
		if unicode.IsPrint(r) && len(c.filter) < 60 {
			c.filter += string(r)
		}
	}
	if c.filter != before {
		c.cursor, c.top = 0, 0
		c.settle(c.list())
	}
}

// placeCard puts the rows that there is room for where they can be clicked.
func (g *game) placeCard() {
	c, rows := g.card, g.card.list()
	box := g.cardBox(len(rows))
	c.shown = max(int((box.H-cardHead-cardFoot)/cardRowH), 1)
	c.top = min(max(c.top, 0), max(len(rows)-c.shown, 0))
	whole := Rect{W: g.width, H: g.height}
	g.add(element{Name: "outside", Rect: whole, Bare: true, Do: g.closeCard})
	g.add(element{Name: "card", Rect: box, Bare: true, Do: func() {}})
	for i := c.top; i < min(c.top+c.shown, len(rows)); i++ {
		if rows[i].head || rows[i].do == nil {
			continue
		}
		row, r := rows[i], cardRowRect(box, i-c.top)
		g.add(element{Name: "row " + row.label, Rect: r, Bare: true, Do: func() {
			c.cursor = i
			g.choose(rows)
			if row.turn != nil {
				g.turning = turning{label: row.label, from: g.hand.X, undo: g.model.UndoSteps()}
			}
		}})
		if row.reset != nil {
			g.add(element{Name: "reset " + row.label, Rect: resetRect(r), Bare: true, Do: row.reset})
		}
	}
}

// resetRect is the button at a row's end that takes the file's value.
func resetRect(row Rect) Rect {
	return Rect{X: row.Right() - resetWidth, Y: row.Y + 2, W: resetWidth, H: row.H - 4}
}

// pointCard takes the wheel and drags on a card: over a number they turn it, elsewhere the wheel shows other rows.
func (g *game) pointCard() {
	c := g.card
	if c == nil {
		g.turning = turning{}
		return
	}
	g.dragTurn(c)
	rows := c.list()
	box := g.cardBox(len(rows))
	if g.hand.WheelY == 0 || !box.Contains(g.hand.X, g.hand.Y) {
		return
	}
	for i := c.top; i < min(c.top+c.shown, len(rows)); i++ {
		if rows[i].turn != nil && cardRowRect(box, i-c.top).Contains(g.hand.X, g.hand.Y) {
			c.cursor = i
			g.turn(rows, math.Copysign(1, g.hand.WheelY))
			return
		}
	}
	c.top = min(max(c.top-int(math.Copysign(3, g.hand.WheelY)), 0), max(len(rows)-c.shown, 0))
}

// dragTurn turns the row taken by so many steps as the pointer has gone. A whole drag is one step of undo.
func (g *game) dragTurn(c *card) {
	t := &g.turning
	if t.label == "" {
		return
	}
	if steps := math.Trunc((g.hand.X - t.from) / turnPoints); g.hand.Down && steps != 0 {
		rows := c.list()
		if i := slices.IndexFunc(rows, func(r cardRow) bool { return r.label == t.label && r.turn != nil }); i >= 0 {
			c.cursor = i
			g.turn(rows, steps)
			g.model.MergeUndo(t.undo)
		}
		t.from += steps * turnPoints
	}
	if !g.hand.Down {
		*t = turning{}
	}
}

func (g *game) cardBox(rows int) Rect {
	width := math.Min(cardWidth, g.width-40)
	height := math.Min(cardHead+cardFoot+float64(max(rows, 1))*cardRowH, g.height-40)
	return Rect{X: (g.width - width) / 2, Y: (g.height - height) / 2, W: width, H: height}
}

func cardRowRect(box Rect, i int) Rect {
	return Rect{X: box.X + 12, Y: box.Y + cardHead + float64(i)*cardRowH, W: box.W - 24, H: cardRowH}
}

func (g *game) drawCard() {
	c := g.card
	if c == nil {
		return
	}
	rows := c.list()
	box := g.cardBox(len(rows))
	shade := scene.Slate
	shade.A = 150
	g.pen.Rect(0, 0, g.width+1, g.height+1, shade)
	g.pen.Rect(box.X-1, box.Y-1, box.W+2, box.H+2, edge)
	g.pen.Rect(box.X, box.Y, box.W, box.H, panel)
	head := Rect{X: box.X + 16, Y: box.Y, W: box.W - 32, H: cardHead}
	used := g.words(c.title, head, large, true, scene.Chalk)
	if c.filter != "" {
		g.words(c.filter+"_", head.Rest(used+16), normal, true, g.tint.Accent)
	}
	for i := c.top; i < min(c.top+c.shown, len(rows)); i++ {
		g.drawCardRow(cardRowRect(box, i-c.top), rows[i], i == c.cursor)
	}
	foot := c.foot
	if g.model.Driving() {
		foot += "  The drive's clock stands meanwhile."
	}
	if len(rows) > c.shown {
		foot += footMore
	}
	g.words(foot, Rect{X: box.X + 16, Y: box.Bottom() - cardFoot, W: box.W - 32, H: cardFoot}, small, false,
		scene.Dust)
}

func (g *game) drawCardRow(r Rect, row cardRow, current bool) {
	letters := scene.Chalk
	if row.head {
		g.words(row.label, r, normal, true, g.tint.Accent)
		return
	}
	if current && row.do != nil {
		g.pen.Rect(r.X, r.Y, r.W, r.H, g.chosen())
	} else if r.Contains(g.hand.X, g.hand.Y) && row.do != nil {
		g.pen.Rect(r.X, r.Y, r.W, r.H, hovered)
	}
	inner := Rect{X: r.X + 8, Y: r.Y, W: r.W - 16, H: r.H}
	if row.on {
		g.drawer.Mark(g.pen, scene.RoundShape, pointAt(inner.X+4, r.Y+r.H/2), 4, g.tint.Accent, scene.Pen{})
	}
	if row.reset != nil {
		g.drawReset(resetRect(r))
		inner.W -= resetWidth
	}
	note := math.Min(0.6*inner.W, g.widthOf(row.note)+2)
	if row.note == "" {
		note = 0
	}
	g.words(row.label, Rect{X: inner.X + 16, Y: r.Y, W: inner.W - 16 - note - 8, H: r.H}, normal, current &&
		canBeChosen(row), letters)
	g.rightward(row.note, Rect{X: inner.Right() - note, Y: r.Y, W: note, H: r.H}, normal, false, scene.Dust)
}

func (g *game) drawReset(r Rect) {
	ground := raised
	if r.Contains(g.hand.X, g.hand.Y) {
		ground = hovered
	}
	g.pen.Rect(r.X, r.Y, r.W, r.H, ground)
	g.centred("reset", r, small, false, scene.Chalk)
}
