package analysis

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
)

// readings says of each freedom whether the routine asks for it in all rehearsals, or when it does.
func (t *Tune) readings(of *tuning, list []*results.Result) {
	list = sound(list) // what fails may do so before it asks
	for i := range t.Freedoms {
		f := &t.Freedoms[i]
		var with, without []*results.Result
		for _, r := range list {
			if r.Asked[i] {
				with = append(with, r)
			} else {
				without = append(without, r)
			}
		}
		if len(with) == 0 || len(without) == 0 {
			continue
		}
		f.Reads = t.when(i, with, without)
		here := func(r *results.Result) bool { return r.Asked[i] }
		if !slices.ContainsFunc(of.runs(t.Winner.Values, t.Confirm), here) && f.Matters == DoesNot {
			f.Matters = NotRead
		}
	}
}

// when is a value of another freedom that tells the rehearsals apart that read one: all that have it do.
func (t *Tune) when(i int, with, without []*results.Result) string {
	for j := range t.Freedoms {
		f := &t.Freedoms[j].Freedom
		low, high := span(with, j)
		least, most := span(without, j)
		switch {
		case j == i || f.Kind == scripting.Order:
		case f.Kind != "" && low == high && (low < least || low > most):
			return fmt.Sprintf("with %s = %s", f.Name, f.Words(low))
		case f.Kind == "" && low > most:
			return fmt.Sprintf("with %s of %s and more", f.Name, f.Words(low))
		case f.Kind == "" && high < least:
			return fmt.Sprintf("with %s of %s and less", f.Name, f.Words(high))
		}
	}
	return fmt.Sprintf("in %d of %s", len(with), units.Counted(len(with)+len(without), "rehearsal"))
}

// span is the least and the greatest value of a freedom that rehearsals have.
func span(list []*results.Result, freedom int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, r := range list {
		low, high = min(low, r.Tried[freedom]), max(high, r.Tried[freedom])
	}
	return low, high
}
