package search

import "slices"

// neighbours of a point that have not been seen, in an order that is drawn: those that choose another option, and those
// that have one order changed by an insertion, an exchange or a reversal.
func (s *Search) neighbours(p Point) (list []Point) {
	known := map[string]bool{}
	add := func(q Point) {
		if key := q.key(); !known[key] && (s.climb != nil || !s.seen[key]) {
			known[key] = true
			list = append(list, q)
		}
	}
	known[p.key()] = true
	for k, n := range s.space.Choices {
		for option := range n {
			q := p
			q.Choices = slices.Clone(p.Choices)
			q.Choices[k] = option
			add(q)
		}
	}
	for k := range s.space.Orders {
		for _, order := range moved(p.Orders[k]) {
			q := p
			q.Orders = slices.Clone(p.Orders)
			q.Orders[k] = order
			add(q)
		}
	}
	s.draw.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

// moved are the orders next to one; some of them twice.
func moved(order []int) (list [][]int) {
	for i := range order {
		for j := range order {
			if i == j {
				continue
			}
			inserted := slices.Delete(slices.Clone(order), i, i+1)
			list = append(list, slices.Insert(inserted, j, order[i]))
			if i > j {
				continue
			}
			exchanged, reversed := slices.Clone(order), slices.Clone(order)
			exchanged[i], exchanged[j] = exchanged[j], exchanged[i]
			slices.Reverse(reversed[i : j+1])
			list = append(list, exchanged, reversed)
		}
	}
	return list
}

// kicks are how many moves away a search begins anew.
const kicks = 3

// kicked is a point some random moves away.
func (s *Search) kicked(p Point) Point {
	for range kicks {
		var all []Point
		for k, n := range s.space.Choices {
			q := p
			q.Choices = slices.Clone(p.Choices)
			q.Choices[k] = s.draw.IntN(n)
			all = append(all, q)
		}
		for k, order := range p.Orders {
			next := moved(order)
			if len(next) == 0 {
				continue
			}
			q := p
			q.Orders = slices.Clone(p.Orders)
			q.Orders[k] = next[s.draw.IntN(len(next))]
			all = append(all, q)
		}
		if len(all) > 0 {
			p = all[s.draw.IntN(len(all))]
		}
	}
	return p
}
