package picture

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// A sweep's picture, in everyday pixels.
const (
	SweepWidth = 900 // of a picture by itself

	sweepMargin  = 14.0
	sweepLine    = 18.0 // from one line of words to the next
	nameSize     = 13.0 // of axes and notes
	valueSize    = 12.0
	legendWidth  = 58.0
	legendSwatch = 26.0 // high
	legendSteps  = 5
)

// best frames the best cell: a hue that no cell has.
var best = scene.Colour{R: 0xff, G: 0xb4, B: 0x54, A: 0xff}

// Sweep draws a sweep: the score over one quantity, or a map over two.
func Sweep(s analysis.Sweep, width float64) Drawing {
	title := fmt.Sprintf("%s on %s, %s", s.Name, s.Field, s.Session)
	return Drawing{Title: title, Width: width, Height: sweepHeight(s, width), Ground: scene.Slate,
		Draw: func(p paint.Painter) {
			g := newGrid(p, s, width)
			if !s.Slice { // a slice has its title from what it stands in
				g.heading(title)
			}
			if len(s.Axes) == 1 {
				g.curve()
			} else {
				g.cells()
			}
		}}
}

func sweepHeight(s analysis.Sweep, width float64) float64 {
	if s.Slice {
		return math.Max(math.Round(width*0.34), 230)
	}
	return math.Max(math.Round(width*0.7), 320)
}

// grid is the part of a sweep's picture that shows the points, each value of an axis in the middle of a column or row.
type grid struct {
	paint.Painter
	sweep analysis.Sweep
	page  paint.Box
	area  paint.Box // of the points
	low   float64   // least and
	high  float64   // greatest mean score
}

func newGrid(p paint.Painter, s analysis.Sweep, width float64) *grid {
	g := &grid{Painter: p, sweep: s, low: math.Inf(1), high: math.Inf(-1)}
	g.page = paint.Box{Right: width, Bottom: sweepHeight(s, width)}.Grown(-sweepMargin)
	g.area = g.page
	for i := range s.Points {
		if q := &s.Points[i]; q.Score.N > 0 {
			g.low, g.high = math.Min(g.low, q.Score.Mean), math.Max(g.high, q.Score.Mean)
		}
	}
	return g
}

func (g *grid) line(width float64, c scene.Colour, points ...geom.Vec) {
	g.Stroke([][]geom.Vec{points}, false, width, c)
}

// heading says whose sweep it is and what the marks mean.
func (g *grid) heading(title string) {
	note := ""
	if len(g.sweep.Axes) == 2 {
		note = "framed: the best"
		if means := g.sweep.AlikeMeans(); means != "" {
			note += "; dot: " + means
		}
	}
	head := onPage(g.page.Width()).Print(&report.Document{Title: title, Head: []string{note}})
	head.Draw(g, new(paint.Drawer), geom.Vec{X: g.page.Left, Y: g.page.Top}, 0, g.page.Bottom)
	g.area.Top += head.Height + 4
}

// score is what is shown: one rehearsal at each point has no mean.
func (g *grid) score() string {
	if g.sweep.Of != "" {
		return g.sweep.Of
	}
	if g.sweep.Nominal {
		return "score"
	}
	return "mean score"
}

// axes writes the name of the quantity upwards over the area and that across below it, and takes their room from the
// area.
func (g *grid) axes(up string, values []string) {
	across := g.sweep.Axes[0]
	wordsOn(g, paint.Fit(paint.Clean(up), g.page.Width(), nameSize, true), g.page.Left, g.area.Top+nameSize, 0, nameSize,
		true, scene.Chalk, scene.Slate)
	g.area.Top += sweepLine + 6
	widest := 0.0
	for _, v := range values {
		widest = math.Max(widest, paint.Width(paint.Clean(v), valueSize, false))
	}
	g.area.Left += math.Min(widest, g.page.Width()/4) + 8
	g.area.Bottom -= 2*sweepLine + 8
	name := paint.Fit(paint.Clean(across.Name), g.area.Width(), nameSize, true)
	wordsOn(g, name, (g.area.Left+g.area.Right)/2, g.page.Bottom-3, 0.5, nameSize, true, scene.Chalk, scene.Slate)
	g.labelAcross(across)
}

// labelAcross writes the values below the columns; where they have no room for all every few, of a slice the best's and
// what has room beside it.
func (g *grid) labelAcross(a results.Axis) {
	order := []int{g.sweep.Best}
	for i := range a.Labels {
		if i != g.sweep.Best || !g.sweep.Slice {
			order = append(order, i)
		}
	}
	if !g.sweep.Slice {
		order = order[1:]
	}
	room, widest := g.area.Width()/float64(len(a.Labels)), 0.0
	for _, label := range a.Labels {
		widest = math.Max(widest, paint.Width(paint.Clean(label), valueSize, false))
	}
	widest = math.Min(widest, g.area.Width()/4)
	every := int(math.Ceil((widest + 8) / room))
	var taken []paint.Box
	for _, i := range order {
		at := g.column(float64(i))
		g.line(1, scene.Dust, geom.Vec{X: at, Y: g.area.Bottom}, geom.Vec{X: at, Y: g.area.Bottom + 4})
		if !g.sweep.Slice && i%every != 0 {
			continue
		}
		label := paint.Fit(paint.Clean(a.Labels[i]), widest+0.1, valueSize, false)
		half := paint.Width(label, valueSize, false) / 2
		x := geom.Clamp(at, g.page.Left+half, g.page.Right-half)
		box := paint.Box{Left: x - half - 4, Right: x + half + 4}
		if g.sweep.Slice && slices.ContainsFunc(taken, func(b paint.Box) bool {
			return b.Left < box.Right && box.Left < b.Right
		}) {
			continue
		}
		taken = append(taken, box)
		own := g.sweep.Slice && i == g.sweep.Best
		wordsOn(g, label, x, g.area.Bottom+valueSize+6, 0.5, valueSize, own, scene.Chalk, scene.Slate)
	}
}

// labelUp writes a value left of the area at a height.
func (g *grid) labelUp(label string, y float64) {
	label = paint.Fit(paint.Clean(label), g.area.Left-8-g.page.Left+0.1, valueSize, false)
	wordsOn(g, label, g.area.Left-8, y+valueSize*0.36, 1, valueSize, false, scene.Chalk, scene.Slate)
}

// column is the middle of the value with an index, along the area; a slice has its numbers to scale.
func (g *grid) column(i float64) float64 {
	if values := g.sweep.Axes[0].Values; g.sweep.Slice && len(values) > 1 {
		share := (values[int(i)] - values[0]) / (values[len(values)-1] - values[0])
		return g.area.Left + g.area.Width()*(0.05+0.9*share)
	}
	return g.area.Left + g.area.Width()*(i+0.5)/float64(len(g.sweep.Axes[0].Labels))
}

// cells draws a grid whose colour is the mean score, with the number in each cell where there is room; the best is
// framed.
func (g *grid) cells() {
	up := g.sweep.Axes[1]
	g.area.Right -= legendWidth + 12
	g.axes(up.Name, up.Labels)
	g.legend()
	high := g.area.Height() / float64(len(up.Labels))
	every := int(math.Ceil(15 / high))
	for i := 0; i < len(up.Labels); i += every {
		g.labelUp(up.Labels[i], g.area.Bottom-high*(float64(i)+0.5))
	}
	widest := math.Max(paint.Width(tenth(g.low), valueSize, false), paint.Width(tenth(g.high), valueSize, false))
	numbered := high > valueSize+4 && g.column(1)-g.column(0) > widest+6
	for i := range g.sweep.Points {
		if g.sweep.Points[i].Score.N > 0 {
			g.cell(i, g.cellBox(i), numbered)
		}
	}
	frame := g.cellBox(g.sweep.Best).Grown(-1).Corners()
	g.Stroke([][]geom.Vec{frame[:]}, true, 2.5, best)
}

// cellBox is where a point's cell is: the first axis across, the second upwards.
func (g *grid) cellBox(i int) paint.Box {
	at := g.sweep.Points[i].At
	high := g.area.Height() / float64(len(g.sweep.Axes[1].Labels))
	return paint.Box{
		Left: g.column(float64(at[0]) - 0.5), Right: g.column(float64(at[0]) + 0.5),
		Top: g.area.Bottom - high*float64(at[1]+1), Bottom: g.area.Bottom - high*float64(at[1]),
	}
}

func (g *grid) cell(i int, box paint.Box, numbered bool) {
	mean := g.sweep.Points[i].Score.Mean
	shade := g.shade(mean)
	fill(g, box.Grown(-0.5), shade)
	if numbered {
		g.number(mean, box, shade)
	}
	if g.sweep.NotWorse(i) && i != g.sweep.Best && math.Min(box.Width(), box.Height()) > 10 {
		g.Disc(geom.Vec{X: box.Right - 6, Y: box.Top + 6}, 2.5, scene.InkOn(shade))
	}
}

// number writes a score in the middle of a box.
func (g *grid) number(score float64, box paint.Box, on scene.Colour) {
	wordsOn(g, tenth(score), (box.Left+box.Right)/2, (box.Top+box.Bottom)/2+valueSize*0.36, 0.5, valueSize, false,
		scene.InkOn(on), on)
}

func tenth(score float64) string { return fmt.Sprintf("%.1f", score) }

// shade is the colour of a mean score.
func (g *grid) shade(mean float64) scene.Colour {
	if g.high > g.low {
		return scene.ScoreShade((mean - g.low) / (g.high - g.low))
	}
	return scene.ScoreShade(1)
}

// legend draws the scale beside the map, the greatest score on top, each shade with its score.
func (g *grid) legend() {
	steps := legendSteps
	if !(g.high > g.low) {
		steps = 1
	}
	left := g.page.Right - legendWidth
	top := (g.area.Top+g.area.Bottom)/2 - legendSwatch*float64(steps)/2
	for k, line := range paint.Wrap(g.score(), legendWidth, valueSize, false, 2) {
		wordsOn(g, line, left+legendWidth/2, top-26+14*float64(k), 0.5, valueSize, false, scene.Chalk, scene.Slate)
	}
	for k := range steps {
		score := g.high
		if steps > 1 {
			score = g.high - (g.high-g.low)*float64(k)/float64(steps-1)
		}
		shade, y := g.shade(score), top+legendSwatch*float64(k)
		box := paint.Box{Left: left, Top: y, Right: g.page.Right, Bottom: y + legendSwatch}
		fill(g, box, shade)
		g.number(score, box, shade)
	}
}
