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
	turnGripShare = 0.40  // of the same, in turning on the spot: scrubbing takes grip too
	innerLag      = 0.060 // s: closed-loop time constant of the wheel speed loop where motors do at once as they are told
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
	lag                 float64 // s: closed-loop time constant of the wheel speed loop
	gains               Gains
	stand               [2]footing // as seen along the way: forwards, backwards
	jump                bool       // the end is wanted at once: plans are at their end when they begin
	hard                bool       // accelerates along as it is asked to, whether the robot bears it or not
}

// newAbility resolves model and options; battery is the terminal voltage at the start.
func newAbility(of string, m robot.Model, o Options, battery float64) (ability, error) {
	m, err := filled(of, m)
	if err != nil {
		return ability{}, err
	}
	a := ability{Model: m, usable: voltShare * m.Volts, jump: o.Jump}
	if battery > 0 && battery < m.Volts {
		a.usable = voltShare * battery
	}
	a.speed = min(first(o.Speed, m.Speed, math.Inf(1)), a.topSpeed(0))
	a.accel = min(first(o.Accel, m.Accel, gripShare*m.Grip), 0.9*m.Grip)
	a.turnRate = first(o.TurnRate, m.TurnRate, turnShare/topShare*a.topTurnRate())
	a.turnRate = min(a.turnRate, a.topTurnRate())
	a.turnAccel = first(o.TurnAccel, m.TurnAccel, a.gripTurnAccel(turnGripShare))
	a.turnAccel = min(a.turnAccel, min(a.gripTurnAccel(0.9), a.voltTurnAccel(a.turnRate)))
	a.curves()
	a.steady(o)
	a.delays()
	a.gains = Gains{
		AlongP:   first(o.Gains.AlongP, m.AlongP, 1/(3*a.lag)),
		HeadingP: first(o.Gains.HeadingP, m.HeadingP, 1/(2*a.lag)),
		HeadingD: first(o.Gains.HeadingD, m.HeadingD, 0),
	}
	return a, nil
}

// delays sets how quick a loop may be whose motors are behind their commands: by the controller's latency, and where
// its volts slew by half of the time that the step of a plan's accelerations takes, which are kept to what takes no
// more than half of the loop's. A loop on a plant with a dead time wants a time constant of at least that, and the
// gains of one that is slower by it (Skogestad, Simple analytic rules for model reduction and PID controller tuning, J.
// Process Control 13, 2003; from memory).
func (a *ability) delays() {
	late := a.Delay
	if a.Slew > 0 {
		const more = 1e-9
		a.accel = min(a.accel, a.Slew*innerLag/2/(a.KA+more))
		a.turnAccel = min(a.turnAccel, a.Slew*innerLag/2/(a.TurnKA+more))
		late += max(a.KA*a.accel, a.TurnKA*a.turnAccel) / (2 * a.Slew)
	}
	a.lag = max(innerLag, late) + late
}

// curves sets what curves may ask of the tyres. Our own rules, from trials on simulated bases: wheels that scrub in the
// turn hold less to the side, and the less the more they are omni wheels (side grip an eighth of the grip): such a base
// holds a quarter of its side grip, and slides out of curves tighter than two thirds of its track. One on traction
// wheels holds a third, in curves of a quarter of its track.
func (a *ability) curves() {
	ratio := min(1, a.SideGrip/a.Grip)
	a.side = (0.20 + float64(0.20*ratio)) * a.SideGrip
	a.tightest = (1 + float64(4*ratio)) / a.Track
}

// steady keeps the limits that nobody asked for within what the robot bears standing on its wheels.
func (a *ability) steady(o Options) {
	stand := newFooting(a.Model, a.accel, a.side, a.turnRate, a.turnAccel)
	a.stand = [2]footing{stand, stand.turned()}
	a.hard = first(o.Accel, a.Model.Accel) != 0
	if !a.hard {
		a.accel = min(a.accel, stand.along(0, 0, 0, 1), stand.along(0, 0, 0, -1))
	}
	share := stand.turning(a.turnRate, a.turnAccel)
	if first(o.TurnRate, a.Model.TurnRate) == 0 {
		a.turnRate *= math.Sqrt(share)
	}
	if first(o.TurnAccel, a.Model.TurnAccel) == 0 {
		a.turnAccel *= share
		if len(stand.sides) > 0 { // wheels that spin push as their loads have it, and no longer as they are told
			rest := 0.9 - a.accel/a.Grip - a.scrub()
			a.turnAccel = min(a.turnAccel, a.gripTurnAccel(max(0.05, rest)))
		}
	}
}

// most is what plan and feedback together may ask along, speeding up and braking, m/s^2.
func (a *ability) most() (push, brake float64) {
	if a.hard {
		return math.Inf(1), math.Inf(1)
	}
	const more = feedbackShare / tipShare
	return more * a.stand[0].along(0, 0, 0, 1), more * a.stand[0].along(0, 0, 0, -1)
}

// scrub is the share of the tyres' grip that a steady turn on the spot takes: a train pushes with m/2 kA for each volt.
func (a *ability) scrub() float64 { return a.TurnKS / a.KA / a.Grip }

// footing is what the robot bears as seen along its way.
func (a *ability) footing(reverse bool) *footing {
	if reverse {
		return &a.stand[1]
	}
	return &a.stand[0]
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
		{"limit", m.Limit, false}, {"drag", m.Drag, false}, {"period", m.Period, false},
		{"dead band", m.DeadBand, false}, {"delay", m.Delay, false}, {"slew", m.Slew, false},
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
	top := topShare * max(spare, 0.1*a.usable) / (a.KV + float64(a.TurnKV*bend))
	if a.Limit == 0 {
		return top
	}
	return min(top, a.dragged(min(1, bend), a.outer(bend)))
}

// topTurnRate is the turning rate on the spot that the usable voltage holds.
func (a *ability) topTurnRate() float64 {
	top := topShare * max(a.usable-a.KS-a.TurnKS, 0.1*a.usable) / a.TurnKV
	if a.Limit == 0 {
		return top
	}
	return min(top, a.dragged(1, a.Track/2))
}

// outer is how fast the outer train is on a bend, for each m/s of the robot.
func (a *ability) outer(bend float64) float64 { return 1 + float64(a.Track/2*bend) }

// dragged is the motion that the motors hold with the current of their limit against friction that grows with it; reach
// is the speed of the outer train for each unit of it, scrub the share of the scrubbing in turns.
func (a *ability) dragged(scrub, reach float64) float64 {
	if a.Drag == 0 {
		return math.Inf(1)
	}
	spare := float64(voltShare*a.Limit) - a.KS - float64(a.TurnKS*scrub)
	return topShare * max(spare, 0.1*a.usable) / (a.Drag * reach)
}

// speedsUp is the voltage left over to speed up, at least a little, within what the motors' current limit leaves at a
// speed of the outer train (m/s).
func (a *ability) speedsUp(spare, scrub, speed float64) float64 {
	if a.Limit > 0 {
		spare = min(spare, float64(voltShare*a.Limit)-a.KS-float64(a.TurnKS*scrub)-float64(a.Drag*speed))
	}
	return max(spare, 0.02*a.usable)
}

// voltAccel is the acceleration along a curve that the voltage left over at a speed gives.
func (a *ability) voltAccel(speed, bend float64) float64 {
	bend = math.Abs(bend)
	spare := a.usable - a.KS - float64(a.TurnKS*min(1, bend)) - float64((a.KV+float64(a.TurnKV*bend))*speed)
	return a.speedsUp(spare, min(1, bend), speed*a.outer(bend)) / (a.KA + float64(a.TurnKA*bend) + 1e-9)
}

// voltBrake is the deceleration along a curve that the voltage gives, within the motors' current limit: friction and
// the motors' own voltage help.
func (a *ability) voltBrake(speed, bend float64) float64 {
	bend = math.Abs(bend)
	most := a.usable + a.KS + float64((a.KV+float64(a.TurnKV*bend))*speed)
	if a.Limit > 0 {
		most = min(most, float64(voltShare*a.Limit)+a.KS+float64(a.Drag*a.outer(bend)*speed))
	}
	return most / (a.KA + float64(a.TurnKA*bend) + 1e-9)
}

// voltTurnAccel is the turning acceleration that the voltage left over at a turning rate gives.
func (a *ability) voltTurnAccel(rate float64) float64 {
	spare := a.usable - a.KS - a.TurnKS - float64(a.TurnKV*rate)
	return a.speedsUp(spare, 1, float64(rate*a.Track/2)) / (a.TurnKA + 1e-9)
}

// least is a time (s) that no plan for a length (m) from a speed (m/s) to rest beats, whatever its bends: a trapezoid
// at the full acceleration.
func (a *ability) least(length, speed float64) float64 {
	speed = max(speed, 0)
	if a.speed < 2*crawl || a.accel < 2*crawl || float64(speed*speed) > 2*a.accel*length || speed > a.speed {
		return 0 // where a plan crawls, or begins with more than it keeps to
	}
	peak := min(a.speed, math.Sqrt(float64(a.accel*length)+float64(speed*speed/2)))
	cruise := length - (float64(2*peak*peak)-float64(speed*speed))/(2*a.accel)
	const rounding = 1 - 1e-9
	return rounding * ((2*peak-speed)/a.accel + cruise/peak)
}

// gripTurnAccel is the turning acceleration when both trains push against each other with a share of the grip:
// I alpha = share m g_x b/2.
func (a *ability) gripTurnAccel(share float64) float64 {
	return share * a.Mass * a.Grip * a.Track / 2 / a.Inertia
}
