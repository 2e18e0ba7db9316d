package sim

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
	"gonum.org/v1/gonum/spatial/r2"
)

// scorer is where a conveyor's far end meets a goal.
type scorer struct {
	robot  *Robot
	name   string
	spec   *robot.Scorer
	try    captureModel
	from   *conveyor
	clamp  *clamp // nil: fixed goals only
	lift   *lift  // nil: at floor height
	scored int
}

func newScorer(r *Robot, p robot.Part) mechanism {
	s := &scorer{robot: r, name: p.Name, spec: p.Scorer}
	s.try = newCaptureModel(r.world, r.chanceName(p.Name), s.spec.Offset, s.spec.Angle, s.spec.Softness)
	return s
}

func (s *scorer) link() {
	s.from = s.robot.mechanisms[s.spec.From].(*conveyor)
	if s.spec.Clamp >= 0 {
		s.clamp = s.robot.mechanisms[s.spec.Clamp].(*clamp)
	}
	if s.spec.Lift >= 0 {
		s.lift = s.robot.mechanisms[s.spec.Lift].(*lift)
	}
}

func (s *scorer) step(float64)     {}
func (s *scorer) tick()            {}
func (s *scorer) do(robot.Command) {}

// repeat does nothing: its conveyor brings the pieces.
func (s *scorer) repeat(record.PartSample) {}

// target is the goal that a piece would go to: the clamped one, or the nearest fixed one in reach; nil if there is none
// that takes it at the height where the scorer stands.
func (s *scorer) target(b *Body) *Body {
	w := s.robot.world
	if s.clamp != nil && s.clamp.goal != nil {
		if g := s.clamp.goal; w.takes(g, b) && s.lift.serves(w.field.GoalKinds[g.Kind].Height) {
			return g
		}
	}
	at := s.robot.Pose().ToWorld(s.spec.At.At())
	return w.fixedGoal(w.bodies[len(w.field.Pieces):], at, s.spec.Reach, func(g *Body) bool {
		return w.takes(g, b) && s.lift.serves(w.field.GoalKinds[g.Kind].Height)
	})
}

// takes tells whether a goal is made for a piece's kind.
func (w *World) takes(goal, b *Body) bool {
	return slices.Contains(w.field.GoalKinds[goal.Kind].Takes, b.Kind)
}

// fixedGoal is the nearest fixed goal of some that suits within a reach (m) of a place, and within the goal's own
// reach.
func (w *World) fixedGoal(of []*Body, at geom.Vec, reach float64, suits func(*Body) bool) *Body {
	var best *Body
	for _, g := range of {
		if !g.Fixed() {
			continue
		}
		d := geom.Norm(r2.Sub(g.at.At(), at))
		if own := w.field.GoalKinds[g.Kind].Reach; own > 0 && d > own {
			continue
		}
		if d <= reach && suits(g) {
			best, reach = g, d
		}
	}
	return best
}

// aim is how far off a goal is: the distance of a clamped goal from its seat, or of a fixed goal's centre from the line
// along which pieces leave; and the angle between its face and that line.
func (s *scorer) aim(goal *Body) (offset, angle float64) {
	at := s.robot.Pose().Relative(goal.Pose())
	if goal.Fixed() {
		if s.robot.world.field.GoalKinds[goal.Kind].Around {
			at.Heading = s.spec.At.Heading + math.Pi
		}
		out := geom.Pose{X: s.spec.At.X, Y: s.spec.At.Y, Heading: s.spec.At.Heading}
		return math.Abs(out.ToLocal(at.At()).Y), geom.WrapAngle(s.spec.At.Heading + math.Pi - at.Heading)
	}
	seat := s.clamp.spec.At
	return geom.Norm(r2.Sub(at.At(), seat.At())), faceError(goal.outline, at.Heading, seat.Heading+math.Pi)
}

// score tries to put the conveyor's front piece into a goal and reports whether the piece has left the conveyor. A
// crooked piece is pushed home by a next one that would go in, also where there is no room for that one itself; else it
// is in the way. A full goal backs the conveyor up.
func (s *scorer) score(b, goal *Body) bool {
	w := s.robot.world
	full := len(goal.stack) >= w.field.GoalKinds[goal.Kind].Room
	if full && goal.crooked == nil {
		return false
	}
	offset, angle := s.aim(goal)
	good := s.try.succeeds(offset, angle)
	if goal.crooked != nil {
		if !good {
			return false
		}
		s.robot.seat(goal)
	}
	switch {
	case full:
		return false
	case !good:
		return s.miss(b, goal, s.try.missedBy(offset, angle))
	}
	s.robot.intoGoal(b, goal, s.crookedBy(offset))
	s.scored++
	return true
}

// seat pushes the crooked piece of a goal home, where it counts.
func (r *Robot) seat(goal *Body) {
	b := goal.crooked
	goal.crooked = nil
	r.happen(record.Event{Kind: record.Seated, What: b.Name, Goal: goal.Name}, goal)
	r.happen(record.Event{Kind: record.Scored, What: goal.Name, Piece: b.Name}, goal)
}

// miss drops the piece beside the goal, and says how far off that was; where there is no room it stays.
func (s *scorer) miss(b, goal *Body, off string) bool {
	pose := s.robot.Pose()
	at, ok := s.robot.world.spot(pose.ToWorld(s.spec.At.At()), pose.Heading+s.spec.At.Heading, b.radius)
	if !ok {
		return false
	}
	s.robot.world.drop(b, geom.Pose{X: at.X, Y: at.Y}, geom.Vec{})
	missed := record.Event{Kind: record.Missed, What: s.name, Piece: b.Name, Goal: goal.Name, Reason: record.Beside,
		Text: off}
	s.robot.happen(missed, b)
	return true
}

// crookedBy says how far off a piece goes in that lands crooked; "" for one that lands well.
func (s *scorer) crookedBy(offset float64) string {
	if offset <= s.spec.Crooked {
		return ""
	}
	digits := 0
	for digits < 3 && fmt.Sprintf("%.*f", digits, 1000*offset) == fmt.Sprintf("%.*f", digits, 1000*s.spec.Crooked) {
		digits++ // else it would read as if it were within
	}
	return fmt.Sprintf("%.*f mm off, straight up to %.*f mm", digits, 1000*offset, digits, 1000*s.spec.Crooked)
}

// intoGoal puts a piece that the robot holds into a goal. A crooked one, by how far it says, counts only once it is
// seated.
func (r *Robot) intoGoal(b, goal *Body, crooked string) {
	w := r.world
	room := w.field.GoalKinds[goal.Kind].Room
	turn := 2 * math.Pi * float64(len(goal.stack)) / float64(max(room, 1))
	place := geom.Scale(0.4*goal.radius, geom.Unit(turn))
	b.Scorer = r.Side
	w.putInGoal(b, goal, geom.Pose{X: place.X, Y: place.Y})
	if crooked != "" {
		goal.crooked = b
		r.happen(record.Event{Kind: record.Crooked, What: b.Name, Goal: goal.Name, Text: crooked}, goal)
		return
	}
	r.happen(record.Event{Kind: record.Scored, What: goal.Name, Piece: b.Name}, goal)
}

func (s *scorer) look() robot.Status { return robot.Status{Jammed: s.from.jammed, Scored: s.scored} }

func (s *scorer) sample() record.PartSample {
	return record.PartSample{Value: float64(s.scored), Body: -1}
}
