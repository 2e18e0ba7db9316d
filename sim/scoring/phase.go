package scoring

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// OpenPhase notes where each robot stands when a phase begins: which side of a line is its own. Call it when the
// state's robots are filled in.
func OpenPhase(state *State) {
	state.Homes = state.Homes[:0]
	for _, r := range state.Robots {
		state.Homes = append(state.Homes, r.At.At())
	}
}

// ClosePhase settles who is ahead at the end of a phase, by the totals of this moment (earlier bonuses and fouls
// included, ties not broken).
func (s *Scorer) ClosePhase(phase int, state *State) {
	s.closing = phase
	s.tally(state)
	s.closing = -1
	state.Closed = append(state.Closed, Closed{phase, best(s.Totals(state), nil)})
}

// Fouls looks for fouls of this moment and adds them to the state. It returns the new ones: a robot breaks a rule once
// in a phase.
func (s *Scorer) Fouls(phase int, state *State) []Foul {
	before := len(state.Fouls)
	for i := range s.rules {
		r := &s.rules[i]
		if !r.Foul() || r.Phase >= 0 && r.Phase != phase {
			continue
		}
		for k := range state.Robots {
			if !known(state.Fouls, i, k, phase) && s.breaks(r, k, state) {
				state.Fouls = append(state.Fouls, Foul{i, k, state.Robots[k].Side, phase})
			}
		}
	}
	return state.Fouls[before:]
}

// breaks reports whether a robot breaks a rule at this moment.
func (s *Scorer) breaks(r *rule, k int, state *State) bool {
	robot := &state.Robots[k]
	switch r.Kind {
	case fields.Touched:
		return s.trespasses(r, k, state)
	case fields.HeldTooMany:
		return s.held(r, k, state) > r.Most
	}
	return k < len(state.Homes) && (r.Side < 0 || r.Side == robot.Side) &&
		s.crosses(s.field.Lines[r.Line], robot, state.Homes[k], r.Inside)
}

// trespasses reports whether a robot touches what is another side's: a zone, a goal, or a robot, which may have to
// stand in a zone of its own for that; or a zone where people have their hands.
func (s *Scorer) trespasses(r *rule, k int, state *State) bool {
	robot := &state.Robots[k]
	switch r.With {
	case "zone":
		return s.stood(r, ofOthers(robot.Side), robot)
	case "goal":
		return s.touchesGoal(r, robot, state, ofOthers(robot.Side))
	case "hands": // whoever's person it is
		return s.stood(r, anyones, robot)
	}
	for j := range state.Robots {
		other := &state.Robots[j]
		if other.Side != robot.Side && s.touchesRobot(robot, other) && (r.ZoneKind == "" ||
			s.stood(r, ofOwn(other.Side), other)) {
			return true
		}
	}
	return false
}

func known(fouls []Foul, rule, robot, phase int) bool {
	for _, f := range fouls {
		if f.Rule == rule && f.Robot == robot && f.Phase == phase {
			return true
		}
	}
	return false
}

// pardon is how far a robot may reach over a line before it is a foul, m: the width of a line on the floor is not
// crossed by a rounding error.
const pardon = 1e-3

// crosses reports whether a robot lies across a line with a part of its outline on the side that is not its home. Who
// starts right on the line has no home side. With all of it a robot is over beside the line, not beyond its ends.
func (s *Scorer) crosses(line fields.Line, r *Robot, home geom.Vec, inside fields.Inside) bool {
	along := geom.Direction(r2.Sub(line.B, line.A))
	left := func(v geom.Vec) float64 { return geom.Cross(along, r2.Sub(v, line.A)) }
	if inside == fields.All {
		foot := geom.Dot(along, r2.Sub(r.At.At(), line.A))
		return foot >= 0 && foot <= geom.Norm(r2.Sub(line.B, line.A)) && s.whollyOver(left, r, left(home))
	}
	if d := left(r.At.At()); float64(d*d) > 1.001*reach2(r.Outline) {
		return false // the line is out of reach
	}
	s.outline = r.Outline.AppendPlaced(s.outline[:0], r.At)
	own, over := left(home), false
	for _, v := range s.outline {
		switch d := left(v); {
		case own > touching:
			over = over || d < -pardon
		case own < -touching:
			over = over || d > pardon
		default:
			over = over || d < -pardon || d > pardon
		}
	}
	return over && meetsSegment(s.outline, line.A, line.B)
}

// whollyOver reports whether all of a robot's outline is on the side of a line where its home is not.
func (s *Scorer) whollyOver(left func(geom.Vec) float64, r *Robot, own float64) bool {
	s.outline = r.Outline.AppendPlaced(s.outline[:0], r.At)
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range s.outline {
		low, high = math.Min(low, left(v)), math.Max(high, left(v))
	}
	return own <= touching && low > pardon || own >= -touching && high < -pardon
}

// reach2 is the square of how far an outline reaches from its origin, m^2.
func reach2(outline geom.Polygon) (most float64) {
	for _, v := range outline {
		most = max(most, geom.Norm2(v))
	}
	return most
}

func meetsSegment(p geom.Polygon, a, b geom.Vec) bool {
	for i, v := range p {
		if geom.SegmentsMeet(v, p[(i+1)%len(p)], a, b) {
			return true
		}
	}
	return p.Contains(a)
}
