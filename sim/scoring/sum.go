package scoring

import (
	"chalkfield/fields"
	"chalkfield/internal/base/formula"
)

// sum is how a rule's formulas are worked out: only when something that they read has changed.
type sum struct {
	worth, when readings
	known       []bool // per side: count and points are those of the values read last
	count       []float64
	points      []float64
}

// readings are the values of a formula's terms, per side.
type readings struct {
	of     *formula.Formula // nil: none
	terms  []term
	values [][]float64
}

// term is a term with what it looks at.
type term struct {
	formula.Term
	where rule // zones, goals or pieces
}

func newSum(f *fields.Field, r *fields.Rule) sum {
	if r.Kind != fields.ByFormula {
		return sum{}
	}
	sides := len(f.Sides)
	return sum{newReadings(f, r.Worth.Formula), newReadings(f, r.When.Formula),
		make([]bool, sides), make([]float64, sides), make([]float64, sides)}
}

func newReadings(f *fields.Field, from *formula.Formula) readings {
	out := readings{of: from}
	if from == nil {
		return out
	}
	for _, t := range from.Terms {
		var where fields.Rule
		switch t.Word {
		case fields.WordIn:
			where.ZoneKind, where.Inside = f.ZoneKinds()[t.Of], fields.InsideWords[t.How]
		case fields.WordTouching:
			where.Goals = []int{t.Of}
		case fields.WordHeld:
			if t.Of >= 0 {
				where.Pieces = []int{t.Of}
			}
		}
		out.terms = append(out.terms, term{t, newRule(f, &where)})
	}
	for range f.Sides {
		out.values = append(out.values, make([]float64, len(out.terms)))
	}
	return out
}

// workedOut gives each side what a rule's formulas come to: it counts once where the condition holds and the points are
// not 0.
func (s *Scorer) workedOut(i int, state *State) {
	f, r := &s.sums[i], &s.rules[i]
	for side := range s.count[i] {
		changed := s.refresh(&f.when, side, state)
		changed = s.refresh(&f.worth, side, state) || changed
		if changed || !f.known[side] {
			f.known[side], f.count[side], f.points[side] = true, 0, 0
			if f.when.of == nil || s.runs.Holds(f.when.of, f.when.values[side]) {
				f.points[side] = r.Points
				if f.worth.of != nil {
					f.points[side] = s.runs.Number(f.worth.of, f.worth.values[side])
				}
			}
			if f.points[side] != 0 {
				f.count[side] = 1
			}
		}
		s.count[i][side], s.points[i][side] = f.count[side], f.points[side]
	}
}

// refresh reads a formula's terms for a side and reports whether one has changed.
func (s *Scorer) refresh(f *readings, side int, state *State) (changed bool) {
	for k := range f.terms {
		t, value := &f.terms[k], 0.0
		for other := range s.total {
			if (other == side) != t.Other {
				value += s.read(t, other, state)
			}
		}
		changed = changed || f.values[side][k] != value
		f.values[side][k] = value
	}
	return changed
}

// read is a term's value for a side; of what no side has, the same for all.
func (s *Scorer) read(t *term, side int, state *State) float64 {
	switch t.Word {
	case fields.WordCount:
		return s.count[t.Of][side]
	case fields.WordPoints:
		return s.points[t.Of][side]
	case fields.WordTime:
		return state.Now
	case fields.WordTimeLeft:
		return max(0, state.Ends-state.Now)
	case fields.WordPhaseLeft:
		return max(0, state.PhaseEnds-state.Now)
	case fields.WordPhase:
		return one(state.Phase == t.Of)
	}
	n := 0
	for k := range state.Robots {
		switch r := &state.Robots[k]; {
		case r.Side != side:
		case t.Word == fields.WordHeld:
			n += s.held(&t.where, k, state)
		case s.stands(t, r, state):
			n++
		}
	}
	return float64(n)
}

// stands reports whether a robot is where a term asks.
func (s *Scorer) stands(t *term, r *Robot, state *State) bool {
	switch t.Word {
	case fields.WordIn:
		return s.stood(&t.where, ofOwn(r.Side), r)
	case fields.WordTouching:
		return s.touchesGoal(&t.where, r, state, ofOwn(r.Side))
	case fields.WordAtWall:
		return s.touchesWall(r)
	}
	return true
}

func one(is bool) float64 {
	if is {
		return 1
	}
	return 0
}
