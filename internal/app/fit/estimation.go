package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/stats"
	"chalkfield/sim/robot"
)

// estimation is a fit under way.
type estimation struct {
	spec    *robot.Robot
	options Options
	stage   *stage
	drives  []*drive
	all     []*recording // of stand-stills too
	order   []int        // of the drives, the longest first: who simulates many at once ends sooner
	wheels  [2]float64
	rows    []*row // all
	states  map[*row]verdict
	series  []int
	n       int // residuals

	active  []*row // those that are fitted
	numbers []float64
	got     stats.Estimate
	rounds  int
}

// verdict is what became of a row.
type verdict struct {
	state State
	why   string
}

func newEstimation(spec *robot.Robot, drives []*drive, all []*recording, rows []*row, o Options) (*estimation, error) {
	stage, err := newStage()
	if err != nil {
		return nil, err
	}
	e := &estimation{spec: spec, options: o, stage: stage, drives: drives, all: all, rows: rows, wheels: radiiOf(spec),
		states: map[*row]verdict{}}
	for i := range drives {
		e.order = append(e.order, i)
	}
	slices.SortStableFunc(e.order, func(a, b int) int { return bySize(drives[a], drives[b]) })
	e.layOut()
	e.choose()
	return e, nil
}

// layOut gives each comparison its place among the residuals: cell by cell, drive by drive, then the ends, each kind of
// which is one series.
func (e *estimation) layOut() {
	for _, d := range e.drives {
		for i := range d.signals {
			s := &d.signals[i]
			s.at = e.n
			n := 0
			for _, v := range s.values {
				if v == v {
					n++
				}
			}
			e.n += n
			e.series = append(e.series, n)
		}
	}
	for k := endLeft; k < kinds; k++ {
		n := 0
		for _, d := range e.drives {
			if end := d.end(k); end != nil {
				end.at = e.n
				e.n++
				n++
			}
		}
		if n > 0 {
			e.series = append(e.series, n)
		}
	}
}

// choose takes the rows of which the logs may say something.
func (e *estimation) choose() {
	torqueHeld := slices.ContainsFunc(e.rows, func(r *row) bool { return r.held && r.name() == motorPath("stall_torque")(e.spec) })
	for _, r := range e.rows {
		switch {
		case r.held:
			e.states[r] = verdict{Held, ""}
		case r.name() == "chassis.mass" && !torqueHeld:
			e.states[r] = verdict{Shared, "a heavier robot with stronger motors drives the same"}
		case !e.sees(r):
			e.states[r] = verdict{Untold, r.alone}
		default:
			e.active = append(e.active, r)
		}
	}
	e.numbers = make([]float64, len(e.active))
}

// sees tells whether any drive has a signal that a row takes.
func (e *estimation) sees(r *row) bool {
	for _, d := range e.drives {
		for _, k := range r.takes {
			if d.signal(k) != nil || d.end(k) != nil {
				return true
			}
		}
	}
	return false
}

// predict simulates the drives with a machine.
func (e *estimation) predict(ctx context.Context, m machine, which []int) (map[int]*motion, error) {
	out := make(map[int]*motion, len(which))
	err := pool.Each(ctx, which, pool.Cores(), func(_ context.Context, i int) (*motion, error) {
		return e.stage.simulate(m, e.drives[i], e.wheels)
	}, func(done []pool.Done[*motion]) error {
		for _, d := range done {
			out[d.Index] = d.Result
		}
		return nil
	})
	return out, err
}

// compare fills in a drive's residuals: predicted less measured, in units of the noise.
func (d *drive) compare(m *motion, residuals []float64) {
	for _, s := range d.signals {
		at := s.at
		for i, p := range m.cells(s.kind, d.edges) {
			if v := s.values[i]; v == v {
				residuals[at] = (p - v) / s.noise
				at++
			}
		}
	}
	for _, end := range d.ends {
		residuals[end.at] = (m.ended(end.kind) - end.value) / end.noise
	}
}

// residuals compares all drives with what a machine of the rows' numbers does.
func (e *estimation) residuals(ctx context.Context, rows []*row, numbers, out []float64) error {
	done, err := e.predict(ctx, e.apply(rows, numbers), e.order)
	if err != nil {
		return err
	}
	for i, d := range e.drives {
		d.compare(done[i], out)
	}
	return nil
}

// solve fits the active rows from their present numbers.
func (e *estimation) solve(ctx context.Context, tolerance float64, rounds int, from, to float64, text string) error {
	p := stats.Problem{Series: e.series, Loss: stats.Huber, Tolerance: tolerance, MaxRounds: rounds,
		Residuals: func(numbers, out []float64) error { return e.residuals(ctx, e.active, numbers, out) },
		Progress: func(round int, _ float64, _ []float64) {
			e.options.progress(text, from+float64((to-from)*(1-math.Exp2(-float64(round)/2))))
		},
	}
	for i, r := range e.active {
		p.Parameters = append(p.Parameters, stats.Parameter{Name: r.name(), Start: math.Max(r.low, math.Min(r.high, e.numbers[i])),
			Low: r.low, High: r.high, Step: r.step, PriorSD: r.sd})
	}
	got, err := stats.Fit(ctx, p)
	if err != nil {
		return err
	}
	e.got, e.numbers = got, got.Values
	e.rounds += got.Rounds
	return nil
}

// run finds the values.
func (e *estimation) run(ctx context.Context) error {
	if len(e.active) == 0 {
		return fmt.Errorf("nothing is left to fit: everything is held, or the logs tell nothing of it")
	}
	e.begin()
	if err := e.findRest(ctx); err != nil {
		return err
	}
	if err := e.solve(ctx, roughly, 6, 0.05, 0.5, "fitting all that the logs may tell"); err != nil {
		return err
	}
	for e.leaveOut() && len(e.active) > 0 {
		if err := e.solve(ctx, roughly, 6, 0.5, 0.7, "fitting what they do tell"); err != nil {
			return err
		}
	}
	if len(e.active) == 0 {
		return nil
	}
	return e.solve(ctx, closely, 12, 0.7, 0.8, "fitting what they do tell")
}

// How near the optimum a fit ends, in standard errors; nearer than closely, no error would be smaller.
const (
	roughly = 0.3
	closely = 0.05
)
