// Package chart draws the results of studies as PNG: chalk on slate, like the field.
package chart

import (
	"fmt"
	"io"
	"math"

	"chalkfield/internal/study/findings"
	"chalkfield/render/scene"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
)

const (
	width  = 900 // points of 1/96 inch: pixels of the picture
	height = 640
	dpi    = 96

	legendWidth = 60 // printer's points: room for a map's legend
)

// SweepPNG draws a sweep: the score over one quantity, or a map over two.
func SweepPNG(w io.Writer, s findings.Sweep) error {
	p := board(fmt.Sprintf("%s on %s, %s", s.Name, s.Field, s.Session))
	p.X.Label.Text = s.Axes[0].Name
	canvas := vgimg.NewWith(vgimg.UseWH(vg.Length(width)*vg.Inch/dpi, vg.Length(height)*vg.Inch/dpi), vgimg.UseDPI(dpi), vgimg.UseBackgroundColor(scene.Slate))
	page := draw.Crop(draw.New(canvas), 12, -16, 10, -10)
	if len(s.Axes) == 1 {
		if err := curve(p, s); err != nil {
			return err
		}
		p.Draw(page)
	} else {
		m := cells(p, s)
		p.Draw(draw.Crop(page, 0, -legendWidth, 0, 0))
		m.legend(draw.Crop(page, page.Max.X-page.Min.X-legendWidth, 0, 0, 0))
	}
	_, err := vgimg.PngCanvas{Canvas: canvas}.WriteTo(w)
	return err
}

// board is an empty plot in our colours.
func board(title string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = scene.Slate
	p.Title.Text = title
	p.Title.Padding = vg.Points(8)
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label} {
		style.Color, style.Font.Variant = scene.Chalk, "Sans"
	}
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Color, axis.Tick.LineStyle.Color = scene.Chalk, scene.Chalk
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
	grid.Vertical.Color, grid.Horizontal.Color = nil, scene.Mix(scene.Slate, scene.Dust, 0.3)
	line, dots, err := plotter.NewLinePoints(points.XYs)
	if err != nil {
		return err
	}
	bars, err := plotter.NewYErrorBars(points)
	if err != nil {
		return err
	}
	line.Color, line.Width = scene.Accent, vg.Points(2)
	dots.Color, dots.Shape, dots.Radius = scene.Accent, draw.CircleGlyph{}, vg.Points(3.5)
	bars.Color, bars.Width = scene.Dust, vg.Points(1)
	p.Add(grid, bars, line, dots)
	p.X.Min, p.X.Max = -0.5, float64(len(s.Points))-0.5
	p.Y.Min = math.Min(p.Y.Min, 0)
	p.Y.Tick.Marker = plot.TickerFunc(roundTicks)
	return nil
}

// roundTicks marks an axis at 1, 2 or 5 times a power of ten, five to twelve times.
func roundTicks(low, high float64) []plot.Tick {
	if !(high > low) {
		return []plot.Tick{{Value: low, Label: fmt.Sprintf("%.6g", low)}}
	}
	step := math.Pow(10, math.Floor(math.Log10(high-low)))
	for _, share := range []float64{0.1, 0.2, 0.5, 1} {
		if (high-low)/(share*step) <= 12 {
			step *= share
			break
		}
	}
	var list []plot.Tick
	for k := math.Ceil(low / step); k*step <= high; k++ {
		list = append(list, plot.Tick{Value: k * step, Label: fmt.Sprintf("%.6g", k*step)})
	}
	return list
}

type meanPoints struct {
	plotter.XYs
	plotter.YErrors
}
