package sim

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

const (
	// A lift that pushes with more than hard of its stall current, or of its limit, and moves less than a slow of its free
	// speed for stallTime (s) is stalled.
	hard      = 0.6
	slow      = 0.02
	stallTime = 0.25
)

// lift is an arm or an elevator in one coordinate q: the arm's angle from level (rad) or the carriage's height (m).
// Efforts are torques for an arm, forces for an elevator.
type lift struct {
	robot   *Robot
	name    string
	spec    *robot.Lift
	line    power.Line
	per     float64                      // rad of the output per unit of q
	inertia float64                      // kg m^2 or kg: everything that moves
	weight  float64                      // N m at level, or N
	lever   struct{ angle, cos float64 } // of an arm, kept while it holds still

	at, speed float64     // q and its rate
	volts     float64     // wanted
	late      *controller // nil: the motors have it at once
	applied   float64
	through   float64 // A in the motors
	resting   bool    // without volts it stayed where it was, and will

	closed   bool
	target   float64
	sum      float64 // V: of the integral term
	before   float64 // sensed at the tick before
	since    float64 // s: pushing hard without moving
	stalled  bool
	reported bool
}

func newLift(r *Robot, p robot.Part) mechanism {
	s := p.Lift
	l := &lift{robot: r, name: p.Name, spec: s, at: s.Start, per: 1}
	l.lever.cos = 1
	l.line = power.Geared(r.Spec.Motors[s.Motor], s.Count, s.Gear, s.Efficiency)
	l.line.Coasts = s.Coasts
	l.weight = s.Load * Gravity * s.Arm
	l.inertia = s.Inertia + l.line.Inertia + float64(s.Load*s.Arm*s.Arm)
	if s.Elevator {
		l.per = 1 / s.Radius
		l.weight = s.Load * Gravity
		l.inertia = s.Load + (s.Inertia+l.line.Inertia)/(s.Radius*s.Radius)
	}
	l.before = l.sensed()
	l.late = newController(robot.Drive{Latency: s.Latency})
	return l
}

// gravity pulls down with m g l cos(angle) on an arm, m g on an elevator (statics); the spring helps up.
func (l *lift) gravity() float64 {
	if l.spec.Elevator {
		return l.weight - l.spec.Spring
	}
	if l.at != l.lever.angle {
		l.lever.angle, l.lever.cos = l.at, portable.Cos(l.at)
	}
	return float64(l.weight*l.lever.cos) - l.spec.Spring
}

// shortStep is the longest step of a lift by itself, s. Its place goes on with the speed at a step's end, half a step
// ahead: in a stride that would be half of the dead time that a loop of a control tick has, and the loop would bear
// twice the gain.
const shortStep = 0.001

// step moves the lift on by dt seconds in short steps.
func (l *lift) step(dt float64) {
	if l.resting && l.volts == 0 {
		return
	}
	steps := math.Ceil(dt/shortStep - 1e-9)
	for range int(steps) {
		l.move(dt / steps)
	}
}

// move integrates M q” = motor - gravity + spring - friction, the motor's slope implicitly, Coulomb friction not past
// standstill, and inelastic end stops.
func (l *lift) move(dt float64) {
	before, began := l.at, l.speed
	terminal := l.robot.battery.Terminal()
	volts := l.volts
	if l.late != nil {
		mean, _ := l.late.give([2]float64{volts, volts}, terminal, dt)
		volts = mean[0]
	}
	l.applied = geom.Clamp(volts, -terminal, terminal)
	gravity := l.gravity()
	push, next := l.line.Ahead(l.applied, began*l.per, l.inertia/(l.per*l.per), -gravity*dt/l.per,
		l.spec.Friction/l.per, dt)
	l.speed = next / l.per
	l.book(push, began, gravity, dt)
	l.at += float64(l.speed * dt)
	if l.at <= l.spec.Low && l.speed < 0 || l.at >= l.spec.High && l.speed > 0 {
		l.at, l.speed = geom.Clamp(l.at, l.spec.Low, l.spec.High), 0
	}
	l.through = l.line.Amps(l.applied, l.speed*l.per)
	l.resting = l.volts == 0 && volts == 0 && l.speed == 0 && l.at == before && (l.late == nil || len(l.late.onWay) == 0)
}

// book puts a step's energy in the ledger, before an end stop takes the speed away.
func (l *lift) book(push *power.Push, began, gravity, dt float64) {
	at := l.speed * l.per
	rubbed := float64((float64((push.Steady-float64(push.Slope*at))*l.per)-gravity)*dt) -
		float64(l.inertia*(l.speed-began))
	rubbed, held := push.Split(float64(rubbed*l.speed), at, l.spec.Friction/l.per, dt)
	l.robot.ledger.part(l.line.Flow(push, at, rubbed, held, dt), l.inertia, l.speed-began)
}

func (l *lift) load() power.Load {
	return power.Load{Line: &l.line, Want: l.volts, Speed: l.speed * l.per}
}

// sensed is the position as its rotation sensor, on the motor's side of the play, gives it.
func (l *lift) sensed() float64 {
	if l.spec.Sensor == 0 {
		return l.at
	}
	return math.Round(l.at/l.spec.Sensor) * l.spec.Sensor
}

// carriage is where the load itself is: it hangs at the side of the play to which its weight, less the spring, pulls
// it.
func (l *lift) carriage() float64 {
	switch g := l.gravity(); {
	case g > 0:
		return l.at - float64(l.spec.Slack/2)
	case g < 0:
		return l.at + float64(l.spec.Slack/2)
	}
	return l.at
}

// tick closes the loop: volts = P e + I sum(e) + D de/dt + Hold. The integral stops at the battery's voltage.
func (l *lift) tick() {
	sensed := l.sensed()
	if l.closed {
		g, e := l.spec.Gains, l.target-sensed
		limit := l.robot.battery.Open()
		l.sum = geom.Clamp(l.sum+float64(g.I*e*ControlTick), -limit, limit)
		l.volts = float64(g.P*e) + l.sum - g.D*(sensed-l.before)/ControlTick + g.Hold
	}
	l.before = sensed
	l.watch()
}

// watch finds out whether the motor is stalled.
func (l *lift) watch() {
	if math.Abs(l.through) < hard*min(l.line.StallAmps, l.line.Limit) || math.Abs(l.speed*l.per) > slow*l.line.Free {
		l.since, l.stalled, l.reported = 0, false, false
		return
	}
	l.since += ControlTick
	l.stalled = l.since >= stallTime
	if l.stalled && !l.reported {
		l.reported = true
		l.robot.happen(record.Event{Kind: record.Stalled, What: l.name}, nil)
	}
}

func (l *lift) do(c robot.Command) {
	switch c.Verb {
	case robot.Volts:
		l.closed, l.volts = false, c.Value
	case robot.Hold:
		l.aim(l.sensed())
	case robot.Target:
		l.aim(geom.Clamp(c.Value, l.spec.Low, l.spec.High))
	}
}

func (l *lift) aim(target float64) {
	if !l.closed || l.target != target {
		l.sum = 0
	}
	l.closed, l.target = true, target
}

// serves tells whether what rides on the lift stands at a goal's named height. A goal without one is served from where
// the lift starts. Without a lift (nil) only such goals are.
func (l *lift) serves(height string) bool {
	if l == nil {
		return height == ""
	}
	want := l.spec.Start
	if height != "" {
		i := l.height(height)
		if i < 0 {
			return false
		}
		want = l.spec.Heights[i].At
	}
	const tiny = 1e-9
	return math.Abs(l.carriage()-want) <= l.spec.Within+float64(l.spec.Slack/2)+tiny
}

func (l *lift) height(name string) int {
	for i, h := range l.spec.Heights {
		if h.Name == name {
			return i
		}
	}
	return -1
}

func (l *lift) look() robot.Status {
	s := robot.Status{Value: l.sensed(), Target: l.target, Volts: l.applied, Amps: l.through, Heat: l.line.Heat(),
		Stalled: l.stalled}
	s.Moving = l.closed && math.Abs(s.Value-l.target) > l.spec.Within
	return s
}

func (l *lift) sample() record.PartSample {
	return record.PartSample{Volts: record.Round(l.applied), Value: record.Round(l.at), Body: -1}
}

func (l *lift) repeat(s record.PartSample) { l.aim(geom.Clamp(s.Value, l.spec.Low, l.spec.High)) }
