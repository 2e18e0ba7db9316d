package power

import (
	"math"

	"chalkfield/sim/robot"
)

// Cylinder is a piston at work. At rest it is in; Out sends it on its working stroke.
//
// A plain cylinder is pushed out by air and comes back by its spring, venting for free. With Assist the spring helps
// the working stroke instead, so the way back needs a filling of air as well and fails when p A does not beat the
// spring.
type Cylinder struct {
	spec    robot.Piston
	area    float64 // m^2
	rated   float64 // N: net force of a working stroke at the pressure the robot starts with
	out     bool    // commanded
	place   float64 // 0 in .. 1 out
	air     *Reservoir
	blocked bool // the last command had too little force to move
}

// NewCylinder is in its rest position on the given air.
func NewCylinder(spec robot.Piston, air *Reservoir) *Cylinder {
	c := &Cylinder{spec: spec, area: math.Pi / 4 * spec.Bore * spec.Bore, air: air}
	c.rated = c.push(true)
	return c
}

// Volume is what a stroke opens, m^3.
func (c *Cylinder) Volume() float64 { return float64(c.area * c.spec.Stroke) }

// push is the net force towards the given end, N: F = p A (statics), with or against the spring.
func (c *Cylinder) push(out bool) float64 {
	switch air := float64(c.air.Supply() * c.area); {
	case out && c.spec.Assist:
		return air + c.spec.Spring
	case out:
		return air - c.spec.Spring
	case c.spec.Assist:
		return air - c.spec.Spring
	default:
		return c.spec.Spring
	}
}

// Out commands the working stroke, or the way back. A stroke that air must push draws its filling at once.
func (c *Cylinder) Out(out bool) {
	if out == c.out && !c.blocked {
		return
	}
	c.out = out
	c.blocked = c.push(out) <= 0
	if !c.blocked && (out || c.spec.Assist) {
		c.air.Fill(c.Volume(), c.spec.Tubing)
	}
}

// SetOut puts the piston at an end without a stroke: how a robot is set up before the start.
func (c *Cylinder) SetOut(out bool) {
	c.out, c.place, c.blocked = out, 0, false
	if out {
		c.place = 1
	}
}

// Step moves the piston on by dt seconds and reports whether it got to its end in this step.
//
// A constant force F on a mass takes t = sqrt(2 m s / F) for a stroke s (Meriam & Kraige, Dynamics), so the time of a
// stroke goes with 1/sqrt(F); the file's Time is that at the rated force. The way back by a spring takes Time.
func (c *Cylinder) Step(dt float64) (arrived bool) {
	if !c.Moving() {
		return false
	}
	share := 1.0
	if c.out || c.spec.Assist {
		share = math.Sqrt(max(c.push(c.out), 0) / c.rated)
	}
	step := float64(dt / c.spec.Time * share)
	if c.out {
		c.place = min(c.place+step, 1)
	} else {
		c.place = max(c.place-step, 0)
	}
	return !c.Moving()
}

// Moving tells whether a stroke is under way.
func (c *Cylinder) Moving() bool {
	return !c.blocked && (c.out && c.place < 1 || !c.out && c.place > 0)
}

// Place is how far out the piston is, 0 to 1.
func (c *Cylinder) Place() float64 { return c.place }

// Extended tells whether the piston is all the way out.
func (c *Cylinder) Extended() bool { return c.place == 1 }

// Blocked tells that the last command found too little pressure to move.
func (c *Cylinder) Blocked() bool { return c.blocked }

// Force is what the piston presses with at the end of its working stroke, N; never negative, and zero elsewhere. An
// extended cylinder stays connected, so its pressure is the supply's of now.
func (c *Cylinder) Force() float64 {
	if !c.Extended() || !c.out {
		return 0
	}
	return max(c.push(true), 0)
}
