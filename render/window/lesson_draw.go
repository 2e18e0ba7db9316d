package window

import (
	"math"
	"slices"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/signals"
	"chalkfield/render/window/viewmodel"
)

// What a step shows of the learner's own run: curves, and the field at a time.

// wrapped is words in as many lines as they take.
func wrapped(words string, width, size float64) []string {
	return paint.Wrap(words, width, size, false, noteMost)
}

// drawCurve draws a signal over the whole run, with the hand of time.
func (v *lessonView) drawCurve(r Rect, name string) {
	run := v.model.Now
	v.fill(r, scene.Slate)
	head := Rect{X: r.X + 6, Y: r.Y + 1, W: r.W - 8, H: 15}
	if run == nil || len(run.Record.Header.Robots) == 0 || len(run.Record.Samples) < 2 {
		return
	}
	s, ok := signals.Named(run.Signals(0), name)
	if !ok {
		v.words(v.say("panel_no_curve", name), head, small, false, scene.Dust)
		return
	}
	s.Curves = slices.DeleteFunc(slices.Clone(s.Curves), func(c viewmodel.Curve) bool {
		return !slices.ContainsFunc(run.Series(0, s, c), func(value float64) bool { return !math.IsNaN(value) })
	})
	shown := v.model.Units.Shown(s.Unit)
	title := s.Title
	if s.Unit != "" {
		title += " (" + shown.Name + ")"
	}
	used := v.words(title, head, small, true, scene.Chalk)
	v.drawCurveNames(run, s, head.Rest(used+12), shown.Times)
	plot := Rect{X: r.X + 40, Y: r.Y + 20, W: r.W - 48, H: r.H - 26}
	low, high := v.curveBounds(run, s, shown.Times)
	y := func(value float64) float64 { return plot.Bottom() - (value*shown.Times-low)/(high-low)*plot.H }
	for _, value := range []float64{low, high} {
		at := y(value / shown.Times)
		v.pen.Segment(plot.X, at, plot.Right(), at, 1, v.edge)
		v.rightward(number(value), Rect{X: r.X, Y: at - 7, W: 36, H: 14}, small, false, scene.Dust)
	}
	if low < 0 && high > 0 {
		v.pen.Segment(plot.X, y(0), plot.Right(), y(0), 1, scene.Dust)
	}
	ruler := timeRuler{0, math.Max(run.Index.End(), 1e-3), plot.X, plot.W}
	line := curveLine{}
	for i, curve := range slices.Backward(s.Curves) { // a thin one over a thick one: both are seen
		look := v.curveLook(i)
		line.trace(run, run.Series(0, s, curve), ruler, y)
		v.pen.Stroke(line.stretches(), false, look.Width, look.Colour)
	}
	if x, ok := ruler.hand(v.model.Time); ok {
		v.pen.Segment(x, plot.Y-2, x, plot.Bottom()+2, 1.5, v.accent)
	}
}

// drawCurveNames names the curves with their values now.
func (v *lessonView) drawCurveNames(run *viewmodel.Run, s viewmodel.Signal, head Rect, times float64) {
	for i, curve := range s.Curves {
		words := ""
		if len(s.Curves) > 1 {
			words = curve.Name + " "
		}
		if value, ok := valueAt(run, run.Series(0, s, curve), v.model.Time); ok {
			words += number(value * times)
		}
		wide := paint.Width(words, small, false)
		if wide+18 > head.W {
			return
		}
		look := v.curveLook(i)
		y := head.Y + head.H/2
		v.pen.Stroke([][]geom.Vec{{{X: head.X, Y: y}, {X: head.X + 12, Y: y}}}, false, look.Width, look.Colour)
		v.words(words, head.Rest(16), small, false, scene.Chalk)
		head = head.Rest(16 + wide + 10)
	}
}

// curveLook tells the curves of a signal apart.
func (l *look) curveLook(curve int) scene.Pen {
	return [...]scene.Pen{{Width: 1.2, Colour: scene.Chalk}, {Width: 2.4, Colour: l.accent},
		{Width: 1.2, Colour: scene.Dust}}[curve%3]
}

// curveBounds are round limits about all values of a signal.
func (v *lessonView) curveBounds(run *viewmodel.Run, s viewmodel.Signal, times float64) (low, high float64) {
	all := noValues()
	for _, curve := range s.Curves {
		for _, value := range run.Series(0, s, curve) {
			all.take(value)
		}
	}
	return all.limits(times)
}

// shotHeight is the height of a picture of the field.
func (v *lessonView) shotHeight() float64 {
	low, high, ok := v.floor()
	if !ok || !(high.X > low.X) {
		return curveHigh
	}
	return math.Min(v.width()*(high.Y-low.Y)/(high.X-low.X), mostShot)
}

// floor is where the field's floor lies.
func (v *lessonView) floor() (low, high geom.Vec, ok bool) {
	run := v.model.Now
	if run == nil || run.Setup.Field == nil || len(run.Setup.Field.Floor) < 3 {
		return low, high, false
	}
	low, high = run.Setup.Field.Floor.Bounds()
	return low, high, true
}

// drawShot draws the field at the time of a step's picture.
func (v *lessonView) drawShot(r Rect, step *lesson.Step) {
	v.fill(r, scene.Slate)
	low, high, ok := v.floor()
	if !ok {
		return
	}
	run := v.model.Now
	t := step.PictureAt(run.Index.End())
	box := paint.Box{Left: r.X + 2, Top: r.Y + 2, Right: r.Right() - 2, Bottom: r.Bottom() - 2}
	view := paint.FitView(low, high, box)
	s := v.built.Build(scene.Input{Field: run.Setup.Field, Record: run.Record, Index: run.Index, T: t,
		Units: units.Metric, Options: scene.Options{Show: scene.Usual &^ (scene.ScoreBox | scene.Belief)}})
	for i := range s.Layers {
		s.Layers[i].Labels = nil
	}
	v.drawer.Draw(v.pen, s, view)
	v.words(v.say("panel_at_time", t), Rect{X: r.X + 6, Y: r.Y + 2, W: r.W - 8, H: 15}, small, true, scene.Chalk)
}
