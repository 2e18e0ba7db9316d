package window

import (
	"fmt"
	"math"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
	"chalkfield/sim/robot"
)

// paper is a page that is written from the top down.
type paper struct {
	*look
	page   Rect
	top, y float64
}

func (l *look) paper(page Rect, s *scroll) *paper {
	top := page.Y + 4 - s.at
	return &paper{l, page, top, top}
}

// high is how high what is written is.
func (p *paper) high() float64 { return p.y - p.top + 12 }

const pageRow = 20.0

// next is the place of the next line, which is written where it is wholly on the page: none is cut in half.
func (p *paper) next(high float64, write func(Rect)) {
	r := Rect{X: p.page.X + 12, Y: p.y + high - pageRow, W: p.page.W - 24, H: pageRow}
	if r.Y >= p.page.Y-1 && r.Bottom() <= p.page.Bottom()+1 {
		write(r)
	}
	p.y += high
}

// row writes a name and a value.
func (p *paper) row(name, value string) {
	p.next(pageRow, func(r Rect) {
		p.words(name, r.Left(0.4*r.W), normal, false, scene.Dust)
		p.words(value, r.Rest(0.42*r.W), normal, false, scene.Chalk)
	})
}

func (p *paper) head(title string) {
	p.next(pageRow+6, func(r Rect) {
		p.words(title, r, normal, true, scene.Chalk)
		p.pen.Rect(r.X, r.Bottom(), r.W, 1, edge)
	})
	p.y += 4
}

// paragraph is some lines of words.
func (p *paper) paragraph(words string) {
	for _, line := range paint.Wrap(words, p.page.W-24, normal, false, 4) {
		p.next(pageRow, func(r Rect) { p.words(line, r, normal, false, scene.Chalk) })
	}
}

// table writes the columns' names and the rows: in each a name, and behind it a cell a column.
func (p *paper) table(t *report.Table) {
	var names []string
	for _, c := range t.Columns[1:] {
		names = append(names, c.Name)
	}
	p.columns("", names, true)
	for _, row := range t.Rows {
		var cells []string
		for _, c := range row.Cells[1:] {
			cells = append(cells, c.Words)
		}
		p.columns(row.Cells[0].Words, cells, row.Total)
	}
}

func (p *paper) columns(name string, cells []string, bold bool) {
	const cell = 53.0 // "12 -> 36"
	p.next(pageRow, func(r Rect) {
		p.words(name, r.Left(r.W-cell*float64(len(cells))-6), normal, bold, scene.Chalk)
		for i, words := range cells {
			p.rightward(words, Rect{X: r.Right() - cell*float64(len(cells)-i), Y: r.Y, W: cell, H: r.H}, normal, bold,
				scene.Chalk)
		}
	})
}

// drawRobot lists the robot's state at this moment, and gives the page's height.
func (n *notebook) drawRobot(p *paper) float64 {
	run := n.model.Now
	if run == nil || n.model.Robot >= len(run.Record.Header.Robots) {
		return 0
	}
	state, ok := run.Index.Robot(n.model.Robot, max(run.Index.At(n.model.Time), 0))
	if !ok {
		return 0
	}
	p.head(n.model.RobotName(n.model.Robot))
	p.row("true pose", poseWords(state.True))
	p.row("belief", poseWords(state.Belief))
	off := math.Hypot(state.Belief[0]-state.True[0], state.Belief[1]-state.True[1])
	p.row("belief off by", fmt.Sprintf("%.0f mm, %s deg", 1000*off,
		viewmodel.Fixed(viewmodel.WholeTurn(deg(state.Belief[2]-state.True[2])), 1)))
	p.row("doing", string(state.Doing))
	p.head("Drive")
	wanted := "nothing: no motion"
	if run.Moves(n.model.Robot, n.model.Time) {
		wanted = fmt.Sprintf("%s mm/s, %s deg/s", viewmodel.Fixed(1000*state.Want[0], 0),
			viewmodel.Fixed(deg(state.Want[1]), 0))
	}
	p.row("wanted", wanted)
	p.row("wheels", fmt.Sprintf("%s, %s mm/s", viewmodel.Fixed(1000*state.Wheels[0], 0),
		viewmodel.Fixed(1000*state.Wheels[1], 0)))
	p.row("volts", fmt.Sprintf("%s, %s V", viewmodel.Fixed(state.Volts[0], 1),
		viewmodel.Fixed(state.Volts[1], 1)))
	p.row("amps", fmt.Sprintf("%s, %s A", viewmodel.Fixed(state.Amps[0], 1),
		viewmodel.Fixed(state.Amps[1], 1)))
	p.row("battery", fmt.Sprintf("%.2f V", state.Battery))
	n.drawPartRows(p, run.Record.Header.Robots[n.model.Robot], state)
	return p.high()
}

func (n *notebook) drawPartRows(p *paper, entered record.Robot, state *record.RobotSample) {
	if len(entered.Parts) > 0 {
		p.head("Mechanisms")
	}
	for i, part := range entered.Parts {
		if i < len(state.Parts) {
			p.row(part.Name, n.partWords(robot.Kind(part.Kind), state.Parts[i],
				n.model.Now.PartQuantity(n.model.Robot, i)))
		}
	}
	if state.Air != 0 {
		p.row("air", fmt.Sprintf("%.0f kPa", state.Air/1000))
	}
	if len(entered.Sensors) > 0 {
		p.head("Sensors")
	}
	for i, name := range entered.Sensors {
		if i < len(state.Sensors) {
			p.row(name, n.model.Now.SensorQuantity(n.model.Robot, i).Words(state.Sensors[i]))
		}
	}
}

// partWords says a mechanism's state.
func (n *notebook) partWords(kind robot.Kind, part record.PartSample, q viewmodel.Quantity) string {
	held := ""
	if part.Body >= 0 {
		held = ", holds " + n.model.NameOf(viewmodel.Thing{Kind: viewmodel.PieceThing, Index: part.Body})
	}
	volts := ""
	if kind.HasMotor() {
		volts = viewmodel.Fixed(part.Volts, 1) + " V, "
	}
	return volts + scene.PartSays(kind, part, q.Words(part.Value), held)
}

func poseWords(p record.Pose) string {
	return fmt.Sprintf("%s, %s mm, %s deg", viewmodel.Fixed(1000*p[0], 0), viewmodel.Fixed(1000*p[1], 0),
		viewmodel.Fixed(viewmodel.WholeTurn(deg(p[2])), 1))
}

func deg(rad float64) float64 { return rad * 180 / math.Pi }

// drawSheet shows the score sheet at the end, the difference to the run before, and the totals of this moment.
func (n *notebook) drawSheet(p *paper) float64 {
	run := n.model.Now
	if run == nil {
		return 0
	}
	sheet := run.Record.Sheet
	p.head("At the end")
	if len(sheet.Sides) == 0 {
		p.row("score sheet", "comes with the end")
	} else {
		p.table(report.Sheet(&sheet))
	}
	for i, left := range sheet.Left {
		p.head(run.Record.Header.RobotName(i) + " has left")
		p.paragraph(left.String())
	}
	p.head(fmt.Sprintf("At %.2f s", n.model.Time))
	if f := run.Setup.Field; f != nil {
		for i, side := range f.Sides {
			p.row(side.Name, run.Total(i, n.model.Time))
		}
	}
	if d, ok := viewmodel.Compare(run, n.model.Before); ok && !run.Live {
		p.head("Against the run before")
		p.paragraph(d.String())
	}
	return p.high()
}
