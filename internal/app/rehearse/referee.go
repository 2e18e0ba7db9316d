package rehearse

import (
	"slices"

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
	watched bool      // the field has fouls
}

func newReferee(f *fields.Field, world *sim.World) *referee {
	return &referee{field: f, world: world, scorer: scoring.New(f), shown: make([]float64, len(f.Sides)),
		watched: anyFoul(f)}
}

// sheet is the score sheet of this moment, a copy that later scoring leaves alone.
func (r *referee) sheet(now float64) record.Sheet {
	r.state.Now = now
	r.world.State(&r.state)
	return r.scorer.Sheet(&r.state)
}

// scoreChange reports the totals when they differ from those last reported.
func (r *referee) scoreChange(now float64) (record.Event, bool) {
	r.state.Now = now
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

// fouls looks for fouls of this moment.
func (r *referee) fouls(phase int, now float64) []record.Event {
	if !r.watched {
		return nil
	}
	r.state.Now = now
	r.world.RobotState(&r.state)
	var events []record.Event
	for _, foul := range r.scorer.Fouls(phase, &r.state) {
		rule := r.field.Rules[foul.Rule]
		at := r.world.Robots()[foul.Robot].Pose()
		events = append(events, record.Event{
			T: now, Kind: record.Foul, Robot: foul.Robot, What: rule.Name, Value: rule.Points, At: &[2]float64{at.X, at.Y},
		})
	}
	return events
}

// anyFoul reports whether the field has a rule about lines.
func anyFoul(f *fields.Field) bool {
	return slices.ContainsFunc(f.Rules, func(r fields.Rule) bool { return r.Kind == fields.LineCrossed })
}
