package sim

import (
	"fmt"
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"

	"gonum.org/v1/gonum/spatial/r2"
)

// hit is a blow that tips a goal over the edge away from what hit it.
type hit struct {
	goal  *Body
	by    any // *Robot, *Body, or nil for a wall
	speed float64
	away  geom.Vec
}

// struck looks at a contact of a goal before its impulses are solved, and notes the blow that tips it: of a robot,
// another goal or a wall, along whose normal the two close faster than the goal bears. A piece is too light, and a
// clamp holds a goal upright.
func (b *Body) struck(arb *cp.Arbiter) {
	if !arb.IsFirstContact() || len(b.stack) == 0 || b.gripped {
		return
	}
	_, other := arb.Bodies()
	if o, is := other.UserData.(*Body); is && !o.Goal {
		return
	}
	set := arb.ContactPointSet()
	at := set.Points[0].PointA
	speed := b.body.VelocityAtWorldPoint(at).Sub(other.VelocityAtWorldPoint(at)).Dot(set.Normal)
	if speed > b.world.field.GoalKinds[b.Kind].Spills {
		b.world.struck = append(b.world.struck, hit{b, other.UserData, speed, vec(set.Normal.Neg())})
	}
}

// tipStruck spills the goals that were hit in the step that has just ended.
func (w *World) tipStruck() {
	for _, h := range w.struck {
		w.spill(h)
	}
	w.struck = w.struck[:0]
}

// spill lets out all that is in a goal, the last in first, and the goal stands again. The pieces come to lie outside
// its edge away from the blow, each where there is room, and go on with the velocity that they had with the goal:
// momentum is kept, and with the spin that stays behind energy falls. A piece that has no room within half a metre
// stays in. That a goal tips away from the blow and loses all is our choice, no source.
func (w *World) spill(h hit) {
	goal, v := h.goal, vec(h.goal.body.Velocity())
	pose := goal.Pose()
	out := 0
	for b := goal.top(); b != nil; b = goal.top() {
		edge := r2.Add(pose.At(), geom.Scale(goal.extent(h.away)+b.radius, h.away))
		at, ok := w.spot(edge, portable.Atan2(h.away.Y, h.away.X), b.radius)
		if !ok {
			break
		}
		w.drop(b, geom.Pose{X: at.X, Y: at.Y, Heading: b.Pose().Heading}, v)
		out++
	}
	if out == 0 {
		return
	}
	e := record.Event{Kind: record.Spilled, Robot: -1, What: goal.Name, Value: record.Round(h.speed),
		Limit: w.field.GoalKinds[goal.Kind].Spills, At: &[2]float64{record.Round(pose.X), record.Round(pose.Y)}}
	by := "a wall"
	switch o := h.by.(type) {
	case *Robot:
		e.Robot, by = o.Index, "the robot"
	case *Body:
		by = o.Name
	}
	e.Text = fmt.Sprintf("by %s, %d out", by, out)
	if left := len(goal.stack); left > 0 {
		e.Text += fmt.Sprintf(", %d stay in", left)
	}
	w.happen(e)
}

// extent is how far a goal's outline reaches from its origin along a direction of the field, m.
func (b *Body) extent(along geom.Vec) float64 {
	far, own := 0.0, geom.Rotate(along, -b.Pose().Heading)
	for _, v := range b.outline {
		far = math.Max(far, geom.Dot(v, own))
	}
	return far
}
