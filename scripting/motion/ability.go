package motion

import (
	"fmt"
	"math"

	"chalkfield/sim/robot"
)

// Shares that leave room for feedback and for what the model does not know.
const (
	voltShare     = 0.90  // of the available voltage, used by a plan
	topShare      = 0.92  // of the speed that voltage holds: the rest still accelerates
	turnShare     = 0.60  // of the turning rate that voltage holds: about the quickest quarter turn for a line motor
	gripShare     = 0.50  // of the tyres' grip along the heading
	tipShare      = 0.70  // of the acceleration at which the machine would tip: feedback overshoots a plan
	turnGripShare = 0.40  // of the same, in turning on the spot: scrubbing takes grip too
	innerLag      = 0.060 // s: closed-loop time constant of the wheel speed loop
)

// ability is what a machine can do in one motion: the model with its gaps filled, and the limits and gains that a plan
// uses.
type ability struct {
	robot.Model
	usable float64 // V that a plan may use

	speed, accel        float64 // m/s, m/s^2
	turnRate, turnAccel float64 // rad/s, rad/s^2
	side                float64 // m/s^2: sideways acceleration in curves
	tightest            float64 // 1/m: bend up to which a curve is chosen where there is a choice
	gains               Gains
}

// newAbility resolves model and options; battery is the terminal voltage at the start.
func newAbility(of string, m robot.Model, o Options, battery float64) (ability, error) {
	m, err := filled(of, m)
	if err != nil {
		return ability{}, err
	}
	a := ability{Model: m, usable: voltShare * m.Volts}
	if battery > 0 && battery < m.Volts {
		a.usable = voltShare * battery
	}
	a.speed = min(first(o.Speed, m.Speed, math.Inf(1)), a.topSpeed(0))
	a.accel = min(first(o.Accel, m.Accel, steady(gripShare*m.Grip, m.Tip)), 0.9*m.Grip)
	a.turnRate = first(o.TurnRate, m.TurnRate, turnShare/topShare*a.topTurnRate())
	a.turnRate = min(a.turnRate, a.topTurnRate())
	a.turnAccel = first(o.TurnAccel, m.TurnAccel, a.gripTurnAccel(turnGripShare))
	a.turnAccel = min(a.turnAccel, min(a.gripTurnAccel(0.9), a.voltTurnAccel(a.turnRate)))
	a.curves()
	a.gains = Gains{
		AlongP:   first(o.Gains.AlongP, m.AlongP, 1/(3*innerLag)),
		HeadingP: first(o.Gains.HeadingP, m.HeadingP, 1/(2*innerLag)),
		HeadingD: first(o.Gains.HeadingD, m.HeadingD, 0),
	}
	return a, nil
}

// curves sets what curves may ask of the tyres. Our own rules, from trials on simulated bases: wheels that scrub in the
// turn hold less to the side, and the less the more they are omni wheels (side grip an eighth of the grip): such a base
// holds a quarter of its side grip, and slides out of curves tighter than two thirds of its track. One on traction
// wheels holds a third, in curves of a quarter of its track.
func (a *ability) curves() {
	ratio := min(1, a.SideGrip/a.Grip)
	a.side = steady((0.20+float64(0.20*ratio))*a.SideGrip, a.SideTip)
	a.tightest = (1 + float64(4*ratio)) / a.Track
}

// steady is an acceleration, or less where that would come near to tipping the machine (tip 0: it never does).
func steady(accel, tip float64) float64 {
	if tip > 0 {
		return min(accel, tipShare*tip)
	}
	return accel
}

// first is the first number that is not 0.
func first(numbers ...float64) float64 {
	for _, n := range numbers {
		if n != 0 {
			return n
		}
	}
	return 0
}

// filled rejects a model without motors and computes what it leaves at 0 from the rest.
func filled(of string, m robot.Model) (robot.Model, error) {
	for _, n := range []struct {
		name     string
		value    float64
		required bool
	}{
		{"track", m.Track, true}, {"volts", m.Volts, true}, {"kV", m.KV, true}, {"kA", m.KA, false},
		{"turning kV", m.TurnKV, false}, {"turning kA", m.TurnKA, false}, {"kS", m.KS, false},
		{"turning kS", m.TurnKS, false},
		{"mass", m.Mass, false}, {"inertia", m.Inertia, false}, {"grip", m.Grip, false}, {"side grip", m.SideGrip, false},
		{"tip", m.Tip, false}, {"side tip", m.SideTip, false}, {"period", m.Period, false},
	} {
		if !(n.value >= 0) || math.IsInf(n.value, 0) || n.required && n.value == 0 {
			return m, &ArgumentError{of, "robot model: " + n.name,
				fmt.Sprintf("must be positive for a machine that drives: it is %v", n.value)}
		}
	}
	if math.IsNaN(m.Pivot) || math.Abs(m.Pivot) > 1 {
		return m, &ArgumentError{of, "robot model: pivot",
			fmt.Sprintf("must lie within a metre of the robot's point: it is %v m", m.Pivot)}
	}
	m.Mass = first(m.Mass, 5)
	m.Inertia = first(m.Inertia, m.Mass*m.Track*m.Track/4)
	m.Grip = first(m.Grip, 5)
	m.SideGrip = first(m.SideGrip, m.Grip)
	m.Period = first(m.Period, 0.01)
	// A train's force is m a/2 along and I alpha/track in turning: the same motors, so the same volts per newton.
	m.TurnKA = first(m.TurnKA, m.KA*2*m.Inertia/(m.Mass*m.Track))
	m.TurnKV = first(m.TurnKV, m.KV*m.Track/2)
	return m, nil
}

// topSpeed is the speed along a curve of curvature bend (1/m) that the usable voltage holds at the outer train.
func (a *ability) topSpeed(bend float64) float64 {
	bend = math.Abs(bend)
	spare := a.usable - a.KS - float64(a.TurnKS*min(1, bend))
	return topShare * max(spare, 0.1*a.usable) / (a.KV + float64(a.TurnKV*bend))
}

// topTurnRate is the turning rate on the spot that the usable voltage holds.
func (a *ability) topTurnRate() float64 {
	return topShare * max(a.usable-a.KS-a.TurnKS, 0.1*a.usable) / a.TurnKV
}

// voltAccel is the acceleration along a curve that the voltage left over at a speed gives.
func (a *ability) voltAccel(speed, bend float64) float64 {
	bend = math.Abs(bend)
	spare := a.usable - a.KS - float64(a.TurnKS*min(1, bend)) - float64((a.KV+float64(a.TurnKV*bend))*speed)
	return max(spare, 0.02*a.usable) / (a.KA + float64(a.TurnKA*bend) + 1e-9)
}

// voltBrake is the deceleration along a curve that the voltage gives: friction and the motors' own voltage help.
func (a *ability) voltBrake(speed, bend float64) float64 {
	bend = math.Abs(bend)
	return (a.usable + a.KS + float64((a.KV+float64(a.TurnKV*bend))*speed)) / (a.KA + float64(a.TurnKA*bend) + 1e-9)
}

// voltTurnAccel is the turning acceleration that the voltage left over at a turning rate gives.
func (a *ability) voltTurnAccel(rate float64) float64 {
	spare := a.usable - a.KS - a.TurnKS - float64(a.TurnKV*rate)
	return max(spare, 0.02*a.usable) / (a.TurnKA + 1e-9)
}

// gripTurnAccel is the turning acceleration when both trains push against each other with a share of the grip:
// I alpha = share m g_x b/2.
func (a *ability) gripTurnAccel(share float64) float64 {
	return share * a.Mass * a.Grip * a.Track / 2 / a.Inertia
}
