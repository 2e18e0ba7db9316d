package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/record"
)

// A contact is reported when it begins after at least apart seconds without, so that a robot that rattles along a wall
// gives one event and not hundreds.
const apart = 0.25

// touch is the last time that a robot touched something.
type touch struct {
	robot int
	other any   // *Robot, *Body, or nil for walls
	last  int64 // ns since the start
}

// meet is called in each step for each contact of a robot, before the impulses are solved, with the robot's side of the
// contact first. (The engine's own callbacks would do, but look up their handlers by memory that they allocate.)
func (r *Robot) meet(arb *cp.Arbiter) {
	r.drive.touched = true
	r.drive.impacts.meets(arb)
	_, b := arb.Bodies()
	r.drive.walled = r.drive.walled && b.GetType() == cp.BODY_STATIC && len(r.joints) == 0
	other := b.UserData
	if body, ok := other.(*Body); ok {
		body.Scorer = r.Side
		if !body.Goal {
			return
		}
	}
	if r.world.fresh(r, other) && arb.IsFirstContact() { // a contact that slept is old, however long ago
		r.world.report(r, other, arb)
	}
}

// fresh notes that a robot touches something now and reports whether that is new.
func (w *World) fresh(r *Robot, other any) bool {
	for i := range w.touching {
		t := &w.touching[i]
		if t.robot == r.Index && t.other == other {
			fresh := w.elapsed-t.last > nanoseconds(apart)
			t.last = w.elapsed
			return fresh
		}
	}
	w.touching = append(w.touching, touch{r.Index, other, w.elapsed})
	return true
}

// report makes the contact event, with the speed at which the two close along the contact's normal.
func (w *World) report(r *Robot, other any, arb *cp.Arbiter) {
	set := arb.ContactPointSet()
	at := set.Points[0].PointA
	_, b := arb.Bodies()
	closing := r.body.VelocityAtWorldPoint(at).Sub(b.VelocityAtWorldPoint(at)).Dot(set.Normal)
	e := record.Event{
		Kind: record.Contact, Robot: r.Index, What: "wall", Value: record.Round(math.Max(0, closing)),
		At: &[2]float64{record.Round(at.X), record.Round(at.Y)},
	}
	switch o := other.(type) {
	case *Robot:
		e.What = record.Numbered(o.Index, len(w.robots), func(k int) string { return w.robots[k].Spec.Title })
	case *Body:
		e.What = o.Name
	}
	w.happen(e)
}
