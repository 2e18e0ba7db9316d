package sim

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
	"gonum.org/v1/gonum/spatial/r2"
)

// aside is where a stowed claw carries its piece, as a share of the way from the robot's origin to its mouth.
const aside = 0.5

// claw holds one piece aside. Its piston deploys it; its jaws take as long to close on a piece, or to let one go into a
// goal.
type claw struct {
	robot  *Robot
	name   string
	spec   *robot.Claw
	piston *power.Cylinder
	lift   *lift
	gives  *conveyor
	shut   bool
	piece  *Body
	acting robot.Verb // Shut or Place while the jaws are at it
	left   float64    // s until they are done
}

func newClaw(r *Robot, p robot.Part) mechanism {
	return &claw{robot: r, name: p.Name, spec: p.Claw, piston: power.NewCylinder(p.Claw.Piston, r.air)}
}

func (c *claw) link() {
	if c.spec.Lift >= 0 {
		c.lift = c.robot.mechanisms[c.spec.Lift].(*lift)
	}
	if c.spec.Gives >= 0 {
		c.gives = c.robot.mechanisms[c.spec.Gives].(*conveyor)
	}
}

func (c *claw) step(dt float64) {
	if c.piston.Step(dt) && c.piece != nil {
		c.robot.world.carry(c.piece, c.place())
	}
	if c.left <= 0 {
		return
	}
	if c.left -= dt; c.left > 0 {
		return
	}
	switch c.acting {
	case robot.Shut:
		c.seize()
	case robot.Place:
		c.putIn()
	}
}

// act has the jaws begin on something, whatever they were at.
func (c *claw) act(what robot.Verb) { c.acting, c.left = what, c.spec.Piston.Time }

func (c *claw) tick() {}

// place is where the held piece is, robot frame.
func (c *claw) place() geom.Pose {
	share := aside + float64((1-aside)*c.piston.Place())
	return geom.Pose{X: share * c.spec.At.X, Y: share * c.spec.At.Y, Heading: c.spec.At.Heading}
}

func (c *claw) do(cmd robot.Command) {
	switch cmd.Verb {
	case robot.Deploy:
		c.swing(true)
	case robot.Stow:
		c.swing(false)
	case robot.Shut:
		c.close()
	case robot.Open:
		c.open()
	case robot.Give:
		c.give()
	case robot.Place:
		c.putDown()
	}
}

func (c *claw) swing(out bool) {
	again := c.piston.Blocked()
	c.piston.Out(out)
	if c.piston.Blocked() && !again {
		c.robot.happen(record.Event{Kind: record.Missed, What: c.name, Reason: record.NoAir}, nil)
	}
}

// close begins to close the jaws.
func (c *claw) close() {
	if !c.shut {
		c.shut = true
		c.act(robot.Shut)
	}
}

// seize takes the nearest piece on the floor at the mouth, when the claw is out and down, or else the last in an open
// goal in reach.
func (c *claw) seize() {
	c.shut = true
	if !c.piston.Extended() {
		c.missed("it is not out")
		return
	}
	best, least := c.nearest()
	down := c.lift.serves("")
	switch store := c.store(); {
	case down && least <= c.spec.Offset:
		c.grip(best, "")
	case store != nil:
		c.grip(store.top(), store.Name)
	case !down:
		c.missed("its lift is not where it starts")
	default:
		c.missed(c.tooFar(best, least))
	}
}

// nearest is the piece on the floor that is nearest to the mouth, and its distance, m.
func (c *claw) nearest() (best *Body, least float64) {
	w, mouth := c.robot.world, c.robot.Pose().ToWorld(c.spec.At.At())
	least = math.Inf(1)
	for _, b := range w.bodies[:len(w.field.Pieces)] {
		if b.Holder != record.OnFloor {
			continue
		}
		if d := geom.Norm(r2.Sub(vec(b.body.Position()), mouth)); d <= least {
			best, least = b, d
		}
	}
	return best, least
}

// grip takes a piece, from the floor or out of a goal.
func (c *claw) grip(b *Body, goal string) {
	c.robot.happen(record.Event{Kind: record.Pickup, What: b.Name, Part: c.name, Goal: goal}, b)
	c.piece = b
	c.robot.world.take(b, c.robot, c.place())
}

// tooFar says that the nearest piece is at a distance (m) that the jaws do not reach.
func (c *claw) tooFar(piece *Body, distance float64) string {
	if distance > nearby {
		return fmt.Sprintf("no piece within %.0f mm of its mouth", 1000*nearby)
	}
	return fmt.Sprintf("%s is %.0f mm off, it takes up to %.0f mm", piece.Name, 1000*distance, 1000*c.spec.Offset)
}

func (c *claw) missed(why string) {
	c.robot.happen(record.Event{Kind: record.Missed, What: c.name, Reason: record.Nothing, Text: why}, nil)
}

// open lets the piece fall, if it has room where the claw is.
func (c *claw) open() {
	if c.piece != nil {
		at := c.robot.Pose().Compose(c.place())
		v, ok := c.robot.world.spot(at.At(), at.Heading, c.piece.radius)
		if !ok {
			return
		}
		vx, vy, _ := c.robot.Velocity()
		b := c.piece
		c.piece = nil
		c.robot.world.drop(b, geom.Pose{X: v.X, Y: v.Y}, geom.Vec{X: vx, Y: vy})
		c.robot.happen(record.Event{Kind: record.Release, What: b.Name, Part: c.name}, b)
	}
	c.shut, c.left = false, 0
}

// give puts the piece back on the conveyor's far end, when the claw is in and there is room.
func (c *claw) give() {
	if c.piece == nil {
		return
	}
	if c.gives == nil || c.piston.Place() > 0 || !c.gives.openAtEnd() {
		c.robot.happen(record.Event{Kind: record.Missed, What: c.name, Reason: record.NoRoom, Piece: c.piece.Name}, nil)
		return
	}
	c.gives.put(c.piece, 0, c.gives.spec.Length)
	c.piece, c.shut, c.left = nil, false, 0
}

// putDown begins to let the piece go into a goal.
func (c *claw) putDown() {
	if c.piece != nil && c.left <= 0 {
		c.act(robot.Place)
	}
}

// putIn puts the piece into the nearest goal in reach, when the claw is out and its lift at the goal's height.
func (c *claw) putIn() {
	goal := c.goal()
	if goal == nil {
		c.missed("no goal")
		return
	}
	b := c.piece
	c.piece, c.shut = nil, false
	if goal.crooked != nil {
		c.robot.seat(goal)
	}
	c.robot.intoGoal(b, goal, "")
}

// goal is the one that the claw can put its piece into: a fixed or a pushable one with room.
func (c *claw) goal() *Body {
	if !c.piston.Extended() {
		return nil
	}
	w := c.robot.world
	return c.inReach(w.bodies[len(w.field.Pieces):], func(g *Body) bool {
		return w.takes(g, c.piece) && len(g.stack) < w.field.GoalKinds[g.Kind].Room
	})
}

// store is the open goal that the claw can take a piece out of.
func (c *claw) store() *Body {
	return c.inReach(c.robot.world.open, func(g *Body) bool { return g.top() != nil })
}

// inReach is the goal of some that suits and is nearest, at the height where the lift stands: a fixed one first.
func (c *claw) inReach(of []*Body, suits func(*Body) bool) *Body {
	w, at := c.robot.world, c.robot.Pose().ToWorld(c.spec.At.At())
	good := func(g *Body) bool { return c.lift.serves(w.field.GoalKinds[g.Kind].Height) && suits(g) }
	if g := w.fixedGoal(of, at, c.spec.Reach, good); g != nil {
		return g
	}
	var best *Body
	reach := c.spec.Reach
	for _, g := range of {
		if d := geom.Norm(r2.Sub(g.Pose().At(), at)); !g.Fixed() && d <= reach && good(g) {
			best, reach = g, d
		}
	}
	return best
}

// repeat follows a record: out or in, with a piece or without. What the jaws did was done when the record shows it.
func (c *claw) repeat(s record.PartSample) {
	if s.Out != c.piston.Extended() && !c.piston.Moving() {
		c.swing(s.Out)
	}
	switch holding := s.Body >= 0; {
	case holding && c.piece == nil && c.piston.Extended():
		c.seize()
	case !holding && c.piece != nil && c.goal() != nil:
		c.putIn()
	case !holding && c.piece != nil:
		c.open()
	}
}

func (c *claw) look() robot.Status {
	s := robot.Status{Holding: c.piece != nil, Shut: c.shut, Out: c.piston.Extended(), Moving: c.piston.Moving() ||
		c.left > 0}
	if c.piece != nil {
		s.Count = 1
	}
	return s
}

func (c *claw) sample() record.PartSample {
	s := record.PartSample{Body: -1, Out: c.piston.Extended()}
	if c.piece != nil {
		s.Value, s.Body = 1, c.piece.ID
	}
	return s
}
