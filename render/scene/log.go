package scene

import (
	"math"

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
	if pose, known := b.logPose(); known {
		pen := logPen
		pen.Width = 1.6
		b.layer(Robots).add(Item{Kind: Area, Points: b.placed(pose.Geom(), b.robots[0].outline...), Pen: pen})
	}
}

// logPose is where the real robot is at the moment shown; of the whole run, where its log ends.
func (b *Builder) logPose() (pose record.Pose, known bool) {
	samples := b.in.Log.Samples
	if len(samples) == 0 || b.in.T < samples[0].T-1e-9 || !b.in.Whole && b.in.T > samples[len(samples)-1].T+1e-9 {
		return pose, false
	}
	for _, s := range samples {
		if s.T > b.in.T+1e-9 {
			break
		}
		pose = s.Robots[0].True
	}
	return pose, !math.IsNaN(pose[0]) && !math.IsNaN(pose[2])
}
