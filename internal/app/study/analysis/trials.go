package analysis

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/stats"
)

// Trials is what many rehearsals of one routine over the spread tell.
type Trials struct {
	Name      string             `json:"name"`
	Field     string             `json:"field"`
	Session   string             `json:"session"`
	Side      string             `json:"side"`
	Seed      uint64             `json:"seed"`
	Count     int                `json:"count"` // asked for
	Have      int                `json:"have"`  // done: fewer when the study was interrupted
	Shard     results.Shard      `json:"shard"`
	Need      float64            `json:"need"`
	Plan      float64            `json:"plan"`                 // score of the nominal rehearsal
	PlanFails string             `json:"plan_fails,omitempty"` // the error with which even the nominal rehearsal ends
	Goal      *Measured          `json:"goal,omitempty"`
	Score     stats.Distribution `json:"score"`
	Bins      []stats.Bin        `json:"bins"`
	Good      Share              `json:"good"`   // own score at least Need, and the routine did not fail
	Ahead     Share              `json:"ahead"`  // own side is ahead at the end
	Done      Share              `json:"done"`   // the routine came to its end
	Tips      Share              `json:"tips"`   // the robot tipped at least once
	Failed    int                `json:"failed"` // rehearsals in which the routine failed with an error
	Errors    []Failure          `json:"errors,omitempty"`
	Notes     []string           `json:"notes,omitempty"` // what must be said first, a sentence each
	BeliefOff stats.Distribution `json:"belief_off"`      // m, at the end
	Rules     []Rule             `json:"rules"`
	Steps     []Step             `json:"steps"`
	Groups    []Group            `json:"groups"`
	Causes    []Cause            `json:"causes"`
	Worst     []Seed             `json:"worst"`
}

// Rule is one rule's success.
type Rule struct {
	Name   string             `json:"name"`
	Plan   float64            `json:"plan"`   // count in the plan
	Kept   Share              `json:"kept"`   // counts at least the plan's
	Points stats.Distribution `json:"points"` // own side's
}

// Step is one achievement of the plan and when it came about.
type Step struct {
	Words   string             `json:"what"`
	Line    int                `json:"line,omitempty"`
	Plan    float64            `json:"plan"` // s
	Reached Share              `json:"reached"`
	T       stats.Distribution `json:"t"` // s, of those that reached it
}

// Seed is one rehearsal worth looking at.
type Seed struct {
	Seed  uint64  `json:"seed"`
	Score float64 `json:"score"`
	Words string  `json:"what"` // why
	T     float64 `json:"t"`    // s: where to look
	Open  string  `json:"open"` // the command that opens it
}

const worstListed = 5

// OfTrials reads a study of trials. It needs at least one result.
func OfTrials(f *results.File) (Trials, error) {
	h := &f.Header
	v := &h.Variants[0]
	list := allResults(f)
	if len(list) == 0 {
		return Trials{}, fmt.Errorf("no rehearsal is done yet: there is nothing to tell")
	}
	scores := each(list, func(r *results.Result) float64 { return r.Own(v.Side) })
	t := Trials{
		Name: v.Name, Field: h.Field.Called(), Session: h.Session, Side: h.Sides[v.Side], Seed: h.Seed,
		Count: len(h.MyJobs()), Have: len(list), Shard: h.Shard,
		Need: h.Need, Plan: v.Plan.Own(v.Side), PlanFails: planFails(v), Score: stats.Describe(scores),
		Bins:   stats.Histogram(scores, finest(scores)),
		Good:   count(list, func(r *results.Result) bool { return h.Good(v, r) }),
		Ahead:  count(list, func(r *results.Result) bool { return r.Winner == v.Side }),
		Done:   count(list, func(r *results.Result) bool { return r.Done != results.Never }),
		Tips:   count(list, tipped),
		Failed: count(list, failed).Hits,
		Errors: failures(list, func(r *results.Result) string { return Open(v, r.Seed) }),
		Notes:  notes(f), Goal: measured(h, list),
		BeliefOff: stats.Describe(each(list, func(r *results.Result) float64 { return r.OffBelief() })),
		Rules:     rules(h, v, list), Steps: steps(v, list),
	}
	if t.PlanFails == "" && t.Plan < t.Need {
		t.Notes = append(t.Notes, fmt.Sprintf("The plan itself scores %.6g, below the %.6g needed. What follows tells "+
			"where rehearsals left the plan, not what %.6g would take", t.Plan, t.Need, t.Need))
	}
	t.Groups = groups(h, v, list)
	t.Causes = causes(v.Drawn, list, scores)
	t.Worst = worst(h, v, list)
	return t, nil
}

// allResults lists what is done, in the order of the jobs.
func allResults(f *results.File) []*results.Result {
	var list []*results.Result
	for _, r := range f.Results {
		if r != nil {
			list = append(list, r)
		}
	}
	return list
}

func each(list []*results.Result, value func(*results.Result) float64) []float64 {
	out := make([]float64, len(list))
	for i, r := range list {
		out[i] = value(r)
	}
	return out
}

func count(list []*results.Result, holds func(*results.Result) bool) Share {
	hits := 0
	for _, r := range list {
		if holds(r) {
			hits++
		}
	}
	return share(hits, len(list))
}

func tipped(r *results.Result) bool {
	return slices.ContainsFunc(r.Did, func(m results.Moment) bool { return m.Kind == record.Tips })
}

// finest is the width of a histogram's finest bin: a point, or less when scores are not whole.
func finest(scores []float64) float64 {
	for _, s := range scores {
		if s != float64(int(s)) {
			return 0.01
		}
	}
	return 1
}

// rules leaves out those that gave nothing in the plan nor in any rehearsal.
func rules(h *results.Header, v *results.Variant, list []*results.Result) []Rule {
	var out []Rule
	for i, name := range h.Rules {
		points := stats.Describe(each(list, func(r *results.Result) float64 { return r.Points[i] }))
		counts := stats.Describe(each(list, func(r *results.Result) float64 { return r.Count[i] }))
		if v.Plan.Count[i] == 0 && counts.Most == 0 && counts.Least == 0 {
			continue
		}
		kept := count(list, func(r *results.Result) bool { return r.Count[i] >= v.Plan.Count[i] })
		out = append(out, Rule{Name: name, Plan: v.Plan.Count[i], Kept: kept, Points: points})
	}
	return out
}

// steps follows the plan's achievements through the rehearsals.
func steps(v *results.Variant, list []*results.Result) []Step {
	var out []Step
	for _, step := range v.Plan.Steps() {
		var times []float64
		for _, r := range list {
			if t, found := r.When(step); found {
				times = append(times, t)
			}
		}
		out = append(out, Step{Words: step.Words, Line: step.Line, Plan: step.T, Reached: share(len(times), len(list)),
			T: stats.Describe(times)})
	}
	return out
}

// worst lists the rehearsals with the fewest points among those that were not good; of equal ones the lowest seeds.
func worst(h *results.Header, v *results.Variant, list []*results.Result) []Seed {
	bad := slices.DeleteFunc(slices.Clone(list), func(r *results.Result) bool { return h.Good(v, r) })
	slices.SortStableFunc(bad, func(a, b *results.Result) int { return cmp.Compare(a.Own(v.Side), b.Own(v.Side)) })
	var out []Seed
	for _, r := range bad[:min(worstListed, len(bad))] {
		d := blame(h, v, r)
		out = append(out, Seed{Seed: r.Seed, Score: r.Own(v.Side), Words: d.Words, T: d.T, Open: Open(v, r.Seed)})
	}
	return out
}

// Open is the command that shows a rehearsal again.
func Open(v *results.Variant, seed uint64) string {
	return strings.TrimSpace("chalkfield open "+v.Replay) + fmt.Sprintf(" --seed %d", seed)
}
