package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Aim is where a motion's plan is at one moment, and what the model gives for it.
type Aim struct {
	Pose        geom.Pose // of the robot; while it only turns, its place is where it believes to be
	Speed, Turn float64   // m/s along its heading, rad/s
	Left, Right float64   // V: the feedforward alone
	Turning     bool      // its place is not held
	Law         Law
}

// Law are the numbers of the tracking law and of the loop of the wheels in one motion. SI units and radians.
type Law struct {
	Track  float64 `json:"track"`                   // m
	Pivot  float64 `json:"pivot"`                   // m: the point that is led, ahead of the robot's own
	Volts  float64 `json:"volts"`                   // V, the most
	KS     float64 `json:"friction_volts"`          // V
	KV     float64 `json:"speed_volts"`             // V s/m
	KA     float64 `json:"acceleration_volts"`      // V s^2/m
	TurnKS float64 `json:"turn_friction_volts"`     // V
	TurnKV float64 `json:"turn_speed_volts"`        // V s
	TurnKA float64 `json:"turn_acceleration_volts"` // V s^2
	Delay  float64 `json:"delay"`                   // s: from a command until the motors have it
	Band   float64 `json:"band"`                    // V: the motor controller gives nothing for less

	Lag      float64 `json:"lag"`       // s: time constant of the loop of the wheels
	AlongP   float64 `json:"along_p"`   // 1/s
	HeadingP float64 `json:"heading_p"` // 1/s
	HeadingD float64 `json:"heading_d"` // plain
	Slow     float64 `json:"slow"`      // m/s: the sideways gain rises no more below it
	CatchUp  float64 `json:"catch_up"`  // m/s: the most that is added to close a gap along the way
	TopTurn  float64 `json:"top_turn"`  // rad/s: the most that is asked for
	Push     float64 `json:"push"`      // m/s^2: the most that plan and feedback ask along; 0: no limit
	Brake    float64 `json:"brake"`     // m/s^2: the same of slowing down

	Within, WithinAngle float64 `json:"-"` // m, rad: the motion counts as there
}

// LawFor is the law of a motion without options on a machine, for what is driven without one.
func LawFor(m robot.Model, battery float64) (Law, error) {
	a, err := newAbility("a follower", m, Options{}, battery)
	if err != nil {
		return Law{}, err
	}
	return a.law(), nil
}

// Aim is where the plan is now.
func (m *Motion) Aim() Aim {
	want := &m.stand.want
	at := want.at.ToWorld(geom.Vec{X: -m.ability.Pivot})
	s := want.setpoint
	s.speed, s.accel = s.speed+want.rolling, s.accel+want.braking
	along, turn := m.wheels.forward(s, m.now.dt)
	return Aim{
		Pose:  geom.Pose{X: at.X, Y: at.Y, Heading: want.at.Heading},
		Speed: s.speed, Turn: s.turn, Left: along - turn, Right: along + turn,
		Turning: m.Turning(), Law: m.law(),
	}
}

func (m *Motion) law() Law {
	l := m.ability.law()
	l.Within, l.WithinAngle = m.within, m.withinAngle
	return l
}

func (a *ability) law() Law {
	push, brake := a.most()
	return Law{
		Track: a.Track, Pivot: a.Pivot, Volts: a.Volts, KS: a.KS, KV: a.KV, KA: a.KA,
		TurnKS: a.TurnKS, TurnKV: a.TurnKV, TurnKA: a.TurnKA, Delay: a.Delay, Band: a.DeadBand,
		Lag: a.lag, AlongP: a.gains.AlongP, HeadingP: a.gains.HeadingP, HeadingD: a.gains.HeadingD,
		Slow: a.slow(), CatchUp: catchUp * a.speed, TopTurn: a.topTurnRate(),
		Push: orNoLimit(push), Brake: orNoLimit(brake),
	}
}

// orNoLimit has 0 for what is without a limit.
func orNoLimit(most float64) float64 {
	if math.IsInf(most, 1) {
		return 0
	}
	return most
}
