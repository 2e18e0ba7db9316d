package motion

import (
	"math"

	"chalkfield/internal/base/geom"
)

// How far a turn's plan may be ahead of the robot, rad.
const (
	turnSlack = 0.10
	turnStop  = 0.45
)

// turnLeg turns on the spot along a trapezoid of turning rate.
type turnLeg struct {
	a       *ability
	target  float64 // rad
	way     Way
	profile Profile
	origin  float64 // rad: heading at begin, continuous
	delta   float64 // rad: planned turn
	t       float64 // s, the plan's own time
	rolling float64 // m/s: speed left from before, braked away
}

// newTurn plans a turn of a robot that will then stand, or move, as given.
func newTurn(a *ability, from *reading, target float64, way Way) *turnLeg {
	l := &turnLeg{a: a, target: target, way: way}
	l.begin(from)
	return l
}

func (l *turnLeg) begin(now *reading) {
	l.origin, l.t, l.rolling = now.heading, 0, now.along
	l.delta = turnBetween(now.heading, l.target, l.way)
	start := math.Copysign(1, l.delta) * now.turn
	if start > 0 {
		start = approach(start, l.delta, l.a.turnAccel)
	}
	limits := Limits{Speed: l.a.turnRate, Accel: l.a.turnAccel}
	var err error
	if l.profile, err = NewProfile(l.delta, math.Copysign(1, l.delta)*start, 0, limits); err != nil {
		l.profile, _ = NewProfile(l.delta, 0, 0, limits) // from rest every distance can be planned
	}
	if l.a.jump {
		l.t = l.profile.Seconds()
	}
}

// fullTurnMargin is how far past the target a robot may stand for a given way not to mean a full turn, rad.
const fullTurnMargin = 2 * math.Pi / 180

// turnBetween is the signed turn from a heading to a heading in the given way.
func turnBetween(from, to float64, way Way) float64 {
	d := geom.WrapAngle(to - from)
	switch {
	case way == CounterClockwise && d < -fullTurnMargin:
		d += 2 * math.Pi
	case way == Clockwise && d > fullTurnMargin:
		d -= 2 * math.Pi
	}
	return d
}

func (l *turnLeg) step(now *reading) (setpoint, progress) {
	place, rate, accel := l.profile.At(l.t)
	behind := l.origin + place - now.heading
	left := l.origin + l.delta - now.heading
	pace := hold(behind*math.Copysign(1, l.delta), turnSlack, turnStop)
	rate, accel = float64(rate*pace), float64(accel*pace)

	brake := geom.Clamp(l.rolling/now.dt, -l.a.accel, l.a.accel)
	l.rolling -= float64(brake * now.dt)
	g := l.a.gains
	limit := l.a.topTurnRate()
	if l.a.jump {
		limit = l.a.turnRate
	}
	s := setpoint{speed: l.rolling, accel: -brake, turnAccel: accel}
	s.turn = geom.Clamp(rate+float64(g.HeadingP*behind)+float64(g.HeadingD*(rate-now.turn)), -limit, limit)
	p := progress{
		over: l.t >= l.profile.Seconds(), near: l.t >= l.profile.Seconds()-endZone,
		angle: left, overshoots: max(0, -left*math.Copysign(1, l.delta)),
		want: wanted{geom.Pose{X: now.at.X, Y: now.at.Y, Heading: l.origin + place},
			setpoint{turn: rate, turnAccel: accel}, l.rolling, -brake},
	}
	l.t += float64(now.dt * pace)
	return s, p
}

func (l *turnLeg) seconds() float64                  { return l.profile.Seconds() }
func (l *turnLeg) turns() bool                       { return true }
func (l *turnLeg) outline(row []geom.Vec) []geom.Vec { return row }
