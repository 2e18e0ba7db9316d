package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// curveLine is the line of a curve on the screen, in memory that is used again.
type curveLine struct {
	points []geom.Vec
	begins []int        // of points: where a stretch begins after a gap, for which there is no value
	lines  [][]geom.Vec // the stretches, cut from points
}

const chartHead = 18.0 // points for the title line

// curveLook tells a signal's curves apart by width as well as colour.
func (g *game) curveLook(curve int) scene.Pen {
	return [...]scene.Pen{{Width: 1.2, Colour: scene.Chalk}, {Width: 2.4, Colour: g.tint.Accent},
		{Width: 1.2, Colour: scene.Dust}}[curve%3]
}

// drawCharts paints the signals that there is room for, with their values at the time shown.
func (g *game) drawCharts() {
	area, run := g.frame.Charts, g.model.Now
	if run == nil || area.H == 0 || g.model.Robot >= len(run.Record.Header.Robots) {
		g.pen.Rect(area.X, area.Y, area.W, area.H, scene.Slate)
		return
	}
	from, to := g.span()
	content := g.runPrint(run).rect(area).number(from).number(to).word(uint64(g.model.Robot)).word(uint64(g.chartTop)).number(g.frame.Gutter)
	for _, key := range g.model.Signals {
		content = content.text(key)
	}
	g.drawStill(&g.charted, content, area, func() {
		g.pen.Rect(area.X, area.Y, area.W, area.H, scene.Slate)
		g.eachChart(run, g.drawChart)
	})
	g.eachChart(run, func(run *viewmodel.Run, s viewmodel.Signal, r Rect) {
		g.drawHand(r.Y+chartHead, r.Bottom())
		g.drawChartHead(run, s, r)
	})
}

// scrollCharts shows others of the signals when there is no room for all; it reports whether there were others.
func (g *game) scrollCharts(by int) bool {
	was := g.chartTop
	g.chartTop = min(max(g.chartTop+by, 0), max(len(g.model.Signals)-g.frame.ChartCount(), 0))
	g.stale = g.stale || g.chartTop != was
	return len(g.model.Signals) > g.frame.ChartCount()
}

// chartsHidden says which of the signals are shown when there is no room for all.
func (g *game) chartsHidden() string {
	return moreWords(g.chartTop, len(g.model.Signals)-g.frame.ChartCount()-g.chartTop)
}

// runPrint is what drawings of a run as a whole depend on.
func (g *game) runPrint(run *viewmodel.Run) print {
	if g.numbered != run {
		g.numbered, g.runCount = run, g.runCount+1
	}
	return noPrint.number(g.density).word(uint64(g.runCount)).word(uint64(len(run.Record.Samples))).word(uint64(len(run.Record.Events)))
}

// eachChart does something for every signal that there is room for, with the row it has.
func (g *game) eachChart(run *viewmodel.Run, do func(*viewmodel.Run, viewmodel.Signal, Rect)) {
	area := g.frame.Charts
	row := Rect{X: area.X, Y: area.Y, W: area.W, H: g.frame.Chart}
	for i := range min(g.frame.ChartCount(), len(g.model.Signals)-g.chartTop) {
		key := g.model.Signals[len(g.model.Signals)-1-g.chartTop-i] // the latest chosen stands first
		if signal, ok := run.SignalNamed(g.model.Robot, key); ok {
			do(run, signal, row)
		} else {
			do(run, viewmodel.Signal{Title: key + ": this robot has none"}, row)
		}
		row.Y += row.H
	}
}

func (g *game) drawChart(run *viewmodel.Run, s viewmodel.Signal, r Rect) {
	g.pen.Rect(r.X, r.Y, r.W, chartHead, panel)
	low, high := g.bounds(run, s)
	plot := Rect{X: g.timeArea().X, Y: r.Y + chartHead + 3, W: g.timeArea().W, H: r.H - chartHead - 7}
	y := func(v float64) float64 { return plot.Bottom() - (v-low)/(high-low)*plot.H }
	g.drawScale(plot, low, high, y)
	g.pen.Clip(plot.X, plot.Y-3, plot.W+2, plot.H+6)
	for i, curve := range s.Curves {
		look := g.curveLook(i)
		g.line.trace(run, run.Series(g.model.Robot, s, curve), g, y)
		g.pen.Stroke(g.line.stretches(), false, look.Width, look.Colour)
	}
	g.pen.Unclip()
}

// drawScale writes the least and the greatest value in the gutter, and a line at zero.
func (g *game) drawScale(plot Rect, low, high float64, y func(float64) float64) {
	if low < 0 && high > 0 {
		g.pen.Segment(plot.X, y(0), plot.Right(), y(0), 1, edge)
	}
	g.pen.Segment(plot.X, plot.Y, plot.X, plot.Bottom(), 1, edge)
	column := Rect{X: 10, W: g.frame.Gutter - 16, H: 14}
	column.Y = plot.Y - 3
	g.rightward(number(high), column, small, false, scene.Dust)
	column.Y = plot.Bottom() - 11
	g.rightward(number(low), column, small, false, scene.Dust)
}

// drawChartHead names the signal and each curve with its value now.
func (g *game) drawChartHead(run *viewmodel.Run, s viewmodel.Signal, r Rect) {
	head := Rect{X: r.X + 10, Y: r.Y, W: r.W - 20, H: chartHead}
	if more := g.chartsHidden(); more != "" && r.Y == g.frame.Charts.Y {
		g.rightward(more, head, small, true, g.tint.Accent)
		head.W -= paint.Width(more, small, true) + 18
	}
	title := s.Title
	if s.Unit != "" {
		title += " (" + s.Unit + ")"
	}
	head = head.Rest(g.words(title, head, small, true, scene.Chalk) + 18)
	sample := run.Index.At(g.model.Time)
	for i, curve := range s.Curves {
		look := g.curveLook(i)
		words := curve.Name + " none"
		if values := run.Series(g.model.Robot, s, curve); sample >= 0 && sample < len(values) && !math.IsNaN(values[sample]) {
			words = curve.Name + " " + number(values[sample])
		}
		if paint.Width(words, small, false)+40 > head.W {
			return
		}
		g.pen.Segment(head.X, head.Y+head.H/2, head.X+16, head.Y+head.H/2, look.Width, look.Colour)
		head = head.Rest(22)
		head = head.Rest(g.words(words, head, small, false, scene.Chalk) + 18)
	}
}

// number prints a value with as many digits as a reader can use.
func number(v float64) string {
	switch size := math.Abs(v); {
	case size >= 100:
		return fmt.Sprintf("%.0f", v)
	case size >= 10:
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.2f", math.Round(v*100)/100+0) // + 0: no negative zero
}

// bounds are the least and greatest value of all a signal's curves, widened so that a flat line lies in the middle.
func (g *game) bounds(run *viewmodel.Run, s viewmodel.Signal) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, curve := range s.Curves {
		for _, v := range run.Series(g.model.Robot, s, curve) {
			if !math.IsNaN(v) && !math.IsInf(v, 0) {
				low, high = math.Min(low, v), math.Max(high, v)
			}
		}
	}
	if low > high {
		return 0, 1
	}
	if high-low < 1e-9 {
		return low - 1, high + 1
	}
	return low, high
}

// trace makes the line of a curve: where many samples share a column, their least and greatest value. Where there is no
// value the line has a gap.
func (c *curveLine) trace(run *viewmodel.Run, values []float64, g *game, y func(float64) float64) {
	c.points, c.begins = c.points[:0], append(c.begins[:0], 0)
	from, to := g.span()
	first, last := max(run.Index.At(from), 0), min(run.Index.At(to)+1, len(values)-1)
	column, low, high := math.Inf(-1), 0.0, 0.0
	for i := first; i <= last; i++ {
		if math.IsNaN(values[i]) || math.IsInf(values[i], 0) {
			c.add(column, y(low), y(high))
			c.gap()
			column = math.Inf(-1)
			continue
		}
		x := g.timeX(run.Record.Samples[i].T)
		if x-column < 1 { // many samples a point: their least and greatest
			low, high = math.Min(low, values[i]), math.Max(high, values[i])
			continue
		}
		c.add(column, y(low), y(high))
		column, low, high = x, values[i], values[i]
	}
	c.add(column, y(low), y(high))
}

// gap ends a stretch of the line.
func (c *curveLine) gap() {
	if c.begins[len(c.begins)-1] < len(c.points) {
		c.begins = append(c.begins, len(c.points))
	}
}

// stretches are the parts of the line between its gaps.
func (c *curveLine) stretches() [][]geom.Vec {
	c.lines = c.lines[:0]
	for i, from := range c.begins {
		to := len(c.points)
		if i+1 < len(c.begins) {
			to = c.begins[i+1]
		}
		c.lines = append(c.lines, c.points[from:to])
	}
	return c.lines
}

// add puts a column with its least and greatest y on the line; a level stretch is two points however long it is.
func (c *curveLine) add(x, low, high float64) {
	if math.IsInf(x, -1) {
		return
	}
	begin := c.begins[len(c.begins)-1]
	if n := len(c.points); low == high && n >= begin+2 && c.points[n-1].Y == low && c.points[n-2].Y == low {
		c.points[n-1].X = x
		return
	}
	if n := len(c.points); n > begin && math.Abs(high-c.points[n-1].Y) < math.Abs(low-c.points[n-1].Y) {
		low, high = high, low // begin with the nearer one: a slope must not run to and fro
	}
	c.points = append(c.points, geom.Vec{X: x, Y: low})
	if high != low {
		c.points = append(c.points, geom.Vec{X: x, Y: high})
	}
}
