package fit

import (
	"cmp"
	"context"
	"errors"
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
	rows    []*row       // all
	states  map[*row]verdict
	series  []int
	tapes   []*taped
	n       int   // residuals
	owner   []int // of each, the drive

	active  []*row // those that are fitted
	numbers []float64
	got     stats.Estimate
	slopes  slopes
	drifts  []float64  // see byDrive
	alone   []unfitted // rows that were left out
	rounds  int
	sooner  float64 // s: by so much the battery is read sooner than the motion; 0 where no log tells

	unfinished bool
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
	e := &estimation{spec: spec, options: o, stage: stage, drives: drives, all: all, rows: rows,
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
	e.findTapes()
	e.owner = make([]int, e.n)
	for _, t := range e.tapes {
		last := t.drives[len(t.drives)-1]
		e.owner[t.at], e.owner[t.at+1] = last, last
	}
	for k, d := range e.drives {
		for i := range d.rows() {
			e.owner[i] = k
		}
	}
}

// choose takes the rows of which the logs may say something.
func (e *estimation) choose() {
	torque := motorPath("stall_torque")(e.spec)
	torqueHeld := slices.ContainsFunc(e.rows, func(r *row) bool { return r.held && r.name() == torque })
	for _, r := range e.rows {
		switch {
		case r.held:
			e.states[r] = verdict{Held, ""}
		case r.allowed:
		case r.name() == "chassis.mass" && !torqueHeld:
			e.states[r] = verdict{Shared, "a heavier robot with stronger motors drives the same"}
		case !e.logged(r) && r.aside > 0:
			r.sd, r.blur = r.aside, r.asideBlur
			e.active = append(e.active, r)
		case !e.sees(r), r.tries != nil:
			e.states[r] = verdict{Untold, cmp.Or(r.blind, r.alone)}
		default:
			e.active = append(e.active, r)
		}
	}
	e.numbers = make([]float64, len(e.active))
}

// sees tells whether any drive has a signal that a row takes, or a tape has measured it.
func (e *estimation) sees(r *row) bool { return e.logged(r) || e.byTape(r) }

// byTape tells whether a row is told by a tape alone.
func (e *estimation) byTape(r *row) bool {
	return len(e.tapes) > 0 && !e.logged(r) && slices.Contains(r.takes, endAlong)
}

func (e *estimation) logged(r *row) bool {
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
		return e.stage.simulate(m, e.drives[i], e.wheel(e.drives[i]))
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
				residuals[at] = (p - v) / s.loose[i]
				at++
			}
		}
	}
	for i := range d.ends {
		end := &d.ends[i]
		residuals[end.at] = (m.ended(end) - end.value) / end.noise
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
	for _, t := range e.tapes {
		t.compare(done, out)
	}
	return nil
}

// leastScale is the least scatter of residuals, in their noise, for the loss: so none is cut off that is only rounded,
// for the difference of two rounded readings is up to 2.4 of its standard deviations off.
const leastScale = 2

// solve fits the active rows from their present numbers, by some rounds at most.
func (e *estimation) solve(ctx context.Context, from, to float64) error {
	p := stats.Problem{Series: e.series, Loss: stats.Huber, LeastScale: leastScale, Tolerance: tolerance,
		MaxRounds: rounds, Residuals: func(numbers, out []float64) error { return e.residuals(ctx, e.active, numbers, out) },
		Progress: func(round int, _ float64, _ []float64) {
			e.options.progress("fitting", from+float64((to-from)*(1-math.Exp2(-float64(round)/2))))
		},
	}
	for i, r := range e.active {
		p.Parameters = append(p.Parameters, stats.Parameter{Name: r.name(),
			Start: math.Max(r.low, math.Min(r.high, e.numbers[i])), Low: r.low, High: r.high, Step: r.step, PriorSD: r.sd})
	}
	got, err := stats.Fit(ctx, p)
	if err != nil {
		return err
	}
	e.got, e.numbers = got, got.Values
	e.rounds += got.Rounds
	if err := e.refine(ctx); err != nil {
		return err
	}
	if e.numbers, e.got.Residuals, err = e.chord(ctx, nil, nil, tolerance/2); err != nil {
		return err
	}
	e.drifts = e.byDrive()
	return nil
}

// run finds the values.
func (e *estimation) run(ctx context.Context) error {
	if len(e.active) == 0 {
		return errors.New("nothing is left to fit: everything is held, or the logs tell nothing of it")
	}
	if err := e.start(ctx); err != nil {
		return err
	}
	if err := e.settle(ctx); err != nil || len(e.active) == 0 {
		return err
	}
	return e.extras(ctx)
}

// settle fits the active rows until it is near enough, and leaves out those that are not told.
func (e *estimation) settle(ctx context.Context) error {
	e.unfinished = false
	for turn := range turns {
		begun := slices.Clone(e.numbers)
		done := 0.8 * (1 - math.Exp2(-float64(turn)))
		if err := e.solve(ctx, done, 0.4+done/2); err != nil {
			return err
		}
		took := turn+1 < turns && e.leaveOut() // the slopes are of the rows that are solved for
		if len(e.active) == 0 {
			return nil
		}
		other, err := e.restAnew(ctx)
		if err != nil {
			return err
		}
		if !took && !other && !e.moves(begun) {
			return nil
		}
	}
	e.unfinished = true
	return nil
}

// A fit goes on in turns of some rounds, between which rows that are not told are left out, until it is so near the
// optimum, in standard errors.
const (
	turns     = 7
	rounds    = 6
	tolerance = 0.2
)

// moves tells whether the last turn ended for its rounds alone, and changed a row by more than its error.
func (e *estimation) moves(begun []float64) bool {
	if e.got.End != stats.TooManyRounds {
		return false
	}
	for j := range e.active {
		if math.Abs(e.numbers[j]-begun[j]) > e.got.Corrected[j] {
			return true
		}
	}
	return false
}
