package worth

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// way begins one at a place.
func way(from geom.Pose) Way { return Way{End: from} }

// sooner tells whether a way leads there, and another does not or takes longer.
func (v *Way) sooner(than *Way) bool {
	return !v.blocked && (than.blocked || v.Seconds < than.Seconds)
}

// to drives to a place, past what stands there, and says whether there is a way.
func (w *finder) to(v *Way, at geom.Vec) error {
	points := w.land.between(v.End.At(), at)
	if points == nil {
		v.blocked = true
		return nil
	}
	for _, p := range points {
		if err := v.visit(w.still, p); err != nil {
			return err
		}
	}
	return nil
}

// last is how far before an end the robot drives straight and slowly, m.
const last = 0.2

// approach drives to a pose that is come to straight, forwards or backwards, over the last stretch: in the soonest way
// of a run-up from where the robot is, one that it backs off for, and one that it drives to.
func (w *finder) approach(from Way, end geom.Pose, backwards bool) (best Way, err error) {
	stretch := last
	if backwards {
		stretch = -last
	}
	best.blocked = true
	runUp := end.ToWorld(geom.Vec{X: -stretch})
	better := func(v Way, err error) error {
		if err == nil && v.sooner(&best) {
			best = v
		}
		return err
	}
	if w.fits(runUp) {
		v := from.clone()
		if err = w.to(&v, runUp); err == nil && !v.blocked {
			if err = v.face(w.still, end.Heading); err == nil {
				err = v.ahead(w.still, stretch)
			}
		}
		if err = better(v, err); err != nil {
			return best, err
		}
	}
	here := end.ToLocal(from.End.At())
	if math.Abs(here.Y) > inLine || !w.land.free(from.End.At(), end.At()) {
		return best, nil
	}
	gap := -here.X // to go, negative: backwards
	v := from.clone()
	if err = v.face(w.still, end.Heading); err != nil {
		return best, err
	}
	switch off := gap - stretch; { // to where the run-up begins
	case gap*stretch > 0 && math.Abs(gap) <= last:
		err = v.ahead(w.still, gap)
	case off*stretch < 0 && (!w.fits(runUp) || !w.land.free(from.End.At(), runUp)):
		return best, nil
	default:
		if err = v.straight(w.still, off); err == nil {
			err = v.ahead(w.still, stretch)
		}
	}
	return best, better(v, err)
}

// inLine is how far beside an approach the robot may be to begin it there, m.
const inLine = 1e-6

// fits tells whether the robot's middle may be at a place.
func (w *finder) fits(at geom.Vec) bool {
	return w.land.clear(at) >= w.land.wide-room && w.land.stands(at)
}

// directions are those from which a thing is come to, the straight one first.
func directions(from, to geom.Vec) []float64 {
	list := []float64{portable.Atan2(to.Y-from.Y, to.X-from.X)}
	for i := range 8 {
		list = append(list, float64(i)*math.Pi/4)
	}
	return list
}

// pick goes on to where a hand takes a piece, by the soonest of all directions.
func (w *finder) pick(v Way, h *hand, at geom.Vec) (best Way, err error) {
	best.blocked = true
	for _, u := range directions(v.End.At(), at) {
		end := geom.Pose{Heading: u}
		if h.reach < 0 {
			end.Heading += math.Pi
		}
		off := geom.Rotate(geom.Vec{X: h.reach}, end.Heading)
		end.X, end.Y = at.X-off.X, at.Y-off.Y
		if !w.fits(end.At()) {
			continue
		}
		out, err := w.approach(v, end, h.reach < 0)
		if err != nil {
			return best, err
		}
		if out.sooner(&best) {
			best = out
		}
	}
	return best, nil
}

// put goes on to where a server puts pieces into a goal.
func (w *finder) put(v Way, s *server, goal int) (best Way, err error) {
	best.blocked = true
	g := &w.f.Goals[goal]
	kind := &w.f.GoalKinds[g.Kind]
	for _, u := range w.sides(goal, v.End.At()) {
		end := w.stand(s, goal, u)
		if kind.Fixed && w.beyond(s, goal, end) {
			continue
		}
		backwards := math.Abs(geom.WrapAngle(end.Heading-u)) < math.Pi/2
		out, err := w.approach(v, end, backwards)
		if err != nil {
			return best, err
		}
		if out.sooner(&best) {
			best = out
		}
	}
	return best, nil
}

// sides are the directions, out of a goal, from which it is served by a robot that comes from a place: a fixed one's
// heading, or all around it; and both ends of one that a clamp takes.
func (w *finder) sides(goal int, from geom.Vec) []float64 {
	at := w.f.Goals[goal].At
	switch kind := &w.f.GoalKinds[w.f.Goals[goal].Kind]; {
	case kind.Around:
		return directions(at.At(), from)
	case kind.Fixed:
		return []float64{at.Heading}
	}
	return []float64{at.Heading, at.Heading + math.Pi}
}

// stand is where the robot stands to serve a goal from a direction.
func (w *finder) stand(s *server, goal int, u float64) geom.Pose {
	g := &w.f.Goals[goal]
	kind := &w.f.GoalKinds[g.Kind]
	out := geom.Unit(u)
	if kind.Fixed {
		far := reaches(kind.Shape, u-g.At.Heading) + w.machine.spec.Chassis.Length/2 + room
		return geom.Pose{X: g.At.X + float64(far*out.X), Y: g.At.Y + float64(far*out.Y),
			Heading: u + math.Pi - s.at.Heading}
	}
	c := w.machine.clamp.At
	end := geom.Pose{Heading: u + math.Pi - c.Heading}
	off := geom.Rotate(c.At(), end.Heading)
	end.X, end.Y = g.At.X-off.X, g.At.Y-off.Y
	return end
}

// beyond tells whether a fixed goal is out of a server's reach, or that out of the goal's own, with room for an end
// that is not met exactly.
func (w *finder) beyond(s *server, goal int, end geom.Pose) bool {
	at, own := w.f.Goals[goal].At, w.f.GoalKinds[w.f.Goals[goal].Kind].Reach
	from := end.ToWorld(s.at.At())
	far := portable.Hypot(at.X-from.X, at.Y-from.Y)
	return far > s.reach-room || own > 0 && far > own-room
}

// reaches is how far a shape reaches in a direction, m.
func reaches(shape geom.Polygon, u float64) float64 {
	out, far := geom.Unit(u), math.Inf(-1)
	for _, p := range shape {
		far = math.Max(far, float64(p.X*out.X)+float64(p.Y*out.Y))
	}
	return far
}

// serves tells whether a server can put pieces into a goal, and how long it takes beside the way: for the first one,
// and for each.
func (w *finder) serves(s *server, goal int) (first, each float64, can bool) {
	kind := &w.f.GoalKinds[w.f.Goals[goal].Kind]
	if kind.Height != "" {
		seconds, known := w.machine.lifts[kind.Height]
		if s.lift < 0 || !known {
			return 0, 0, false
		}
		first = seconds
	}
	if !kind.Fixed {
		if !s.clamps || w.machine.clamp == nil {
			return 0, 0, false
		}
		first += w.machine.clamp.Piston.Time
	}
	return first, s.seconds, true
}

// fromStart is how far a place is from the start, m: what the start's heading is off turns it about that.
func (w *finder) fromStart(at geom.Vec) float64 {
	return geom.Norm(geom.Vec{X: at.X - w.start.X, Y: at.Y - w.start.Y})
}
