package rehearse

import (
	"math"
	"sort"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"
	"chalkfield/sim"
)

// replay drives a robot as the first robot of a record drove: the recorded volts, corrected towards the recorded path.
// It only commands motors, so that what stands in its way is pushed or stops it, as in the recorded run. A robot of
// another side than the recorded one drives the path as the field's symmetry maps it.
type replay struct {
	robot   *sim.Robot
	field   *fields.Field
	mapped  bool // by the field's symmetry
	samples []record.Sample
	title   string          // of what was recorded
	doing   record.Activity // what the recorded robot was about
	perV    float64         // V per m/s
	half    float64         // m: half the track width
}

// Correction towards the recorded pose: speeds per error, chosen so that an error dies away in about 1/4 s, slower than
// the drive base answers.
const (
	replayAlong   = 4.0 // 1/s
	replayHeading = 4.0 // 1/s
	replayAcross  = 6.0 // rad/s per m, at full speed
)

func newReplay(r *record.Record, f *fields.Field, robot *sim.Robot) *replay {
	model := robot.Spec.Model()
	robot.Repeats()
	return &replay{
		robot: robot, field: f, mapped: r.Header.Robots[0].Side != robot.Side,
		samples: r.Samples, title: r.Header.Robots[0].Routine.Called(), doing: record.Idle, perV: model.KV,
		half: model.Track / 2,
	}
}

// recorded is the state to repeat, in this robot's half of the field.
func (p *replay) recorded(sample int) record.RobotSample {
	then := p.samples[sample].Robots[0]
	if !p.mapped {
		return then
	}
	was := then.True.Geom()
	pose := p.field.Mirror(was)
	end := p.field.MirrorPoint(geom.Vec{X: was.X + then.Velocity[0], Y: was.Y + then.Velocity[1]})
	then.True = record.FromGeom(pose)
	then.Velocity[0], then.Velocity[1] = end.X-pose.X, end.Y-pose.Y
	if p.field.Flips() {
		then.Volts[0], then.Volts[1] = then.Volts[1], then.Volts[0]
	}
	return then
}

// tick commands the volts for a time since the start of the session.
func (p *replay) tick(now float64) {
	i := sort.Search(len(p.samples), func(i int) bool { return p.samples[i].T > now+1e-9 }) - 1
	if i < 0 || i == len(p.samples)-1 {
		p.robot.SetDriveVolts(0, 0)
		p.doing = record.Idle
		return
	}
	then := p.recorded(i)
	p.doing = then.Doing
	along, turn := p.correction(then)
	p.robot.SetDriveVolts(then.Volts[0]+float64(p.perV*(along-float64(turn*p.half))),
		then.Volts[1]+float64(p.perV*(along+float64(turn*p.half))))
	p.parts(then)
}

func (p *replay) correction(then record.RobotSample) (along, turn float64) {
	wanted := p.robot.Pose().Relative(then.True.Geom())
	forward := math.Copysign(1, float64(portable.Cos(then.True[2])*then.Velocity[0])+
		float64(portable.Sin(then.True[2])*then.Velocity[1]))
	speed := portable.Hypot(then.Velocity[0], then.Velocity[1])
	turn = float64(replayHeading*geom.WrapAngle(wanted.Heading)) +
		float64(replayAcross*wanted.Y*forward*math.Min(1, speed))
	return replayAlong * wanted.X, turn
}

// parts repeats what the record's mechanisms did.
func (p *replay) parts(then record.RobotSample) {
	for i, part := range then.Parts {
		if i < len(p.robot.Spec.Parts) {
			p.robot.Repeat(i, part)
		}
	}
}
