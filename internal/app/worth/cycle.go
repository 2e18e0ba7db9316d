package worth

import (
	"cmp"
	"slices"

	"chalkfield/fields"
	"chalkfield/sim/scoring"
)

// driverSeconds is the longest driver phase of the field, s; 0: none.
func (w *finder) driverSeconds() (most float64) {
	for _, p := range w.f.Phases {
		if p.Control == fields.Driver {
			most = max(most, p.Seconds)
		}
	}
	return most
}

// cycles are those of each goal that a server can fill, the best first: pieces, nearest first, as many as the robot
// holds, then back, until the time, the room or the pieces are used up.
func (w *finder) cycles(seconds float64) (list []*Cycle, err error) {
	if seconds == 0 {
		return nil, nil
	}
	for g := range w.f.Goals {
		var best *Cycle
		for i := range w.machine.servers {
			if _, _, can := w.serves(&w.machine.servers[i], g); !can {
				continue
			}
			c, err := w.cycle(&w.machine.servers[i], g, seconds)
			if err != nil {
				return nil, err
			}
			if c != nil && (best == nil || c.Total > best.Total) {
				best = c
			}
		}
		if best != nil {
			list = append(list, best)
		}
	}
	slices.SortStableFunc(list, func(a, b *Cycle) int { return cmp.Compare(b.PerSecond, a.PerSecond) })
	return list, nil
}

// cycle fills a goal again and again; nil where it brings nothing.
func (w *finder) cycle(s *server, goal int, seconds float64) (*Cycle, error) {
	at, err := w.put(way(w.start), s, goal)
	if err != nil || at.blocked {
		return nil, err
	}
	first, each, _ := w.serves(s, goal)
	space := w.f.GoalKinds[w.f.Goals[goal].Kind].Room
	taken := map[int]bool{}
	for k, p := range w.f.Pieces {
		if p.Goal == goal {
			space--
		}
		if loaded, may := w.mine(k); loaded || !may {
			taken[k] = true
		}
	}
	out := &Cycle{Place: w.f.Goals[goal].Name, Ends: "the time"}
	var change []func(*scoring.State)
	for used := 0.0; ; {
		v, n, mech := way(at.End), 0, 0.0
		var now []int
		for n < min(s.holds, space) {
			k, next, took, err := w.nearest(v, s, goal, taken)
			if err != nil {
				return nil, err
			}
			if k < 0 {
				break
			}
			taken[k] = true
			v, mech, n, now = next, mech+took, n+1, append(now, k)
		}
		if n == 0 {
			out.Ends = "pieces"
			if space == 0 {
				out.Ends = "room"
			}
			break
		}
		back, err := w.put(v, s, goal)
		if err != nil {
			return nil, err
		}
		spent := back.Seconds + mech + first + float64(float64(n)*each)
		if back.blocked || used+spent > seconds {
			break
		}
		used += spent
		space -= n
		for _, k := range now {
			change = append(change, w.judge.into(k, goal))
		}
		out.Fit++
		out.Pieces += float64(n)
		out.Seconds += spent
	}
	if out.Fit == 0 {
		return nil, nil
	}
	out.Total, _ = w.judge.gain(w.judge.before, all(change...))
	if out.Total <= 0 {
		return nil, nil
	}
	times := float64(out.Fit)
	out.PerSecond = out.Total / out.Seconds
	out.Points, out.Pieces, out.Seconds = out.Total/times, out.Pieces/times, out.Seconds/times
	return out, nil
}

// looked is how many pieces, the nearest by the straight line, are looked at for the next one.
const looked = 4

// nearest goes on to the piece that is taken soonest; -1: there is none.
func (w *finder) nearest(v Way, s *server, goal int, taken map[int]bool) (
	piece int, best Way, seconds float64, err error) {
	var list []int
	for k := range w.f.Pieces {
		if !taken[k] && w.takes(goal, k) {
			list = append(list, k)
		}
	}
	far := func(k int) float64 {
		dx, dy := w.f.Pieces[k].At.X-v.End.X, w.f.Pieces[k].At.Y-v.End.Y
		return float64(dx*dx) + float64(dy*dy)
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(far(a), far(b)) })
	piece = -1
	for i, k := range list {
		if piece >= 0 && i >= looked {
			break
		}
		ways, err := w.fetches(v, k, false)
		if err != nil {
			return -1, v, 0, err
		}
		next, can := soonest(ways, s)
		if !can || next.way.blocked {
			continue
		}
		if piece < 0 || next.way.Seconds+next.seconds < best.Seconds+seconds {
			piece, best, seconds = k, next.way, next.seconds
		}
	}
	return piece, best, seconds, nil
}
