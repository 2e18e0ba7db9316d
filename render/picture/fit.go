package picture

import (
	"fmt"
	"math"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Sizes of the picture of a drive, everyday pixels.
const (
	fitMargin   = 10.0
	fitLine     = 20.0
	fitGap      = 14.0
	fitPlot     = 120.0 // high: what was measured and predicted
	fitResidual = 56.0  // high: what is left between them
)

// How the lines of a drive look; they differ in width and dashes too.
var (
	Measured  = scene.Pen{Width: 4, Colour: scene.Mix(scene.Slate, scene.Dust, 0.75)}
	Predicted = scene.Pen{Width: 1.6, Colour: scene.Accent}
	Formerly  = scene.Pen{Width: 1.4, Colour: best, Dash: scene.Dashed}
)

// FitDrive draws a drive: each signal measured, under its prediction before and after the fit, and below it what is
// left between measured and predicted.
func FitDrive(in units.System, d *fit.Drive, width float64) Drawing {
	each := fitLine + fitPlot + 6 + fitLine + fitResidual + fitGap
	return Drawing{Title: fmt.Sprintf("%s, %s: measured and predicted", d.Log, d.What), Width: width,
		Height: 2*fitMargin + float64(len(d.Traces))*each + fitLine, Ground: scene.Slate, Draw: func(to paint.Painter) {
			top := fitMargin
			for i := range d.Traces {
				newSignal(to, in, &d.Traces[i], top, width).draw(i == len(d.Traces)-1)
				top += each
			}
		}}
}

// signal is one trace as it is drawn.
type signal struct {
	paint.Painter
	drawer paint.Drawer
	*fit.Trace
	unit     string
	times    float64 // of the unit to an SI unit
	from, to float64 // s of the trace
	plot     paint.Box
	rest     paint.Box
}

func newSignal(to paint.Painter, in units.System, t *fit.Trace, top, width float64) *signal {
	s := &signal{Painter: to, Trace: t}
	if n := len(t.Time); n > 0 {
		s.from, s.to = t.Time[0], t.Time[n-1]
	}
	s.unit, s.times = shownIn(in, t.Unit)
	left, right := fitMargin+46, width-fitMargin-4
	s.plot = paint.Box{Left: left, Right: right, Top: top + fitLine, Bottom: top + fitLine + fitPlot}
	s.rest = paint.Box{Left: left, Right: right, Top: s.plot.Bottom + 6 + fitLine}
	s.rest.Bottom = s.rest.Top + fitResidual
	return s
}

// shownIn is the unit in which people read a quantity, and how many of it are an SI unit.
func shownIn(in units.System, si string) (name string, times float64) {
	switch si {
	case "", "V", "A":
		return si, 1
	case "rad/s":
		name = "deg/s"
	default:
		name = units.Names(si)[0]
	}
	shown := in.Shown(name)
	return shown.Name, units.In(1, si, name) * shown.Times
}

func (s *signal) draw(last bool) {
	low, high := s.span()
	words(s, paint.Fit(paint.Clean(named(s.Name, s.unit)), s.plot.Right-fitMargin, smallSize, true), fitMargin,
		s.plot.Top-8, smallSize, true, scene.Chalk)
	s.frame(s.plot, roundTicks(low, high, 6), low, high)
	s.curve(s.plot, low, high, s.Logged, Measured)
	s.curve(s.plot, low, high, s.Before, Formerly)
	s.curve(s.plot, low, high, s.After, Predicted)

	after, before := s.left(s.After), s.left(s.Before)
	most := s.most(after)
	words(s, "measured minus predicted", s.rest.Left, s.rest.Top-5, smallSize, false, scene.Dust)
	fill(s, s.band(most), scene.SlateTop)
	s.frame(s.rest, evenTicks(most), -most, most)
	s.curve(s.rest, -most, most, before, Formerly)
	s.curve(s.rest, -most, most, after, Predicted)
	if last {
		s.seconds()
	}
}

func named(name, unit string) string {
	if unit == "" {
		return name
	}
	return name + ", " + unit
}

// left is what was measured less what was predicted.
func (s *signal) left(predicted []float64) []float64 {
	out := make([]float64, len(predicted))
	for i := range out {
		out[i] = s.Logged[i] - predicted[i]
	}
	return out
}

// span takes in all three lines, in the shown unit.
func (s *signal) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, list := range [][]float64{s.Logged, s.Before, s.After} {
		for _, x := range list {
			if x == x {
				low, high = math.Min(low, x*s.times), math.Max(high, x*s.times)
			}
		}
	}
	if !(high > low) {
		return low - 1.1, low + 1.1
	}
	room := 0.05 * (high - low)
	return low - room, high + room
}

// most is how far the scale of what is left goes: the new prediction fits, one that was far off before is cut.
func (s *signal) most(after []float64) float64 {
	most := 2.5 * s.Noise
	for _, x := range after {
		if math.Abs(x) > most { // of none it is none
			most = math.Abs(x)
		}
	}
	if most == 0 {
		most = 1 / s.times
	}
	return 1.1 * most * s.times
}

// band is where noise alone leaves nineteen of twenty values.
func (s *signal) band(most float64) paint.Box {
	half := s.rest.Height() / 2 * math.Min(1, 2*s.Noise*s.times/most)
	middle := (s.rest.Top + s.rest.Bottom) / 2
	return paint.Box{Left: s.rest.Left, Right: s.rest.Right, Top: middle - half, Bottom: middle + half}
}

// frame draws a level line and a number at each tick.
func (s *signal) frame(box paint.Box, ticks []float64, low, high float64) {
	for _, t := range ticks {
		y := box.Bottom - box.Height()*(t-low)/(high-low)
		rule(s, box.Left, box.Right, y)
		wordsRight(s, fmt.Sprintf("%.6g", t), box.Left-6, y+4, smallSize-1, false, scene.Dust)
	}
}

// curve draws values over the time, within a box.
func (s *signal) curve(box paint.Box, low, high float64, values []float64, pen scene.Pen) {
	every := max(1, int(2*float64(len(values))/box.Width()))
	var line []geom.Vec
	over := func() {
		if len(line) > 1 {
			s.drawer.Stroke(s, line, false, pen)
		}
		line = nil
	}
	for i := 0; i < len(values); i += every {
		x := values[i] * s.times
		if x != x {
			over()
			continue
		}
		y := geom.Clamp(box.Bottom-box.Height()*(x-low)/(high-low), box.Top, box.Bottom)
		line = append(line, geom.Vec{X: s.across(box, s.Time[i]), Y: y})
	}
	over()
}

// across is where a time stands.
func (s *signal) across(box paint.Box, t float64) float64 {
	return box.Left + box.Width()*(t-s.from)/math.Max(s.to-s.from, 1e-9)
}

// seconds writes the times below.
func (s *signal) seconds() {
	for _, t := range roundTicks(s.from, s.to, int(s.plot.Width()/70)) {
		text, x := fmt.Sprintf("%.6g s", t), s.across(s.rest, t)
		half := paint.Width(text, smallSize-1, false) / 2
		x = geom.Clamp(x, s.rest.Left+half, s.rest.Right-half)
		words(s, text, x-half, s.rest.Bottom+fitLine-2, smallSize-1, false, scene.Dust)
	}
}

// evenTicks are 0 and a round number on both sides of it.
func evenTicks(most float64) []float64 {
	ticks := roundTicks(-most, most, 13)
	end := ticks[len(ticks)-1]
	return []float64{-end, 0, end}
}
