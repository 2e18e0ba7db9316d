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
func cells(p *plot.Plot, s findings.Sweep) error {
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
	p.Title.Text += fmt.Sprintf("\nmean score, %.1f (dark) to %.1f (light); framed: the best; dot: not shown to be worse", m.low, m.high)
	p.Add(m)
	return nil
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
			c.FillText(lettering(inkOn(shade)), vg.Point{X: toX(x), Y: toY(y)}, fmt.Sprintf("%.1f", q.Score.Mean))
		}
		if m.sweep.NotWorse(i) {
			c.DrawGlyph(draw.GlyphStyle{Color: inkOn(shade), Radius: 2, Shape: draw.CircleGlyph{}}, vg.Point{X: box.Max.X - 5, Y: box.Max.Y - 5})
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

// shade runs from dark to light in lightness alone (one hue), so that it reads without colour vision and in grey.
func (m *scoreMap) shade(mean float64) color.RGBA {
	share := 1.0
	if m.high > m.low {
		share = (mean - m.low) / (m.high - m.low)
	}
	mix := func(a, b uint8) uint8 { return uint8(math.Round(float64(a) + share*(float64(b)-float64(a)))) }
	return color.RGBA{mix(0x2c, 0xe9), mix(0x25, 0xe4), mix(0x5c, 0xff), 0xff}
}

// inkOn is dark on light shades and light on dark ones.
func inkOn(c color.RGBA) color.Color {
	if 299*int(c.R)+587*int(c.G)+114*int(c.B) > 128_000 {
		return scene.Slate
	}
	return scene.Chalk
}
