package scoring

import (
	"cmp"
	"slices"

	"chalkfield/fields"
)

// stack sorts the pieces of each goal by when they came in; not crooked ones, which are not seated yet.
func (s *Scorer) stack(state *State) {
	for g := range s.stacks {
		s.stacks[g] = s.stacks[g][:0]
	}
	for k := range state.Pieces {
		if g := s.goalOf(&state.Pieces[k]); g >= 0 && !state.Pieces[k].Crooked {
			s.stacks[g] = append(s.stacks[g], k)
		}
	}
	for _, pieces := range s.stacks {
		slices.SortStableFunc(pieces, func(a, b int) int { return cmp.Compare(state.since(a), state.since(b)) })
	}
}

// since is when a piece came where it is, in s of the session; -1: it was there from the start.
func (state *State) since(piece int) float64 {
	if piece >= len(state.Entered) {
		return -1
	}
	return state.Entered[piece].T
}

// setsInGoals counts complete sets. Where the goal's side is credited, all its pieces make sets; else each side's own.
func (s *Scorer) setsInGoals(i int, state *State) {
	r := &s.rules[i]
	for g := range s.field.Goals {
		own := &s.field.Goals[g]
		switch {
		case !r.goals[own.Kind]:
		case r.Run > 0:
			s.runsIn(i, g, state)
		case r.Credit == fields.ByGoal:
			s.setsOf(i, g, own.Side, func(int) bool { return true })
		default:
			for side := range s.total {
				s.setsOf(i, g, side, func(k int) bool { return s.sideOf(r, k, state) == side })
			}
		}
	}
}

// setsOf counts the sets that some of a goal's pieces make, for a side.
func (s *Scorer) setsOf(i, goal, side int, among func(piece int) bool) {
	r := &s.rules[i]
	least := len(s.field.Pieces)
	for _, kind := range r.Set {
		n := 0
		for _, k := range s.stacks[goal] {
			if s.field.Pieces[k].Kind == kind && among(k) {
				n++
			}
		}
		least = min(least, n/r.Each)
	}
	for range least {
		s.add(i, side)
	}
}

// runsIn counts runs of one side's pieces, one upon another; each piece is of one run at most.
func (s *Scorer) runsIn(i, goal int, state *State) {
	r := &s.rules[i]
	side, n := -1, 0
	for _, k := range s.stacks[goal] {
		if !r.pieces[s.field.Pieces[k].Kind] {
			continue
		}
		if of := s.sideOf(r, k, state); of != side {
			side, n = of, 0
		}
		if n++; n == r.Run {
			s.add(i, side)
			n = 0
		}
	}
}

// goalsOwned counts the goals that belong to a side.
func (s *Scorer) goalsOwned(i int, state *State) {
	for g := range s.field.Goals {
		if s.rules[i].goals[s.field.Goals[g].Kind] {
			s.add(i, s.ownerOf(i, g, state))
		}
	}
}

// linesOfGoals counts the rows whose goals all belong to one side.
func (s *Scorer) linesOfGoals(i int, state *State) {
	for _, line := range s.rules[i].Lines {
		side := s.ownerOf(i, line[0], state)
		for _, g := range line[1:] {
			if s.ownerOf(i, g, state) != side {
				side = -1
			}
		}
		s.add(i, side)
	}
}

// ownerOf is the side with more pieces in a goal, or the last one; -1 where none is ahead, or several came last at
// once.
func (s *Scorer) ownerOf(i, goal int, state *State) int {
	r := &s.rules[i]
	clear(s.tallied)
	side, last := -1, -2.0
	for _, k := range s.stacks[goal] {
		if !r.pieces[s.field.Pieces[k].Kind] {
			continue
		}
		of, t := s.sideOf(r, k, state), state.since(k)
		if of >= 0 {
			s.tallied[of]++
		}
		if t == last && of != side {
			of = -1
		}
		side, last = of, t
	}
	if r.By == "last" {
		return side
	}
	top := 0.0
	side = -1
	for k, n := range s.tallied {
		switch {
		case n > top:
			side, top = k, n
		case n == top:
			side = -1
		}
	}
	return side
}

// stacked reports whether a rule asks how the pieces of a goal lie.
func stacked(r *fields.Rule) bool {
	return r.Kind == fields.SetInGoal || r.Kind == fields.GoalOwned || r.Kind == fields.GoalLine
}

// asks reports whether a rule of the field is of some sort.
func asks(f *fields.Field, is func(*fields.Rule) bool) bool {
	for i := range f.Rules {
		if is(&f.Rules[i]) {
			return true
		}
	}
	return false
}
