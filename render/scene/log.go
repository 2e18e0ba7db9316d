package scene

import (
	"math"
	"strconv"

	"chalkfield/internal/base/record"
)

// logPen draws what a log says of the real robot.
var logPen = Pen{Width: 2.5, Colour: Chalk, Dash: Long}

// drawLog draws the way that the real robot took by its log, and its outline at the moment shown.
func (b *Builder) drawLog() {
	if b.in.Log == nil || b.focus() != 0 {
		return
	}
	if at, _ := b.logWay.stretch(b.in.From, b.in.T); len(at) > 1 {
		b.layer(Trail).add(Item{Kind: Line, Points: at, Pen: logPen, Avoid: true})
	}
	if pose, known := b.logPose(b.in.T); known {
		pen := logPen
		pen.Width = 1.6
		b.layer(Robots).add(Item{Kind: Area, Points: b.placed(pose.Geom(), b.robots[0].outline...), Pen: pen})
	}
	if left := b.in.LogDeparts; left > 0 && left <= b.in.T {
		pose, _ := b.logPose(left)
		at := pose.Geom().At()
		b.layer(Trail).add(Item{Kind: Disc, At: at, Radius: Size{Pixels: 6}, Pen: Pen{Width: 2, Colour: Chalk}, Avoid: true})
		b.layer(Trail).label(Label{Words: "log departs at " + strconv.FormatFloat(left, 'f', 2, 64) + " s", At: at,
			Clear: Size{Pixels: 8}, Size: 12, Colour: Chalk, Rank: RankEvent})
	}
}

// logPose is where the real robot is at a time; of the whole run, where its log ends.
func (b *Builder) logPose(t float64) (pose record.Pose, known bool) {
	samples := b.in.Log.Samples
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
