package sim

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// settledAgain is the share of the limit below which a robot that tipped stands again: what comes after is told anew.
const settledAgain = 0.8

// balance is whether the wheels on one side still bear weight. There is no third dimension: that the robot would tip
// is told, and it drives on as if it had not.
type balance struct {
	edges  []robot.Edge
	steady float64 // (m/s^2)^2: square of what it bears in any direction by settledAgain
	tipped bool
}

// settle places the centre of mass within the edges, at a height in m.
func (b *balance) settle(centre geom.Vec, height float64) {
	least := math.Inf(1)
	for _, e := range b.edges {
		least = min(least, e.Reach(centre))
	}
	bears := settledAgain * Gravity * max(least, 0) / height
	b.steady = bears * bears
}

// watchTipping tells once when the weight comes to bear on one edge of the wheels alone. The acceleration is the one
// that shifts the wheels' loads: the tyres', smoothed over the time that a chassis takes to pitch.
func (r *Robot) watchTipping() {
	a, h := r.drive.accel, r.drive.height
	if geom.Norm2(a) < r.balance.steady {
		r.balance.tipped = false
		return
	}
	worst, over := 0.0, 0
	for i, e := range r.balance.edges {
		toward := -geom.Dot(e.Normal, a)
		if toward <= 0 {
			continue
		}
		if share := toward * h / (Gravity * max(e.Reach(r.centre), 1e-9)); share > worst {
			worst, over = share, i
		}
	}
	switch {
	case worst < settledAgain:
		r.balance.tipped = false
	case worst >= 1 && !r.balance.tipped:
		r.balance.tipped = true
		r.tellTipping(r.balance.edges[over], a, geom.Norm(a)/worst)
	}
}

// tellTipping says over which edge, at what acceleration, and what the robot bears in that direction, m/s^2.
func (r *Robot) tellTipping(e robot.Edge, accel geom.Vec, limit float64) {
	at, way := r.Pose().At(), falling(e.Normal)
	r.world.happen(record.Event{
		Kind: record.Tips, Robot: r.Index, What: way, Text: aslant(way, accel), Value: record.Round(geom.Norm(accel)),
		Limit: record.Round(limit), At: &[2]float64{record.Round(at.X), record.Round(at.Y)},
	})
}

// straight is the share of an acceleration beside the way that the robot falls up to which it counts as along that way:
// within 10 deg of it, where the limits differ by less than 2 %.
const straight = 0.17

// aslant names the direction of what tips a robot, where that is not along the way that it falls: against the
// acceleration.
func aslant(way string, accel geom.Vec) string {
	along, side := "forwards", "left"
	if accel.X > 0 {
		along = "backwards"
	}
	if accel.Y > 0 {
		side = "right"
	}
	beside := accel.X
	if way == along {
		beside = accel.Y
	}
	if math.Abs(beside) <= straight*geom.Norm(accel) {
		return ""
	}
	return along + " and to the " + side
}

// falling names the way a robot tips over an edge.
func falling(normal geom.Vec) string {
	switch along := math.Abs(normal.X) >= math.Abs(normal.Y); {
	case along && normal.X > 0:
		return "forwards"
	case along:
		return "backwards"
	case normal.Y > 0:
		return "left"
	}
	return "right"
}
