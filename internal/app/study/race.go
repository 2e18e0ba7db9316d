package study

import (
	"context"
	"fmt"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/search"
)

// contender is values of the freedoms with what was rehearsed of them.
type contender struct {
	values []float64
	runs   map[uint64]*results.Result // by seed
}

// contender of some values; the same for the same.
func (t *Tune) contender(values []float64) *contender {
	key := fmt.Sprint(values)
	c, known := t.known[key]
	if !known {
		c = &contender{values, map[uint64]*results.Result{}}
		t.known[key] = c
	}
	return c
}

// worth is what a candidate comes to over the first so many of the seeds from one on.
func (t *Tune) worth(c *contender, from uint64, count int) results.Worth {
	return t.Subject.Worth(t.Goal, c.first(from, count))
}

// has reports whether a candidate has been rehearsed with so many seeds.
func (c *contender) has(from uint64, count int) bool {
	for k := range count {
		if c.runs[from+uint64(k)] == nil {
			return false
		}
	}
	return true
}

// first are a candidate's rehearsals with so many seeds, which it has.
func (c *contender) first(from uint64, count int) (list []*results.Result) {
	for k := range count {
		list = append(list, c.runs[from+uint64(k)])
	}
	return list
}

// give makes candidates have so many seeds each, all the same ones. most is how many rehearsals there may be, in all
// since the study began.
func (t *Tune) give(ctx context.Context, list []*contender, from uint64, count, most int) error {
	var todo []rehearsal
	taken := map[*contender]bool{}
	for _, c := range list {
		if taken[c] {
			continue
		}
		taken[c] = true
		for k := range count {
			if seed := from + uint64(k); c.runs[seed] == nil {
				todo = append(todo, rehearsal{c, seed})
			}
		}
	}
	if t.jobs+len(todo) > most {
		return errSpent
	}
	return t.rehearse(ctx, todo)
}

// rank sorts candidates by what they come to over common seeds, best first; equal ones stay as they were.
func (t *Tune) rank(list []*contender, from uint64, count int) {
	worth := map[*contender]results.Worth{}
	for _, c := range list {
		worth[c] = t.worth(c, from, count)
	}
	slices.SortStableFunc(list, func(a, b *contender) int {
		switch {
		case worth[a].Better(worth[b]):
			return -1
		case worth[b].Better(worth[a]):
			return 1
		}
		return 0
	})
}

// race ranks a batch by successive halving (K. Jamieson and A. Talwalkar, Non-stochastic best arm identification and
// hyperparameter optimization, AISTATS 2016): all have few rehearsals, the better half of them twice as many, and so
// on. The first ones, which are known, have all of theirs and stay.
func (t *Tune) race(ctx context.Context, list []*contender, known, most int) error {
	s := t.Header.Search
	held, fresh := list[:known:known], slices.Clone(list[known:])
	var out []*contender // dropped, the later in front
	for count := max(1, s.Each/firstOf); ; count *= 2 {
		all := append(held[:known:known], fresh...)
		if err := t.give(ctx, all, t.Header.Seed, count, most); err != nil {
			return err
		}
		t.rank(all, t.Header.Seed, count)
		if count >= s.Each {
			copy(list, append(all, out...))
			return nil
		}
		t.rank(fresh, t.Header.Seed, count)
		keep := (len(fresh) + 1) / 2
		out = append(slices.Clone(fresh[keep:]), out...)
		fresh = fresh[:keep]
	}
}

// firstOf is into how many the rehearsals of a candidate are parted: its first round has one part.
const firstOf = 8

// search looks for better values from some on, until so many rehearsals are made in all.
func (t *Tune) search(ctx context.Context, from *contender, step float64, most int) error {
	s := t.Header.Search
	engine := search.New(t.space(), t.point(from.values), search.Options{Seed: t.Header.Seed + uint64(t.found.Moves),
		Batch: batchOf, Tolerance: 1e-3, Step: step})
	if err := t.give(ctx, []*contender{from}, t.Header.Seed, s.Each, most); err != nil {
		return err
	}
	t.better(from)
	for idle := 0; idle < mostIdle; {
		points := engine.Ask()
		if points == nil {
			break
		}
		before := t.jobs
		list := make([]*contender, len(points))
		for i, p := range points {
			list[i] = t.contender(t.values(p))
		}
		if err := t.race(ctx, list, t.knownOf(list), most); err == errSpent {
			break
		} else if err != nil {
			return err
		}
		engine.Tell(orderOf(t, list, points))
		t.better(t.contender(t.values(engine.Best())))
		if idle++; t.jobs > before {
			idle = 0
		}
	}
	t.found.Restarts += engine.Restarts()
	return nil
}

const (
	batchOf   = 8   // points of a batch of moves
	finalPart = 4   // one part of so many of the budget is the final's
	wide      = 0.2 // first steps of a search, as a share of the limits' distance
	narrow    = 0.1 // of one that goes on from a better point
	mostIdle  = 100 // batches without anything new: all that the steps of numbers leave has been tried
)

func (t *Tune) tooSmall(err error) error {
	if err != errSpent {
		return err
	}
	return fmt.Errorf("-n %d is too small a budget: today's values alone take %d rehearsals; give 200 or more",
		t.Header.Search.Budget, t.Header.Search.Each)
}

// knownOf is how many at the head of a batch have all their rehearsals.
func (t *Tune) knownOf(list []*contender) int {
	n := 0
	for n < len(list) && list[n].has(t.Header.Seed, t.Header.Search.Each) {
		n++
	}
	return n
}

// orderOf is a ranking as the engine takes it: indices of the points. Several points may have the same values.
func orderOf(t *Tune, ranked []*contender, points []search.Point) []int {
	var order []int
	used := make([]bool, len(points))
	for _, c := range ranked {
		for i, p := range points {
			if !used[i] && t.contender(t.values(p)) == c {
				used[i] = true
				order = append(order, i)
				break
			}
		}
	}
	return order
}

// better notes the best so far.
func (t *Tune) better(c *contender) {
	worth, n := t.worth(c, t.Header.Seed, t.Header.Search.Each), len(t.found.Progress)
	if n > 0 && !worth.Better(t.found.Progress[n-1].Worth) {
		return
	}
	t.now.Best, t.now.Worth = c.values, worth
	one := t.now
	one.Done = t.jobs
	t.found.Progress = append(t.found.Progress, one)
	t.tell(t.now)
}

// finalists are how many of the search's best meet in the final.
const finalists = 8

// final holds the best of the search against each other, with other seeds: the best of many looks better than it is
// with the seeds that it was picked for. Some are in it in any case. It makes so many rehearsals at most.
func (t *Tune) final(ctx context.Context, sure []*contender, budget int) error {
	h := &t.Header
	list := slices.Clone(sure) // first: of equals what there is today stays
	for _, c := range t.inOrder() {
		if !slices.Contains(sure, c) && c.has(h.Seed, h.Search.Each) {
			list = append(list, c)
		}
	}
	t.rank(list[len(sure):], h.Seed, h.Search.Each)
	list = list[:min(max(finalists, len(sure)), len(list))]
	if h.Nominal {
		if err := t.give(ctx, list, h.Seed, 1, h.Count); err != nil {
			return err
		}
		t.rank(list, h.Seed, 1)
	} else if err := t.halve(ctx, list, t.seeds(finalSeeds), budget); err != nil {
		return err
	}
	t.found.Winner, t.found.RunnerUp = t.settled(list[0]), nil
	for _, c := range list[1:] {
		if next := t.settled(c); t.found.RunnerUp == nil && !slices.Equal(next, t.found.Winner) {
			t.found.RunnerUp = next
		}
	}
	return nil
}

// settled are a candidate's values, those that the routine never read with them as they are today: it comes to the
// same.
func (t *Tune) settled(c *contender) []float64 {
	values := slices.Clone(c.values)
	for i, f := range t.Header.Search.Freedoms {
		read := false
		for _, r := range c.runs {
			read = read || r.Asked[i] || r.Failed() != nil
		}
		if !read {
			values[i] = f.Today
		}
	}
	return values
}

// inOrder lists the candidates by their values, so that equals are ranked the same each time.
func (t *Tune) inOrder() (list []*contender) {
	for _, c := range t.known {
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b *contender) int { return slices.Compare(a.values, b.values) })
	return list
}

// halve spends so many rehearsals on ranking candidates: each round has an equal part of them, and the better half goes
// on.
func (t *Tune) halve(ctx context.Context, list []*contender, from uint64, budget int) error {
	rounds := 0
	for n := 1; n < len(list); n *= 2 {
		rounds++
	}
	most, count, alive := t.jobs+budget, 0, list
	for round := range rounds {
		share := budget / rounds / len(alive)
		if share == 0 && round > 0 {
			break
		}
		count += max(1, share)
		if err := t.give(ctx, alive, from, count, most); err == errSpent {
			break
		} else if err != nil {
			return err
		}
		t.rank(alive, from, count)
		alive = alive[:(len(alive)+1)/2]
	}
	return nil
}
