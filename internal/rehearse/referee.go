package rehearse

import (
	"fmt"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/record"
	"chalkfield/sim"
	"chalkfield/sim/scoring"
)

// referee keeps the score of a rehearsal under way.
type referee struct {
	field  *fields.Field
	world  *sim.World
	scorer *scoring.Scorer
	state  scoring.State
	shown  []float64 // totals as last announced
}

func newReferee(f *fields.Field, world *sim.World) *referee {
	return &referee{field: f, world: world, scorer: scoring.New(f), shown: make([]float64, len(f.Sides))}
}

// sheet is the score sheet of this moment, a copy that later scoring leaves alone.
func (r *referee) sheet() record.Sheet {
	r.world.State(&r.state)
	return r.scorer.Sheet(&r.state)
}

// scoreChange reports the totals when they differ from those last reported.
func (r *referee) scoreChange(now float64) (record.Event, bool) {
	r.world.State(&r.state)
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
	texts := make([]string, len(totals))
	for side, total := range totals {
		texts[side] = fmt.Sprintf("%s %g", r.field.Sides[side].Name, total)
	}
	return record.Event{T: now, Kind: record.ScoreChange, Robot: -1, Text: strings.Join(texts, ", "), Value: totals[0]}, true
}
