package motion

import (
	"math"

	"chalkfield/internal/base/geom"
)

// setpoint is what a leg asks of the wheels: speeds with the accelerations that the plan has at that moment.
type setpoint struct {
	speed, accel    float64 // m/s, m/s^2 along the robot's heading
	turn, turnAccel float64 // rad/s, rad/s^2
}

// wheels is the inner loop: feedforward from the model and PI on the measured speed, in the two modes along and turn,
// because the model's constants belong to these modes.
//
//	u = kS sign(v) + kV v + kA a + (kA/T) (v - v_meas) + (kV/T) integral(v - v_meas)
//
// The PI gains are the lambda tuning of the first-order plant kA dv/dt + kV v = u for a closed-loop time constant T
// (Astrom & Hagglund, Advanced PID Control, 2006, 6.4; from memory). u(left) = u(along) - u(turn), u(right) = their
// sum.
//
// The measured speeds are the belief's: tyres creep under load, so wheels that scrub report a turn while the robot
// stands. Only the proportional part along takes the wheels' speed, so that spinning wheels lose voltage at once.
type wheels struct {
	ability      *ability
	plant        Plant
	along, turn  float64    // V: integrals
	left, right  float64    // V: last command
	past         []setpoint // from the one that the motors are at to the last
	alongExcess  float64    // V commanded beyond static friction, along
	turnExcess   float64    // V, turning
	lastSpeed    float64    // m/s: last setpoint
	lastTurn     float64    // rad/s
	speedKnee    float64    // m/s: friction's sign is a ramp up to here, so that it does not chatter at rest
	turnKnee     float64    // rad/s
	alongPerTime float64    // kA/T
	turnPerTime  float64    // turning kA/T
	push, brake  float64    // m/s^2: the most that plan and feedback together may ask along
}

func (w *wheels) begin(a *ability, p Plant) {
	*w = wheels{ability: a, plant: p, speedKnee: 0.02, turnKnee: 0.04 / a.Track}
	w.alongPerTime = a.KA / a.lag
	w.turnPerTime = a.TurnKA / a.lag
	w.push, w.brake = a.most()
}

// drive commands the trains for one tick.
func (w *wheels) drive(s setpoint, now *reading) {
	a := w.ability
	l, r := w.plant.MeasuredWheelSpeeds()
	then := w.asked(s, now.dt)
	wheelError := finiteOr(then.speed-float64((l+r)/2), 0)
	alongError, turnError := then.speed-now.along, then.turn-now.turn

	w.forget(s)
	staticAlong, staticTurn := w.static(s)
	along, turn := w.forward(s, now.dt)
	along += float64(w.alongPerTime * wheelError)
	along += w.along
	if demand := s.accel + float64(wheelError/a.lag); demand > w.push || demand < -w.brake {
		along -= float64(a.KA * (demand - geom.Clamp(demand, -w.brake, w.push)))
	}
	turn += float64(w.turnPerTime * turnError)
	turn += w.turn

	// Too little voltage for both: turning comes first, since a curve driven slowly is still the curve.
	limit := a.Volts
	if b := w.plant.Terminal(); b > 0 && b < limit {
		limit = b
	}
	turnCut := geom.Clamp(turn, -limit, limit)
	rest := limit - math.Abs(turnCut)
	alongCut := geom.Clamp(along, -rest, rest)
	if (along-alongCut)*alongError <= 0 {
		w.along += float64(a.KV / a.lag * alongError * now.dt)
	}
	if (turn-turnCut)*turnError <= 0 {
		w.turn += float64(a.TurnKV / a.lag * turnError * now.dt)
	}
	w.alongExcess, w.turnExcess = alongCut-staticAlong, turnCut-staticTurn
	w.left, w.right = w.audible(finiteOr(alongCut-turnCut, 0)), w.audible(finiteOr(alongCut+turnCut, 0))
	w.plant.SetDriveVolts(w.left, w.right)
}

// static is what overcomes friction at a setpoint, V, along and in turning.
func (w *wheels) static(s setpoint) (along, turn float64) {
	a := w.ability
	half := float64(s.turn * a.Track / 2)
	left := float64(a.KS * ramp((s.speed-half)/w.speedKnee))
	right := float64(a.KS * ramp((s.speed+half)/w.speedKnee))
	return float64((left + right) / 2), float64((right-left)/2) + float64(a.TurnKS*ramp(s.turn/w.turnKnee))
}

// forward is the feedforward for a tick, V, along and in turning: the command holds for a tick, so it suits the speeds
// in the tick's middle.
func (w *wheels) forward(s setpoint, dt float64) (along, turn float64) {
	a, middle := w.ability, dt/2
	along, turn = w.static(s)
	along = along + float64(a.KV*(s.speed+float64(s.accel*middle))) + float64(a.KA*s.accel)
	turn = turn + float64(a.TurnKV*(s.turn+float64(s.turnAccel*middle))) + float64(a.TurnKA*s.turnAccel)
	return along, turn
}

// asked is the setpoint that the motors are at by now, as late as they are.
func (w *wheels) asked(s setpoint, dt float64) setpoint {
	if w.ability.Delay == 0 {
		return s
	}
	w.past = append(w.past, s)
	if n := len(w.past) - 1 - int(math.Round(w.ability.Delay/dt)); n > 0 {
		w.past = w.past[:copy(w.past, w.past[n:])]
	}
	return w.past[0]
}

// audible rounds a command within the motor controller's dead band to what it gives, which is nothing or the band.
func (w *wheels) audible(volts float64) float64 {
	band := w.ability.DeadBand
	switch size := math.Abs(volts); {
	case size >= band:
		return volts
	case size < band/2:
		return 0
	}
	return math.Copysign(band, volts)
}

// forget drops an integral when its direction is reversed: what it had learnt of friction and of kV acts the other way
// now.
func (w *wheels) forget(s setpoint) {
	if s.speed*w.lastSpeed < 0 {
		w.along = 0
	}
	if s.turn*w.lastTurn < 0 {
		w.turn = 0
	}
	w.lastSpeed, w.lastTurn = s.speed, s.turn
}

// stop takes the voltage away.
func (w *wheels) stop() {
	w.left, w.right = 0, 0
	w.plant.SetDriveVolts(0, 0)
}

// ramp is the sign function with a linear part within -1..1.
func ramp(x float64) float64 { return geom.Clamp(x, -1, 1) }

// finiteOr guards against a sensor that gives no number.
func finiteOr(x, fallback float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fallback
	}
	return x
}
