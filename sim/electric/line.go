// Package electric holds the motor's straight torque-speed line and the battery that every load shares.
//
// SI units: V, A, N m, rad/s, C.
package electric

import (
	"math"

	"chalkfield/sim/robotfile"
)

// Line is a group of equal motors behind one gear, seen at the gear's output.
//
// Torque = Stall (V/Nominal - w/Free), the straight line of a permanent-magnet motor (Lynch & Park, Modern Robotics,
// 2017, 8.9; from memory). Current = (StallAmps - FreeAmps) Torque/Stall + FreeAmps V/Nominal: the same line written so
// that it is the stall current at a stall and the free current at the free speed for every voltage, and nothing at rest
// without voltage. The free current is so taken as a loss that grows with the voltage.
//
// At 0 V the controller shorts the motor: its back-EMF brakes. That is what a commanded zero means here.
type Line struct {
	Stall      float64 // N m of all motors at Nominal, before losses of the gear
	Free       float64 // rad/s at Nominal
	Nominal    float64 // V
	StallAmps  float64 // A of all motors
	FreeAmps   float64 // A of all motors
	Limit      float64 // A of all motors; +Inf: none
	Efficiency float64 // of the gear
	Inertia    float64 // kg m^2: the rotors, reflected through the gear
}

// Geared makes the line of count motors m that turn gear times per turn of the output.
func Geared(m robotfile.Motor, count int, gear, efficiency float64) Line {
	n := float64(count)
	limit := math.Inf(1)
	if m.Limit > 0 {
		limit = n * m.Limit
	}
	return Line{
		Stall: n * m.StallTorque * gear, Free: m.FreeSpeed / gear, Nominal: m.Nominal,
		StallAmps: n * m.StallCurrent, FreeAmps: n * m.FreeCurrent, Limit: limit,
		Efficiency: efficiency, Inertia: n * m.Inertia * gear * gear,
	}
}

// Scaled is the line of motors that are stronger by a factor: stall torque and stall current grow alike.
func (l Line) Scaled(strength float64) Line {
	l.Stall *= strength
	l.StallAmps *= strength
	return l
}

// Amps is the current through the motors at a voltage across them and a speed of the output, within the limit.
func (l *Line) Amps(volts, speed float64) float64 {
	amps := l.StallAmps*volts/l.Nominal - (l.StallAmps-l.FreeAmps)*speed/l.Free
	return max(-l.Limit, min(l.Limit, amps))
}

// Torque is what reaches the output: the motors' torque at that current, less the gear's losses. Losses oppose the flow
// of power, so a gear that is driven backwards brakes harder than the motor alone.
func (l *Line) Torque(volts, speed float64) float64 {
	steady, slope := l.Drive(volts, speed)
	return steady - float64(slope*speed)
}

// Drive splits the torque near a speed into steady - slope x speed, so that a solver may take the slope (the back-EMF's
// damping) implicitly. At the current limit the torque does not depend on the speed and the slope is 0.
func (l *Line) Drive(volts, speed float64) (steady, slope float64) {
	amps := l.StallAmps*volts/l.Nominal - (l.StallAmps-l.FreeAmps)*speed/l.Free
	switch {
	case math.Abs(amps) <= l.Limit:
		steady, slope = l.Stall*volts/l.Nominal, l.Stall/l.Free
	default:
		held := math.Copysign(l.Limit, amps)
		steady = l.Stall * (held - l.FreeAmps*volts/l.Nominal) / (l.StallAmps - l.FreeAmps)
	}
	loss := l.Efficiency
	if (steady-float64(slope*speed))*speed < 0 {
		loss = 1 / l.Efficiency
	}
	return steady * loss, slope * loss
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
