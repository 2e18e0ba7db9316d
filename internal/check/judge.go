package check

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/account"
	"chalkfield/internal/geom"
	"chalkfield/internal/record"
	"chalkfield/internal/study/trial"
)

// Shortfall is one expectation that did not hold.
type Shortfall struct {
	Expected string  `json:"expected"`
	Happened string  `json:"happened"`
	T        float64 `json:"t"` // s: when it showed
	File     string  `json:"file,omitempty"`
	Line     int     `json:"line,omitempty"`
	golden   bool    // against a golden record: --accept settles it
}

// place is "at 6.12 s, mine.lua:22".
func (s Shortfall) place() string {
	if s.Line == 0 {
		return fmt.Sprintf("at %.2f s", s.T)
	}
	return fmt.Sprintf("at %.2f s, %s:%d", s.T, s.File, s.Line)
}

// judgement is one record under judgement.
type judgement struct {
	record *record.Record
	words  *words
	result trial.Result
	plan   *trial.Result // the nominal rehearsal, to find where this one left it; nil for the nominal one itself
	short  []Shortfall
}

// judge holds a record against what is expected.
func judge(r *record.Record, w *words, e *Expectations, plan *trial.Result) []Shortfall {
	j := &judgement{record: r, words: w, result: trial.Of(r, own), plan: plan}
	j.failure()
	j.score(e)
	j.done(e)
	for _, event := range e.Events {
		j.event(event)
	}
	j.order(e.Order)
	j.end(e.End)
	j.belief(e)
	j.never(e)
	j.left(e)
	return j.short
}

func (j *judgement) robot() *record.Robot { return &j.record.Header.Robots[own] }

func (j *judgement) last() *record.Sample { return &j.record.Samples[len(j.record.Samples)-1] }

// fall notes a shortfall at an event.
func (j *judgement) fall(e *record.Event, expected, happened string) {
	j.short = append(j.short, Shortfall{Expected: expected, Happened: happened, T: e.T, File: e.File, Line: e.Line})
}

// fallAtEnd notes a shortfall that shows at the end, at the line where the routine stood then or last moved.
func (j *judgement) fallAtEnd(expected, happened string) {
	s := Shortfall{Expected: expected, Happened: happened, T: j.last().T}
	if lines := j.last().Robots[own].Lines; len(lines) > 0 && lines[0] > 0 {
		s.File, s.Line = j.robot().Routine.Name, lines[0]
	} else if e := j.lastOf(record.MotionEnd); e != nil {
		s.File, s.Line = e.File, e.Line
	}
	j.short = append(j.short, s)
}

func (j *judgement) lastOf(kind record.Kind) *record.Event {
	for i := len(j.record.Events) - 1; i >= 0; i-- {
		if e := &j.record.Events[i]; e.Kind == kind && e.Robot == own {
			return e
		}
	}
	return nil
}

// fallWhereItLeft notes a shortfall of the score at the place where the rehearsal first left the plan, or else where the first
// trouble was.
func (j *judgement) fallWhereItLeft(expected, happened string) {
	plan, from := trial.Result{}, "first trouble"
	if j.plan != nil {
		plan, from = *j.plan, "first left the plan"
	}
	seconds := j.last().T
	d, found := trial.Depart(plan, j.result, seconds)
	if !found {
		j.fallAtEnd(expected, happened)
		return
	}
	file := d.File
	if file == "" {
		file = j.robot().Routine.Name
	}
	j.short = append(j.short, Shortfall{Expected: expected, Happened: fmt.Sprintf("%s; %s: %s", happened, from, d.Words), T: d.T, File: file, Line: d.Line})
}

// failure: a routine that fails with an error never holds, whatever is expected.
func (j *judgement) failure() {
	if e := j.lastOf(record.Failure); e != nil {
		text, _, _ := strings.Cut(e.Text, "\n")
		j.fall(e, "the routine runs without an error", text)
	}
}

func (j *judgement) score(e *Expectations) {
	sheet, side := &j.record.Sheet, j.robot().Side
	total := sheet.Total[side]
	if e.ScoreAtLeast != nil && total < *e.ScoreAtLeast {
		j.fallWhereItLeft(fmt.Sprintf("score at least %g", *e.ScoreAtLeast), fmt.Sprintf("%g points", total))
	}
	if e.ScoreAtMost != nil && total > *e.ScoreAtMost {
		j.fallAtEnd(fmt.Sprintf("score at most %g", *e.ScoreAtMost), fmt.Sprintf("%g points", total))
	}
	if e.Ahead && sheet.Winner != side {
		j.fallWhereItLeft(sheet.Sides[side]+" is ahead at the end", fmt.Sprintf("totals %s", totals(sheet)))
	}
	for _, row := range sheet.Rows {
		for _, a := range e.CountAtLeast {
			if a.Rule == row.Rule && row.Count[side] < a.Due {
				j.fallWhereItLeft(fmt.Sprintf("%s at least %g times", a.Rule, a.Due), fmt.Sprintf("%g times", row.Count[side]))
			}
		}
		for _, a := range e.PointsAtLeast {
			if a.Rule == row.Rule && row.Points[side] < a.Due {
				j.fallWhereItLeft(fmt.Sprintf("at least %g points for %s", a.Due, a.Rule), fmt.Sprintf("%g points for it", row.Points[side]))
			}
		}
	}
}

func totals(s *record.Sheet) string {
	words := make([]string, len(s.Sides))
	for i, side := range s.Sides {
		words[i] = fmt.Sprintf("%s %g", side, s.Total[i])
	}
	return strings.Join(words, ", ")
}

func (j *judgement) done(e *Expectations) {
	if e.DoneBefore == nil {
		return
	}
	expected := fmt.Sprintf("the routine is done before %.2f s", *e.DoneBefore)
	switch done := j.result.Done; {
	case done == trial.Never:
		j.fallAtEnd(expected, "it is not done at the end")
	case done >= *e.DoneBefore:
		j.fallAtEnd(expected, fmt.Sprintf("done at %.2f s", done))
		j.short[len(j.short)-1].T = done
	}
}

func (j *judgement) end(e *End) {
	if e == nil {
		return
	}
	true_ := j.last().Robots[own].True
	if e.At != nil {
		off := math.Hypot(true_[0]-e.At.X, true_[1]-e.At.Y)
		if !(off <= e.Within) {
			j.fallAtEnd(fmt.Sprintf("ends within %.0f mm of (%.0f, %.0f)", 1000*e.Within, 1000*e.At.X, 1000*e.At.Y), fmt.Sprintf("ends at %s, %.0f mm away", account.Pose(true_), 1000*off))
		}
	}
	if e.Heading != nil {
		off := math.Abs(geom.WrapAngle(true_[2] - *e.Heading))
		if !(off <= e.WithinHeading) {
			j.fallAtEnd(fmt.Sprintf("ends within %.1f deg of heading %.1f deg", degrees(e.WithinHeading), degrees(*e.Heading)), fmt.Sprintf("ends at %s, %.1f deg off", account.Pose(true_), degrees(off)))
		}
	}
}

func (j *judgement) belief(e *Expectations) {
	state := j.last().Robots[own]
	off := math.Hypot(state.Belief[0]-state.True[0], state.Belief[1]-state.True[1])
	if e.Belief != nil && !(off <= *e.Belief) {
		j.fallAtEnd(fmt.Sprintf("the belief is within %.0f mm of the truth at the end", 1000**e.Belief), fmt.Sprintf("%.0f mm off", 1000*off))
	}
	turned := math.Abs(geom.WrapAngle(state.Belief[2] - state.True[2]))
	if e.BeliefHeading != nil && !(turned <= *e.BeliefHeading) {
		j.fallAtEnd(fmt.Sprintf("the believed heading is within %.1f deg of the truth at the end", degrees(*e.BeliefHeading)), fmt.Sprintf("%.1f deg off", degrees(turned)))
	}
}

func (j *judgement) left(e *Expectations) {
	state := j.last().Robots[own]
	if e.Battery != nil && state.Battery < *e.Battery {
		j.fallAtEnd(fmt.Sprintf("the battery has at least %.2f V at the end", *e.Battery), fmt.Sprintf("%.2f V", state.Battery))
	}
	if e.Air != nil && state.Air < *e.Air {
		j.fallAtEnd(fmt.Sprintf("the air has at least %.0f kPa at the end", *e.Air/1000), fmt.Sprintf("%.0f kPa", state.Air/1000))
	}
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }
