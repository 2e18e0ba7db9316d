package window

import (
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// eventsPage lists the events.
type eventsPage struct {
	*shared
	lines []eventLine
	of    print // what they depend on
}

// eventLine is a row of the page of events with its place on the page.
type eventLine struct {
	row    scene.EventRow
	words  []string
	top    float64
	height float64
}

const (
	eventEdge = 4.0 // points on the left
	eventMost = 4   // lines of words that an event has at most
)

// eventLines places the events with the numbers that their marks on the field have. They are kept while they stay the
// same, for wrapping many takes long.
func (p *eventsPage) eventLines(page Rect) []eventLine {
	if p.drawn == nil || p.model.Now == nil {
		return nil
	}
	content := p.runPrint(p.model.Now).ints(p.model.Robot).word(uint64(p.model.Overlays)).numbers(page.W)
	if content != p.of {
		p.of, p.lines = content, p.wrapped(page)
	}
	return p.lines
}

func (p *eventsPage) wrapped(page Rect) []eventLine {
	var lines []eventLine
	top := 4.0
	for _, row := range p.drawn.Furniture.AllEvents {
		words := paint.Wrap(row.Words, page.W-eventEdge-picture.EventWords-pageEdge, normal, false, eventMost)
		height := pageRow * float64(max(len(words), 1))
		lines = append(lines, eventLine{row, words, top, height})
		top += height
	}
	return lines
}

// draw lists the events, those that have happened brighter than those to come.
func (p *eventsPage) draw(page Rect, s *scroll) float64 {
	lines := p.eventLines(page)
	if len(lines) == 0 {
		p.words("nothing happened", page.Inset(12).Top(pageRow), normal, false, scene.Dust)
		return 0
	}
	current := -1
	for i := range lines {
		if lines[i].row.T <= p.model.Time+1e-9 {
			current = i
		}
	}
	last := lines[len(lines)-1]
	high := last.top + last.height + 4
	if p.model.Follows && current >= 0 {
		s.high = high
		s.show(lines[current].top-pageRow, lines[current].top+lines[current].height+pageRow, page.H)
	}
	for i, line := range lines {
		y := page.Y + line.top - s.at
		if y >= page.Y-1 && y+line.height <= page.Bottom()+1 {
			p.drawLine(Rect{X: page.X, Y: y, W: page.W, H: line.height}, line, i <= current, i == current)
		}
	}
	return high
}

func (p *eventsPage) drawLine(r Rect, line eventLine, past, current bool) {
	set := picture.Setting{Size: normal, Line: pageRow, On: p.panel, Ink: p.faint, Soft: p.faint}
	if past {
		set.Ink, set.Soft = scene.Chalk, scene.Dust
	}
	if current {
		set.On = p.chosen
		p.pen.Rect(r.X+1, r.Y, r.W-1, r.H, p.chosen)
	}
	set.Event(p.pen, &p.drawer, &line.row, line.words, pointAt(r.X+eventEdge, r.Y))
}

// click goes to the event at a height of the page.
func (p *eventsPage) click(page Rect, y float64) {
	if p.model.Driving() {
		return
	}
	for _, line := range p.eventLines(page) {
		if y >= line.top && y < line.top+line.height {
			p.model.GoTo(line.row.T)
			return
		}
	}
}
