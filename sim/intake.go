package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/spatial/r2"
)

// A piece that moves slower than this against the robot lies in the mouth rather than approaches it, m/s.
const lying = 0.05

// intake draws pieces from the floor through its mouth onto its conveyor.
type intake struct {
	powered
	name  string
	spec  *robot.Intake
	into  *conveyor
	low   geom.Vec // bounds of the mouth, robot frame
	high  geom.Vec
	reach float64     // m: the farthest corner's distance from the robot's origin
	near  []*cp.Shape // scratch of mouthful

	blocked bool    // a piece lies in the mouth that cannot enter: the rollers press on it and stand
	stalled float64 // s for which it does
}

func newIntake(r *Robot, p robot.Part) mechanism {
	in := &intake{powered: newPowered(r, p.Intake.Powered, p.Intake.Radius), name: p.Name, spec: p.Intake}
	in.low, in.high = in.spec.Mouth.Bounds()
	for _, v := range in.spec.Mouth {
		in.reach = max(in.reach, geom.Norm(v))
	}
	return in
}

func (in *intake) link() { in.into = in.robot.mechanisms[in.spec.Into].(*conveyor) }

// step turns the rollers. Blocked ones stand, and their motor takes its stall current.
func (in *intake) step(dt float64) {
	friction := 0.0
	if in.blocked {
		friction = math.Inf(1)
	}
	in.turn(dt, friction)
}

// tick catches at most one piece: one that lies in the mouth, or comes in from a direction within the tolerance, or
// else the last in an open goal that reaches into the mouth, while the rollers turn inwards fast enough and the
// conveyor has room. Where it has none and will have none, a piece on the floor blocks rollers that are driven inwards.
func (in *intake) tick() {
	in.blocked = in.into.shutOut() && in.volts > 0 && in.mouthful() != nil
	if !in.blocked {
		in.stalled = 0
	} else if in.speed == 0 {
		in.stalled += ControlTick
	}
	if in.surface() < in.spec.Speed || !in.into.open() {
		return
	}
	if b := in.mouthful(); b != nil {
		in.catch(b, "")
	} else if goal := in.store(); goal != nil {
		in.catch(goal.top(), goal.Name)
	}
}

// store is the first open goal with something in it that the rollers reach: a pushable one's outline reaches into the
// mouth, a fixed one serves it. nil for none.
func (in *intake) store() *Body {
	pose := in.robot.Pose()
	for _, g := range in.robot.world.open {
		kind := &in.robot.world.field.GoalKinds[g.Kind]
		if kind.Height != "" || g.top() == nil ||
			geom.Norm(r2.Sub(g.Pose().At(), pose.At())) > in.reach+max(g.radius, kind.Reach) {
			continue
		}
		mouth := in.spec.Mouth.Placed(pose)
		if at := g.Pose(); !g.Fixed() && mouth.Meets(g.outline.Placed(at)) ||
			g.Fixed() && (mouth.Contains(at.At()) || mouth.Distance(at.At()) <= kind.Reach) {
			return g
		}
	}
	return nil
}

// mouthful is the first piece that the rollers have hold of, nil for none.
func (in *intake) mouthful() *Body {
	pose := in.robot.Pose()
	around := cp.BB{L: pose.X - in.reach, B: pose.Y - in.reach, R: pose.X + in.reach, T: pose.Y + in.reach}
	in.near = in.robot.world.space.Within(around, in.near[:0])
	var first *Body
	for _, shape := range in.near {
		b, is := shape.Body().UserData.(*Body)
		if !is || b.Goal || first != nil && b.ID > first.ID {
			continue
		}
		at := pose.ToLocal(vec(b.body.Position()))
		if at.X < in.low.X || at.X > in.high.X || at.Y < in.low.Y || at.Y > in.high.Y {
			continue
		}
		if in.spec.Mouth.Contains(at) && in.approaches(b, at, pose.Heading) {
			first = b
		}
	}
	return first
}

// approaches tells whether a piece's motion against the robot goes in through the mouth.
func (in *intake) approaches(b *Body, at geom.Vec, heading float64) bool {
	vx, vy, omega := in.robot.Velocity()
	v := b.body.Velocity()
	rel := geom.Rotate(geom.Vec{X: v.X - vx, Y: v.Y - vy}, -heading)
	rel.X += float64(omega * at.Y)
	rel.Y -= float64(omega * at.X)
	if float64(rel.X*rel.X)+float64(rel.Y*rel.Y) < lying*lying {
		return true
	}
	inwards := portable.Atan2(-rel.Y, -rel.X)
	return math.Abs(geom.WrapAngle(inwards-in.spec.Facing)) <= in.spec.Angle
}

// catch takes a piece, from the floor or out of a goal.
func (in *intake) catch(b *Body, goal string) {
	in.robot.happen(record.Event{Kind: record.Pickup, What: b.Name, Part: in.name, Goal: goal}, b)
	in.into.enter(b)
}

func (in *intake) do(c robot.Command) {
	if c.Verb == robot.Volts {
		in.volts = c.Value
	}
}

func (in *intake) look() robot.Status {
	return robot.Status{Stalled: in.stalled >= stallTime, Value: in.surface(), Volts: in.applied, Amps: in.taken(),
		Heat: in.line.Heat()}
}

func (in *intake) sample() record.PartSample {
	return record.PartSample{Volts: record.Round(in.applied), Value: record.Round(in.surface()), Body: -1}
}

func (in *intake) repeat(s record.PartSample) { in.volts = s.Volts }
