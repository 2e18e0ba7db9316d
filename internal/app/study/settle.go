package study

import (
	"context"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// fewFirst are the rehearsals by which a value that is to stand for the winner's is tried first.
const fewFirst = 4

// settle gives each freedom of the winner today's value where that comes to the very same in every rehearsal, and else
// a number the middle of what does: the search leaves at random what does not matter, and may leave it at the edge of
// where it does. Nothing is picked for being better, so the seeds stay fresh.
func (t *Tune) settle(ctx context.Context) error {
	t.now.Doing = "settling what does not matter"
	s, values := t.Header.Search, slices.Clone(t.found.Winner)
	if !t.Header.Nominal && s.Around < stats.FewestPairs(1) {
		return nil
	}
	t.settleTo = t.jobs + t.settling
	for k := range 2 * len(s.Freedoms) { // once more: what mattered may do so no longer, now that others have settled
		i, again := k%len(s.Freedoms), k >= len(s.Freedoms)
		x := s.Freedoms[i].Today
		if values[i] == x {
			continue
		}
		same, err := t.same(ctx, values, i, x)
		if err == nil && !same && !again {
			if x, err = t.middle(ctx, values, i); err == nil && x != values[i] {
				same, err = t.same(ctx, values, i, x)
			}
		}
		if err == errSpent {
			break
		}
		if err != nil {
			return err
		}
		if same {
			values[i] = x
		}
	}
	t.found.Winner = values
	if slices.Equal(t.found.RunnerUp, values) {
		t.found.RunnerUp = nil
	}
	return nil
}

// same reports whether a freedom with another value comes to the same in all rehearsals about the winner.
func (t *Tune) same(ctx context.Context, values []float64, freedom int, x float64) (bool, error) {
	around := t.Header.Search.Around
	for _, count := range []int{min(fewFirst, around), around} {
		if like, err := t.alike(ctx, values, freedom, []float64{x}, count); err != nil || !like[0] {
			return false, err
		}
	}
	return true, nil
}

// alike says of each of some values of a freedom whether it comes to the same in so many rehearsals.
func (t *Tune) alike(ctx context.Context, values []float64, freedom int, list []float64, count int) ([]bool, error) {
	one, others := t.contender(values), make([]*contender, len(list))
	for k, x := range list {
		with := slices.Clone(values)
		with[freedom] = x
		others[k] = t.contender(with)
	}
	all := append(others[:len(others):len(others)], one)
	if err := t.give(ctx, all, t.found.Fresh, count, t.settleTo); err != nil {
		return nil, err
	}
	like := make([]bool, len(list))
	for k, c := range others {
		like[k] = slices.EqualFunc(c.first(t.found.Fresh, count), one.first(t.found.Fresh, count), (*results.Result).Alike)
	}
	return like, nil
}

// middle is that of the values of a number that come to the same, as far as those beside the winner's tell; of what is
// no number, the winner's own.
func (t *Tune) middle(ctx context.Context, values []float64, freedom int) (float64, error) {
	f, own := &t.Header.Search.Freedoms[freedom], values[freedom]
	if f.Kind != "" {
		return own, nil
	}
	ends := [2]float64{own, own}
	for side, list := range f.Beside(own) {
		like, err := t.alike(ctx, values, freedom, list, min(fewFirst, t.Header.Search.Around))
		if err != nil {
			return own, err
		}
		for k := 0; k < len(list) && like[k]; k++ {
			ends[side] = list[k]
		}
	}
	return f.Number(f.Share(ends[0]/2 + ends[1]/2)), nil
}
