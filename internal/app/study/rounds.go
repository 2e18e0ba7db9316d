package study

import (
	"context"
	"fmt"
	"slices"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
)

// mostMoves is how often a search goes on from a better point that shows beside its winner.
const mostMoves = 3

// moving is how many rehearsals going on from a better point has at most, half of them for its final.
func moving(s *results.Search) int { return min(max(s.Budget/4, 100), 20_000) }

// seeds is the first of a kind that nothing before has met: each move has others. When nothing is drawn, all are alike.
func (t *Tune) seeds(kind uint64) uint64 {
	if t.Header.Nominal {
		return t.Header.Seed
	}
	return t.Header.Seed + kind + movedSeeds*uint64(t.found.Moves)
}

// begin spends the budget on a search from today's values and its final.
func (t *Tune) begin(ctx context.Context) error {
	s := t.Header.Search
	most := s.Budget
	if !t.Header.Nominal {
		most -= s.Budget / finalPart
	}
	today := t.contender(s.Today())
	t.now.Doing, t.now.Best = "searching", today.values
	if err := t.search(ctx, today, wide, most); err == errSpent {
		return fmt.Errorf("-n %d is too small a budget: today's values alone take %d rehearsals; give 200 or more",
			s.Budget, s.Each)
	} else if err != nil {
		return err
	}
	t.now.Doing = "holding the best against each other"
	return t.final(ctx, []*contender{today}, s.Budget-t.jobs)
}

// conclude looks about the winner and confirms it with fresh seeds. Where one beside it, or the runner-up, is better
// beyond chance, the search goes on from there, and all is told anew with seeds that are fresh again: what is told
// last is of seeds by which nothing was picked. Each round may err with the chance of its tests, but only few reach a
// second by chance.
func (t *Tune) conclude(ctx context.Context) error {
	for {
		t.found.Fresh = t.seeds(freshSeeds)
		if err := t.settle(ctx); err != nil {
			return err
		}
		better, err := t.lookAround(ctx)
		if err == nil && (len(better) == 0 || !t.mayGoOn()) {
			better, err = t.confirm(ctx)
		}
		if err != nil || len(better) == 0 || !t.mayGoOn() {
			return err
		}
		t.found.Moves++
		t.now.Planned = t.jobs + moving(t.Header.Search) + t.told
		if err := t.goOn(ctx, better); err != nil {
			return err
		}
	}
}

// mayGoOn reports whether there are rehearsals for another move, and for telling all anew.
func (t *Tune) mayGoOn() bool {
	return t.found.Moves < mostMoves && t.jobs+moving(t.Header.Search)+t.told <= t.Header.Count
}

// lookAround rehearses about the winner, one freedom at a time, and gives what is better beyond chance: the best of all
// that has the better of each freedom, then the better ones.
func (t *Tune) lookAround(ctx context.Context) ([]*contender, error) {
	t.now.Doing = "looking about the best"
	s, winner := t.Header.Search, t.contender(t.found.Winner)
	near, list := s.Near(winner.values), []*contender{winner}
	for _, one := range near {
		list = append(list, t.contender(one.Values))
	}
	if err := t.give(ctx, list, t.found.Fresh, s.Around, t.Header.Count); err != nil {
		return nil, err
	}
	better := t.betterThan(winner, list[1:], s.Around)
	if len(better) == 0 {
		return nil, nil
	}
	joined, moved := slices.Clone(winner.values), map[int]bool{}
	var out []*contender
	for _, k := range better {
		if i := near[k].Freedom; !moved[i] {
			moved[i], joined[i] = true, near[k].Values[i]
		}
		out = append(out, list[1+k])
	}
	if len(moved) > 1 {
		out = slices.Insert(out, 0, t.contender(joined))
	}
	return out, nil
}

// confirm rehearses winner, runner-up and today's values, and gives the runner-up if it is better beyond chance.
func (t *Tune) confirm(ctx context.Context) ([]*contender, error) {
	t.now.Doing = "confirming with fresh seeds"
	s, winner := t.Header.Search, t.contender(t.found.Winner)
	list := []*contender{winner, t.contender(s.Today())}
	if t.found.RunnerUp != nil {
		list = append(list, t.contender(t.found.RunnerUp))
	}
	if err := t.give(ctx, list, t.found.Fresh, s.Confirm, t.Header.Count); err != nil {
		return nil, err
	}
	if len(t.betterThan(winner, list[2:], s.Confirm)) > 0 {
		return list[2:], nil
	}
	return nil, nil
}

// betterThan are the places of those that are better than one beyond chance, over so many fresh seeds, best first.
func (t *Tune) betterThan(one *contender, list []*contender, count int) []int {
	of := func(c *contender) []*results.Result { return c.first(t.found.Fresh, count) }
	others := make([][]*results.Result, len(list))
	for i, c := range list {
		others[i] = of(c)
	}
	return analysis.BetterThan(t.Subject, t.Goal, of(one), others, &t.Header)
}

// goOn searches from the first of some better points, and holds what it finds, these and the winner so far against each
// other.
func (t *Tune) goOn(ctx context.Context, better []*contender) error {
	t.now.Doing = "going on from something better"
	s, winner := t.Header.Search, t.contender(t.found.Winner)
	budget := moving(s)
	if err := t.search(ctx, better[0], narrow, t.jobs+budget/2); err != nil && err != errSpent {
		return err
	}
	sure := []*contender{winner}
	for _, c := range better[:min(len(better), finalists-2)] {
		sure = append(sure, c)
	}
	return t.final(ctx, sure, budget/2)
}
