// Package power is what drives a robot: motors on their straight torque-speed line, the battery that they share, their
// heat; and the cylinders with the reservoir of air that they share.
//
// SI units: V, A, N m, rad/s, C; Pa (gauge, unless named absolute), m^3.
package power

import (
	"math"

	"chalkfield/sim/robot"
)

// Line is a group of equal motors behind one gear, seen at the gear's output: the equivalent circuit of a
// permanent-magnet motor with its constant friction (Hughes & Drury, Electric Motors and Drives, ch. 3; from memory).
//
//	V = R I + Ke w,   torque = Efficiency Yield (Ke I - Ke FreeAmps sign(w))
//
// In SI units the torque per ampere and the voltage per rad/s are one constant, so that no motor gives more than it
// takes: its efficiency is at most (1 - sqrt(I0/Is))^2. Yield is 1 but for a file's motor whose torque is less than its
// currents allow.
//
// At 0 V the controller shorts the motor, and its back-EMF brakes; or, when Coasts is set, it opens the circuit.
type Line struct {
	R          float64 // ohm of all motors
	Ke         float64 // V s/rad = N m/A of all motors' current, before losses
	FreeAmps   float64 // A of all motors: overcomes their own friction
	Stall      float64 // N m of all motors at Nominal, before losses of the gear
	Free       float64 // rad/s at Nominal
	Nominal    float64 // V
	StallAmps  float64 // A of all motors
	Limit      float64 // A of all motors; +Inf: none
	Efficiency float64 // of the gear
	Yield      float64 // 0..1: torque that the motors give when they drive, of what their current makes
	Inertia    float64 // kg m^2: the rotors, reflected through the gear
	Coasts     bool    // at 0 V the circuit is open
	still      float64 // rad/s: below which it counts as at rest
	heat       Heat
	last       piece
}

// piece is the push that was last worked out, and what it hangs on: a motor stays on it for many steps.
type piece struct {
	volts, limit float64
	coasts       bool
	push         Push
}

// standing is the speed of the output, in rad/s and as a share of its free speed, below which one that turns against
// its motors counts as at rest: a stalled one trembles.
const (
	standing      = 0.02
	standingShare = 0.01
)

// Push is a line near a speed: its torque is Steady - Slope w, less a friction of at most Drag that opposes the motion,
// or holds. A solver may so take the slope (the back-EMF's damping) implicitly and the friction as a constraint.
type Push struct {
	Steady float64 // N m
	Slope  float64 // N m s/rad; 0 at the current limit
	Drag   float64 // N m
	Loss   float64 // share of the motor's torque that reaches the output: above 1 where the output drives the motor

	// Held is what friction has beyond Drag once the output turns the other way than it was taken to, in the direction in
	// which it pushes, N m: a lossy gear resists more than it gives.
	Held float64

	From, To float64 // rad/s: between which the line is straight
}

// Geared makes the line of count motors m that turn gear times per turn of the output.
func Geared(m robot.Motor, count int, gear, efficiency float64) Line {
	n := float64(count)
	limit := math.Inf(1)
	if m.Limit > 0 {
		limit = n * m.Limit
	}
	ke := m.VoltsPerSpeed()
	return Line{
		R: m.Nominal / (n * m.StallCurrent), Ke: ke * gear, FreeAmps: n * m.FreeCurrent,
		Stall: n * m.StallTorque * gear, Free: m.FreeSpeed / gear, Nominal: m.Nominal, StallAmps: n * m.StallCurrent,
		Limit: limit, Efficiency: efficiency, Yield: min(1, m.TorquePerAmp()/ke), Inertia: n * m.Inertia * gear * gear,
		still: min(standing, standingShare*m.FreeSpeed/gear), heat: newHeat(m, n, limit),
	}
}

// Scaled is the line of motors that are stronger by a factor at the same speeds: torque and currents grow alike.
func (l Line) Scaled(strength float64) Line {
	l.R /= strength
	l.FreeAmps *= strength
	l.Stall *= strength
	l.StallAmps *= strength
	return l
}

// at is the voltage across the motors and the current through them where the controller gives a voltage, at a speed of
// the output: at the current limit only what drives that current, on an open circuit what the motors make.
func (l *Line) at(volts, speed float64) (across, amps float64) {
	made := float64(l.Ke * speed)
	if volts == 0 && l.Coasts {
		return made, 0
	}
	amps = (volts - made) / l.R
	if math.Abs(amps) > l.Limit {
		amps = math.Copysign(l.Limit, amps)
		return float64(amps*l.R) + made, amps
	}
	return volts, amps
}

// Amps is the current through the motors at a voltage across them and a speed of the output, within the limit.
func (l *Line) Amps(volts, speed float64) float64 {
	_, amps := l.at(volts, speed)
	return amps
}

// Across is the voltage at the motors: the controller's, or at the current limit what drives that current, or what an
// open circuit has.
func (l *Line) Across(volts, speed float64) float64 {
	across, _ := l.at(volts, speed)
	return across
}

// Drive is the line near a speed. Losses oppose the flow of power, so a gear that is driven backwards brakes harder
// than the motor alone. What it returns is valid until the next call.
func (l *Line) Drive(volts, speed float64) *Push {
	if speed*volts < 0 && math.Abs(speed) < l.still {
		speed = 0
	}
	if q := &l.last; q.volts == volts && q.limit == l.Limit && q.coasts == l.Coasts && speed > q.push.From &&
		speed < q.push.To {
		return &q.push
	}
	l.last = piece{volts, l.Limit, l.Coasts, l.pieceAt(volts, speed)}
	return &l.last.push
}

func (l *Line) pieceAt(volts, speed float64) Push {
	p, amps := l.current(volts, speed)
	forwards, backwards := float64(l.Efficiency*l.Yield), 1/l.Efficiency
	stalled := l.stalled(volts)
	way := math.Copysign(1, volts)                             // in which it can drive
	free := (math.Abs(volts) - float64(l.R*l.FreeAmps)) / l.Ke // where it would run free of all else
	switch {
	case stalled <= l.FreeAmps: // it cannot
		p.Loss = backwards
	case speed*way < 0:
		p.Loss = backwards
		p.Held = float64(-way * (backwards - forwards) * l.Ke * (stalled - l.FreeAmps))
		p.bound(way, math.Inf(-1), 0)
	case speed*way > free:
		p.Loss = backwards
		p.bound(way, free, math.Inf(1))
	default:
		p.Loss = forwards
		p.Held = float64(way * (backwards - forwards) * l.Ke * (stalled + l.FreeAmps))
		p.bound(way, 0, free)
	}
	p.Steady, p.Slope, p.Drag = l.Ke*amps*p.Loss, p.Slope*p.Loss, l.Ke*l.FreeAmps*p.Loss
	return p
}

// current is the piece of the line by its current: the slope of its torque before the gear (N m s/rad), where it goes
// from and to, and the current at 0 rad/s of its straight line.
func (l *Line) current(volts, speed float64) (p Push, amps float64) {
	perVolt := 1 / l.Ke
	low, high := (volts-float64(l.R*l.Limit))*perVolt, (volts+float64(l.R*l.Limit))*perVolt
	switch {
	case volts == 0 && l.Coasts:
		return Push{From: math.Inf(-1), To: math.Inf(1)}, 0
	case speed < low:
		return Push{From: math.Inf(-1), To: low}, l.Limit
	case speed > high:
		return Push{From: high, To: math.Inf(1)}, -l.Limit
	}
	perOhm := 1 / l.R
	return Push{Slope: l.Ke * l.Ke * perOhm, From: low, To: high}, volts * perOhm
}

// stalled is the size of the current at 0 rad/s, A.
func (l *Line) stalled(volts float64) float64 {
	return min(l.Limit, math.Abs(volts/l.R))
}

// bound narrows where the piece goes from and to, given as speeds in the way that the motor can drive.
func (p *Push) bound(way, from, to float64) {
	if way < 0 {
		from, to = -to, -from
	}
	p.From, p.To = max(p.From, from), min(p.To, to)
}

// Ahead takes an inertia (kg m^2) at the output from a speed on by dt seconds, against a friction (N m) and the motors'
// own, which stop it but never reverse it, and with an impulse of others (N m s). It returns the line near the speed
// where that ends, next: the piece of the step's start may be left in the step, and would make a light output
// overshoot.
//
// The slope is taken implicitly, so that no inertia, however small, makes the step unstable: (J + B dt) w' = J w + T
// dt.
func (l *Line) Ahead(volts, speed, inertia, others, friction, dt float64) (p *Push, next float64) {
	p = l.Drive(volts, speed)
	for range Pieces {
		lag := 1 / (inertia + float64(p.Slope*dt))
		free := (float64(inertia*speed) + float64(p.Steady*dt) + others) * lag
		most := friction + p.Drag
		if p.Held*free < 0 {
			most += math.Abs(p.Held)
		}
		next = math.Copysign(max(0, math.Abs(free)-float64(most*dt*lag)), free)
		if l.Holds(p, next) {
			break
		}
		p = l.Beside(p, volts, next)
	}
	return p, next
}

// Pieces is how many pieces the line has at most on the way from one speed to another.
const Pieces = 6

// Holds tells whether a speed is on the line's piece p.
func (l *Line) Holds(p *Push, speed float64) bool {
	return speed >= p.From-l.margin(p.From) && speed <= p.To+l.margin(p.To)
}

// margin is how far beyond an edge a piece still holds: about rest no way is told from the other.
func (l *Line) margin(edge float64) float64 {
	if edge == 0 {
		return l.still
	}
	return 1e-6 * math.Abs(edge)
}

// Beside is the piece next to one, on the side of a speed that is not on it.
func (l *Line) Beside(p *Push, volts, speed float64) *Push {
	edge, way := p.To, 1.0
	if speed < p.From {
		edge, way = p.From, -1
	}
	return l.Drive(volts, edge+float64(way*l.margin(edge)))
}

// FromBattery is the current that the controller takes from the battery for the motors' current: it is a lossless
// chopper, so power is the same on both sides (volts x amps = terminal x result). Power that comes back in braking is
// turned to heat and not charged.
func FromBattery(volts, amps, terminal float64) float64 {
	if terminal <= 0 {
		return 0
	}
	return max(0, volts*amps/terminal)
}

// Flow is where the electrical energy of a step went, in J: In = Heat + Gears + Out.
type Flow struct {
	In    float64 // from the controller; what comes back in braking is not charged
	Heat  float64 // in the windings and the motors' friction, and what came back
	Gears float64 // lost in the gears
	Out   float64 // to the output; below 0 where it was driven
}

// Flow books dt seconds under a push, at the speed of the output at which the solver took the current (rad/s), where
// friction took rubbed of the push's Drag and held of its Held (J, at the output).
func (l *Line) Flow(p *Push, at, rubbed, held, dt float64) Flow {
	amps := (p.Steady - float64(p.Slope*at)) / (p.Loss * l.Ke)
	l.heat.squares += float64(amps * amps * dt)
	shaft := float64(l.Ke * amps * at * dt)
	rotor := shaft - float64(rubbed/p.Loss) // what leaves the motors
	f := Flow{
		In:  max(0, float64(l.R*amps*amps*dt)+shaft),
		Out: float64(p.Loss*rotor) - held,
	}
	f.Heat = f.In - rotor
	f.Gears = rotor - f.Out
	return f
}

// Split tells what of the work of a friction (J) at a speed over dt seconds was the push's Drag, which it shares with
// another of friction N m, and what its Held.
func (p *Push) Split(work, at, friction, dt float64) (rubbed, held float64) {
	most := float64((p.Drag + friction) * math.Abs(at) * dt)
	if p.Held*at < 0 && work > most {
		held = work - most
	}
	if p.Drag > 0 {
		rubbed = (work - held) * p.Drag / (p.Drag + friction)
	}
	return rubbed, held
}
