package sensing

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// Twist is a small motion in the robot's own frame: the distances along and across, had it not turned, and the turn.
type Twist struct {
	Along, Left float64 // m
	Turn        float64 // rad
}

// Advance moves a pose by a twist that was made at a constant rate: the exponential of SE(2),
//
//	dx = (a sin t - c (1 - cos t)) / t,  dy = (a (1 - cos t) + c sin t) / t,  turned by the heading,
//
// with a along, c to the left and t the turn (Lynch & Park, Modern Robotics, 13.4; from memory). For c = 0 it is the
// chord 2 sin(t/2)/t times the arc along heading + t/2 (Siegwart, Autonomous Mobile Robots, ch. 5).
func Advance(p geom.Pose, w Twist) geom.Pose {
	s, v := ratios(w.Turn)
	move := geom.Rotate(geom.Vec{X: float64(w.Along*s) - float64(w.Left*v), Y: float64(w.Along*v) + float64(w.Left*s)},
		p.Heading)
	return geom.Pose{X: p.X + move.X, Y: p.Y + move.Y, Heading: p.Heading + w.Turn}
}

// ratios are sin t / t and (1 - cos t) / t, the latter as sin^2(t/2) / (t/2), which loses no digits near zero.
func ratios(t float64) (s, v float64) {
	if math.Abs(t) < 1e-9 { // the next terms, t^2/6 and t^3/24, are below one unit in the last place
		return 1, t / 2
	}
	half := portable.Sin(t / 2)
	return portable.Sin(t) / t, half * half / (t / 2)
}

// FromTrains is the twist of a differential drive whose trains have rolled the given distances (m) on a track width
// (m): ds = (dl + dr)/2, dtheta = (dr - dl)/b (Lynch & Park ch. 13; Siegwart ch. 3).
func FromTrains(left, right, track float64) Twist {
	return Twist{Along: float64((left + right) / 2), Turn: (right - left) / track}
}

// mount is where a tracking wheel is mounted in the robot's frame, and the unit vector along its heading.
type mount struct {
	at    geom.Pose
	along geom.Vec
}

func newMount(at geom.Pose) mount { return mount{at, geom.Unit(at.Heading)} }

// rolled is what the wheel rolls in a twist, m. The mount moves by the robot's motion plus turn x place, and the wheel
// feels the part along its own heading: a wheel along x at p rolls a - p.y turn, one along y rolls c + p.x turn
// (Borenstein, Everett, Feng, Where am I?, 1996).
func (p mount) rolled(w Twist) float64 {
	return float64(p.along.X*(w.Along-float64(p.at.Y*w.Turn))) + float64(p.along.Y*(w.Left+float64(p.at.X*w.Turn)))
}
