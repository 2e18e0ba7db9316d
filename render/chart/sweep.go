// Package chart draws the results of studies as PNG: chalk on slate, like the field.
package chart

import (
	"fmt"
	"image/color"
	"io"
	"math"

	"chalkfield/internal/study/findings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

var (
	slate  = color.RGBA{0x23, 0x2b, 0x2e, 0xff}
	chalk  = color.RGBA{0xec, 0xe9, 0xdf, 0xff}
	faint  = color.RGBA{0x6b, 0x76, 0x79, 0xff}
	accent = color.RGBA{0xf2, 0xc1, 0x4e, 0xff}
)

const (
	width  = 900 // points of 1/96 inch: pixels of the picture
	height = 640
	dpi    = 96
)

// SweepPNG draws a sweep: the score over one quantity, or a map over two.
func SweepPNG(w io.Writer, s findings.Sweep) error {
	p := board(fmt.Sprintf("%s on %s, %s", s.Name, s.Field, s.Session))
	p.X.Label.Text = s.Axes[len(s.Axes)-1].Name
	if err := fill(p, s); err != nil {
		return err
	}
	canvas := vgimg.NewWith(vgimg.UseWH(vg.Length(width)*vg.Inch/dpi, vg.Length(height)*vg.Inch/dpi), vgimg.UseDPI(dpi), vgimg.UseBackgroundColor(slate))
	p.Draw(draw.Crop(draw.New(canvas), 12, -16, 10, -10))
	_, err := vgimg.PngCanvas{Canvas: canvas}.WriteTo(w)
	return err
}

func fill(p *plot.Plot, s findings.Sweep) error {
	if len(s.Axes) == 1 {
		return curve(p, s)
	}
	return cells(p, s)
}

// board is an empty plot in our colours.
func board(title string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = slate
	p.Title.Text = title
	p.Title.Padding = vg.Points(8)
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label} {
		style.Color = chalk
	}
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Color, axis.Tick.LineStyle.Color = chalk, chalk
		axis.Label.TextStyle.Font.Size, axis.Tick.Label.Font.Size = vg.Points(12), vg.Points(10)
		axis.Padding = vg.Points(4)
	}
	p.Title.TextStyle.Font.Size = vg.Points(13)
	return p
}

// ticks marks each value of an axis at its place in the grid; where there are many, every few.
func ticks(labels []string) plot.ConstantTicks {
	every := (len(labels) + 9) / 10
	var list plot.ConstantTicks
	for i, label := range labels {
		if i%every == 0 {
			list = append(list, plot.Tick{Value: float64(i), Label: label})
		}
	}
	return list
}

// curve draws mean score and its 95 % interval at each value.
func curve(p *plot.Plot, s findings.Sweep) error {
	p.Y.Label.Text = "mean score, with 95 % interval"
	p.X.Tick.Marker = ticks(s.Axes[0].Labels)
	points := &meanPoints{}
	for i := range s.Points {
		if q := &s.Points[i]; q.Score.N > 0 {
			half := findings.HalfWidth(q.Score)
			points.XYs = append(points.XYs, plotter.XY{X: float64(i), Y: q.Score.Mean})
			points.YErrors = append(points.YErrors, struct{ Low, High float64 }{half, half})
		}
	}
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = nil, faint
	line, dots, err := plotter.NewLinePoints(points.XYs)
	if err != nil {
		return err
	}
	bars, err := plotter.NewYErrorBars(points)
	if err != nil {
		return err
	}
	line.Color, line.Width = accent, vg.Points(2)
	dots.Color, dots.Shape, dots.Radius = accent, draw.CircleGlyph{}, vg.Points(3.5)
	bars.Color, bars.Width = chalk, vg.Points(1)
	p.Add(grid, bars, line, dots)
	p.X.Min, p.X.Max = -0.5, float64(len(s.Points))-0.5
	p.Y.Min = math.Min(p.Y.Min, 0)
	return nil
}

type meanPoints struct {
	plotter.XYs
	plotter.YErrors
}
