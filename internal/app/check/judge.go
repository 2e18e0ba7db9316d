package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Shortfall is one expectation that did not hold.
type Shortfall struct {
	Expected string  `json:"expected"`
	Happened string  `json:"happened"`
	T        float64 `json:"t"` // s: when it showed
	File     string  `json:"file,omitempty"`
	Line     int     `json:"line,omitempty"`
	// the routine had come to its end: file and line are where it last did something
	Ended  bool `json:"ended,omitempty"`
	golden bool // against a golden record: --accept settles it
	wish   Wish // Expected can have more decimals
}

// Wish is one expectation of a case: the key that the file has it by, and what it says, in the same words in every
// rehearsal.
type Wish struct{ Key, Text string }

// The keys of wishes that a file does not name.
const (
	NoError = "error" // the routine runs without one
	Share   = "share" // so many of the trials hold
)

// Place is "at 6.12 s, mine.lua:22".
func (s Shortfall) Place() string {
	text := fmt.Sprintf("at %.2f s", s.T)
	if s.Line > 0 {
		text += fmt.Sprintf(", %s:%d", s.File, s.Line)
	}
	if s.Ended {
		text += " (the routine had ended)"
	}
	return text
}

// judgement is one record under judgement.
type judgement struct {
	record *record.Record
	words  *words
	result results.Result
	plan   *results.Result // the nominal rehearsal, to find where this one left it; nil for the nominal one itself
	wishes []Wish
	short  []Shortfall
}

// wish begins an expectation: what falls short until the next one is of it.
func (j *judgement) wish(key, format string, args ...any) string {
	j.wishes = append(j.wishes, Wish{key, fmt.Sprintf(format, args...)})
	return j.wishes[len(j.wishes)-1].Text
}

// miss adds what falls short of the wish.
func (j *judgement) miss(s Shortfall) {
	s.wish = j.wishes[len(j.wishes)-1]
	j.short = append(j.short, s)
}

// judge holds a record against what is expected.
func judge(r *record.Record, w *words, e *Expectations, plan *results.Result) *judgement {
	j := &judgement{record: r, words: w, result: results.Of(r, own), plan: plan}
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
	j.need(e.Need)
	j.follow(e.Follows)
	return j
}

func (j *judgement) robot() *record.Robot { return &j.record.Header.Robots[own] }

func (j *judgement) last() *record.Sample { return &j.record.Samples[len(j.record.Samples)-1] }

// fall notes a shortfall at an event.
func (j *judgement) fall(e *record.Event, expected, happened string) {
	if e.Line == 0 {
		j.fallAt(e.T, expected, happened)
		return
	}
	j.miss(Shortfall{Expected: expected, Happened: happened, T: e.T, File: e.File, Line: e.Line})
}

// fallAtEnd notes a shortfall that shows at the end.
func (j *judgement) fallAtEnd(expected, happened string) { j.fallAt(j.last().T, expected, happened) }

// fallAt notes a shortfall at a time.
func (j *judgement) fallAt(t float64, expected, happened string) {
	s := Shortfall{Expected: expected, Happened: happened, T: t}
	s.File, s.Line, s.Ended = j.record.Standing(own, t)
	j.miss(s)
}

// within begins an expectation of a quantity at the end, and notes where it does not hold. The texts have a %s for the
// limit and for what was found.
func (j *judgement) within(key string, holds bool, limit, found float64, decimals int, expected, happened string) {
	usual, _ := apartIn(limit, limit, decimals)
	j.wish(key, expected, usual)
	if holds {
		return
	}
	due, is := apartIn(limit, found, decimals)
	j.fallAtEnd(fmt.Sprintf(expected, due), fmt.Sprintf(happened, is))
}

// near is within for a distance (m) that is to be small.
func (j *judgement) near(key string, limit, found float64, expected, happened string) {
	in, unit := j.words.in, " "+j.words.in.Name("mm")
	j.within(key, found <= limit, in.From(limit, "mm"), in.From(found, "mm"), in.Shown("mm").Decimals(0),
		strings.Replace(expected, "%s", "%s"+unit, 1), strings.Replace(happened, "%s", "%s"+unit, 1))
}

func (j *judgement) lastOf(kind record.Kind) *record.Event {
	for i := len(j.record.Events) - 1; i >= 0; i-- {
		if e := &j.record.Events[i]; e.Kind == kind && e.Robot == own {
			return e
		}
	}
	return nil
}

// fallWhereItLeft notes a shortfall of the score at the place where the rehearsal first left the plan, or else where
// the first trouble was.
func (j *judgement) fallWhereItLeft(expected, happened string) {
	plan, got, from := results.Result{}, j.result, "first trouble"
	if j.plan != nil {
		plan, from = *j.plan, "first left the plan"
	} else {
		got.Did = withoutTouches(got.Did)
	}
	d, found := results.Depart(plan, got, j.last().T)
	if !found {
		j.fallAtEnd(expected, happened)
		return
	}
	e := record.Event{T: d.T, File: cmp.Or(d.File, j.robot().Routine.Name), Line: d.Line}
	j.fall(&e, expected, fmt.Sprintf("%s; %s: %s", happened, from, j.words.in.Retold(d.Words)))
}

// withoutTouches leaves out the contacts: without a plan nobody knows whether they are trouble or meant.
func withoutTouches(did []results.Moment) []results.Moment {
	return slices.DeleteFunc(slices.Clone(did), func(m results.Moment) bool { return m.Kind == record.Contact })
}

// failure: a routine that fails with an error never holds, whatever is expected.
func (j *judgement) failure() {
	expected := j.wish(NoError, "the routine runs without an error")
	if e := j.lastOf(record.Failure); e != nil {
		j.fall(e, expected, e.Message())
	}
}

func (j *judgement) score(e *Expectations) {
	sheet, side := &j.record.Sheet, j.robot().Side
	total := sheet.Total[side]
	if e.ScoreAtLeast != nil {
		expected := j.wish("score_at_least", "score at least %g", *e.ScoreAtLeast)
		if total < *e.ScoreAtLeast {
			j.fallWhereItLeft(expected, units.Counted(total, "point"))
		}
	}
	if e.ScoreAtMost != nil {
		expected := j.wish("score_at_most", "score at most %g", *e.ScoreAtMost)
		if total > *e.ScoreAtMost {
			j.fallAtEnd(expected, units.Counted(total, "point"))
		}
	}
	if e.Ahead {
		expected := j.wish("ahead", "%s is ahead at the end", sheet.Sides[side])
		if sheet.Winner != side {
			j.fallWhereItLeft(expected, "totals "+sheet.Totals().String())
		}
	}
	for _, row := range sheet.Rows {
		j.rule(e, row.Rule, row.Count[side], row.Points[side])
	}
}

// rule holds what a rule came to.
func (j *judgement) rule(e *Expectations, name string, count, points float64) {
	for _, a := range e.CountAtLeast {
		if a.Key != name {
			continue
		}
		expected := j.wish("count_at_least", "%s at least %s", name, units.Counted(a.Value, "time"))
		if count < a.Value {
			j.fallWhereItLeft(expected, units.Counted(count, "time"))
		}
	}
	for _, a := range e.PointsAtLeast {
		if a.Key != name {
			continue
		}
		expected := j.wish("points_at_least", "at least %s for %s", units.Counted(a.Value, "point"), name)
		if points < a.Value {
			j.fallWhereItLeft(expected, units.Counted(points, "point")+" for it")
		}
	}
}

func (j *judgement) done(e *Expectations) {
	if e.DoneBefore == nil {
		return
	}
	expected := j.wish("done_before", "the routine is done before %.2f s", *e.DoneBefore)
	switch done := j.result.Done; {
	case done == results.Never:
		j.fallAtEnd(expected, "it is not done at the end")
	case done >= *e.DoneBefore:
		j.fallAt(done, expected, fmt.Sprintf("done at %.2f s", done))
		j.short[len(j.short)-1].Ended = false // it ends just then
	}
}

func (j *judgement) end(e *End) {
	if e == nil {
		return
	}
	true_, in := j.last().Robots[own].True, j.words.in
	if e.At != nil {
		j.near("end", e.Within, math.Hypot(true_[0]-e.At.X, true_[1]-e.At.Y), fmt.Sprintf("ends within %%s of (%s, %s)",
			in.Number("%.0f mm", e.At.X), in.Number("%.0f mm", e.At.Y)), fmt.Sprintf("ends at %s, %%s away", true_.In(in)))
	}
	if e.Heading != nil {
		off := math.Abs(geom.WrapAngle(true_[2] - *e.Heading))
		j.within("end", off <= e.WithinHeading, geom.Degrees(e.WithinHeading), geom.Degrees(off), 1,
			fmt.Sprintf("ends within %%s deg of heading %.1f deg", geom.Degrees(*e.Heading)),
			fmt.Sprintf("ends at %s, %%s deg off", true_.In(in)))
	}
}

func (j *judgement) belief(e *Expectations) {
	state := j.last().Robots[own]
	off := math.Hypot(state.Belief[0]-state.True[0], state.Belief[1]-state.True[1])
	if e.Belief != nil {
		j.near("belief_within", *e.Belief, off, "the belief is within %s of the truth at the end", "%s off")
	}
	turned := math.Abs(geom.WrapAngle(state.Belief[2] - state.True[2]))
	if e.BeliefHeading != nil {
		j.within("belief_heading_within", turned <= *e.BeliefHeading, geom.Degrees(*e.BeliefHeading), geom.Degrees(turned), 1,
			"the believed heading is within %s deg of the truth at the end", "%s deg off")
	}
}

func (j *judgement) left(e *Expectations) {
	state := j.last().Robots[own]
	if e.Battery != nil {
		j.within("battery_at_least", state.Battery >= *e.Battery, *e.Battery, state.Battery, 2,
			"the battery has at least %s V at the end", "%s V")
	}
	if e.Air != nil {
		in := func(pa float64) float64 { return units.In(pa, "Pa", e.Air.Unit) }
		unit := e.Air.Unit
		j.within("air_at_least", state.Air >= e.Air.Pa, in(e.Air.Pa), in(state.Air), 0,
			"the air has at least %s "+unit+" at the end", "%s "+unit)
	}
}
