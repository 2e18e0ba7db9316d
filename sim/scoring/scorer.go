package scoring

import (
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/formula"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Scorer scores one field again and again without making garbage. One goroutine owns it.
type Scorer struct {
	field *fields.Field
	rules []rule
	zones []zone
	sums  []sum          // per rule: of a formula, how it is worked out
	runs  formula.Runner // works formulas out
	forms []geom.Polygon // per kind of piece: its outline, nil for a disc
	first int            // body id of the first goal

	count, points [][]float64 // per rule and side
	total         []float64
	credited      []credit
	stacks        [][]int      // per goal: its pieces in the order in which they came in; kept where a rule asks
	stacked       bool         // a rule asks
	timed         bool         // a rule asks when pieces came where they are
	once          []int        // the rules that are judged once, and what they read
	tallied       []float64    // scratch, per side
	closing       int          // the phase that ends just now, or -1
	watching      bool         // what is judged once is judged now
	outline       geom.Polygon // scratch
	other         geom.Polygon // scratch
}

// rule is a rule of the field with its names resolved.
type rule struct {
	*fields.Rule
	pieces, goals []bool // per kind: counted
	zones         []int
}

// credit is a piece that a rule counted in a goal.
type credit struct{ rule, goal, side int }

// New prepares a scorer for a field.
func New(f *fields.Field) *Scorer {
	s := &Scorer{field: f, first: len(f.Pieces), total: make([]float64, len(f.Sides)),
		credited: make([]credit, 0, len(f.Pieces)), stacks: make([][]int, len(f.Goals)), stacked: asks(f, stacked),
		timed: asks(f, timed), once: onceJudged(f),
		tallied: make([]float64, len(f.Sides)), closing: -1}
	for i := range f.Zones {
		s.zones = append(s.zones, newZone(f.Zones[i], f.Floor))
	}
	for i := range f.PieceKinds {
		s.forms = append(s.forms, f.PieceKinds[i].Outline())
	}
	for i := range f.Rules {
		s.rules = append(s.rules, newRule(f, &f.Rules[i]))
		s.sums = append(s.sums, newSum(f, &f.Rules[i]))
		s.count = append(s.count, make([]float64, len(f.Sides)))
		s.points = append(s.points, make([]float64, len(f.Sides)))
	}
	return s
}

func newRule(f *fields.Field, r *fields.Rule) rule {
	out := rule{Rule: r}
	for kind := range f.PieceKinds {
		out.pieces = append(out.pieces, r.CountsPiece(kind))
	}
	for kind := range f.GoalKinds {
		out.goals = append(out.goals, r.CountsGoal(kind))
	}
	if r.With == "hands" {
		out.zones = f.HandZones()
	}
	for i, z := range f.Zones {
		if z.Kind == r.ZoneKind {
			out.zones = append(out.zones, i)
		}
	}
	return out
}

// Sheet is the score sheet of a state. It shares no memory with the scorer.
func (s *Scorer) Sheet(state *State) record.Sheet {
	s.tally(state)
	sheet := record.Sheet{Total: slices.Clone(s.total), Winner: -1}
	for _, side := range s.field.Sides {
		sheet.Sides = append(sheet.Sides, side.Name)
	}
	for i, r := range s.rules {
		sheet.Rows = append(sheet.Rows, record.Row{Rule: r.Name, Count: slices.Clone(s.count[i]),
			Points: slices.Clone(s.points[i])})
	}
	sheet.Winner, sheet.Broken = s.winner()
	return sheet
}

// Totals are the points per side of a state. The slice is the scorer's: it holds until the next call.
func (s *Scorer) Totals(state *State) []float64 {
	s.tally(state)
	return s.total
}

// tally counts every rule, after those that it depends on. Points are rounded, so that three times 0.1 are 0.3, and a
// draw is a draw.
func (s *Scorer) tally(state *State) {
	s.countRules(s.field.Counting, state)
	clear(s.total)
	for i := range s.rules {
		for side, p := range s.points[i] {
			s.total[side] = record.Round(s.total[side] + p)
		}
	}
}

// countRules counts some rules, which come after those that they depend on.
func (s *Scorer) countRules(order []int, state *State) {
	s.credited = s.credited[:0]
	if s.stacked {
		s.stack(state)
	}
	for _, i := range order {
		clear(s.count[i])
		clear(s.points[i])
		s.countRule(i, state)
		for side, p := range s.points[i] {
			s.points[i][side] = record.Round(p)
		}
		s.judge(i, state)
	}
}

func (s *Scorer) countRule(i int, state *State) {
	switch s.rules[i].Kind {
	case fields.PieceInGoal, fields.PieceScoredBy:
		s.piecesInGoals(i, state)
	case fields.PieceInZone:
		s.piecesInZones(i, state)
	case fields.PieceHeld:
		s.piecesHeld(i, state)
	case fields.SetInGoal:
		s.setsInGoals(i, state)
	case fields.GoalOwned:
		s.goalsOwned(i, state)
	case fields.GoalLine:
		s.linesOfGoals(i, state)
	case fields.GoalInZone:
		s.goalsInZones(i, state)
	case fields.RobotInZone:
		s.robotsInZones(i, state)
	case fields.RobotTouches:
		s.robotsTouching(i, state)
	case fields.PhaseWinner:
		s.phasesWon(i, state)
	case fields.LineCrossed, fields.Touched, fields.HeldTooMany:
		s.foulsCommitted(i, state)
	case fields.ByFormula:
		s.workedOut(i, state)
	}
}

// add counts a thing for a side unless the rule's limit is reached; -1 is nobody. It reports whether it was counted.
func (s *Scorer) add(i, side int) bool {
	r := s.rules[i]
	if side < 0 || r.Count > 0 && s.count[i][side] >= float64(r.Count) {
		return false
	}
	s.count[i][side]++
	s.points[i][side] += r.Points
	return true
}

// winner is the side with the most points; where several have them, the first tie-break rule that tells them apart
// decides.
func (s *Scorer) winner() (side int, broken string) {
	top := best(s.total, nil)
	for _, i := range s.field.TieBreak {
		if len(top) == 1 {
			break
		}
		count := s.count[i]
		if s.rules[i].Foul() {
			count = negative(count) // fewer fouls win
		}
		before := len(top)
		top = best(count, top)
		if len(top) < before {
			broken = s.rules[i].Name
		}
	}
	if len(top) > 1 {
		return -1, ""
	}
	return top[0], broken
}

// best lists the sides with the highest value, of those among which to choose (nil: all). Sums of fractional points
// that differ by rounding are equal.
func best(values []float64, among []int) []int {
	const equal = 1e-9
	var top []int
	for side, v := range values {
		switch {
		case among != nil && !slices.Contains(among, side):
		case len(top) == 0 || v > values[top[0]]+equal:
			top = append(top[:0], side)
		case v >= values[top[0]]-equal:
			top = append(top, side)
		}
	}
	return top
}

func negative(values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = -v
	}
	return out
}
