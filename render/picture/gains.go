package picture

import (
	"fmt"
	"math"
	"sort"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/app/gains"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// How the lines of gains look; they differ in width and dashes too.
var (
	WantedPen = scene.Pen{Width: 1.2, Colour: scene.Dust, Dash: scene.Dotted}
	gainPens  = map[gains.Set]scene.Pen{
		gains.File:     {Width: 4, Colour: scene.Mix(scene.Slate, scene.Dust, 0.75)},
		gains.Computed: {Width: 1.6, Colour: scene.Chalk, Dash: scene.Dashed},
		gains.ByTable:  {Width: 1.4, Colour: best},
		gains.Tuned:    {Width: 1.8, Colour: scene.Accent},
	}
)

// GainPen is the line of a set of gains.
func GainPen(s gains.Set) scene.Pen { return gainPens[s] }

// Sizes of the picture of gains, everyday pixels.
const (
	gainPlot = 170.0 // high
	gainEach = fitLine + gainPlot + fitLine + fitGap
)

// Gains draws steps, and how far ramps are behind, the sets of gains over each other, a row a loop.
func Gains(in units.System, r *gains.Result, width float64) Drawing {
	columns := 1
	if width >= 700 {
		columns = 2
	}
	key := fitLine
	return Drawing{Title: r.Robot + ": steps and ramps", Width: width, Ground: scene.Slate,
		Height: 2*fitMargin + key + gainEach*float64(2/columns*len(r.Loops)), Draw: func(to paint.Painter) {
			gainKey(to, width)
			each := (width - float64(columns-1)*fitGap) / float64(columns)
			for i, l := range r.Loops {
				for k := range 2 {
					n := 2*i + k
					at := geom.Vec{X: float64(n%columns) * (each + fitGap), Y: fitMargin + key + float64(n/columns)*gainEach}
					drawGains(to, in, l, k == 1, at, each)
				}
			}
		}}
}

// gainKey names the lines.
func gainKey(to paint.Painter, width float64) {
	x := fitMargin
	var d paint.Drawer
	for _, s := range gains.Sets {
		name := gainNames[s]
		if x+34+paint.Width(name, smallSize, false) > width-fitMargin {
			return
		}
		y := fitMargin + smallSize/2
		d.Stroke(to, []geom.Vec{{X: x, Y: y}, {X: x + 26, Y: y}}, false, gainPens[s])
		words(to, name, x+32, fitMargin+smallSize-1, smallSize, false, scene.Chalk)
		x += 48 + paint.Width(name, smallSize, false)
	}
}

// gainNames are those of the key, short.
var gainNames = map[gains.Set]string{gains.File: "file", gains.Computed: "computed", gains.ByTable: "relay",
	gains.Tuned: "tuned"}

// drawGains draws a loop's steps, or how far its ramps are behind.
func drawGains(to paint.Painter, in units.System, l *gains.LoopResult, ramp bool, at geom.Vec, width float64) {
	box := paint.Box{Left: at.X + fitMargin + 46, Right: at.X + width - fitMargin - 4, Top: at.Y + fitLine,
		Bottom: at.Y + fitLine + gainPlot}
	s := &signal{Painter: to, Trace: &fit.Trace{}, plot: box, rest: box}
	s.unit, s.times = shownIn(in, l.Unit)
	title, upTo := "step", gains.Shown(l.Full()...)
	if ramp {
		title, upTo = "ramp, behind what is wanted", math.Inf(1)
	}
	lines := gainLines(l, ramp, upTo)
	if len(lines) == 0 {
		return
	}
	low, high := 0.0, 0.0
	for _, line := range lines {
		for _, y := range line.y {
			low, high = min(low, y*s.times), max(high, y*s.times)
		}
	}
	if high-low < 1e-3 {
		high = low + 1e-3
	}
	high += 0.05 * (high - low)
	s.Time = lines[0].t
	s.to = s.Time[len(s.Time)-1]
	words(to, paint.Fit(fmt.Sprintf("%s: %s, %s", paint.Clean(l.Name), title, s.unit), width-2*fitMargin, smallSize, true),
		at.X+fitMargin, box.Top-8, smallSize, true, scene.Chalk)
	s.frame(box, roundTicks(low, high, 7), low, high)
	for _, line := range lines {
		s.curve(box, low, high, line.y, line.pen)
	}
	s.seconds()
}

// gainLine is one of a plot.
type gainLine struct {
	t, y []float64
	pen  scene.Pen
}

// gainLines are a loop's steps with what was wanted first, or its ramps, up to a time.
func gainLines(l *gains.LoopResult, ramp bool, upTo float64) (list []gainLine) {
	for _, t := range l.Sets {
		c := t.Step
		if ramp {
			c = t.Ramp
		}
		if c == nil {
			continue
		}
		n := sort.SearchFloat64s(c.T, upTo)
		if ramp {
			n = c.FullRate()
			list = append(list, gainLine{c.T[:n], c.Behind()[:n], gainPens[t.Set]})
			continue
		}
		if list == nil {
			list = append(list, gainLine{c.T[:n], c.Wanted[:n], WantedPen})
		}
		list = append(list, gainLine{c.T[:n], c.Is[:n], gainPens[t.Set]})
	}
	return list
}
