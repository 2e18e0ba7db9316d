package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

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

const tabHeight = 30.0

// page is the notebook without its tabs.
func (g *game) page() Rect {
	page := g.frame.Notebook.Below(tabHeight)
	if g.strays() {
		page.H = math.Max(page.H-followBar, 0)
	}
	return page
}

// followBar is the height of the button that says that the page does not follow the run.
const followBar = 28.0

// follows reports whether a page goes along with the run.
func follows(tab viewmodel.Tab) bool {
	return tab == viewmodel.RoutineTab || tab == viewmodel.EventsTab
}

// strays reports whether the page shown would go along with the run, but was scrolled.
func (g *game) strays() bool { return !g.model.Follows && follows(g.model.Tab) && g.model.Now != nil }

// scrollPage scrolls the page shown. One that goes along with the run then stays where it is put, until Y, its button,
// or the next play.
func (g *game) scrollPage(points float64) {
	s, page := g.scroll[g.model.Tab], g.page()
	was := s.at
	if s.by(points, page.H); s.at != was && follows(g.model.Tab) {
		g.model.Follow(false)
	}
}

func (g *game) placeNotebook() {
	if !g.notebook {
		return
	}
	tabs := g.frame.Notebook.Top(tabHeight)
	width := tabs.W / float64(len(viewmodel.Tabs))
	for i, tab := range viewmodel.Tabs {
		r := Rect{X: tabs.X + float64(i)*width + 2, Y: tabs.Y + 3, W: width - 4, H: tabs.H - 5}
		g.add(element{Name: "tab " + string(tab), Rect: r, Label: tabTitle(tab), On: g.model.Tab == tab,
			Do: func() { g.model.Page(tab) }})
	}
	if g.strays() {
		page := g.page()
		g.add(element{Name: "follow", Rect: Rect{X: page.X, Y: page.Bottom(), W: page.W, H: followBar}, Bare: true,
			Do: func() { g.model.Follow(true) }})
	}
}

func tabTitle(tab viewmodel.Tab) string {
	switch tab {
	case viewmodel.RoutineTab:
		return "Routine"
	case viewmodel.RobotTab:
		return "Robot"
	case viewmodel.ScoreTab:
		return "Score"
	}
	return "Events"
}

func (g *game) drawNotebook() {
	n := g.frame.Notebook
	if n.W == 0 {
		return
	}
	page := g.page()
	s := g.scroll[g.model.Tab]
	g.drawStray(page)
	if g.model.Tab == viewmodel.RoutineTab {
		g.followRoutine(page, s)
		g.drawStill(&g.paged, g.routinePrint(page, s), page, func() { g.drawPage(page, s) })
		return
	}
	g.drawPage(page, s)
}

// drawStray says under a page that it does not follow the run, and how it will again.
func (g *game) drawStray(page Rect) {
	if !g.strays() {
		return
	}
	r := Rect{X: page.X, Y: page.Bottom(), W: page.W, H: followBar}
	ground := raised
	if r.Contains(g.hand.X, g.hand.Y) {
		ground = hovered
	}
	g.pen.Rect(r.X, r.Y, r.W, r.H, ground)
	g.pen.Rect(r.X, r.Y, 3, r.H, g.tint.Accent)
	g.centred("Not following the run. Y or click: follow", r, normal, false, scene.Chalk)
}

// drawPage paints the page chosen, and keeps how high it is.
func (g *game) drawPage(page Rect, s *scroll) {
	g.pen.Rect(page.X, page.Y, page.W, page.H, panel)
	g.pen.Rect(page.X, page.Y, 1, page.H, edge)
	g.pen.Clip(page.X, page.Y, page.W, page.H)
	switch g.model.Tab {
	case viewmodel.RoutineTab:
		s.high = g.drawRoutine(page, s)
	case viewmodel.RobotTab:
		s.high = g.drawRobot(page, s)
	case viewmodel.ScoreTab:
		s.high = g.drawSheet(page, s)
	case viewmodel.EventsTab:
		s.high = g.drawEvents(page, s)
	}
	s.by(0, page.H)
	g.drawScrollMark(page, s)
	g.pen.Unclip()
}

// drawScrollMark shows how much of a long page is seen, and where.
func (g *game) drawScrollMark(page Rect, s *scroll) {
	if s.high <= page.H {
		return
	}
	height := math.Max(20, page.H*page.H/s.high)
	y := page.Y + (page.H-height)*s.at/(s.high-page.H)
	g.pen.Rect(page.Right()-5, y, 4, height, edge)
}

// pointNotebook takes the wheel and clicks on rows.
func (g *game) pointNotebook() {
	page := g.page()
	if g.card != nil || !page.Contains(g.hand.X, g.hand.Y) {
		return
	}
	if g.hand.WheelY != 0 {
		g.scrollPage(-g.hand.WheelY * 40)
	}
	if g.hand.Pressed && g.model.Tab == viewmodel.EventsTab {
		g.clickEvent(page, g.hand.Y-page.Y+g.scroll[viewmodel.EventsTab].at)
	}
}

// turnPage scrolls by keys.
func (g *game) turnPage(share float64) {
	g.scrollPage(share * g.page().H)
}

// row writes a name and a value in a line of a page, and gives the next line's y.
func (g *game) row(page Rect, y float64, name, value string) float64 {
	r := Rect{X: page.X + 12, Y: y, W: page.W - 24, H: pageRow}
	if within(page, y) {
		g.words(name, r.Left(0.4*r.W), normal, false, scene.Dust)
		g.words(value, r.Rest(0.42*r.W), normal, false, scene.Chalk)
	}
	return y + pageRow
}

func (g *game) head(page Rect, y float64, title string) float64 {
	if within(page, y+6) {
		g.words(title, Rect{X: page.X + 12, Y: y + 6, W: page.W - 24, H: pageRow}, normal, true, scene.Chalk)
		g.pen.Rect(page.X+12, y+pageRow+6, page.W-24, 1, edge)
	}
	return y + pageRow + 10
}

const pageRow = 20.0

// within reports whether a row at y is wholly on the page: none is cut in half.
func within(page Rect, y float64) bool { return y >= page.Y-1 && y+pageRow <= page.Bottom()+1 }
