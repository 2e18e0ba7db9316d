package motion

import (
	"math"

	"chalkfield/internal/base/geom"
)

// rateLead is how far the held heading may run ahead of the robot, rad.
const rateLead = 0.15

// rateLeg holds a speed and a turning rate: slewed setpoints, and the heading that follows from the turning rate.
type rateLeg struct {
	a           *ability
	along, turn float64 // wanted, m/s, rad/s
	speed, rate Slew
	heading     float64 // rad: the turning rate's integral
}

func (l *rateLeg) begin(now *reading) {
	l.speed = Slew{now.along, l.a.accel, l.a.accel}
	l.rate = Slew{now.turn, l.a.turnAccel, l.a.turnAccel}
	l.heading = now.heading
}

func (l *rateLeg) step(now *reading) (setpoint, progress) {
	top := l.a.topSpeed(0)
	limit := l.a.topTurnRate()
	v0, w0 := l.speed.Value(), l.rate.Value()
	v := l.speed.Update(geom.Clamp(l.along, -top, top), now.dt)
	w := l.rate.Update(geom.Clamp(l.turn, -limit, limit), now.dt)
	l.heading = now.heading + geom.Clamp(l.heading-now.heading, -rateLead, rateLead)
	s := setpoint{speed: v, accel: (v - v0) / now.dt, turnAccel: (w - w0) / now.dt}
	g := l.a.gains
	s.turn = w + float64(g.HeadingP*(l.heading-now.heading)) + float64(g.HeadingD*(w-now.turn))
	want := wanted{geom.Pose{X: now.at.X, Y: now.at.Y, Heading: l.heading}, setpoint{v, s.accel, w, s.turnAccel}, 0, 0}
	l.heading += float64(w * now.dt)
	return s, progress{want: want}
}

func (l *rateLeg) seconds() float64                  { return 0 }
func (l *rateLeg) turns() bool                       { return math.Abs(l.along) < 1e-9 && l.turn != 0 }
func (l *rateLeg) outline(row []geom.Vec) []geom.Vec { return row }
