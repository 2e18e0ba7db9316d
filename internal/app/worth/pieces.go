package worth

import (
	"cmp"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
)

// takes tells whether a goal takes a piece, and has room.
func (w *finder) takes(goal, piece int) bool {
	kind := &w.f.GoalKinds[w.f.Goals[goal].Kind]
	in := 0
	for _, p := range w.f.Pieces {
		if p.Goal == goal {
			in++
		}
	}
	return in < kind.Room && slices.Contains(kind.Takes, w.f.Pieces[piece].Kind)
}

// mine tells whether a piece may be had: it lies on the floor, or in the own robot.
func (w *finder) mine(piece int) (loaded, may bool) {
	p := &w.f.Pieces[piece]
	if w.judge.state.Pieces[piece].In.Robot() == 0 {
		return true, true
	}
	return false, p.Goal < 0 && w.judge.state.Pieces[piece].In == 0
}

// pieces are the tasks of pieces: each, by each set of rules, into the goal or zone where it brings the most a second.
func (w *finder) pieces() (list []*Task, err error) {
	for k := range w.f.Pieces {
		loaded, may := w.mine(k)
		if !may {
			continue
		}
		if err := w.ctx.Err(); err != nil {
			return nil, err
		}
		got, err := w.fetches(way(w.start), k, loaded)
		if err != nil {
			return nil, err
		}
		var kept []*Task // the best by each set of rules
		better := func(t *Task) {
			if t.Points <= 0 {
				return
			}
			if loaded {
				t.At = w.start.At()
			}
			for i, other := range kept {
				if slices.Equal(other.Rules, t.Rules) {
					if other.Not != "" || t.Not == "" && t.PerSecond > other.PerSecond {
						kept[i] = t
					}
					return
				}
			}
			kept = append(kept, t)
		}
		for _, g := range w.nearGoals(k) {
			t, err := w.intoGoal(k, g, got)
			if err != nil {
				return nil, err
			}
			better(t)
		}
		for z := range w.f.Zones {
			t, err := w.intoZone(k, z, got)
			if err != nil {
				return nil, err
			}
			better(t)
		}
		list = append(list, kept...)
	}
	return list, nil
}

// alike is how many goals of a kind and a side are looked at for a piece: the nearest by the straight line.
const alike = 3

// nearGoals are those that take a piece, the nearest of each kind and side.
func (w *finder) nearGoals(piece int) (list []int) {
	at := w.f.Pieces[piece].At
	far := func(g int) float64 {
		dx, dy := w.f.Goals[g].At.X-at.X, w.f.Goals[g].At.Y-at.Y
		return float64(dx*dx) + float64(dy*dy)
	}
	for g := range w.f.Goals {
		if w.takes(g, piece) {
			list = append(list, g)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(far(a), far(b)) })
	type sort struct{ kind, side int }
	seen := map[sort]int{}
	return slices.DeleteFunc(list, func(g int) bool {
		s := sort{w.f.Goals[g].Kind, w.f.Goals[g].Side}
		seen[s]++
		return seen[s] > alike
	})
}

func (w *finder) intoGoal(piece, goal int, ways []fetched) (*Task, error) {
	p, g := &w.f.Pieces[piece], &w.f.Goals[goal]
	t := w.task(p.Name+" into "+g.Name, p.Name, g.Name, p.At.At(), w.judge.before, w.judge.into(piece, goal))
	if t.Points <= 0 {
		return t, nil
	}
	t.Not = "the robot has nothing that puts it there"
	for i := range w.machine.servers {
		s := &w.machine.servers[i]
		first, each, can := w.serves(s, goal)
		if !can {
			continue
		}
		got, can := soonest(ways, s)
		if !can {
			continue
		}
		one := *t
		one.Drive, one.Not = got.way, ""
		if !got.way.blocked {
			var err error
			if one.Drive, err = w.put(got.way, s, goal); err != nil {
				return nil, err
			}
		}
		if !one.Drive.blocked {
			puts, err := w.serverPuts(&one.Drive, s, goal)
			if err != nil {
				return nil, err
			}
			one.Chance = got.chance.times(puts).mean()
		}
		one.Mechanism = got.seconds + first + each
		if one.close(); t.Not != "" || one.PerSecond > t.PerSecond {
			*t = one
		}
	}
	return t, nil
}

// fetched is the way to a piece that is taken there.
type fetched struct {
	way     Way
	chance  chances
	seconds float64 // of the hand
	hand    *hand   // nil: it was loaded
}

// fetches goes to a piece and takes it, by each hand; one that is loaded is there.
func (w *finder) fetches(v Way, piece int, loaded bool) (list []fetched, err error) {
	if loaded {
		return []fetched{{v, w.sure(), 0, nil}}, nil
	}
	at := w.f.Pieces[piece].At.At()
	for i := range w.machine.hands {
		h := &w.machine.hands[i]
		out, err := w.pick(v, h, at)
		if err != nil {
			return nil, err
		}
		chance := w.sure()
		if !out.blocked {
			chance = w.handTakes(&out, h, piece)
		}
		list = append(list, fetched{out, chance, h.seconds, h})
	}
	return list, nil
}

// soonest is the quickest way by which a server, or with nil any hand, has the piece; false where none does.
func soonest(ways []fetched, s *server) (best fetched, can bool) {
	for _, f := range ways {
		if !s.has(f.hand) {
			continue
		}
		sooner := !f.way.blocked && (best.way.blocked || f.way.Seconds+f.seconds < best.way.Seconds+best.seconds)
		if !can || sooner {
			best, can = f, true
		}
	}
	return best, can
}

func (w *finder) intoZone(piece, zone int, ways []fetched) (*Task, error) {
	p, z := &w.f.Pieces[piece], &w.f.Zones[zone]
	middle := z.Shape.Centroid()
	t := w.task(p.Name+" into "+z.Name, p.Name, z.Name, p.At.At(), w.judge.before, w.judge.onto(piece, middle))
	if t.Points <= 0 {
		return t, nil
	}
	got, can := soonest(ways, nil)
	if !can || len(w.machine.hands) == 0 {
		t.Not = "the robot has nothing to carry it with"
		return t, nil
	}
	v := got.way
	var err error
	if off := (geom.Vec{X: middle.X - v.End.X, Y: middle.Y - v.End.Y}); !v.blocked && geom.Norm(off) > 0 {
		u := geom.Direction(off)
		reach := math.Abs(w.machine.hands[0].reach)
		err = w.to(&v, geom.Vec{X: middle.X - float64(reach*u.X), Y: middle.Y - float64(reach*u.Y)})
	}
	t.Drive, t.Chance, t.Mechanism = v, got.chance.mean(), got.seconds+w.machine.hands[0].seconds
	return t.close(), err
}
