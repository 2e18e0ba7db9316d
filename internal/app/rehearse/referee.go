package rehearse

import (
	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/sim"
	"chalkfield/sim/scoring"
)

// referee keeps the score of a rehearsal under way.
type referee struct {
	field   *fields.Field
	world   *sim.World
	scorer  *scoring.Scorer
	state   scoring.State
	shown   []float64 // totals as last announced
	watched scoring.Attention
}

func newReferee(f *fields.Field, world *sim.World) *referee {
	r := &referee{field: f, world: world, scorer: scoring.New(f), shown: make([]float64, len(f.Sides))}
	r.watched = r.scorer.Attention()
	return r
}

// sheet is the score sheet of the end, which is now: a copy that later scoring leaves alone.
func (r *referee) sheet(now float64) record.Sheet {
	r.state.Now, r.state.Over = now, true
	r.world.State(&r.state)
	return r.scorer.Sheet(&r.state)
}

// scoreChange reports the totals when they differ from those last reported.
func (r *referee) scoreChange(now float64, over bool) (record.Event, bool) {
	r.state.Now, r.state.Over = now, over
	r.world.Freshen(&r.state)
	totals := r.scorer.Totals(&r.state)
	changed := false
	for side, total := range totals {
		if total != r.shown[side] {
			changed, r.shown[side] = true, total
		}
	}
	if !changed {
		return record.Event{}, false
	}
	e := record.Event{T: now, Kind: record.ScoreChange, Robot: -1}
	for side, total := range totals {
		e.Totals = append(e.Totals, record.Number{Name: r.field.Sides[side].Name, Value: total})
	}
	return e, true
}

// openPhase notes where the robots stand when a phase begins.
func (r *referee) openPhase(c scoring.Clock) {
	r.state.Clock = c
	r.world.State(&r.state)
	scoring.OpenPhase(&r.state)
}

// closePhase settles who is ahead at the end of a phase.
func (r *referee) closePhase(phase int, now float64) {
	r.state.Now = now
	r.world.State(&r.state)
	r.scorer.ClosePhase(phase, &r.state)
}

// fouls watches what the rules ask to be watched, and looks for fouls of this moment.
func (r *referee) fouls(phase int, now float64) []record.Event {
	switch r.watched {
	case scoring.Nothing:
		return nil
	case scoring.Robots:
		r.world.RobotState(&r.state)
	case scoring.Everything:
		r.world.Freshen(&r.state)
	}
	r.state.Now = now
	r.scorer.Watch(&r.state)
	var events []record.Event
	for _, foul := range r.scorer.Fouls(phase, &r.state) {
		rule := r.field.Rules[foul.Rule]
		at := r.world.Robots()[foul.Robot].Pose()
		e := record.Event{T: now, Kind: record.Foul, Robot: foul.Robot, What: rule.Name, Value: rule.Points,
			At: &[2]float64{at.X, at.Y}}
		if rule.Lost {
			e.Reason = record.Lost
		}
		events = append(events, e)
	}
	return events
}
