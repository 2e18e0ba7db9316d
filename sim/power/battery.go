package power

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Battery is an ideal source behind a resistance: terminal = open - R x current (Ohm's law). With a capacity, the open
// voltage falls in a straight line from full to empty as charge is taken.
type Battery struct {
	full, empty float64 // V, open circuit
	resistance  float64 // ohm
	capacity    float64 // C; 0: does not run down
	used        float64 // C
	terminal    float64 // V, of the last Settle
}

// Load is a motor group that wants a voltage at a speed. The controller gives it no more than the terminal voltage.
type Load struct {
	Line  *Line
	Want  float64 // V
	Speed float64 // rad/s
}

// NewBattery is the battery at the start, its open voltage moved by extra volts.
func NewBattery(b robot.Battery, extra float64) Battery {
	return Battery{full: b.Open + extra, empty: b.Empty, resistance: b.Resistance, capacity: b.Capacity,
		terminal: b.Open + extra}
}

// Open is the open-circuit voltage now.
func (b *Battery) Open() float64 {
	if b.capacity <= 0 {
		return b.full
	}
	return b.full - float64((b.full-b.empty)*min(1, b.used/b.capacity))
}

// Terminal is the voltage under the load of the last Settle.
func (b *Battery) Terminal() float64 { return b.terminal }

// Used is the charge taken so far, in C.
func (b *Battery) Used() float64 { return b.used }

// balanced is how far source and loads may disagree, V.
const balanced = 1e-7

// Settle finds the terminal voltage at which source and loads agree.
//
// The balance open - R I(v) - v falls with v wherever the loads are motors that take what they can get; Newton's method
// from the last voltage, kept inside a bracket, finds its root in one or two rounds. Loads that would pull the
// terminals below 0 V (motors driven against their voltage far beyond their free speed) leave them at 0.
func (b *Battery) Settle(loads []Load) float64 {
	open := b.Open()
	low, high := 0.0, open
	v := min(b.terminal, open)
	for range 40 {
		amps, slope := draw(loads, v)
		gap := open - float64(b.resistance*amps) - v
		if math.Abs(gap) < balanced {
			break
		}
		if gap > 0 {
			low = v
		} else {
			high = v
		}
		v += gap / (1 + float64(b.resistance*slope))
		if !(v > low && v < high) {
			v = (low + high) / 2
		}
	}
	b.terminal = v
	return v
}

// Take gives the loads what they took in a step, in J at the terminals, and returns what the cells gave for it: the
// charge times the open voltage. The difference heats the battery's resistance.
//
// Settle knows the loads' speeds only as the step began. What they then took is charged here, so that no energy is lost
// or made between battery and motors, however long the step.
func (b *Battery) Take(joules float64) float64 {
	if !(joules > 0 && b.terminal > 0) {
		return 0
	}
	charge := joules / b.terminal
	b.used += charge
	return charge * b.Open()
}

// draw is the current that the loads take at a terminal voltage, and how it grows with it.
func draw(loads []Load, v float64) (amps, slope float64) {
	for i := range loads {
		l := &loads[i]
		across, through := l.Line.at(geom.Clamp(l.Want, -v, v), l.Speed)
		taken := FromBattery(across, through, v)
		amps += taken
		switch {
		case taken == 0:
		case math.Abs(l.Want) < v || math.Abs(through) >= l.Line.Limit: // of constant power
			slope -= taken / v
		default:
			slope += 1 / l.Line.R
		}
	}
	return amps, slope
}
