package scoring

import (
	"chalkfield/fields"
	"chalkfield/internal/base/record"
)

func (s *Scorer) piecesInGoals(i int, state *State) {
	r := &s.rules[i]
	for k := range state.Pieces {
		p, own := &state.Pieces[k], &s.field.Pieces[k]
		goal := s.goalOf(p)
		if goal < 0 || p.Crooked || !r.pieces[own.Kind] || !r.goals[s.field.Goals[goal].Kind] || !r.inTime(k, state) {
			continue
		}
		side := s.sideOf(r, k, state)
		if r.Credit == fields.ByGoal {
			side = s.field.Goals[goal].Side
		}
		if s.add(i, side) && (r.Judged == fields.Always || state.Over && r.Judged == fields.AtEnd) {
			s.credited = append(s.credited, credit{i, goal, side})
		}
	}
}

// sideOf is whose a piece is by a rule's credit, where that is not the goal's or the zone's side.
func (s *Scorer) sideOf(r *rule, k int, state *State) int {
	if r.Credit == fields.ByPiece {
		return s.field.Pieces[k].Side
	}
	return state.Pieces[k].Scorer
}

// inTime reports whether a piece was put where it is when the rule asks: in play, in a phase, before a time. What was
// seen first at a tick came about before it.
func (r *rule) inTime(k int, state *State) bool {
	if r.Kind != fields.PieceScoredBy {
		return true
	}
	if k >= len(state.Entered) {
		return false
	}
	e := &state.Entered[k]
	return e.T >= 0 && (r.Phase < 0 || r.Phase == e.Phase) && (r.Before == 0 || e.T <= r.Before)
}

// goalOf is the index of the goal that holds a piece, or -1.
func (s *Scorer) goalOf(p *Piece) int {
	if body := p.In.Goal(); body >= 0 {
		return body - s.first
	}
	return -1
}

// piecesInZones counts pieces that lie on the floor of a zone: not those held by a robot or in a goal.
func (s *Scorer) piecesInZones(i int, state *State) {
	r := &s.rules[i]
	for k := range state.Pieces {
		p, own := &state.Pieces[k], &s.field.Pieces[k]
		if p.In != record.OnFloor || !r.pieces[own.Kind] {
			continue
		}
		in, side := s.inZone(r, anyones, footprint{p.At, s.field.PieceKinds[own.Kind].Radius, s.forms[own.Kind]})
		if !in {
			continue
		}
		if r.Credit != fields.ByZone {
			side = s.sideOf(r, k, state)
		}
		s.add(i, side)
	}
}

// goalsInZones counts goals in zones. What the pieces in such a goal brought the zone's side is multiplied; the gain
// stands in this rule's row, so that every row's points are the rule's own and the rows add up to the total.
func (s *Scorer) goalsInZones(i int, state *State) {
	r := &s.rules[i]
	for g, at := range state.Goals {
		own := &s.field.Goals[g]
		if !r.goals[own.Kind] {
			continue
		}
		in, side := s.inZone(r, anyones, footprint{at, 0, s.field.GoalKinds[own.Kind].Shape})
		if !in {
			continue
		}
		if r.Credit == fields.ByGoal {
			side = own.Side
		}
		if !s.add(i, side) || r.Times == 1 {
			continue
		}
		for _, c := range s.credited {
			if c.goal == g && c.side == side {
				s.points[i][side] += float64((r.Times - 1) * s.rules[c.rule].Points)
			}
		}
	}
}

// robotsInZones counts robots in their own side's zones, or in nobody's.
func (s *Scorer) robotsInZones(i int, state *State) {
	for k := range state.Robots {
		robot := &state.Robots[k]
		if s.stood(&s.rules[i], ofOwn(robot.Side), robot) {
			s.add(i, robot.Side)
		}
	}
}

// robotsTouching counts robots at a wall, or at a goal of their own or of nobody.
func (s *Scorer) robotsTouching(i int, state *State) {
	r := &s.rules[i]
	for k := range state.Robots {
		robot := &state.Robots[k]
		if r.With == "wall" && s.touchesWall(robot) || r.With == "goal" && s.touchesGoal(r, robot, state, ofOwn(robot.Side)) {
			s.add(i, robot.Side)
		}
	}
}

// piecesHeld counts pieces that robots hold.
func (s *Scorer) piecesHeld(i int, state *State) {
	for k := range state.Robots {
		for range s.held(&s.rules[i], k, state) {
			s.add(i, state.Robots[k].Side)
		}
	}
}

// held is how many pieces that a rule counts a robot holds.
func (s *Scorer) held(r *rule, robot int, state *State) (n int) {
	for k := range state.Pieces {
		if state.Pieces[k].In.Robot() == robot && r.pieces[s.field.Pieces[k].Kind] {
			n++
		}
	}
	return n
}

// phasesWon gives the bonus for each phase that has ended. A drawn phase counts as the rule says: for nobody, for each
// side that shares the lead, or half for each.
func (s *Scorer) phasesWon(i int, state *State) {
	r := &s.rules[i]
	for _, closed := range state.Closed {
		if r.Phase >= 0 && r.Phase != closed.Phase {
			continue
		}
		share := 1.0
		switch {
		case len(closed.Ahead) > 1 && r.Draw == "half":
			share = 0.5
		case len(closed.Ahead) > 1 && r.Draw == "none":
			share = 0
		}
		for _, side := range closed.Ahead {
			s.count[i][side] += share
			s.points[i][side] += float64(share * r.Points)
		}
	}
}

// foulsCommitted counts a side's fouls; the points go to every other side, or are lost.
func (s *Scorer) foulsCommitted(i int, state *State) {
	for _, foul := range state.Fouls {
		if foul.Rule != i {
			continue
		}
		s.count[i][foul.Side]++
		if s.rules[i].Lost {
			s.points[i][foul.Side] -= s.rules[i].Points
			continue
		}
		for side := range s.points[i] {
			if side != foul.Side {
				s.points[i][side] += s.rules[i].Points
			}
		}
	}
}
