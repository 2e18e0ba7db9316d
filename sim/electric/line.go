// Package electric holds the motor's straight torque-speed line and the battery that every load shares.
//
// SI units: V, A, N m, rad/s, C.
package electric

import (
	"math"

	"chalkfield/sim/robot"
)

// Line is a group of equal motors behind one gear, seen at the gear's output: the equivalent circuit of a
// permanent-magnet motor with its constant friction (Hughes & Drury, Electric Motors and Drives, ch. 3; from memory).
//
//	V = R I + Ke w,   torque = Efficiency Yield (Ke I - Ke FreeAmps sign(w))
//
// In SI units the torque per ampere and the voltage per rad/s are one constant, so that no motor gives more than it takes:
// its efficiency is at most (1 - sqrt(I0/Is))^2. Yield is 1 but for a file's motor whose torque is less than its currents
// allow.
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
	heat       Heat
}

// standing is the speed of the output, in rad/s, below which a motor that takes power drives it, whichever way it just
// trembles: else the torque of a stalled motor would leap between what a gear passes forwards and what it withstands.
const standing = 0.02

// Push is a line near a speed: its torque is Steady - Slope w, less a friction of at most Drag that opposes the motion,
// or holds. A solver may so take the slope (the back-EMF's damping) implicitly and the friction as a constraint.
type Push struct {
	Steady float64 // N m
	Slope  float64 // N m s/rad; 0 at the current limit
	Drag   float64 // N m
	Loss   float64 // share of the motor's torque that reaches the output: above 1 where the output drives the motor
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
		Limit: limit, Efficiency: efficiency, Yield: math.Min(1, m.TorquePerAmp()/ke), Inertia: n * m.Inertia * gear * gear,
		heat: newHeat(m, n, limit),
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

// wanted is the current that a voltage would drive without a limit, A.
func (l *Line) wanted(volts, speed float64) float64 {
	if volts == 0 && l.Coasts {
		return 0
	}
	return (volts - float64(l.Ke*speed)) / l.R
}

// Amps is the current through the motors at a voltage across them and a speed of the output, within the limit.
func (l *Line) Amps(volts, speed float64) float64 {
	return max(-l.Limit, min(l.Limit, l.wanted(volts, speed)))
}

// Drive is the line near a speed. Losses oppose the flow of power, so a gear that is driven backwards brakes harder than
// the motor alone.
func (l *Line) Drive(volts, speed float64) Push {
	amps := l.wanted(volts, speed)
	p := Push{Loss: l.Efficiency * l.Yield}
	switch {
	case volts == 0 && l.Coasts:
	case math.Abs(amps) <= l.Limit:
		p.Steady, p.Slope = l.Ke*volts/l.R, l.Ke*l.Ke/l.R
	default:
		amps = math.Copysign(l.Limit, amps)
		p.Steady = l.Ke * amps
	}
	driven := amps*speed < 0 || amps*amps < l.FreeAmps*l.FreeAmps && speed != 0
	if stalled := math.Abs(speed) < standing && amps*(float64(l.R*amps)+float64(l.Ke*speed)) > 0; driven && !stalled {
		p.Loss = 1 / l.Efficiency
	}
	p.Steady *= p.Loss
	p.Slope *= p.Loss
	p.Drag = l.Ke * l.FreeAmps * p.Loss
	return p
}

// Across is the voltage at the motors: the controller's, or at the current limit what drives that current, or what an open
// circuit has.
func (l *Line) Across(volts, speed float64) float64 {
	if volts == 0 && l.Coasts {
		return l.Ke * speed
	}
	if amps := l.wanted(volts, speed); math.Abs(amps) > l.Limit {
		return float64(math.Copysign(l.Limit, amps)*l.R) + float64(l.Ke*speed)
	}
	return volts
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

// Flow books dt seconds under a push, at the speed of the output at which the solver took the current (rad/s), where of the
// push's Drag the motors' friction took rubbed (J, at the output).
func (l *Line) Flow(p Push, at, rubbed, dt float64) Flow {
	amps := (p.Steady - float64(p.Slope*at)) / (p.Loss * l.Ke)
	l.heat.squares += float64(amps * amps * dt)
	shaft := float64(l.Ke * amps * at * dt)
	rotor := shaft - float64(rubbed/p.Loss) // what leaves the motors
	f := Flow{
		In:  max(0, float64(l.R*amps*amps*dt)+shaft),
		Out: float64(p.Loss * rotor),
	}
	f.Heat = f.In - rotor
	f.Gears = rotor - f.Out
	return f
}
