package sim

import (
	"fmt"
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// nearby is how far from its seat a goal may be for a clamp to be said to have missed that one, m.
	nearby = 0.4
	// lost is how far a held goal moves out of the jaws before it is lost, m; twisted is the same for turning, rad.
	lost    = 0.02
	twisted = 12 * math.Pi / 180
)

// clamp takes a pushable goal when its piston, or spring, arrives, and carries it by friction.
type clamp struct {
	robot   *Robot
	name    string
	spec    *robot.Clamp
	try     captureModel
	piston  *power.Cylinder // nil: a spring of the force Normal shuts it
	shut    bool            // commanded
	closing float64         // s left of a spring's stroke
	goal    *Body           // held, or nil
	joint   *joint
	seat    geom.Pose // where the joint wants the goal, robot frame
	nearest float64   // m: the least distance from the seat so far
	turned  float64   // rad: the same for its turn
}

func newClamp(r *Robot, p robot.Part) mechanism {
	c := &clamp{robot: r, name: p.Name, spec: p.Clamp, shut: p.Clamp.Shut}
	c.try = newCaptureModel(r.world, r.chanceName(p.Name), c.spec.Offset, c.spec.Angle, c.spec.Softness)
	if c.spec.Normal == 0 {
		c.piston = power.NewCylinder(c.spec.Piston, r.air)
		c.piston.SetOut(c.shut)
	}
	return c
}

func (c *clamp) step(dt float64) {
	arrived := false
	if c.piston != nil {
		arrived = c.piston.Step(dt)
	} else if c.closing > 0 {
		c.closing -= dt
		arrived = c.closing <= 0
	}
	if arrived && c.shut {
		c.grab()
	}
}

// force is what the jaws hold with, N: friction of the pressed jaw.
func (c *clamp) force() float64 {
	if c.piston == nil {
		return c.spec.Grip * c.spec.Normal
	}
	return c.spec.Grip * c.piston.Force()
}

// tick renews the joint's limits with the air that is left and lets the goal go when it has slipped out.
func (c *clamp) tick() {
	if c.goal == nil {
		return
	}
	force := c.force()
	c.joint.limit(force, force*c.goal.radius/2)
	at := c.robot.Pose().Relative(c.goal.Pose())
	away := geom.Norm(r2.Sub(at.At(), c.seat.At()))
	turn := math.Abs(geom.WrapAngle(at.Heading - c.seat.Heading))
	c.nearest, c.turned = math.Min(c.nearest, away), math.Min(c.turned, turn)
	if force == 0 || away > c.nearest+lost || turn > c.turned+twisted {
		c.robot.happen(record.Event{Kind: record.Slipped, What: c.goal.Name, Part: c.name}, c.goal)
		c.letGo()
	}
}

// grab tries to take the nearest goal at the end of the stroke.
func (c *clamp) grab() {
	goal, offset := c.candidate()
	if goal == nil {
		why := fmt.Sprintf("no goal within %.0f mm of its seat", 1000*nearby)
		c.robot.happen(record.Event{Kind: record.Missed, What: c.name, Reason: record.Nothing, Text: why}, nil)
		return
	}
	at := c.robot.Pose().Relative(goal.Pose())
	turn := faceError(goal.outline, at.Heading, c.spec.At.Heading+math.Pi)
	if !c.try.succeeds(offset, turn) {
		missed := record.Event{Kind: record.Missed, What: c.name, Goal: goal.Name, Reason: record.Beside,
			Text: c.try.missedBy(offset, turn)}
		c.robot.happen(missed, goal)
		return
	}
	c.take(goal, geom.Pose{X: c.spec.At.X, Y: c.spec.At.Y, Heading: at.Heading + turn})
	c.nearest, c.turned = offset, math.Abs(turn)
	c.robot.happen(record.Event{Kind: record.Clamped, What: goal.Name, Part: c.name}, goal)
}

// candidate is the pushable goal nearest to the seat and its distance, within reach.
func (c *clamp) candidate() (*Body, float64) {
	w, seat := c.robot.world, c.robot.Pose().ToWorld(c.spec.At.At())
	var best *Body
	least := nearby
	for _, b := range w.bodies[len(w.field.Pieces):] {
		if b.Fixed() {
			continue
		}
		if d := geom.Norm(r2.Sub(b.Pose().At(), seat)); d < least {
			best, least = b, d
		}
	}
	return best, least
}

func (c *clamp) take(goal *Body, seat geom.Pose) {
	force := c.force()
	c.goal, c.seat, goal.gripped = goal, seat, true
	c.joint = c.robot.world.join(c.robot, goal, seat, force, force*goal.radius/2)
	goal.shape.SetFilter(c.robot.filter())
	goal.Scorer = c.robot.Side
}

func (c *clamp) letGo() {
	c.joint.part()
	c.goal.gripped = false
	c.goal.shape.SetFilter(cp.SHAPE_FILTER_ALL)
	c.goal, c.joint = nil, nil
}

func (c *clamp) do(cmd robot.Command) {
	switch cmd.Verb {
	case robot.Shut:
		c.close()
	case robot.Open:
		c.open()
	}
}

func (c *clamp) close() {
	switch {
	case c.piston == nil && !c.shut:
		c.closing = c.spec.Piston.Time
	case c.piston != nil && (!c.shut || c.piston.Blocked()):
		c.piston.Out(true)
		if c.piston.Blocked() && !c.shut {
			c.robot.happen(record.Event{Kind: record.Missed, What: c.name, Reason: record.NoAir}, nil)
		}
	}
	c.shut = true
}

func (c *clamp) open() {
	if !c.shut {
		return
	}
	c.shut, c.closing = false, 0
	if c.piston != nil {
		c.piston.Out(false)
		if c.piston.Blocked() { // an assisted piston without the air to come back
			c.shut = true
			return
		}
	}
	if c.goal != nil {
		c.robot.happen(record.Event{Kind: record.Unclamped, What: c.goal.Name, Part: c.name}, c.goal)
		c.letGo()
	}
}

func (c *clamp) look() robot.Status {
	moving := c.closing > 0 || c.piston != nil && c.piston.Moving()
	return robot.Status{Holding: c.goal != nil, Shut: c.shut, Moving: moving}
}

func (c *clamp) sample() record.PartSample {
	s := record.PartSample{Body: -1}
	if c.shut {
		s.Value = 1
	}
	if c.goal != nil {
		s.Body = c.goal.ID
	}
	return s
}

func (c *clamp) repeat(s record.PartSample) {
	if s.Value != 0 {
		c.close()
	} else {
		c.open()
	}
}
