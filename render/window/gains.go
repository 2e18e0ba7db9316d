package window

import (
	"fmt"
	"math"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/gains"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// gainList turns the gains of the robot's loops in a list beside the field, and draws what they do in place of the
// notebook's page.
type gainList struct {
	*shared
	disk   *disk
	hidden bool // a page of the notebook was asked for since a gain was turned
	kept   still
}

// shows tells whether the step is drawn in place of a page.
func (g *gainList) shows() bool {
	return g != nil && !g.hidden && g.beside != nil && g.beside.name == "gains" && !g.model.Driving()
}

// showList opens the list.
func (g *gainList) showList() {
	g.hidden = false
	g.lay(&card{name: "gains", title: "What gains do", passes: true,
		foot: "Left, Right or a drag turn: the step is driven at once, drawn above. Backspace resets, Esc closes.",
		rows: g.rows})
}

func (g *gainList) rows() []cardRow {
	names, shown := g.model.GainLoops()
	if names == nil {
		return []cardRow{{label: "There is no robot."}}
	}
	next := ring(names, shown, g.model.ShowGains)
	rows := []cardRow{{label: "loop", note: shown, keeps: true, do: func() { g.turned(next)(1) }, turn: g.turned(next)}}
	for _, one := range g.model.Gains() {
		rows = append(rows, g.gainRow(one))
	}
	rows = append(rows, cardRow{label: "battery and load", note: g.model.GainCase(), keeps: true,
		do: func() { g.turned(g.model.NextGainCase)(1) }, turn: g.turned(g.model.NextGainCase)})
	take := func(label, about string, set gains.Set) cardRow {
		return cardRow{label: label, about: about, keeps: true, do: func() {
			g.hidden = false
			g.model.TakeGains(set)
		}}
	}
	rows = append(rows,
		take("as computed from the model", "feedforward, and the poles placed", gains.Computed),
		take("as Ziegler and Nichols have it", "their table, by the swing of a relay: rough", gains.ByTable),
		take("tuned", "searched: quick, 5 % over at most, far from ringing; with a low battery and a load too", gains.Tuned),
		take("as in the file", "", gains.File))
	write := cardRow{label: "write into the robot's file", keeps: true, do: g.write}
	if path := g.model.RobotFile(); path != "" {
		write.about = path + ": the gains that are turned, of all loops; nothing else changes"
	}
	return append(rows, write)
}

// turned shows the step again when something is turned.
func (g *gainList) turned(turn func(float64)) func(float64) {
	return func(way float64) {
		g.hidden = false
		turn(way)
	}
}

// gainRow is a gain: choosing it only puts the cursor there.
func (g *gainList) gainRow(one viewmodel.TurnedGain) cardRow {
	number, unit, _ := strings.Cut(one.Now, " ")
	label := one.Word
	if unit != "" {
		label += ", " + unit
	}
	row := cardRow{label: label, note: number, keeps: true, do: func() {}, on: one.Turned,
		about: one.Word + ": " + gainWords[one.Word] + "; the file: " + one.File,
		turn:  g.turned(func(way float64) { g.model.TurnGain(one.Word, way) })}
	if one.Turned {
		row.reset = func() { g.turned(func(float64) { g.model.ResetGain(one.Word) })(0) }
		row.write = g.write
	}
	return row
}

// gainWords say what each does, for who sees it for the first time.
var gainWords = map[string]string{
	"p":    "the farther off, the harder it pulls",
	"i":    "what stays off adds up until it is gone",
	"d":    "the quicker it comes, the more it is held back",
	"hold": "volts that bear the weight",
}

// write writes the gains into the robot's file.
func (g *gainList) write() {
	if err := g.model.WriteGains(); err != nil {
		g.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	g.disk.watch.follow(g.model.Watch)
}

// Sizes of the step's picture, points.
const (
	gainGutter = 48.0
	gainHead   = 108.0
	gainNear   = 18.0  // of it: the line of margins
	gainLow    = 200.0 // a page that is lower has none
	gainKey    = 28.0  // wide: a line's look
	gainName   = 42.0  // and its name
	gainFoot   = 20.0
	gainLines  = 4 // level, at most
	gainTimes  = 4 // times named, at most
)

// drawPage draws the steps: by the gains in the file, and by those that are turned.
func (g *gainList) drawPage(page Rect) {
	s, err := g.model.GainSteps()
	shown := fmt.Sprintf("%p %t", s, s != nil && s.Near != nil)
	content := noPrint.rect(page).text(shown).colour(g.accent).ints(int(g.model.Units))
	g.drawStill(&g.kept, content, func() {
		g.fill(page, g.panel)
		g.pen.Rect(page.X, page.Y, 1, page.H, g.edge)
		g.clip(page)
		defer g.pen.Unclip()
		if err != nil {
			g.words(err.Error(), page.Inset(12).Top(18), normal, false, scene.Chalk)
			return
		}
		head := gainHead
		if page.H < gainLow {
			head -= gainNear
		}
		g.drawHead(page, s)
		g.drawSteps(Rect{X: page.X + 10, Y: page.Y + head, W: page.W - 22, H: page.H - head}, s)
	})
}

// drawHead says what the steps come to.
func (g *gainList) drawHead(page Rect, s *viewmodel.GainSteps) {
	row := page.Inset(8).Top(18)
	unit, size := g.unitOf(s)
	g.words(fmt.Sprintf("%s, %s %s, %s", capital(s.Loop.Name), round(size*s.Now.Wanted[0]), unit,
		g.model.GainCase()), row, normal, true, scene.Chalk)
	row.Y += 16
	g.drawCells(row, scene.Dust, "settles", "over", "off", "peak")
	row.Y += 11
	g.drawCells(row, scene.Dust, "s", "%", unit, "A")
	for _, one := range []struct {
		name string
		f    *gains.Figures
		pen  scene.Pen
	}{{"turned", &s.Is, g.turnedPen()}, {"file", &s.Was, filePen()}} {
		row.Y += 14
		y := row.Y + row.H/2
		g.drawer.Stroke(g.pen, []geom.Vec{{X: row.X, Y: y}, {X: row.X + gainKey - 6, Y: y}}, false, one.pen)
		g.words(one.name, row.Rest(gainKey), small, false, scene.Chalk)
		if one.f.Verdict != gains.Settles {
			g.words(one.f.Trouble(), row.Rest(gainKey+gainName), small, true, scene.Chalk)
			continue
		}
		g.drawCells(row, scene.Chalk, fmt.Sprintf("%.2f", *one.f.Settling), fmt.Sprintf("%.0f", 100**one.f.Overshoot),
			round(size**one.f.Steady), fmt.Sprintf("%.1f", one.f.PeakAmps))
	}
	if row.Y += gainNear; page.H >= gainLow {
		g.drawMargins(row, s)
	}
}

// drawMargins says how near the gains that are turned are to ringing.
func (g *gainList) drawMargins(row Rect, s *viewmodel.GainSteps) {
	if s.Is.Swing != nil {
		return // it does
	}
	if s.Near == nil {
		g.words("when would it ring?", row, small, false, scene.Dust)
		return
	}
	near, late := s.Near.Near()
	words, c := "rings at "+report.Margins(s.Near), scene.Dust
	if near || late {
		words, c = words+": too near", scene.Chalk
	}
	g.words(words, row, small, near || late, c)
}

// drawCells writes words into the columns of the head.
func (g *gainList) drawCells(row Rect, c scene.Colour, cells ...string) {
	row = row.Rest(gainKey + gainName)
	wide := row.W / float64(len(cells))
	for i, words := range cells {
		g.rightward(words, Rect{X: row.X + float64(i)*wide, Y: row.Y, W: wide, H: row.H}, small, false, c)
	}
}

// round is a number with one decimal at most.
func round(v float64) string { return fmt.Sprintf("%g", math.Round(10*v)/10+0) }

// unitOf is a loop's small unit, and how many of it an SI unit has.
func (g *gainList) unitOf(s *viewmodel.GainSteps) (name string, times float64) {
	if s.Unit != "m" {
		return "deg", 180 / math.Pi
	}
	shown := g.model.Units.Shown("mm")
	return shown.Name, 1000 * shown.Times
}

func (g *gainList) turnedPen() scene.Pen { return scene.Pen{Width: 2.2, Colour: g.accent} }

func filePen() scene.Pen { return scene.Pen{Width: 1.4, Colour: scene.Dust, Dash: scene.Dashed} }

// drawSteps draws both over their time.
func (g *gainList) drawSteps(area Rect, s *viewmodel.GainSteps) {
	plot := area.Rest(gainGutter - 10)
	plot.H = math.Max(plot.H-gainFoot, 10)
	_, size := g.unitOf(s)
	high, seconds := s.Axes()
	top := 1.05 * size * high
	x := func(t float64) float64 { return plot.X + plot.W*t/seconds }
	y := func(v float64) float64 { return plot.Bottom() - plot.H*size*v/top }
	for v := 0.0; v <= top; v += roundStep(top / gainLines) {
		at := y(v / size)
		g.pen.Segment(plot.X, at, plot.Right(), at, 1, g.edge)
		g.rightward(round(v), Rect{X: area.X - 4, Y: at - 8, W: gainGutter - 12, H: 16}, small, false, scene.Dust)
	}
	for t := 0.0; t <= seconds; t += roundStep(seconds / gainTimes) {
		label := Rect{X: math.Min(x(t)-20, plot.Right()-40), Y: plot.Bottom() + 2, W: 40, H: gainFoot - 4}
		g.centred(fmt.Sprintf("%.3g s", t), label, small, false, scene.Dust)
	}
	line := func(t, values []float64, pen scene.Pen) {
		var points []geom.Vec
		for i, v := range values {
			if t[i] <= seconds {
				points = append(points, geom.Vec{X: x(t[i]), Y: geom.Clamp(y(v), plot.Y, plot.Bottom()+4)})
			}
		}
		g.drawer.Stroke(g.pen, points, false, pen)
	}
	line(s.Now.T, s.Now.Wanted, scene.Pen{Width: 1.2, Colour: scene.Chalk, Dash: scene.Dotted})
	line(s.File.T, s.File.Is, filePen())
	line(s.Now.T, s.Now.Is, g.turnedPen())
}

// roundStep is the least of 1, 2 and 5 times a power of ten that is no less.
func roundStep(least float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(least)))
	for _, times := range []float64{1, 2, 5} {
		if times*ten >= least {
			return times * ten
		}
	}
	return 10 * ten
}

// gainAction opens it.
func (g *game) gainAction() action {
	return action{name: "gains", does: "what P, I and D do: turn the gains of drive and lifts and see their steps",
		keys: ctrl(ebiten.KeyG), mode: viewmodel.Watch, at: atCharts, can: func() bool { return g.model.Machine() != nil },
		do: g.gains.showList}
}
