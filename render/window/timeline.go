package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// timeline is the stretch of time that strip and charts show: all of it when wide is 0.
type timeline struct {
	*shared
	from, wide float64 // s
	dragging   bool    // the pointer takes the time along
}

const stripPad = 32.0 // points right of the last moment: room for its number and score

// timeArea is the strip without its gutter.
func (l *timeline) timeArea() Rect {
	area := l.frame.Strip.Rest(l.frame.Gutter)
	area.W -= stripPad
	return area
}

// span is the stretch of time that the strip and the charts show.
func (l *timeline) span() (from, to float64) {
	total := l.model.End
	if l.model.Now != nil {
		total = math.Max(l.model.Now.Seconds(), record.SamplePeriod)
	}
	if l.wide == 0 || l.wide >= total {
		return 0, total
	}
	from = geom.Clamp(l.from, 0, total-l.wide)
	return from, from + l.wide
}

func (l *timeline) timeX(t float64) float64 {
	from, to := l.span()
	area := l.timeArea()
	return area.X + (t-from)/(to-from)*area.W
}

func (l *timeline) timeAt(x float64) float64 {
	from, to := l.span()
	area := l.timeArea()
	return from + (x-area.X)/area.W*(to-from)
}

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

// keep moves the stretch so that the time shown is in it.
func (l *timeline) keep() {
	if from, to := l.span(); l.wide > 0 && !l.dragging && (l.model.Time < from || l.model.Time > to) {
		l.from = l.model.Time - 0.1*l.wide
	}
}

// drawHand is the line of the time shown; it gives its x, and false when that time is not in the stretch.
func (l *timeline) drawHand(top, bottom float64) (float64, bool) {
	from, to := l.span()
	if l.model.Time < from-1e-9 || l.model.Time > to+1e-9 {
		return 0, false
	}
	x := l.timeX(l.model.Time)
	l.pen.Segment(x, top, x, bottom, 2, l.accent)
	return x, true
}

// gutterOf is the part of a row of the strip for its name.
func (l *timeline) gutterOf(r Rect) Rect {
	return Rect{X: r.X + 10, Y: r.Y, W: l.frame.Gutter - gutterEdges, H: r.H}
}

const (
	gutterEdges = 14.0
	gutterShare = 0.25 // of the window's width, at most
)

// tip tells about the event under the pointer.
type tip struct {
	*timeline
	strip *strip
}

func (t *tip) draw() {
	run := t.model.Now
	if run == nil || t.strip.overEvent < 0 || t.strip.overEvent >= len(run.Record.Events) {
		return
	}
	e := run.Record.Events[t.strip.overEvent]
	words := paint.Clean(fmt.Sprintf("%.2f s  %s", e.T, run.Record.Header.Told(e)))
	words = paint.Fit(words, 0.6*t.width, normal, false)
	box := t.box(e.T, paint.Width(words, normal, false)+16)
	t.pen.Rect(box.X-1, box.Y-1, box.W+2, box.H+2, t.edge)
	t.fill(box, t.hovered)
	t.centred(words, box, normal, false, scene.Chalk)
}

// tipHeight is the height of what is told about an event.
const tipHeight = 24.0

// tipBox is under the row pointed at: over the strip are the buttons for time.
func (t *tip) box(at, width float64) Rect {
	top := t.strip.row(int(record.FieldLane)).Bottom()
	for row := record.NoteLane; row <= record.ScoreLane; row++ {
		if r := t.strip.row(int(row)); t.hand.Y >= r.Y {
			top = r.Bottom()
		}
	}
	x := geom.Clamp(t.timeX(at)-width/2, 2, t.width-width-2)
	return Rect{X: x, Y: math.Min(top+4, t.frame.Note.Y-tipHeight), W: width, H: tipHeight}
}
