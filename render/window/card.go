package window

import (
	"slices"
	"strings"

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
	timed  bool // Space, Left and Right play and step as they do without it
	filter string
	cursor int

	followed   string // id of the row at the cursor, which the cursor goes along with; "": it has none
	followedAt int

	top    int                // first row shown
	shown  int                // rows that there was room for, as last placed
	wheels string             // label of the row whose number the wheel turns; "": none
	menu   *menuAt            // where it lies: at what it is about; nil: in the middle
	takes  func() bool        // has this Update's keys for itself; nil: it never has
	entry  func(string) error // takes what is typed, which narrows nothing then; nil: letters narrow the list
	under  *card              // what shows again when this one is closed; nil: nothing
}

// cardRow is one line of a card.
type cardRow struct {
	label string
	id    string           // by which the cursor stays on it when rows come and go; "": it does not
	note  string           // at the right
	also  string           // what letters find it by too
	mark  *scene.LegendRow // drawn before the label; nil: none
	about string           // said under the rows while the cursor is on it
	on    bool
	head  bool               // a heading: the cursor passes over it
	do    func()             // nil: the row only tells
	keeps bool               // the card stays open
	turn  func(way float64)  // by keys, wheel or a drag: steps, negative for less; nil: nothing to turn
	digit func(typed string) // takes a digit typed on it; nil: it has another meaning
	write func()             // by Enter: into the file; nil: it is there, or there is no such thing
	reset func()             // back to what the file says; nil: it is there, or there is no such thing
	drop  func()             // takes it off the list; nil: it stays there
}

// aboutDriving: the card asks how to drive, or what to do with a drive; the keys may be looked up over it.
func (c *card) aboutDriving() bool { return c != nil && (c.name == "drive" || c.name == "driven") }

// list is the rows that the letters typed so far leave, those first whose label has them.
func (c *card) list() []cardRow {
	rows := c.rows()
	if c.filter == "" || c.entry != nil {
		return rows
	}
	var kept, others []cardRow
	for _, row := range rows {
		switch {
		case row.head:
		case matches(row.label, c.filter):
			kept = append(kept, row)
		case matches(row.label+" "+row.note+" "+row.also, c.filter):
			others = append(others, row)
		}
	}
	kept = append(kept, others...)
	if len(kept) == 0 {
		return []cardRow{{label: "Nothing matches. Backspace takes a letter back."}}
	}
	return kept
}

// follow keeps the cursor on its row when rows have come or gone since.
func (c *card) follow(rows []cardRow) {
	if c.followed != "" && c.cursor == c.followedAt {
		if at := slices.IndexFunc(rows, func(r cardRow) bool { return r.id == c.followed }); at >= 0 && at != c.cursor {
			c.top = max(c.top+at-c.cursor, 0)
			c.cursor = at
		}
	}
	c.followed, c.followedAt = "", c.cursor
	if c.cursor < len(rows) {
		c.followed = rows[c.cursor].id
	}
}

// settle puts the cursor on the first row from it on that can be chosen, where there is one.
func (c *card) settle(rows []cardRow) {
	c.cursor = min(max(c.cursor, 0), max(len(rows)-1, 0))
	if i := slices.IndexFunc(rows[min(c.cursor, len(rows)):], canBeChosen); i >= 0 {
		c.cursor += i
	}
}

func canBeChosen(row cardRow) bool { return row.do != nil }

// step moves the cursor one on or back, over rows that only tell, and the part shown with it.
func (c *card) step(by int, rows []cardRow) {
	if !slices.ContainsFunc(rows, canBeChosen) { // a sheet to read
		c.top = min(max(c.top+by, 0), max(len(rows)-c.shown, 0))
		return
	}
	c.cursor = min(c.cursor, len(rows)-1) // what is typed or rehearsed may have left fewer
	for next := c.cursor + by; next >= 0 && next < len(rows); next += by {
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
	if by > 0 && !slices.ContainsFunc(rows[c.cursor+1:], canBeChosen) {
		c.top = max(c.top, min(len(rows)-c.shown, c.cursor)) // what stands under the last row
	}
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

// matches reports whether a row has all the words typed, in any order.
func matches(row, typed string) bool {
	row = strings.ToLower(row)
	for _, word := range strings.Fields(strings.ToLower(typed)) {
		if !strings.Contains(row, word) {
			return false
		}
	}
	return true
}
