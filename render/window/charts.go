package window

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// charts are the signals over time.
type charts struct {
	*timeline
	kept  still // without the hand of time
	heads still
	line  curveLine
	top   int // signals that are scrolled out above

	scrubs bool // the pointer takes the time along
}

func (c *charts) want(w *wants) { w.Charts = len(c.model.Signals) }

func (c *charts) place() {
	c.scroll(0) // there may be room for more now
	head := c.head()
	if head.W == 0 {
		return
	}
	fold := c.named("fold charts")
	fold.Label, fold.Hint = "-", ""
	if c.memory.Layout.NoCharts {
		fold.Label = "+"
	}
	fold.Rect = Rect{X: head.Right() - 30, Y: head.Y + 3, W: 26, H: head.H - 5}
	c.add(fold)
	choose := c.named("signals")
	choose.Name, choose.Label, choose.Hint = "choose signals", "choose", ""
	choose.Rect = Rect{X: head.Right() - 86, Y: head.Y + 3, W: 53, H: head.H - 5}
	c.add(choose)
}

// head is the line over the charts.
func (c *charts) head() Rect { return c.frame.Charts.Top(chartsHead) }

// chartGutter is the room for the least and greatest value at a chart's left.
const chartGutter = 50.0

// plots are the charts without their gutter.
func (c *charts) plots() Rect {
	area := c.frame.Charts.Below(chartsHead).Rest(chartGutter)
	area.W -= 10
	return area
}

// ruler is the time along the charts.
func (c *charts) ruler() timeRuler { return c.along(c.plots()) }

// point lets the wheel scroll, where there is no room for all, and a press take the time along.
func (c *charts) point() {
	if !c.hand.Down {
		c.scrubs = false
	}
	if c.model.Now == nil || c.model.Driving() || c.card != nil {
		return
	}
	over := c.frame.Charts.Below(chartsHead).Contains(c.hand.X, c.hand.Y)
	if over {
		c.wheel()
	}
	if over && c.hand.Pressed {
		c.scrubs = true
		c.model.Pause()
	}
	if c.scrubs {
		c.model.Seek(c.ruler().at(c.hand.X))
	}
}

// wheel shows other charts where there is no room for all; with Ctrl, or where there is, it stretches the time.
// Sideways, or with Shift, it moves along it.
func (c *charts) wheel() {
	x, y := c.hand.WheelX, c.hand.WheelY
	if c.hand.Shift {
		x, y = x+y, 0
	}
	if x != 0 {
		c.slide(-0.1 * x)
	}
	if y != 0 && (c.hand.Ctrl || !c.scroll(-wheelStep(y))) {
		c.zoom(c.ruler().at(c.hand.X), math.Pow(zoomStep, -y))
	}
	c.hand.WheelX, c.hand.WheelY = 0, 0
}

// against is the run whose curves lie under those of the run shown; nil: none.
func (c *charts) against() *viewmodel.Run {
	if !c.model.ShowsBefore() {
		return nil
	}
	run, _ := c.model.Compares()
	return run
}

// seriesOf are a curve's values in another run than the one it was listed for; nil where that has none.
func seriesOf(run *viewmodel.Run, robot int, s viewmodel.Signal, curve viewmodel.Curve) []float64 {
	if run == nil || robot >= len(run.Record.Header.Robots) {
		return nil
	}
	own, ok := run.SignalNamed(robot, s.Key)
	if !ok || own.Unit != s.Unit {
		return nil
	}
	for _, other := range own.Curves {
		if other.Name == curve.Name {
			return run.Series(robot, own, other)
		}
	}
	return nil
}

// keyAt is the key of the chart at a height of the window, "" for none.
func (c *charts) keyAt(y float64) string {
	row := int(math.Floor((y - c.frame.Charts.Y - chartsHead) / math.Max(c.frame.Chart, 1)))
	if at := len(c.model.Signals) - 1 - c.top - row; row >= 0 && row < c.frame.ChartCount() && at >= 0 {
		return c.model.Signals[at]
	}
	return ""
}

// wheelStep is a turn of the wheel as one step.
func wheelStep(turn float64) int { return int(math.Copysign(1, turn)) }

const chartHead = 32.0 // points for the title and the curves' names

// showSignals lists what can be charted.
func (c *charts) showSignals() {
	c.lay(&card{name: "signals", title: "Signals", typed: true, key: ebiten.KeyG, own: true, passes: true,
		foot: "Enter or a click switches one, letters narrow the list, G or Esc closes.", rows: func() []cardRow {
			if c.model.Now == nil || c.model.Robot >= len(c.model.Now.Record.Header.Robots) {
				return []cardRow{{label: "nothing has been rehearsed yet"}}
			}
			var rows []cardRow
			for _, s := range c.model.Now.Signals(c.model.Robot) {
				rows = append(rows, cardRow{label: s.Title, note: c.model.Units.Name(s.Unit), on: c.model.Shows(s.Key),
					keeps: true, do: func() {
						c.model.ToggleSignal(s.Key)
						c.top = 0 // where the latest stands
					}})
			}
			return rows
		}})
}

// draw paints the signals that there is room for, with their values at the time shown.
func (c *charts) draw() {
	area, run := c.frame.Charts, c.model.Now
	if area.H == 0 {
		return
	}
	c.drawHead()
	area = area.Below(chartsHead)
	if run == nil || c.model.Robot >= len(run.Record.Header.Robots) {
		c.fill(area, scene.Slate)
		return
	}
	from, to := c.span()
	content := c.runPrint(run).rect(area).numbers(from, to).ints(c.model.Robot, c.top).flag(run.Kept != nil)
	for _, key := range c.model.Signals {
		content = content.text(key)
	}
	if against := c.against(); against != nil {
		content = content.text(fmt.Sprintf("%p", against))
	}
	c.drawStill(&c.kept, content, func() {
		c.fill(area, scene.Slate)
		c.eachChart(run, c.drawChart)
	})
	c.eachChart(run, func(run *viewmodel.Run, s viewmodel.Signal, r Rect) {
		c.drawPin(c.ruler(), r.Y+chartHead, r.Bottom())
		if x, ok := c.ruler().hand(c.model.Time); ok {
			c.pen.Segment(x, r.Y+chartHead, x, r.Bottom(), 2, c.accent)
		}
		c.drawChartHead(run, s, r)
	})
}

// drawHead writes over the charts what has no room.
func (c *charts) drawHead() {
	head := c.head()
	words := c.hidden()
	if words == "" {
		words = "Charts"
	}
	c.drawButtons(&c.heads, head)
	c.pen.Rect(head.X, head.Y, head.W, 1, c.edge)
	at := Rect{X: head.X + 12, Y: head.Y + 1, W: head.W - 100, H: head.H - 1}
	c.words(withKeys(words, "Shift", at.W), at, small, true, scene.Dust)
}

// scroll shows others of the signals when there is no room for all; it reports whether there were others.
func (c *charts) scroll(by int) bool {
	c.top = min(max(c.top+by, 0), max(len(c.model.Signals)-c.frame.ChartCount(), 0))
	return len(c.model.Signals) > c.frame.ChartCount()
}

// hidden says which of the signals are shown when there is no room for all.
func (c *charts) hidden() string {
	if c.memory.Layout.NoCharts || c.memory.Layout.Folded {
		return ""
	}
	return moreWords(c.top, len(c.model.Signals)-c.frame.ChartCount()-c.top)
}

// eachChart does something for every signal that there is room for, with the row it has.
func (c *charts) eachChart(run *viewmodel.Run, do func(*viewmodel.Run, viewmodel.Signal, Rect)) {
	area := c.frame.Charts.Below(chartsHead)
	row := Rect{X: area.X, Y: area.Y, W: area.W, H: c.frame.Chart}
	for i := range min(c.frame.ChartCount(), len(c.model.Signals)-c.top) {
		key := c.model.Signals[len(c.model.Signals)-1-c.top-i] // the latest chosen stands first
		if signal, ok := run.SignalNamed(c.model.Robot, key); ok {
			do(run, signal, row)
		} else {
			do(run, viewmodel.Signal{Title: key + ": this robot has none"}, row)
		}
		row.Y += row.H
	}
}

func (c *charts) drawChart(run *viewmodel.Run, s viewmodel.Signal, r Rect) {
	c.pen.Rect(r.X, r.Y, r.W, chartHead, c.panel)
	low, high := c.bounds(run, s)
	plots := c.plots()
	plot := Rect{X: plots.X, Y: r.Y + chartHead + 3, W: plots.W, H: r.H - chartHead - 7}
	times := c.model.Units.Shown(s.Unit).Times
	y := func(v float64) float64 { return plot.Bottom() - (v*times-low)/(high-low)*plot.H }
	c.drawScale(plot, low, high, y)
	c.pen.Clip(plot.X, plot.Y-3, plot.W+2, plot.H+6)
	against := c.against()
	for i, curve := range s.Curves { // under those of the run shown
		if values := seriesOf(against, c.model.Robot, s, curve); values != nil {
			look := c.curveLook(i)
			c.line.trace(against, values, c.ruler(), y)
			c.pen.Stroke(c.line.stretches(), false, look.Width, paled(look.Colour))
		}
	}
	for i, curve := range slices.Backward(s.Curves) { // a thin one over a thick one: both are seen
		look := c.curveLook(i)
		c.line.trace(run, run.Series(c.model.Robot, s, curve), c.ruler(), y)
		c.pen.Stroke(c.line.stretches(), false, look.Width, look.Colour)
		if real, values := run.RealSeries(c.model.Robot, s, curve); real != nil {
			c.line.trace(real, values, c.ruler(), y)
			for _, stretch := range c.line.stretches() {
				c.pen.Stroke(paint.Dashes(stretch, scene.Long), false, realWidth, look.Colour)
			}
		}
	}
	c.pen.Unclip()
}

// drawScale writes the least and the greatest value in the gutter, and a line at zero.
func (c *charts) drawScale(plot Rect, low, high float64, y func(float64) float64) {
	if low <= 0 && high >= 0 {
		c.pen.Segment(plot.X, y(0), plot.Right(), y(0), 1, scene.Dust)
	}
	c.pen.Segment(plot.X, plot.Y, plot.X, plot.Bottom(), 1, c.edge)
	column := Rect{X: c.frame.Charts.X + 4, W: chartGutter - 8, H: 14}
	column.Y = plot.Y - 3
	c.rightward(number(high), column, small, false, scene.Dust)
	column.Y = plot.Bottom() - 11
	c.rightward(number(low), column, small, false, scene.Dust)
}

// realWidth is that of a log's curves, which have the dashes of its way on the field and the colour of the rehearsal's.
const realWidth = 1.6

// drawChartHead names the signal and each curve with its value now.
func (c *charts) drawChartHead(run *viewmodel.Run, s viewmodel.Signal, r Rect) {
	head := Rect{X: r.X + 12, Y: r.Y, W: r.W - 20, H: chartHead / 2}
	title, shown := s.Title, c.model.Units.Shown(s.Unit)
	if s.Unit != "" {
		title += " (" + shown.Name + ")"
	}
	used := c.words(title, head, small, true, scene.Chalk)
	if words := c.pinWords(); paint.Width(words, small, false) <= head.W-used-12 { // the hand on the strip tells too
		c.words(words, head.Rest(used+12), small, false, scene.Dust)
	}
	head.Y += head.H
	for i, curve := range s.Curves {
		look := c.curveLook(i)
		more := c.moreOf(run, s, curve)
		for more != "" && len(s.Curves) > 1 && paint.Width(more, small, false) > head.W/float64(len(s.Curves)-i)-100 {
			more = "" // the others have names too
		}
		real, values := run.RealSeries(c.model.Robot, s, curve)
		name := curve.Name
		if real != nil && name == "real" {
			name = "rehearsed" // beside a log the real one is the log's
		}
		head = c.curveName(name, more, run, run.Series(c.model.Robot, s, curve), shown.Times, head, look)
		if real != nil {
			look.Width, look.Dash = realWidth, scene.Long
			head = c.curveName("log", "", real, values, shown.Times, head, look)
		}
	}
}

// pinWords say where the second hand stands, and how far the hand is from it.
func (c *charts) pinWords() string {
	if c.pin == nil {
		return ""
	}
	return fmt.Sprintf("pin at %.2f s, hand %+.2f s", *c.pin, c.model.Time-*c.pin+0)
}

// moreOf is what is told of a curve beside its value: the other run's at this time, and how much it has changed since
// the second hand.
func (c *charts) moreOf(run *viewmodel.Run, s viewmodel.Signal, curve viewmodel.Curve) string {
	words, times := "", c.model.Units.Shown(s.Unit).Times
	now, told := valueAt(run, run.Series(c.model.Robot, s, curve), c.model.Time)
	if against := c.against(); against != nil {
		if was, ok := valueAt(against, seriesOf(against, c.model.Robot, s, curve), c.model.Time); ok {
			words += " (pale " + number(was*times) + ")"
		}
	}
	if c.pin != nil && told {
		if then, ok := valueAt(run, run.Series(c.model.Robot, s, curve), *c.pin); ok {
			sign := "+"
			if now < then {
				sign = ""
			}
			words += ", " + sign + number((now-then)*times) + " since the pin"
		}
	}
	return words
}

// valueAt is a curve's value at a time, false where there is none.
func valueAt(run *viewmodel.Run, values []float64, t float64) (float64, bool) {
	sample := run.Index.At(t)
	if t > run.Index.End()+record.SamplePeriod || sample < 0 || sample >= len(values) || math.IsNaN(values[sample]) {
		return 0, false // a log may end before
	}
	return values[sample], true
}

// curveName writes a curve's name with its value now, so many times, and gives what is left of the line: nothing if it
// had no room.
func (c *charts) curveName(name, more string, run *viewmodel.Run, values []float64, times float64, head Rect,
	look scene.Pen) Rect {
	swatch := 22.0
	if look.Dash != scene.Solid {
		swatch = 34 // two dashes
	}
	words := name + " none"
	if value, ok := valueAt(run, values, c.model.Time); ok {
		words = name + " " + number(value*times)
	}
	if words += more; paint.Width(words, small, false)+swatch+18 > head.W {
		words = strings.TrimSuffix(words, more)
	}
	if paint.Width(words, small, false)+swatch+18 > head.W {
		return Rect{}
	}
	y := head.Y + head.H/2
	line := []geom.Vec{{X: head.X, Y: y}, {X: head.X + swatch - 6, Y: y}}
	c.pen.Stroke(paint.Dashes(line, look.Dash), false, look.Width, look.Colour)
	head = head.Rest(swatch)
	return head.Rest(c.words(words, head, small, false, scene.Chalk) + 18)
}

// number prints a value with as many digits as a reader can use.
func number(v float64) string {
	switch size := math.Abs(v); {
	case size >= 1e6:
		return fmt.Sprintf("%.4g", v)
	case size >= 100:
		return fmt.Sprintf("%.0f", v)
	case size >= 10:
		return fmt.Sprintf("%.1f", v)
	case size < 0.1 && size >= 0.00005:
		return fmt.Sprintf("%.4f", v)
	}
	return fmt.Sprintf("%.2f", math.Round(v*100)/100+0) // + 0: no negative zero
}

// bounds are, in the unit shown, the limits of all values of a signal's curves in the stretch of time shown, of the
// other run's too.
func (c *charts) bounds(run *viewmodel.Run, s viewmodel.Signal) (low, high float64) {
	all := noValues()
	from, to := c.span()
	take := func(r *viewmodel.Run, values []float64) {
		for i, v := range values[:min(len(values), samplesOf(r))] {
			if t := r.Record.Samples[i].T; t >= from && t <= to {
				all.take(v)
			}
		}
	}
	for _, curve := range s.Curves {
		take(run, run.Series(c.model.Robot, s, curve))
		take(run.RealSeries(c.model.Robot, s, curve))
		take(c.against(), seriesOf(c.against(), c.model.Robot, s, curve))
	}
	return all.limits(c.model.Units.Shown(s.Unit).Times)
}

// extent is from the least to the greatest of the values that a chart shows.
type extent struct{ low, high float64 }

func noValues() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (e *extent) take(v float64) {
	if !math.IsNaN(v) && !math.IsInf(v, 0) {
		e.low, e.high = math.Min(e.low, v), math.Max(e.high, v)
	}
}

// limits are round ones about it in a unit that is so many times the SI one, widened so that a flat line lies in the
// middle; of no values 0 to 1.
func (e extent) limits(times float64) (low, high float64) {
	if e.low > e.high {
		return 0, 1
	}
	if low, high = e.low*times, e.high*times; high-low < 1e-9 {
		low, high = low-1, high+1
	}
	return roundLimits(low, high)
}

// samplesOf is how many samples a run has.
func samplesOf(r *viewmodel.Run) int {
	if r == nil {
		return 0
	}
	return len(r.Record.Samples)
}

// roundLimits are the nearest round numbers that leave room for a range: whole steps of 1, 2 or 5 times a power of ten,
// of which it has ten at most, and one more at either end.
func roundLimits(low, high float64) (from, to float64) {
	const most = 10.0
	step := math.Pow(10, math.Floor(math.Log10((high-low)/most)))
	for _, factor := range []float64{1, 2, 5, 10} {
		if (high-low)/(factor*step) <= most {
			step *= factor
			break
		}
	}
	const slip = 1e-9 // of a step, by which a quotient may be off
	return step * math.Floor(low/step+slip), step * math.Ceil(high/step-slip)
}

// curveLine is the line of a curve on the screen, in memory that is used again.
type curveLine struct {
	points []geom.Vec
	begins []int        // of points: where a stretch begins after a gap, for which there is no value
	lines  [][]geom.Vec // the stretches, cut from points
}

// trace makes the line of a curve: where many samples share a column, their least and greatest value. Where there is no
// value the line has a gap.
func (c *curveLine) trace(run *viewmodel.Run, values []float64, time timeRuler, y func(float64) float64) {
	c.points, c.begins = c.points[:0], append(c.begins[:0], 0)
	from, to := time.from, time.to
	first, last := max(run.Index.At(from), 0), min(run.Index.At(to)+1, len(values)-1)
	column, low, high := math.Inf(-1), 0.0, 0.0
	for i := first; i <= last; i++ {
		if math.IsNaN(values[i]) || math.IsInf(values[i], 0) {
			c.add(column, y(low), y(high))
			c.gap()
			column = math.Inf(-1)
			continue
		}
		x := time.x(run.Record.Samples[i].T)
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
