package window

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// timeline is the stretch of time that strip and charts show: all of it when wide is 0.
type timeline struct {
	*shared
	from, wide float64  // s
	dragging   bool     // the pointer takes the time along
	pin        *float64 // s: a second hand that stays; nil: there is none
}

// togglePin puts the second hand at a time, or takes it away.
func (l *timeline) togglePin(t float64) {
	if l.pin != nil {
		l.pin = nil
		return
	}
	l.pin = &t
}

// drawPin draws the second hand over a part of the window.
func (l *timeline) drawPin(ruler timeRuler, top, bottom float64) {
	if l.pin == nil {
		return
	}
	if x, ok := ruler.hand(*l.pin); ok {
		line := []geom.Vec{{X: x, Y: top}, {X: x, Y: bottom}}
		l.pen.Stroke(paint.Dashes(line, scene.Dashed), false, 1.5, scene.Chalk)
	}
}

const stripPad = 32.0 // points right of the last moment: room for its number and score

// timeArea is the strip without its gutter.
func (l *timeline) timeArea() Rect {
	area := l.frame.Strip.Rest(l.frame.Gutter)
	area.W -= stripPad
	return area
}

// driveSpan is how much of a drive under way is shown, s.
const driveSpan = 10.0

// span is the stretch of time that the strip and the charts show.
func (l *timeline) span() (from, to float64) {
	if l.model.Driving() {
		from = math.Max(l.model.Time-driveSpan, 0)
		return from, from + driveSpan
	}
	total := l.end()
	if l.wide == 0 || l.wide >= total {
		return 0, total
	}
	from = geom.Clamp(l.from, 0, total-l.wide)
	return from, from + l.wide
}

// timeRuler is a stretch of time along a part of the window.
type timeRuler struct{ from, to, left, wide float64 }

// along lays the stretch shown along an area.
func (l *timeline) along(area Rect) timeRuler {
	from, to := l.span()
	return timeRuler{from, to, area.X, area.W}
}

func (r timeRuler) x(t float64) float64  { return r.left + (t-r.from)/(r.to-r.from)*r.wide }
func (r timeRuler) at(x float64) float64 { return r.from + (x-r.left)/r.wide*(r.to-r.from) }

// hand is where the time shown stands; false when it is not in the stretch.
func (r timeRuler) hand(t float64) (x float64, ok bool) {
	return r.x(t), t >= r.from-1e-9 && t <= r.to+1e-9
}

func (l *timeline) timeX(t float64) float64  { return l.along(l.timeArea()).x(t) }
func (l *timeline) timeAt(x float64) float64 { return l.along(l.timeArea()).at(x) }

// zoom widens or narrows the stretch shown about a time.
func (l *timeline) zoom(about, factor float64) {
	from, to := l.span()
	share := (about - from) / (to - from)
	width := math.Max((to-from)*factor, 0.5)
	if l.model.Now == nil || width >= l.model.Now.Seconds() {
		l.wide = 0
		return
	}
	l.wide = width
	l.from = about - share*width
}

// slide moves the stretch by a share of its width.
func (l *timeline) slide(share float64) {
	if from, to := l.span(); l.wide > 0 {
		l.from = geom.Clamp(from+share*(to-from), 0, math.Max(l.end()-l.wide, 0))
	}
}

// end is the last moment that can be shown.
func (l *timeline) end() float64 {
	if l.model.Now != nil {
		return math.Max(l.model.Now.Seconds(), record.SamplePeriod)
	}
	return l.model.End
}

// keep moves the stretch so that the time shown is in it.
func (l *timeline) keep() {
	if from, to := l.span(); l.wide > 0 && !l.dragging && (l.model.Time < from || l.model.Time > to) {
		l.from = l.model.Time - 0.1*l.wide
	}
}

// gutterOf is the part of a row of the strip for its name.
func (l *timeline) gutterOf(r Rect) Rect {
	return Rect{X: r.X + 8, Y: r.Y, W: l.frame.Gutter - gutterEdges, H: r.H}
}

const (
	gutterEdges = 14.0
	gutterShare = 0.25 // of the strip's width, at most
)
