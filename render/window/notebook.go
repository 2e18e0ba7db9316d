package window

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// notebook has the pages beside the field.
type notebook struct {
	*shared
	scroll  map[viewmodel.Tab]*scroll
	routine routinePage
	events  eventsPage
	study   studyPage
	gains   *gainList // that may be drawn in place of a page
	tabs    still
}

func newNotebook(s *shared) *notebook {
	n := &notebook{shared: s, scroll: map[viewmodel.Tab]*scroll{}, routine: routinePage{shared: s},
		events: eventsPage{shared: s}, study: studyPage{shared: s}}
	for _, tab := range viewmodel.Tabs {
		n.scroll[tab] = &scroll{}
	}
	return n
}

const tabHeight = 26.0

// followBar is the height of the button that says that the page does not follow the run.
const followBar = 28.0

// area is the notebook without its tabs.
func (n *notebook) area() Rect {
	page := n.frame.Notebook.Below(tabHeight + n.filesBar().H)
	if n.strays() {
		page.H = math.Max(page.H-followBar, 0)
	}
	return page
}

// follows reports whether a page goes along with the run.
func follows(tab viewmodel.Tab) bool {
	return tab == viewmodel.RoutineTab || tab == viewmodel.EventsTab
}

// strays reports whether the page shown would go along with the run, but was scrolled.
func (n *notebook) strays() bool {
	return !n.gains.shows() && !n.model.Follows && follows(n.model.Tab) && n.model.Now != nil &&
		n.frame.Notebook.H > tabHeight+followBar
}

// scrollPage scrolls the page shown. One that goes along with the run then stays where it is put, until Y, its button,
// or the next play.
func (n *notebook) scrollPage(points float64) {
	s, page := n.scroll[n.model.Tab], n.area()
	was := s.at
	if s.by(points, page.H); s.at != was && follows(n.model.Tab) {
		n.model.Follow(false)
	}
}

// shown reports whether there is a page to see.
func (n *notebook) shown() bool { return n.area().H > 0 && !n.gains.shows() }

func (n *notebook) place() {
	tabs := n.frame.Notebook.Top(tabHeight)
	if tabs.W == 0 {
		return
	}
	const foldWidth = 26
	labels, sides, words := n.tabLabels(tabs.W - foldWidth - 6)
	x, stretch := tabs.X, (tabs.W-foldWidth-6)/words
	for i, tab := range viewmodel.Tabs {
		e := n.named("page " + string(tab))
		e.Name, e.Label, e.Hint = "tab "+string(tab), labels[i], ""
		e.Rect = Rect{X: x + 1, Y: tabs.Y + 2, W: stretch*tabWidth(labels[i], sides) - 2, H: tabs.H - 4}
		x += stretch * tabWidth(labels[i], sides)
		e.On = n.model.Tab == tab && n.shown()
		e.Do = func() {
			n.gains.hidden = true
			n.model.Page(tab)
			n.unfold()
		}
		n.add(e)
	}
	fold := n.named("fold pages")
	fold.Label, fold.Hint = "-", ""
	if n.area().H <= 0 {
		fold.Label = "+"
	}
	fold.Rect = Rect{X: tabs.Right() - foldWidth - 4, Y: tabs.Y + 2, W: foldWidth, H: tabs.H - 4}
	n.add(fold)
	if n.model.Tab == viewmodel.StudyTab && n.shown() {
		n.placeTrials()
	}
	if n.strays() {
		page := n.area()
		n.add(element{Name: "follow", Rect: Rect{X: page.X, Y: page.Bottom(), W: page.W, H: followBar}, Bare: true,
			Do: func() { n.model.Follow(true) }})
	}
}

// tabLabels is what stands on the tabs, and the width that each takes of the whole: their names, closer together where
// there is no room, or at last the key of each but that of the page shown.
func (n *notebook) tabLabels(room float64) (labels []string, sides, wide float64) {
	for _, tab := range viewmodel.Tabs {
		labels = append(labels, capital(string(tab)))
		wide += tabWidth(capital(string(tab)), 0)
	}
	for _, sides := range []float64{16, 6} {
		if whole := wide + float64(len(labels))*sides; whole <= room {
			return labels, sides, whole
		}
	}
	wide = 0
	for i, tab := range viewmodel.Tabs {
		if tab != n.model.Tab {
			labels[i] = stroke{key: tabKey(i)}.String()
		}
		wide += tabWidth(labels[i], 16)
	}
	return labels, 16, wide
}

// tabWidth is the share of the tabs' width that a tab takes, by the letters on it and the room at their sides.
func tabWidth(label string, sides float64) float64 { return paint.Width(label, small, true) + sides }

func (n *notebook) draw() {
	if n.frame.Notebook.W == 0 {
		return
	}
	n.drawButtons(&n.tabs, n.frame.Notebook.Top(tabHeight))
	page, s := n.area(), n.scroll[n.model.Tab]
	if n.gains.shows() {
		n.gains.drawPage(page)
		return
	}
	n.drawStray(page)
	if n.model.Tab == viewmodel.RoutineTab {
		if _, held := n.model.Held(); !held { // a number in hand stays where it is
			n.routine.follow(page, s)
		}
		n.drawStill(&n.routine.kept, n.routine.print(page, s), func() { n.drawPage(page, s) })
		return
	}
	n.drawPage(page, s)
}

// drawStray says under a page that it does not follow the run, and how it will again.
func (n *notebook) drawStray(page Rect) {
	if !n.strays() {
		return
	}
	r := Rect{X: page.X, Y: page.Bottom(), W: page.W, H: followBar}
	n.fill(r, n.ground(r))
	n.pen.Rect(r.X, r.Y, 3, r.H, n.accent)
	n.centred("Not following the run. Y or click: follow", r, normal, false, scene.Chalk)
}

// drawPage paints the page chosen, and keeps how high it is.
func (n *notebook) drawPage(page Rect, s *scroll) {
	n.fill(page, n.panel)
	n.pen.Rect(page.X, page.Y, 1, page.H, n.edge)
	n.clip(page)
	switch n.model.Tab {
	case viewmodel.RoutineTab:
		s.high = n.routine.draw(page, s)
	case viewmodel.RobotTab:
		s.high = n.drawSections(page, s, n.robotPage())
	case viewmodel.ScoreTab:
		s.high = n.drawSections(page, s, n.scorePage())
	case viewmodel.EventsTab:
		s.high = n.events.draw(page, s)
	case viewmodel.StudyTab:
		s.high = n.drawStudy(page, s)
	}
	s.by(0, page.H)
	n.drawScrollMark(page, s)
	n.pen.Unclip()
}

// drawScrollMark shows how much of a long page is seen, and where.
func (n *notebook) drawScrollMark(page Rect, s *scroll) {
	if s.high <= page.H {
		return
	}
	height := math.Max(20, page.H*page.H/s.high)
	y := page.Y + (page.H-height)*s.at/(s.high-page.H)
	n.pen.Rect(page.Right()-5, y, 4, height, n.edge)
}

// point takes the wheel and clicks on rows.
func (n *notebook) point() {
	page := n.area()
	if n.card != nil || n.gains.shows() || !page.Contains(n.hand.X, n.hand.Y) {
		return
	}
	if n.hand.WheelY != 0 {
		n.scrollPage(-n.hand.WheelY * 40)
	}
	if n.hand.Pressed && n.model.Tab == viewmodel.EventsTab {
		n.events.click(page, n.hand.Y-page.Y+n.scroll[viewmodel.EventsTab].at)
	}
}

// turnPage scrolls by keys.
func (n *notebook) turnPage(share float64) {
	n.scrollPage(share * n.area().H)
}

func (n *notebook) turnTo(tab viewmodel.Tab) {
	n.gains.hidden = true
	n.model.Turn(tab)
	n.unfold()
}

// showFind lists the routine's lines and the events; letters narrow the list, a choice goes there.
func (n *notebook) showFind() {
	n.show(&card{name: "find", title: "Find", typed: true, foot: "Letters narrow the list, Enter goes there, Esc closes.",
		rows: func() []cardRow {
			var rows []cardRow
			for i, line := range n.model.Source().Lines {
				if words := strings.TrimSpace(line); words != "" {
					rows = append(rows, cardRow{label: words, note: fmt.Sprintf("line %d", i+1), do: func() { n.find(i + 1) }})
				}
			}
			if n.model.Now == nil || n.drawn == nil {
				return rows
			}
			for _, e := range n.drawn.Furniture.AllEvents {
				rows = append(rows, cardRow{label: e.Words, note: fmt.Sprintf("%.2f s", e.T), do: func() { n.model.GoTo(e.T) }})
			}
			return rows
		}})
}

// find shows a line and chooses it, so that its times can be gone through and it can be edited by keys.
func (n *notebook) find(line int) {
	n.showLine(line)
	if n.model.Line() != line {
		n.model.ChooseLine(line)
	}
	n.model.AddUnder(line)
}

// showLine scrolls the routine's page to a line, which then does not follow the run.
func (n *notebook) showLine(line int) {
	n.turnTo(viewmodel.RoutineTab)
	n.model.Follow(false)
	n.bring(line)
}

// bring scrolls the routine's page to a line.
func (n *notebook) bring(line int) {
	page, s := n.area(), n.scroll[viewmodel.RoutineTab]
	for i, folded := range n.routine.folded(page) {
		if folded.number == line {
			s.high = math.Max(s.high, float64(len(n.routine.fold))*codeRow)
			s.show(float64(i)*codeRow, float64(i+1)*codeRow, page.H)
			n.routine.found, n.routine.keyed = line, true
			return
		}
	}
}

// lightLine shows a line and lights it up as long as something of it is in hand, where the routine's page is seen.
func (n *notebook) lightLine(line int) {
	if n.model.Tab == viewmodel.RoutineTab && n.shown() {
		n.bring(line)
	}
}

// unfold shows the pages.
func (n *notebook) unfold() {
	if n.model.Driving() {
		n.aside = true
		return
	}
	l := n.memory.Layout
	l.Folded, l.NoPages = false, false
	n.memory.Divide(l)
}

// scroll is how far down a page is.
type scroll struct {
	at   float64 // points
	high float64 // height of the whole page, as last drawn
}

func (s *scroll) by(points, shown float64) {
	s.at = geom.Clamp(s.at+points, 0, math.Max(0, s.high-shown))
}

// show brings a stretch of the page into view.
func (s *scroll) show(top, bottom, shown float64) {
	if top < s.at {
		s.at = math.Max(0, top-shown/3)
	}
	if bottom > s.at+shown {
		s.at = math.Min(bottom-shown*2/3, math.Max(0, top)) // the beginning of a stretch too long for the page
	}
	s.by(0, shown)
}
