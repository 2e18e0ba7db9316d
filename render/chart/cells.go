package chart

import (
	"fmt"
	"image/color"
	"math"

	"chalkfield/internal/study/findings"
	"chalkfield/render/scene"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// cells draws a grid whose colour is the mean score, with the number in each cell where there is room; the best is framed.
func cells(p *plot.Plot, s findings.Sweep) *scoreMap {
	p.Y.Label.Text = s.Axes[1].Name
	p.X.Tick.Marker, p.Y.Tick.Marker = ticks(s.Axes[0].Labels), ticks(s.Axes[1].Labels)
	p.X.Min, p.X.Max = -0.5, float64(len(s.Axes[0].Values))-0.5
	p.Y.Min, p.Y.Max = -0.5, float64(len(s.Axes[1].Values))-0.5
	m := &scoreMap{sweep: s, low: math.Inf(1), high: math.Inf(-1)}
	for i := range s.Points {
		if q := &s.Points[i]; q.Score.N > 0 {
			m.low, m.high = math.Min(m.low, q.Score.Mean), math.Max(m.high, q.Score.Mean)
		}
	}
	p.Title.Text += "\nframed: the best"
	if means := s.AlikeMeans(); means != "" {
		p.Title.Text += "; dot: " + means
	}
	p.Add(m)
	return m
}

// scoreMap paints the cells.
type scoreMap struct {
	sweep     findings.Sweep
	low, high float64
}

// Plot implements plot.Plotter.
func (m *scoreMap) Plot(c draw.Canvas, p *plot.Plot) {
	toX, toY := p.Transforms(&c)
	roomy := toX(1)-toX(0) > 34 && toY(1)-toY(0) > 16
	for i := range m.sweep.Points {
		q := &m.sweep.Points[i]
		if q.Score.N == 0 {
			continue
		}
		x, y := float64(q.At[0]), float64(q.At[1])
		box := vg.Rectangle{Min: vg.Point{X: toX(x - 0.5), Y: toY(y - 0.5)}, Max: vg.Point{X: toX(x + 0.5), Y: toY(y + 0.5)}}
		shade := m.shade(q.Score.Mean)
		c.FillPolygon(shade, []vg.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}})
		if roomy {
			c.FillText(lettering(scene.InkOn(shade)), vg.Point{X: toX(x), Y: toY(y)}, fmt.Sprintf("%.1f", q.Score.Mean))
		}
		if m.sweep.NotWorse(i) && i != m.sweep.Best {
			c.DrawGlyph(draw.GlyphStyle{Color: scene.InkOn(shade), Radius: 2, Shape: draw.CircleGlyph{}}, vg.Point{X: box.Max.X - 5, Y: box.Max.Y - 5})
		}
	}
	m.frameBest(c, toX, toY)
}

func (m *scoreMap) frameBest(c draw.Canvas, toX, toY func(float64) vg.Length) {
	at := m.sweep.Points[m.sweep.Best].At
	x, y := float64(at[0]), float64(at[1])
	left, right, low, high := toX(x-0.47), toX(x+0.47), toY(y-0.47), toY(y+0.47)
	c.StrokeLines(draw.LineStyle{Color: frame, Width: vg.Points(2.5)}, []vg.Point{{X: left, Y: low}, {X: right, Y: low}, {X: right, Y: high}, {X: left, Y: high}, {X: left, Y: low}})
}

func lettering(ink color.Color) text.Style {
	letters := font.From(plot.DefaultFont, 10)
	letters.Variant = "Sans"
	return text.Style{
		Color: ink, Font: letters, XAlign: draw.XCenter, YAlign: draw.YCenter, Handler: plot.DefaultTextHandler,
	}
}

// frame is of the best cell: a hue that no cell has.
var frame = color.RGBA{0xff, 0xb4, 0x54, 0xff}

// shade is the colour of a mean score.
func (m *scoreMap) shade(mean float64) scene.Colour {
	if m.high > m.low {
		return scene.ScoreShade((mean - m.low) / (m.high - m.low))
	}
	return scene.ScoreShade(1)
}

// legendShades is how many steps of the scale the legend shows.
const legendShades = 5

// legend draws the scale beside the map, the greatest score on top, each shade with its score.
func (m *scoreMap) legend(c draw.Canvas) {
	steps := legendShades
	if !(m.high > m.low) {
		steps = 1
	}
	const side = 30
	left, low := c.Min.X+8, c.Center().Y-side*vg.Length(steps)/2
	for k := range steps {
		score := m.high
		if steps > 1 {
			score = m.low + (m.high-m.low)*float64(k)/float64(steps-1)
		}
		shade := m.shade(score)
		y := low + side*vg.Length(k)
		c.FillPolygon(shade, []vg.Point{{X: left, Y: y}, {X: left + 44, Y: y}, {X: left + 44, Y: y + side}, {X: left, Y: y + side}})
		c.FillText(lettering(scene.InkOn(shade)), vg.Point{X: left + 22, Y: y + side/2}, fmt.Sprintf("%.1f", score))
	}
	words := lettering(scene.Chalk)
	c.FillText(words, vg.Point{X: left + 22, Y: low + side*vg.Length(steps) + 22}, "mean")
	c.FillText(words, vg.Point{X: left + 22, Y: low + side*vg.Length(steps) + 9}, "score")
}
