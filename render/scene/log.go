package scene

import (
	"math"
	"strconv"

	"chalkfield/internal/base/record"
)

// logPen draws what a log says of the real robot, setpointsPen where a table of setpoints wants it: so broad and so dim
// that both show where they go the same way.
var (
	logPen       = Pen{Width: 2.5, Colour: Chalk, Dash: Long}
	setpointsPen = Pen{Width: 7, Colour: Mix(Dust, SlateTop, 0.3), Dash: Tripled}
)

// beside is another way of the first robot, drawn over that of the record.
type beside struct {
	of  *record.Record // of one robot; nil: there is none
	way path
	pen Pen
}

// take keeps another record's way.
func (w *beside) take(of *record.Record, pen Pen) {
	if of != nil && of != w.of {
		w.way = newPath(of, 0)
	}
	w.of, w.pen = of, pen
}

// drawBeside draws the way that the robot takes by another record, and its outline at the moment shown.
func (b *Builder) drawBeside(w *beside) {
	if w.of == nil || b.focus() != 0 {
		return
	}
	if at, _ := w.way.stretch(b.in.From, b.in.T); len(at) > 1 {
		b.layer(Trail).add(Item{Kind: Line, Points: at, Pen: w.pen, Avoid: true})
	}
	if pose, known := b.poseBeside(w, b.in.T); known {
		pen := w.pen
		pen.Width = 1.6
		b.layer(Robots).add(Item{Kind: Area, Points: b.placed(pose.Geom(), b.robots[0].outline...), Pen: pen})
	}
}

// drawDeparture marks where the log leaves the rehearsal.
func (b *Builder) drawDeparture() {
	left := b.in.LogDeparts
	if b.log.of == nil || b.focus() != 0 || left <= 0 || left > b.in.T {
		return
	}
	pose, _ := b.poseBeside(&b.log, left)
	at := pose.Geom().At()
	b.layer(Trail).add(Item{Kind: Disc, At: at, Radius: Size{Pixels: 6}, Pen: Pen{Width: 2, Colour: Chalk}, Avoid: true})
	b.layer(Trail).label(Label{Words: "log departs at " + strconv.FormatFloat(left, 'f', 2, 64) + " s", At: at,
		Clear: Size{Pixels: 8}, Size: 12, Colour: Chalk, Rank: RankEvent})
}

// poseBeside is where the robot is by another record at a time; of the whole run, where that ends.
func (b *Builder) poseBeside(w *beside, t float64) (pose record.Pose, known bool) {
	samples := w.of.Samples
	const after = 1.5 * record.SamplePeriod // s: a log by Chalkfield ends a row before the run does
	if len(samples) == 0 || t < samples[0].T-1e-9 || !b.in.Whole && t > samples[len(samples)-1].T+after {
		return pose, false
	}
	for _, s := range samples {
		if s.T > t+1e-9 {
			break
		}
		pose = s.Robots[0].True
	}
	return pose, !math.IsNaN(pose[0]) && !math.IsNaN(pose[2])
}
