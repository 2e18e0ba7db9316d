// Package worth tells what the things of a field are worth to a robot: the points that each brings by the game's own
// scoring, the way there and on by the robot's own motions, the time of its mechanisms, and the chance that its spread
// leaves.
package worth

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim"
	"chalkfield/sim/robot"
	"chalkfield/sim/scoring"
)

// finder works it out.
type finder struct {
	ctx     context.Context
	f       *fields.Field
	land    *land
	machine *machine
	judge   *judge
	still   *still
	start   geom.Pose
	side    int
	drawn   []drawn                 // of the spread
	left    map[geom.Pose]geom.Pose // by a way's end
}

// Find works out what a field is worth to a robot.
func Find(ctx context.Context, f *fields.Field, r *robot.Robot, o Options) (*Result, error) {
	session, err := f.SessionNamed(o.Session)
	if err != nil {
		return nil, err
	}
	side := 0
	if o.Side != "" {
		if side, err = f.SideIndex(o.Side); err != nil {
			return nil, err
		}
	}
	start, known := f.StartFor(side)
	if o.Start != nil {
		start, known = *o.Start, true
	}
	if !known {
		if start, known = sim.Room(sim.Config{Field: f, Robots: []sim.Entry{{Spec: r, Side: side}}}); !known {
			return nil, fmt.Errorf("%s has no room for %s", f.Title, r.Title)
		}
	}
	w := &finder{ctx: ctx, f: f, land: newLand(f, r), still: &still{Robot: r, model: r.Model()}, start: start, side: side,
		left: map[geom.Pose]geom.Pose{}}
	if w.judge, err = newJudge(f, r, side, session.Phases[0], start); err != nil {
		return nil, err
	}
	if w.machine, err = newMachine(ctx, r); err != nil {
		return nil, err
	}
	w.draw()
	out := &Result{Field: f, Title: f.Title, Robot: r.Title, Machine: r.Name, Side: f.Sides[side].Name, Start: start,
		Phase: f.Phases[session.Phases[0]].Name}
	for _, find := range []func() ([]*Task, error){w.pieces, w.hauls, w.parks} {
		list, err := find()
		if err != nil {
			return nil, err
		}
		out.Tasks = append(out.Tasks, list...)
	}
	out.Alone = w.alone(out.Tasks)
	slices.SortStableFunc(out.Tasks, func(a, b *Task) int {
		if a.Already != b.Already { // for nothing
			return map[bool]int{true: -1, false: 1}[a.Already]
		}
		return cmp.Or(cmp.Compare(b.PerSecond, a.PerSecond), cmp.Compare(a.Seconds(), b.Seconds()))
	})
	out.Driver = w.driverSeconds()
	if out.Cycles, err = w.cycles(out.Driver); err != nil {
		return nil, err
	}
	return out, w.between(out)
}

// task begins one, with what it brings.
func (w *finder) task(what, thing, place string, at geom.Vec, before []float64, change func(*scoring.State)) *Task {
	t := &Task{What: what, Thing: thing, Place: place, At: at, Chance: 1}
	var rules []int
	t.Points, rules = w.judge.gain(before, change)
	for _, i := range rules {
		t.Rules = append(t.Rules, w.f.Rules[i].Name)
	}
	return t
}

// alone are the rules by which no single thing brings anything.
func (w *finder) alone(tasks []*Task) (list []string) {
	for _, r := range w.f.Rules {
		if !slices.ContainsFunc(tasks, func(t *Task) bool { return slices.Contains(t.Rules, r.Name) }) {
			list = append(list, fmt.Sprintf("%s (%s)", r.Name, r.Kind))
		}
	}
	return list
}

// between works out how long it takes from each goal and zone's middle to each other.
func (w *finder) between(out *Result) error {
	var at []geom.Vec
	for g := range w.f.Goals {
		out.Places, at = append(out.Places, w.f.Goals[g].Name), append(at, w.f.Goals[g].At.At())
	}
	for _, t := range out.Tasks {
		if t.Place != "" && !slices.Contains(out.Places, t.Thing) && len(out.Places) < mostPlaces {
			out.Places, at = append(out.Places, t.Thing), append(at, t.At)
		}
	}
	for i := range at {
		row := make([]float64, len(at))
		for k := range at {
			if i == k {
				continue
			}
			v := way(geom.Pose{X: at[i].X, Y: at[i].Y})
			v.End.Heading = portable.Atan2(at[k].Y-at[i].Y, at[k].X-at[i].X)
			if err := w.to(&v, at[k]); err != nil {
				return err
			}
			if row[k] = v.Seconds; v.blocked {
				row[k] = -1
			}
		}
		out.From = append(out.From, row)
	}
	return nil
}

const mostPlaces = 24
