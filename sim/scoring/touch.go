package scoring

import (
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// nearby is how far apart two things may be that touch, in m: what is at rest against another lies less than that from
// it, because the engine lets bodies overlap a little and solves what is left.
const nearby = 2e-3

// touchesGoal reports whether a robot touches a goal that a rule counts, of an owner that will do.
func (s *Scorer) touchesGoal(where *rule, r *Robot, state *State, of owner) bool {
	placed := false
	for g, at := range state.Goals {
		own := &s.field.Goals[g]
		shape := s.field.GoalKinds[own.Kind].Shape
		if !where.goals[own.Kind] || !of.will(own.Side) || far(r.At, r.Outline, at, shape) {
			continue
		}
		if !placed {
			s.outline, placed = r.Outline.AppendPlaced(s.outline[:0], r.At), true
		}
		s.other = shape.AppendPlaced(s.other[:0], at)
		if touch(s.outline, s.other) {
			return true
		}
	}
	return false
}

// touchesRobot reports whether two robots touch.
func (s *Scorer) touchesRobot(a, b *Robot) bool {
	if far(a.At, a.Outline, b.At, b.Outline) {
		return false
	}
	s.outline = a.Outline.AppendPlaced(s.outline[:0], a.At)
	s.other = b.Outline.AppendPlaced(s.other[:0], b.At)
	return touch(s.outline, s.other)
}

// touchesWall reports whether a robot touches an edge of the floor.
func (s *Scorer) touchesWall(r *Robot) bool {
	s.outline = r.Outline.AppendPlaced(s.outline[:0], r.At)
	for _, v := range s.outline {
		if !s.field.Floor.Contains(v) || s.field.Floor.Distance(v) <= nearby {
			return true
		}
	}
	return reaches(s.field.Floor, s.outline)
}

// far reports whether two things are out of each other's reach.
func far(a geom.Pose, p geom.Polygon, b geom.Pose, q geom.Polygon) bool {
	// (u + v)^2 <= 2 u^2 + 2 v^2: a bound without roots, and room for nearby
	return geom.Norm2(r2.Sub(a.At(), b.At())) > 2.1*(reach2(p)+reach2(q))
}

// touch reports whether two outlines touch or overlap.
func touch(p, q geom.Polygon) bool { return p.Meets(q) || reaches(p, q) || reaches(q, p) }

// reaches reports whether a corner of p is at q's edge.
func reaches(p, q geom.Polygon) bool {
	for _, v := range p {
		if q.Distance(v) <= nearby {
			return true
		}
	}
	return false
}
