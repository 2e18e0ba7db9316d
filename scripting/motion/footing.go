package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Shares of what a robot bears before it tips: for plans, and for what feedback makes of them.
const (
	tipShare      = 0.6
	feedbackShare = 0.8
)

// drift is how far out a robot whose wheels scrub may come to turn, in reaches of its centre of mass: the load shifts
// outwards, the wheels that bear more hold more, and the place about which it turns follows. Ours, from trials on
// simulated bases: tall ones on traction wheels begin to swing at about sqrt(g/(3 h)) rad/s.
const drift = 2.0

// footing is what a robot that stands on its wheels bears: for each side over which a motion could tip it, the greatest
// acceleration of its centre of mass away from that side. Empty where no motion could.
type footing struct {
	arm   geom.Vec    // m: of the centre of mass, from the pivot
	sides []robot.Tip // Accel: what plans may use; Reach: how far out the robot may come to turn
}

// newFooting keeps the sides over which accelerations (m/s^2) of the pivot along and aside, and turning at a rate
// (rad/s) and an acceleration (rad/s^2), could tip the robot.
func newFooting(m robot.Model, along, aside, rate, turnAccel float64) footing {
	f := footing{arm: geom.Vec{X: m.Centre.X - m.Pivot, Y: m.Centre.Y}}
	most := along + aside + float64((float64(rate*rate)+turnAccel)*geom.Norm(f.arm))
	for _, t := range m.Tips {
		t.Accel *= tipShare
		if t.Reach *= drift; t.Accel > m.SideGrip {
			t.Reach = 0
		}
		if t.Accel < most+float64(rate*rate*t.Reach) {
			f.sides = append(f.sides, t)
		}
	}
	return f
}

// turned is the footing as seen by a robot that drives backwards.
func (f footing) turned() footing {
	back := footing{arm: geom.Scale(-1, f.arm)}
	for _, t := range f.sides {
		back.sides = append(back.sides, robot.Tip{Normal: geom.Scale(-1, t.Normal), Reach: t.Reach, Accel: t.Accel})
	}
	return back
}

// The pivot moves along a curve of bend k, which changes by k' along the way, at a speed v that changes by a: it turns
// at w = v k and w' = a k + v^2 k'. A centre of mass with an arm d from it has the acceleration
//
//	(a, v w) + w' (-dy, dx) - w^2 (dx, dy)
//
// (rigid body kinematics; Meriam & Kraige, Dynamics, ch. 5), which is v^2 of this and a of pushed.
func (f *footing) swung(bend, bendRate float64) geom.Vec {
	d, square := f.arm, bend*bend
	return geom.Vec{X: -float64(bendRate*d.Y) - float64(square*d.X),
		Y: bend + float64(bendRate*d.X) - float64(square*d.Y)}
}

func (f *footing) pushed(bend float64) geom.Vec {
	return geom.Vec{X: 1 - float64(bend*f.arm.Y), Y: bend * f.arm.X}
}

// speed is the greatest speed on a bend (1/m) that changes by bendRate (1/m^2); it leaves a tenth for braking.
func (f *footing) speed(bend, bendRate float64) float64 {
	if len(f.sides) == 0 {
		return math.Inf(1)
	}
	square, swung := math.Inf(1), f.swung(bend, bendRate)
	for _, t := range f.sides {
		if load := -geom.Dot(t.Normal, swung); load > 0 {
			square = min(square, 0.9*t.Accel/load)
		}
	}
	return math.Sqrt(square)
}

// along is the greatest change of a speed on a bend: way is 1 to speed up, -1 to brake.
func (f *footing) along(speed, bend, bendRate, way float64) float64 {
	most := math.Inf(1)
	swung, pushed := f.swung(bend, bendRate), f.pushed(bend)
	for _, t := range f.sides {
		if load := -way * geom.Dot(t.Normal, pushed); load > 0 {
			spare := t.Accel + float64(speed*speed*geom.Dot(t.Normal, swung))
			most = min(most, max(0.1*t.Accel, spare)/load)
		}
	}
	return most
}

// turning is by what factor turning on the spot, at the square of a rate (rad/s) and at an acceleration (rad/s^2), must
// be less to be borne; at most 1.
func (f *footing) turning(rate, accel float64) float64 {
	d, least := f.arm, 1.0
	for _, t := range f.sides {
		load := float64(rate*rate*max(t.Reach, geom.Dot(t.Normal, d))) + float64(accel*math.Abs(geom.Cross(d, t.Normal)))
		if load > t.Accel {
			least = min(least, t.Accel/load)
		}
	}
	return least
}
