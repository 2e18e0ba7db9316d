package worth

import (
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim"
	"chalkfield/sim/robot"
	"chalkfield/sim/scoring"
)

// judge asks the game's own scoring what a change would bring.
type judge struct {
	field  *fields.Field
	side   int
	phase  int
	state  scoring.State // as all is laid out, with the robot at its start
	scorer *scoring.Scorer
	before []float64 // points of each rule
}

func newJudge(f *fields.Field, r *robot.Robot, side, phase int, start geom.Pose) (*judge, error) {
	world, err := sim.New(sim.Config{Field: f, Nominal: true, Robots: []sim.Entry{{Spec: r, Side: side, Start: start}}})
	if err != nil {
		return nil, err
	}
	j := &judge{field: f, side: side, phase: phase, scorer: scoring.New(f)}
	world.State(&j.state)
	j.before = j.rules(func(*scoring.State) {})
	return j, nil
}

// rules are the points of each rule for the side at the end, if a change came about in the phase. What the side ahead
// gets, and fouls, are no thing's own: 0.
func (j *judge) rules(change func(*scoring.State)) []float64 {
	s := j.state
	s.Pieces, s.Goals, s.Robots = slices.Clone(s.Pieces), slices.Clone(s.Goals), slices.Clone(s.Robots)
	s.Entered, s.Kept, s.Closed, s.Homes = nil, nil, nil, nil
	seconds := j.field.Phases[j.phase].Seconds
	s.Clock = scoring.Clock{Phase: j.phase, PhaseEnds: seconds, Ends: seconds}
	scoring.OpenPhase(&s)
	j.scorer.Watch(&s)
	change(&s)
	s.Now = min(1, seconds)
	j.scorer.Watch(&s)
	j.scorer.ClosePhase(j.phase, &s)
	s.Over, s.Now = true, seconds
	sheet := j.scorer.Sheet(&s)
	points := make([]float64, len(sheet.Rows))
	for i, row := range sheet.Rows {
		if kind := j.field.Rules[i].Kind; kind != fields.PhaseWinner && !j.field.Rules[i].Foul() {
			points[i] = row.Points[j.side]
		}
	}
	return points
}

// gain is what a change brings, and the rules by which.
func (j *judge) gain(before []float64, change func(*scoring.State)) (points float64, rules []int) {
	for i, now := range j.rules(change) {
		if now != before[i] {
			points += now - before[i]
			rules = append(rules, i)
		}
	}
	return record.Round(points), rules
}

// into puts a piece into a goal.
func (j *judge) into(piece, goal int) func(*scoring.State) {
	return func(s *scoring.State) {
		s.Pieces[piece].In, s.Pieces[piece].Scorer = record.InGoal(len(j.field.Pieces)+goal), j.side
		s.Pieces[piece].At = s.Goals[goal]
	}
}

// onto lays a piece on the floor.
func (j *judge) onto(piece int, at geom.Vec) func(*scoring.State) {
	return func(s *scoring.State) {
		p := &s.Pieces[piece]
		p.In, p.Scorer, p.At = record.OnFloor, j.side, geom.Pose{X: at.X, Y: at.Y}
	}
}

// all makes several changes.
func all(changes ...func(*scoring.State)) func(*scoring.State) {
	return func(s *scoring.State) {
		for _, change := range changes {
			change(s)
		}
	}
}
