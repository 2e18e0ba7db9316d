package scoring

import (
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
	state.Closed = append(state.Closed, Closed{phase, best(s.Totals(state), nil)})
}

// Fouls looks for fouls of this moment and adds them to the state. It returns the new ones: a robot breaks a rule once
// in a phase.
func (s *Scorer) Fouls(phase int, state *State) []Foul {
	before := len(state.Fouls)
	for i := range s.rules {
		r := &s.rules[i]
		if r.Kind != fields.LineCrossed || r.Phase >= 0 && r.Phase != phase {
			continue
		}
		for k := range state.Robots {
			if k < len(state.Homes) && !known(state.Fouls, i, k, phase) && s.crosses(s.field.Lines[r.Line], &state.Robots[k],
				state.Homes[k]) {
				state.Fouls = append(state.Fouls, Foul{i, k, state.Robots[k].Side, phase})
			}
		}
	}
	return state.Fouls[before:]
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
// starts right on the line has no home side.
func (s *Scorer) crosses(line fields.Line, r *Robot, home geom.Vec) bool {
	along := geom.Direction(r2.Sub(line.B, line.A))
	left := func(v geom.Vec) float64 { return geom.Cross(along, r2.Sub(v, line.A)) }
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
