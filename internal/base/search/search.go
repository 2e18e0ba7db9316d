// Package search looks for the best of many points that may differ in numbers, choices and orders. It proposes batches
// and is told how each batch ranks, best first; it never sees a value, so that whoever ranks may spend little on poor
// points and compare by whatever counts. The same seed and the same rankings give the same points, on all processors.
//
// Numbers go by CMA-ES (N. Hansen, The CMA Evolution Strategy: A Tutorial, arXiv:1604.00772, 2016), choices and orders
// by moves to neighbours: another option, insertion, exchange, and reversal of a stretch (2-opt: G. A. Croes,
// Operations Research 6 (1958) 791, from memory). What has come to rest is begun anew, elsewhere and with a larger
// population (A. Auger and N. Hansen, A restart CMA evolution strategy with increasing population size, CEC 2005, from
// memory) or about the best, in turn.
//
// Why not gonum's CmaEsChol: its state is closed and lives in a goroutine of its own, so that it cannot go on beside
// moves over orders or about another mean; it knows no limits; and its vector kernels differ between processors.
package search

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// Space is where points lie.
type Space struct {
	Numbers int   // how many, each from 0 to 1
	Choices []int // how many options each has
	Orders  []int // how many things each orders
}

// Point is a place in a space. It is never changed.
type Point struct {
	Numbers []float64
	Choices []int   // from 0
	Orders  [][]int // permutations
}

// key tells points apart.
func (p Point) key() string { return fmt.Sprint(p.Numbers, p.Choices, p.Orders) }

// Options are how a search goes.
type Options struct {
	Seed      uint64
	Batch     int     // points of a batch of moves
	Tolerance float64 // a strategy whose steps are smaller than this is at rest
	Step      float64 // of the first strategy, which begins at the start; a share of the limits' distance
}

// Search is one under way.
type Search struct {
	space      Space
	options    Options
	draw       *rand.Rand
	best, base *Point // the best of all, and what moves start from; nil: not known yet
	climb      *strategy
	moves      []Point // neighbours of the base that are to be tried
	seen       map[string]bool
	batch      []Point
	climbing   bool // the batch is the strategy's
	known      int  // points of the batch that were ranked before
	restarts   int
}

// New begins at a point.
func New(space Space, start Point, o Options) *Search {
	s := &Search{space: space, options: o, draw: rand.New(rand.NewPCG(o.Seed, 0x736561726368)), seen: map[string]bool{}}
	s.best, s.base = &start, &start
	s.seen[start.key()] = true
	if space.Numbers > 0 {
		s.climb = newStrategy(start.Numbers, o.Step, population(space.Numbers))
	}
	s.moves = s.neighbours(start)
	return s
}

// Best of what was ranked; at first the start.
func (s *Search) Best() Point { return *s.best }

// Restarts counts how often it was begun anew.
func (s *Search) Restarts() int { return s.restarts }

// Ask gives the next batch. Its first points are known: the best, and what the others are neighbours of. It is nil when
// there is nothing left to try.
func (s *Search) Ask() []Point {
	for s.rests() {
		if !s.restart() {
			return nil
		}
	}
	s.batch = []Point{*s.best}
	if s.base != nil && s.base.key() != s.best.key() {
		s.batch = append(s.batch, *s.base)
	}
	s.known = len(s.batch)
	s.climbing = s.climb != nil && (!s.climbing || len(s.moves) == 0)
	if s.climbing {
		for _, x := range s.climb.ask(s.draw) {
			s.batch = append(s.batch, Point{x, s.around().Choices, s.around().Orders})
		}
		return s.batch
	}
	n := min(s.options.Batch, len(s.moves))
	for _, p := range s.moves[:n] {
		if s.base != nil {
			p.Numbers = s.base.Numbers // the strategy may have found better ones
		}
		s.batch = append(s.batch, p)
		s.seen[p.key()] = true
	}
	s.moves = s.moves[n:]
	return s.batch
}

// around is the point whose choices and orders the strategy keeps to.
func (s *Search) around() *Point {
	if s.base == nil {
		return s.best
	}
	return s.base
}

// Tell takes how the batch ranks: its indices, best first.
func (s *Search) Tell(order []int) {
	fresh := slices.DeleteFunc(slices.Clone(order), func(i int) bool { return i < s.known })
	if s.climbing {
		for k := range fresh {
			fresh[k] -= s.known
		}
		s.climb.tell(fresh)
	}
	first := order[0]
	base := s.known - 1
	for _, i := range order {
		if i >= s.known || s.base != nil && i == base {
			base = i
			break
		}
	}
	if first != 0 {
		s.best = &s.batch[first]
	}
	s.stand(&s.batch[base], base >= s.known)
	if s.climb != nil {
		s.climb.stands(base >= s.known)
	}
}

// stand takes a base; where it is new, its neighbours are to be tried.
func (s *Search) stand(p *Point, fresh bool) {
	if s.climbing && len(s.moves) == 0 && s.climb.generation%again == 0 {
		s.moves = s.neighbours(*p) // what brought nothing with other numbers may do now
	}
	if s.base != nil && !fresh {
		return
	}
	s.base = p
	if !s.climbing {
		s.moves = s.neighbours(*p)
	}
	if s.climb != nil && !s.climbing {
		s.climb.widen()
	}
}

// again is after how many generations moves are tried once more, with other numbers.
const again = 4

// rests reports whether nothing is left to do from here.
func (s *Search) rests() bool {
	if s.climb != nil {
		return s.climb.rests(s.options.Tolerance)
	}
	return len(s.moves) == 0
}

// restart begins anew: at a random point, or now and then near the best. It reports whether there is anywhere to begin.
func (s *Search) restart() bool {
	s.restarts++
	near := s.restarts%2 == 0 && s.climb == nil || s.restarts%4 == 0
	for range 1000 {
		p := s.random()
		if near {
			p = s.kicked(*s.best)
		}
		if s.climb == nil && s.seen[p.key()] {
			near = false
			continue
		}
		s.base, s.moves = nil, []Point{p}
		if s.climb != nil {
			step, size := 0.3, population(s.space.Numbers)<<min(s.restarts-s.restarts/4, 5)
			if near {
				step, size = 0.1, population(s.space.Numbers)
				p.Numbers = s.best.Numbers
			}
			s.climb = newStrategy(p.Numbers, step, size)
			s.climbing = true
		}
		return true
	}
	return false
}

// random is any point.
func (s *Search) random() (p Point) {
	for range s.space.Numbers {
		p.Numbers = append(p.Numbers, s.draw.Float64())
	}
	for _, n := range s.space.Choices {
		p.Choices = append(p.Choices, s.draw.IntN(n))
	}
	for _, n := range s.space.Orders {
		p.Orders = append(p.Orders, s.draw.Perm(n))
	}
	return p
}
