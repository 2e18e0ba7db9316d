package scoring

import (
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
)

// Attention is what a field's rules must be watched for in every tick.
type Attention int

const (
	Nothing Attention = iota
	Robots            // fouls that only ask where robots are
	Everything
)

// Attention says what Watch and Fouls need to know in every tick.
func (s *Scorer) Attention() Attention {
	need := Nothing
	for i := range s.rules {
		switch r := &s.rules[i]; {
		case timed(r.Rule), r.Judged == fields.Once, r.Kind == fields.HeldTooMany,
			r.Kind == fields.Touched && r.With == "goal":
			return Everything
		case r.Foul():
			need = Robots
		}
	}
	return need
}

// timed reports whether a rule asks when pieces came where they are.
func timed(r *fields.Rule) bool { return stacked(r) || r.Kind == fields.PieceScoredBy }

// Watch notes what later counting asks for: since when pieces are where they are, and what a rule that is judged once
// comes to when it first holds. Call it in every tick, before Fouls.
func (s *Scorer) Watch(state *State) {
	if s.timed {
		if state.Entered == nil {
			state.Entered = make([]Entry, len(state.Pieces))
			for k := range state.Pieces {
				state.Entered[k] = Entry{state.Pieces[k].In, -1, -1}
			}
		}
		for k := range state.Pieces {
			if in := state.Pieces[k].In; in != state.Entered[k].In {
				state.Entered[k] = Entry{in, state.Now, state.Phase}
			}
		}
	}
	if len(s.once) > 0 {
		s.watching = true
		s.countRules(s.once, state)
		s.watching = false
	}
}

// onceJudged lists the rules that are judged once, and those that they read, in the order of counting.
func onceJudged(f *fields.Field) (list []int) {
	needed := make([]bool, len(f.Rules))
	for _, i := range slices.Backward(f.Counting) {
		r := &f.Rules[i]
		needed[i] = needed[i] || r.Judged == fields.Once
		for _, t := range r.Terms() {
			if needed[i] && (t.Word == fields.WordCount || t.Word == fields.WordPoints) {
				needed[t.Of] = true
			}
		}
	}
	for _, i := range f.Counting {
		// what is multiplied comes with what multiplies it
		if needed[i] || slices.Contains(needed, true) && f.Rules[i].CountsInGoals() {
			list = append(list, i)
		}
	}
	return list
}

// judge puts what a rule came to at its moments in place of what it comes to now, where it is judged at moments.
func (s *Scorer) judge(i int, state *State) {
	r := &s.rules[i]
	switch {
	case r.Judged == fields.Always || r.Judged == fields.AtEnd && state.Over:
		return
	case r.Judged == fields.AtPhaseEnd && s.closing >= 0 && (r.Phase < 0 || r.Phase == s.closing),
		r.Judged == fields.Once && s.watching:
		s.keep(i, state)
	}
	clear(s.count[i])
	clear(s.points[i])
	for _, k := range state.Kept {
		if k.Rule == i {
			s.count[i][k.Side] += k.Count
			s.points[i][k.Side] = record.Round(s.points[i][k.Side] + k.Points)
		}
	}
}

// keep notes what a rule has come to for each side; once only for one that is judged once.
func (s *Scorer) keep(i int, state *State) {
	for side, n := range s.count[i] {
		if n == 0 && s.points[i][side] == 0 || s.rules[i].Judged == fields.Once && kept(state, i, side) {
			continue
		}
		state.Kept = append(state.Kept, Kept{i, side, n, s.points[i][side]})
	}
}

func kept(state *State, rule, side int) bool {
	for _, k := range state.Kept {
		if k.Rule == rule && k.Side == side {
			return true
		}
	}
	return false
}
