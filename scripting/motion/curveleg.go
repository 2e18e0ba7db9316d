package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// How far a curve's plan may be ahead of the robot before it waits.
const (
	alongSlack   = 0.02 // m
	alongStop    = 0.08 // m
	acrossSlack  = 0.12 // m
	acrossStop   = 0.50 // m; it still runs at acrossLeast there, since standing does not bring the robot back sideways
	acrossLeast  = 0.3
	headingSlack = 0.35 // rad
	headingStop  = 1.0  // rad
)

// catchUp is the share of the cruising speed that may be added to close a gap along the way.
const catchUp = 0.4

// steepest is the sine of the angle at which a robot far aside comes back to the curve. Without this bound the law
// would turn it round and round: it rests where ky y = kth sin(th), which a large y has no angle for.
const steepest = 0.5

// slowest is the speed below which the sideways gain no longer rises, m/s.
const slowest = 0.25

// curveLeg follows a curve.
type curveLeg struct {
	a       *ability
	curve   curve
	lay     func(c *curve, from geom.Pose) // lays the curve anew from where the robot really is; nil: as planned
	reverse bool                           // drives backwards: the travel frame is the robot's turned by half a turn
	exit    float64                        // m/s at the end
	t       float64                        // s, the plan's own time
	node    int                            // the plan's node at t
	slow    float64                        // m/s
	end     geom.Pose                      // of the curve
	sin     float64                        // of its heading there
	cos     float64
}

// plan times the curve from a speed.
func (l *curveLeg) plan(speed float64) {
	l.slow = l.a.slow()
	l.curve.time(l.a, l.reverse, speed, l.exit)
	l.end = l.curve.end()
	l.sin, l.cos = portable.Sincos(l.end.Heading)
}

// slow is the speed below which a leg's sideways gain no longer rises, m/s.
func (a *ability) slow() float64 { return max(slowest, 0.3*a.speed) }

// relay is how far from the planned start a leg may begin without being laid anew.
const (
	relayAt    = 0.004 // m
	relayAngle = 0.01  // rad
)

func (l *curveLeg) begin(now *reading) {
	l.node, l.t = 0, 0
	if l.lay != nil {
		l.relay(now)
	}
	if l.a.jump {
		l.t = l.curve.seconds()
	}
}

// relay lays the curve anew where it does not begin where the robot is.
func (l *curveLeg) relay(now *reading) {
	from, start := l.travel(now), l.curve.start()
	off := portable.Hypot(from.X-start.X, from.Y-start.Y)
	if off > relayAt || math.Abs(geom.WrapAngle(from.Heading-start.Heading)) > relayAngle {
		l.lay(&l.curve, from)
		l.plan(l.forward(now))
	}
}

// travel is the robot's pose with the direction of travel for its heading.
func (l *curveLeg) travel(now *reading) geom.Pose { return travelling(now.pose(), l.reverse) }

// travelling turns a pose by half a turn for a robot that drives backwards.
func travelling(p geom.Pose, reverse bool) geom.Pose {
	if reverse {
		p.Heading += math.Pi
	}
	return p
}

// leadOf is how far a pivot is before the robot's point in the direction of travel, m.
func leadOf(pivot float64, reverse bool) float64 {
	if reverse {
		return -pivot
	}
	return pivot
}

// forward is the speed in the direction of travel.
func (l *curveLeg) forward(now *reading) float64 {
	if l.reverse {
		return -now.along
	}
	return now.along
}

func (l *curveLeg) step(now *reading) (setpoint, progress) {
	ref, node := l.curve.reference(l.t, l.node)
	l.node = node
	total := l.curve.seconds()
	if past := l.t - total; past > 0 && l.exit > 0 { // goes on straight until the robot has passed the end
		ref.at.X += float64(past * l.exit * portable.Cos(ref.heading))
		ref.at.Y += float64(past * l.exit * portable.Sin(ref.heading))
	}
	pose := l.travel(now)
	seen := pose.ToLocal(ref.at)
	e := newTrackingError(seen.X, seen.Y, geom.WrapAngle(ref.heading-pose.Heading))
	pace := l.pace(e)
	s := l.follow(ref, e, pace, now)

	p := l.left(pose)
	p.over, p.near = l.t >= total, l.t >= total-endZone
	p.want = l.wanted(ref, pace)
	if !p.near {
		p.overshoots = 0 // a curve may cross its end's line before
	}
	l.t += float64(now.dt * pace)
	return s, p
}

// wanted is the reference as the robot has it, whose heading is not that of travel where it drives backwards.
func (l *curveLeg) wanted(ref reference, pace float64) wanted {
	w := wanted{
		travelling(geom.Pose{X: ref.at.X, Y: ref.at.Y, Heading: ref.heading}, l.reverse),
		setpoint{ref.speed * pace, ref.accel * pace, ref.turn * pace, ref.turnAccel * pace}, 0, 0,
	}
	if l.reverse {
		w.speed, w.accel = -w.speed, -w.accel
	}
	return w
}

// pace is how fast the plan's time runs at a tracking error.
func (l *curveLeg) pace(e trackingError) float64 {
	pace := hold(e.x, alongSlack, alongStop)
	pace = min(pace, hold(math.Abs(e.heading), headingSlack, headingStop))
	return min(pace, max(acrossLeast, hold(math.Abs(e.y), acrossSlack, acrossStop)))
}

// follow is the tracking law with the plan's accelerations as feedforward.
func (l *curveLeg) follow(ref reference, e trackingError, pace float64, now *reading) setpoint {
	g := l.a.gains
	vr, wr := float64(ref.speed*pace), float64(ref.turn*pace)
	k := scheduled(g, vr, l.slow)
	most := catchUp * l.a.speed
	if l.a.jump {
		most = l.a.speed
	}
	ahead, aside := most/k.kx, steepest*k.kHeading/k.ky
	e.x, e.y = geom.Clamp(e.x, -ahead, ahead), geom.Clamp(e.y, -aside, aside)
	v, w := track(vr, wr, e, k)
	// the share that the law loses towards rest
	w += float64((g.HeadingP - float64(k.kHeading*vr)) * e.sin)
	w += float64(g.HeadingD * (wr - now.turn))
	limit := l.a.topTurnRate()
	s := setpoint{v, ref.accel * pace, geom.Clamp(w, -limit, limit), ref.turnAccel * pace}
	if l.reverse {
		s.speed, s.accel = -s.speed, -s.accel
	}
	return s
}

// left measures the end as seen from the robot, along the direction of travel at the end.
func (l *curveLeg) left(pose geom.Pose) progress {
	along := float64(l.cos*(l.end.X-pose.X)) + float64(l.sin*(l.end.Y-pose.Y))
	return progress{along: along, angle: geom.WrapAngle(l.end.Heading - pose.Heading), overshoots: max(0, -along)}
}

func (l *curveLeg) seconds() float64 { return l.curve.seconds() }
func (l *curveLeg) turns() bool      { return false }

// outlineSpacing is the distance between points of an outline, m: what a picture needs.
const outlineSpacing = 0.03

func (l *curveLeg) outline(row []geom.Vec) []geom.Vec {
	lead, next := leadOf(l.a.Pivot, l.reverse), 0.0
	last := len(l.curve.nodes) - 1
	for i, n := range l.curve.nodes {
		if n.s >= next || i == last {
			row = append(row, geom.Pose{X: n.at.X, Y: n.at.Y, Heading: n.heading}.ToWorld(geom.Vec{X: -lead}))
			next = n.s + max(outlineSpacing, l.curve.length()/500)
		}
	}
	return row
}
