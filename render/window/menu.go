package window

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// menu opens, at a click of the right button, the card of what can be done at a place.
type menu struct {
	*shared
	view   *fieldView
	charts *charts
	time   float64 // s: pointed at on the strip or the charts when it opened
	signal string  // the chart's key; "": none
}

// menuAt is where a card lies that was opened at a place.
type menuAt struct{ X, Y float64 }

func (m *menu) point() {
	if !m.hand.Menu || m.model.Driving() || m.shared.card != nil && m.shared.card.menu == nil {
		return
	}
	m.hand.Menu = false
	m.closeCard()
	m.view.aimNow()
	at, title := m.spot()
	if at == 0 {
		return
	}
	m.show(&card{name: "menu", title: title, menu: &menuAt{m.hand.X, m.hand.Y},
		rows: func() []cardRow { return m.rows(at) }})
}

func (m *menu) draw() {}

// spot is the part of the window pointed at, and what its menu is called.
func (m *menu) spot() (spot, string) {
	x, y := m.hand.X, m.hand.Y
	m.signal = ""
	switch {
	case m.frame.Field.Contains(x, y) && m.model.Now != nil:
		switch thing := m.view.aim.thing; thing.Kind {
		case viewmodel.RobotThing, viewmodel.PieceThing, viewmodel.GoalThing:
			return atThing, m.model.NameOf(thing)
		}
		return atFloor, "Field"
	case m.frame.Strip.Contains(x, y) && m.model.Now != nil:
		m.time = m.charts.timeAt(math.Max(x, m.charts.timeArea().X))
		return atStrip, "Time strip"
	case m.frame.Charts.Contains(x, y) && m.model.Now != nil:
		m.time, m.signal = m.charts.ruler().at(x), m.charts.keyAt(y)
		return atCharts, "Charts"
	case m.frame.Notebook.Contains(x, y):
		return atPages, "Notebook"
	}
	return 0, ""
}

// rows are the actions of a spot that there is something to do for: what the robot does next comes first, what leaves
// the run last.
func (m *menu) rows(at spot) []cardRow {
	var first, rows, last []cardRow
	for _, a := range m.actions {
		if a.at&at == 0 || !m.possible(a) {
			continue
		}
		list := &rows
		switch a.group {
		case "Add to the routine":
			list = &first
		case "Build":
			list = &last
		}
		*list = append(*list, cardRow{label: a.does, note: a.keyWords(), do: a.do})
	}
	return slices.Concat(first, rows, last)
}

// open reports whether a menu is open.
func (m *menu) open() bool { return m.shared.card != nil && m.shared.card.menu != nil }

// onChart reports whether it was opened on a chart.
func (m *menu) onChart() bool { return m.open() && m.signal != "" }

// menuBox is where a card that was opened at a place lies: there, as far as the window lets.
func (d *dialog) menuBox(c *card, rows []cardRow) Rect {
	width := 0.0
	for _, row := range rows {
		width = math.Max(width, d.widthOf(row.label)+d.widthOf(row.note)+70)
	}
	width = math.Min(math.Max(width, paint.Width(c.title, normal, true)+40), d.width-8)
	height := math.Min(cardHead+float64(max(len(rows), 1))*cardRowH+6, d.height-8)
	const off = 12 // points, so that the place it is about is seen
	x := c.menu.X + off
	if x+width > d.width-4 {
		x = c.menu.X - off - width
	}
	return Rect{X: geom.Clamp(x, 4, d.width-width-4), Y: geom.Clamp(c.menu.Y, 4, d.height-height-4), W: width, H: height}
}
