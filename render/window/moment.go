package window

import (
	"strconv"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// moment shows what the routine does at a time: which lines ran when, what its variables hold, and where playing
// pauses.
type moment struct {
	*shared
	notebook *notebook
	line     *editLine
}

// any reports whether there are lines; chosen, whether one is chosen.
func (m *moment) any() bool    { return !m.model.Driving() && len(m.model.Source().Lines) > 0 }
func (m *moment) chosen() bool { return m.model.ChosenLine() != "" }

// page is where the routine's lines are seen; empty: they are not.
func (m *moment) page() Rect { return m.line.numbers.page() }

// find has found out what the routine did, while something shows it. It reports whether anything came of it.
func (m *moment) find() bool {
	stops := false
	for _, s := range m.model.Stops {
		stops = stops || s.Line > 0 && !s.Off
	}
	curves := false
	for _, s := range m.model.Signals {
		curves = curves || viewmodel.IsVariable(s)
	}
	if m.page().H > 0 || m.shows("variables") || m.shows("times") || stops || curves {
		m.model.Observe()
	}
	return m.model.PollKept()
}

// shows reports whether a list of this name stands beside the field.
func (m *moment) shows(name string) bool { return m.beside != nil && m.beside.name == name }

// place makes the line numbers something to click: a stop there.
func (m *moment) place() {
	page := m.page()
	if page.H <= 0 || len(m.model.Source().Lines) == 0 {
		return
	}
	m.notebook.routine.rows(page, m.notebook.scroll[viewmodel.RoutineTab], func(y float64, row foldedLine) {
		if !row.first {
			return
		}
		e := element{Name: "line " + strconv.Itoa(row.number), Bare: true,
			Rect: Rect{X: page.X + 1, Y: y, W: codeLeft - 6, H: codeRow}, Do: func() { m.model.ToggleStop(row.number) }}
		if e.Rect.Contains(m.hand.X, m.hand.Y) { // the words are not made for all lines in every Update
			e.Tip = m.lineTip(row.number)
		}
		m.add(e)
	})
}

// lineTip tells of a line, and what a click on its number does.
func (m *moment) lineTip(line int) string {
	if _, stop := m.model.StopAt(line); stop {
		return m.model.LineWords(line) + " Click: do not pause here any more."
	}
	return m.model.LineWords(line) + " Click: pause when it runs."
}

// point chooses the line that is clicked.
func (m *moment) point() {
	if line := m.line.at(); m.hand.Pressed && !m.line.open && line > 0 && m.hand.X > m.page().X+codeLeft-6 {
		if m.model.ChooseLine(line); m.model.Line() == line {
			m.model.AddUnder(line)
		}
	}
}

func (m *moment) draw() {}

// showVariables lists what the variables hold at the time shown.
func (m *moment) showVariables() {
	m.lay(&card{name: "variables", title: "Variables at this moment", key: ebiten.KeyF4, own: true,
		passes: true, timed: true, foot: "Enter or a click draws a number as a curve, and shows a table's entries. Space, " +
			"Left and Right play and step (Shift: 1 s). F4 or Esc closes.",
		rows: func() []cardRow {
			rows := m.variableRows()
			if len(rows) == 0 {
				rows = []cardRow{{label: "none", about: m.nothing()}}
			}
			return rows
		}})
}

// nothing says why there are no variables.
func (m *moment) nothing() string {
	h := m.model.History(m.model.Robot)
	switch {
	case h == nil:
		return m.model.Unkept(m.model.Robot)
	case h.Full > 0 && m.model.Time >= h.Full:
		return viewmodel.FullWords(h)
	}
	return "No task of the routine is at work at this moment."
}

func (m *moment) variableRows() []cardRow {
	var rows []cardRow
	for _, v := range m.model.Variables() {
		row := cardRow{label: strings.Repeat("   ", v.Depth) + v.Label, note: v.Value, head: v.Head, about: v.About,
			on: v.Curve, keeps: true}
		switch {
		case v.Head:
		case v.Folds:
			row.label = strings.Repeat("   ", v.Depth) + map[bool]string{true: "- ", false: "+ "}[v.Open] + v.Label
			row.do = func() { m.model.Unfold(v.Path) }
		case v.Number:
			row.do = func() { m.model.ToggleSignal(v.Path) }
		default:
			row.do = func() {}
		}
		rows = append(rows, row)
	}
	return rows
}

// showStops lists where playing pauses; what is typed there becomes another stop.
func (m *moment) showStops() {
	c := &card{name: "stops", title: "Playing pauses at", typed: true, timed: true, key: ebiten.KeyF4,
		entry: m.model.AddStop,
		foot: m.model.Units.Sprintf("Type one and Enter: battery < 10 V, belief error > %.0f mm, line 31. Enter switches "+
			"one on or off, Backspace takes it away, Space plays, Esc closes.", 0.05)}
	c.rows = func() []cardRow {
		var rows []cardRow
		for i, s := range m.model.Stops {
			rows = append(rows, cardRow{label: s.Words(), note: m.model.StopWords(i), on: !s.Off, keeps: true,
				do: func() { m.model.SwitchStop(i) }, drop: func() { m.model.RemoveStop(i) }})
		}
		if len(rows) == 0 {
			rows = []cardRow{{label: "none yet"}}
		}
		return rows
	}
	m.lay(c)
}

// drawGutter draws at a line's number how long the line took, and its stop. It gives the colour of the number.
func (p *routinePage) drawGutter(r Rect, line int, numbers scene.Colour) scene.Colour {
	gutter := Rect{X: r.X + 2, Y: r.Y, W: codeLeft - 10, H: r.H}
	if longest := p.model.LongestLine(); longest > 0 {
		if took := p.model.LineSeconds(line); took > 0 {
			wide := gutter.W * took / longest
			p.fill(Rect{X: gutter.Right() - wide, Y: gutter.Bottom() - 3, W: wide, H: 2}, p.accent)
		}
	}
	stop, is := p.model.StopAt(line)
	if !is {
		return numbers
	}
	plate := Rect{X: gutter.Right() - 24, Y: r.Y + 1, W: 26, H: r.H - 2}
	if stop.Off {
		p.pen.Rect(plate.X, plate.Y, plate.W, plate.H, p.edge)
		p.fill(plate.Inset(1), p.panel)
		return numbers
	}
	p.fill(plate, p.accent)
	return scene.Plate
}

// momentPrint takes in what the gutter shows.
func (p *routinePage) momentPrint(content print) print {
	content = content.ints(p.model.Line()).flag(p.model.History(0) != nil).text(p.model.Source().Module)
	for _, s := range p.model.Stops {
		content = content.text(s.Module).ints(s.Line).flag(s.Off)
	}
	return content
}

// timesPrint takes in what drawTimes shows.
func (s *strip) timesPrint(content print) print {
	content = content.ints(len(s.model.ChosenHolds())).text(s.model.ChosenLine()).flag(s.model.Now.Kept != nil)
	for _, stop := range s.model.Stops {
		content = content.ints(stop.Line).flag(stop.Off).text(stop.Words())
	}
	return content
}

// Heights of what is marked in the ruler, points.
const (
	lineMark = 4.0
	stopMark = 2.0
)

// drawTimes marks in the ruler when the chosen line ran, and where stops hold.
func (s *strip) drawTimes() {
	ruler := s.frame.Strip.Top(rulerHeight)
	mark := func(h viewmodel.Holds, y, high float64, ink scene.Colour) {
		from, to := s.timeX(h.From), s.timeX(h.To)
		s.pen.Rect(from-1, y, max(to-from, 0)+2, high, ink)
	}
	for _, h := range s.model.ChosenHolds() {
		mark(h, ruler.Bottom()-lineMark, lineMark, s.accent)
	}
	for _, stop := range s.model.Stops {
		if stop.Off {
			continue
		}
		for _, h := range s.model.Holds(stop) {
			mark(h, ruler.Y, stopMark, scene.Chalk)
			s.pen.Rect(s.timeX(h.From)-1, ruler.Y, 2, 2*stopMark, scene.Chalk)
		}
	}
}
