package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
	"chalkfield/sim/robot"
)

// drawRobot lists the robot's state at this moment, and gives the page's height.
func (g *game) drawRobot(page Rect, s *scroll) float64 {
	run := g.model.Now
	if run == nil || g.model.Robot >= len(run.Record.Header.Robots) {
		return 0
	}
	state, ok := run.Index.Robot(g.model.Robot, max(run.Index.At(g.model.Time), 0))
	if !ok {
		return 0
	}
	top := page.Y + 4 - s.at
	y := g.head(page, top, g.model.RobotName(g.model.Robot))
	y = g.row(page, y, "true pose", poseWords(state.True))
	y = g.row(page, y, "belief", poseWords(state.Belief))
	off := math.Hypot(state.Belief[0]-state.True[0], state.Belief[1]-state.True[1])
	y = g.row(page, y, "belief off by", fmt.Sprintf("%.0f mm, %s deg", 1000*off,
		viewmodel.Fixed(viewmodel.WholeTurn(deg(state.Belief[2]-state.True[2])), 1)))
	y = g.row(page, y, "doing", string(state.Doing))
	y = g.head(page, y, "Drive")
	wanted := "nothing: no motion"
	if run.Moves(g.model.Robot, g.model.Time) {
		wanted = fmt.Sprintf("%s mm/s, %s deg/s", viewmodel.Fixed(1000*state.Want[0], 0),
			viewmodel.Fixed(deg(state.Want[1]), 0))
	}
	y = g.row(page, y, "wanted", wanted)
	y = g.row(page, y, "wheels", fmt.Sprintf("%s, %s mm/s", viewmodel.Fixed(1000*state.Wheels[0], 0),
		viewmodel.Fixed(1000*state.Wheels[1], 0)))
	y = g.row(page, y, "volts", fmt.Sprintf("%s, %s V", viewmodel.Fixed(state.Volts[0], 1),
		viewmodel.Fixed(state.Volts[1], 1)))
	y = g.row(page, y, "amps", fmt.Sprintf("%s, %s A", viewmodel.Fixed(state.Amps[0], 1),
		viewmodel.Fixed(state.Amps[1], 1)))
	y = g.row(page, y, "battery", fmt.Sprintf("%.2f V", state.Battery))
	y = g.drawPartRows(page, y, run.Record.Header.Robots[g.model.Robot], state)
	return y - top + 12
}

func (g *game) drawPartRows(page Rect, y float64, entered record.Robot, state *record.RobotSample) float64 {
	if len(entered.Parts) > 0 {
		y = g.head(page, y, "Mechanisms")
	}
	for i, part := range entered.Parts {
		if i < len(state.Parts) {
			y = g.row(page, y, part.Name, g.partWords(robot.Kind(part.Kind), state.Parts[i],
				g.model.Now.PartQuantity(g.model.Robot, i)))
		}
	}
	if state.Air != 0 {
		y = g.row(page, y, "air", fmt.Sprintf("%.0f kPa", state.Air/1000))
	}
	if len(entered.Sensors) > 0 {
		y = g.head(page, y, "Sensors")
	}
	for i, name := range entered.Sensors {
		if i < len(state.Sensors) {
			y = g.row(page, y, name, g.model.Now.SensorQuantity(g.model.Robot, i).Words(state.Sensors[i]))
		}
	}
	return y
}

// partWords says a mechanism's state.
func (g *game) partWords(kind robot.Kind, p record.PartSample, q viewmodel.Quantity) string {
	held := ""
	if p.Body >= 0 {
		held = ", holds " + g.model.NameOf(viewmodel.Thing{Kind: viewmodel.PieceThing, Index: p.Body})
	}
	volts := ""
	if kind.HasMotor() {
		volts = viewmodel.Fixed(p.Volts, 1) + " V, "
	}
	return volts + scene.PartSays(kind, p, q.Words(p.Value), held)
}

func poseWords(p record.Pose) string {
	return fmt.Sprintf("%s, %s mm, %s deg", viewmodel.Fixed(1000*p[0], 0), viewmodel.Fixed(1000*p[1], 0),
		viewmodel.Fixed(viewmodel.WholeTurn(deg(p[2])), 1))
}

func deg(rad float64) float64 { return rad * 180 / math.Pi }

// drawSheet shows the score sheet at the end, the difference to the run before, and the totals of this moment.
func (g *game) drawSheet(page Rect, s *scroll) float64 {
	run := g.model.Now
	if run == nil {
		return 0
	}
	sheet := run.Record.Sheet
	top := page.Y + 4 - s.at
	y := g.head(page, top, "At the end")
	if len(sheet.Sides) == 0 {
		y = g.row(page, y, "score sheet", "comes with the end")
	}
	y = g.sheetRow(page, y, "", sheet.Sides, true)
	for _, row := range sheet.Rows {
		y = g.sheetRow(page, y, row.Rule, row.Cells(len(sheet.Sides)), false)
	}
	totals := make([]string, len(sheet.Total))
	for side, total := range sheet.Total {
		totals[side] = fmt.Sprintf("%.6g", total)
	}
	y = g.sheetRow(page, y, "total", totals, true)
	for i, left := range sheet.Left {
		y = g.head(page, y, run.Record.Header.RobotName(i)+" has left")
		y = g.paragraph(page, y, left.String())
	}
	y = g.head(page, y, fmt.Sprintf("At %.2f s", g.model.Time))
	if f := run.Setup.Field; f != nil {
		for i, side := range f.Sides {
			y = g.row(page, y, side.Name, run.Total(i, g.model.Time))
		}
	}
	if d, ok := viewmodel.Compare(run, g.model.Before); ok && !run.Live {
		y = g.head(page, y, "Against the run before")
		y = g.paragraph(page, y, d.String())
	}
	return y - top + 12
}

// paragraph is some lines of words.
func (g *game) paragraph(page Rect, y float64, words string) float64 {
	for _, line := range paint.Wrap(words, page.W-24, normal, false, 4) {
		if within(page, y) {
			g.words(line, Rect{X: page.X + 12, Y: y, W: page.W - 24, H: pageRow}, normal, false, scene.Chalk)
		}
		y += pageRow
	}
	return y
}

func (g *game) sheetRow(page Rect, y float64, name string, cells []string, bold bool) float64 {
	if len(cells) == 0 {
		return y
	}
	if !within(page, y) {
		return y + pageRow
	}
	r := Rect{X: page.X + 12, Y: y, W: page.W - 24, H: pageRow}
	const cell = 53.0 // "12 -> 36"
	g.words(name, r.Left(r.W-cell*float64(len(cells))-6), normal, bold, scene.Chalk)
	for i, words := range cells {
		g.rightward(words, Rect{X: r.Right() - cell*float64(len(cells)-i), Y: y, W: cell, H: pageRow}, normal, bold,
			scene.Chalk)
	}
	return y + pageRow
}

// eventLine is a row of the page of events with its place on the page.
type eventLine struct {
	row    scene.EventRow
	words  []string
	top    float64
	height float64
}

const (
	eventLeft = 114.0 // points for number, mark and time
	eventMost = 4     // lines of words that an event has at most
)

// eventLines places the events with the numbers that their marks on the field have. They are kept while they stay the
// same, for wrapping many takes long.
func (g *game) eventLines(page Rect) []eventLine {
	if g.drawn == nil || g.model.Now == nil {
		return nil
	}
	content := g.runPrint(g.model.Now).word(uint64(g.model.Robot)).word(uint64(g.model.Overlays)).number(page.W)
	if content != g.eventsOf {
		g.eventsOf, g.events = content, g.newEventLines(page)
	}
	return g.events
}

func (g *game) newEventLines(page Rect) []eventLine {
	var lines []eventLine
	top := 4.0
	for _, row := range g.drawn.Furniture.AllEvents {
		words := paint.Wrap(row.Words, page.W-eventLeft-12, normal, false, eventMost)
		height := pageRow + float64(max(len(words)-1, 0))*(pageRow-3)
		lines = append(lines, eventLine{row, words, top, height})
		top += height
	}
	return lines
}

// drawEvents lists the events, those that have happened brighter than those to come.
func (g *game) drawEvents(page Rect, s *scroll) float64 {
	lines := g.eventLines(page)
	if len(lines) == 0 {
		g.words("nothing happened", page.Inset(12).Top(pageRow), normal, false, scene.Dust)
		return 0
	}
	current := -1
	for i := range lines {
		if lines[i].row.T <= g.model.Time+1e-9 {
			current = i
		}
	}
	last := lines[len(lines)-1]
	high := last.top + last.height + 4
	if g.model.Follows && current >= 0 {
		s.high = high
		s.show(lines[current].top-pageRow, lines[current].top+lines[current].height+pageRow, page.H)
	}
	for i, line := range lines {
		y := page.Y + line.top - s.at
		if y >= page.Y-1 && y+line.height <= page.Bottom()+1 {
			g.drawEventLine(Rect{X: page.X, Y: y, W: page.W, H: line.height}, line, i <= current, i == current)
		}
	}
	return high
}

func (g *game) drawEventLine(r Rect, line eventLine, past, current bool) {
	letters := faint
	if past {
		letters = scene.Chalk
	}
	if current {
		g.pen.Rect(r.X+1, r.Y, r.W-1, r.H, g.chosen())
	}
	row := line.row
	g.rightward(fmt.Sprint(row.Number), Rect{X: r.X + 4, Y: r.Y, W: 28, H: pageRow}, small, true, letters)
	fill, pen := g.tint.Accent, scene.Pen{}
	if row.Hollow {
		fill, pen = panel, scene.Pen{Width: 1.5, Colour: g.tint.Accent}
	}
	g.drawer.Mark(g.pen, row.Shape, pointAt(r.X+44, r.Y+pageRow/2), 5, fill, pen)
	g.rightward(fmt.Sprintf("%.2f s", row.T), Rect{X: r.X + 52, Y: r.Y, W: 54, H: pageRow}, small, false, letters)
	for k, words := range line.words {
		g.words(words, Rect{X: r.X + eventLeft, Y: r.Y + float64(k)*(pageRow-3), W: r.W - eventLeft - 10,
			H: pageRow}, normal, false, letters)
	}
}

// clickEvent goes to the event at a height of the page.
func (g *game) clickEvent(page Rect, y float64) {
	if g.model.Driving() {
		return
	}
	for _, line := range g.eventLines(page) {
		if y >= line.top && y < line.top+line.height {
			g.model.GoTo(line.row.T)
			return
		}
	}
}
