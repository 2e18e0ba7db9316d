package sensing

import (
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Tracker keeps the belief. It is told all sensors' readings once per control tick.
type Tracker struct {
	spec   robot.Odometry
	pivot  float64   // m ahead of the robot's origin: where the base does not slip sideways as it turns
	mounts []mount   // of every sensor, by index
	last   []float64 // readings at the last update
	pose   geom.Pose
	step   Twist
	period float64
}

// NewTracker tracks as the robot file says. The period is the time between two updates, in s.
func NewTracker(robot *robot.Robot, period float64) *Tracker {
	mounts := make([]mount, len(robot.Sensors))
	for i, s := range robot.Sensors {
		mounts[i] = newMount(s.Mount())
	}
	return &Tracker{spec: robot.Odometry, pivot: robot.Pivot(), mounts: mounts, last: make([]float64, len(mounts)),
		period: period}
}

// Reset makes readings the reference that the next update counts from.
func (t *Tracker) Reset(readings []float64) { copy(t.last, readings) }

// Belief is the pose by dead reckoning; its heading is not wrapped.
func (t *Tracker) Belief() geom.Pose { return t.pose }

// SetBelief says where the robot is.
func (t *Tracker) SetBelief(p geom.Pose) { t.pose = p }

// Speed is the speed along the heading (m/s) and the turning rate (rad/s) over the last tick.
func (t *Tracker) Speed() (along, turn float64) {
	return t.step.Along / t.period, t.step.Turn / t.period
}

// Update moves the belief on by what the sensors' readings (by sensor index, in m and rad) changed since the last
// update.
func (t *Tracker) Update(readings []float64) {
	t.step = t.twist(readings)
	t.pose = Advance(t.pose, t.step)
	copy(t.last, readings)
}

func (t *Tracker) twist(readings []float64) Twist {
	if len(t.spec.Along) == 0 { // nothing to go by: the belief stands still
		return Twist{}
	}
	if t.spec.Method == robot.ByTracking {
		return t.fromTracking(readings)
	}
	w := FromTrains(t.rolled(readings, t.spec.Along[0]), t.rolled(readings, t.spec.Along[1]), t.spec.Track)
	if t.spec.Method == robot.ByEncodersInertial {
		w.Turn = t.rolled(readings, t.spec.Inertial)
	}
	if t.spec.Across < 0 {
		w.Left = t.swung(w.Turn)
	} else {
		across := t.mounts[t.spec.Across]
		w.Left = (t.rolled(readings, t.spec.Across) - across.rolled(w)) / across.along.Y
	}
	return w
}

// swung is how far the origin moves to the left as the base turns about its pivot, for want of a wheel that sees it:
// v_O = v_P - w x r, with a pivot that does not slip (Lynch & Park, Modern Robotics, 13.3; from memory).
func (t *Tracker) swung(turn float64) float64 { return float64(-t.pivot * turn) }

// rolled is a reading's change since the last update.
func (t *Tracker) rolled(readings []float64, sensor int) float64 {
	return readings[sensor] - t.last[sensor]
}

// fromTracking solves rolled for the twist: the turn first, from the inertial sensor or from two parallel wheels, then
// the displacements, each wheel corrected for what the turn alone made it roll. Without a wheel across, the pivot is
// taken not to move to the side: what it does is lost from the belief.
func (t *Tracker) fromTracking(readings []float64) Twist {
	w := Twist{Turn: t.turn(readings)}
	for _, sensor := range t.spec.Along {
		w.Along += t.displaced(readings, sensor, w.Turn) / float64(len(t.spec.Along))
	}
	if t.spec.Across < 0 {
		along := t.mounts[t.spec.Along[0]].along
		w.Left = t.swung(w.Turn)
		w.Along = (w.Along - float64(along.Y*w.Left)) / along.X
		return w
	}
	across := t.displaced(readings, t.spec.Across, w.Turn)
	f, l := t.mounts[t.spec.Along[0]].along, t.mounts[t.spec.Across].along
	det := float64(f.X*l.Y) - float64(f.Y*l.X)
	w.Along, w.Left = (float64(w.Along*l.Y)-float64(across*f.Y))/det, (float64(across*f.X)-float64(w.Along*l.X))/det
	return w
}

// displaced is what a wheel rolled besides the turn.
func (t *Tracker) displaced(readings []float64, sensor int, turn float64) float64 {
	return t.rolled(readings, sensor) - t.mounts[sensor].rolled(Twist{Turn: turn})
}

// turn is the inertial sensor's, or that of two parallel wheels at different offsets: (s1 - s2) / (y2 - y1).
func (t *Tracker) turn(readings []float64) float64 {
	if t.spec.Inertial >= 0 {
		return t.rolled(readings, t.spec.Inertial)
	}
	a, b := t.spec.Along[0], t.spec.Along[1]
	perTurn := t.mounts[a].rolled(Twist{Turn: 1}) - t.mounts[b].rolled(Twist{Turn: 1})
	return (t.rolled(readings, a) - t.rolled(readings, b)) / perTurn
}
