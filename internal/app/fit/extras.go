package fit

import (
	"context"
	"math"
	"slices"

	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/mat"
)

// extra rows are faults that many robots have and most files say nothing of. They are not smooth about nothing, so that
// no slope there tells of them: each is tried at some sizes, and fitted where one explains the logs clearly better.
func extraRows(spec *robot.Robot) []*row {
	const unit = 0.01
	band := extra("dead_band", "V", 1, []float64{0.3, 0.7, 1.3}, 3,
		func(r *robot.Robot) *float64 { return &r.Drive.DeadBand })
	play := extra("backlash", "rad", unit, []float64{1, 3, 8}, 30,
		func(r *robot.Robot) *float64 { return &r.Drive.Backlash })
	slew := extra("slew", "V/s", unit, []float64{0.5, 1.5, 5}, 10,
		func(r *robot.Robot) *float64 { return &r.Drive.Slew })
	slew.low = 0
	band.alone = unseen + ": less than some half a volt looks like friction; a slower ramp shows more"
	slew.apply = func(m *machine, number float64) { // how long the controller takes for a volt, in hundredths of a second
		perVolt := float64(unit * number)
		if m.spec.Drive.Slew > 0 {
			perVolt += 1 / m.spec.Drive.Slew
		}
		m.spec.Drive.Slew = 0
		if perVolt > 0 {
			m.spec.Drive.Slew = 1 / perVolt
		}
	}
	return []*row{band, slew, play}
}

// staticRow is the friction of a tyre that does not slide over that of one that does, beyond the file's.
func staticRow() *row {
	at := func(w *robot.Wheel) *float64 { return &w.Static }
	r := wheelFactor("static", at)
	r.sd, r.low, r.high, r.step = 0.6, 0, 1, 0.03
	r.apply = func(m *machine, number float64) {
		for i := range m.spec.Wheels {
			w := &m.spec.Wheels[i]
			w.Static = math.Max(1, w.Static) + number
		}
	}
	r.tries, r.alone = []float64{0.15, 0.3, 0.6}, unseen
	return r
}

const unseen = "nothing of it is seen in these logs"

// extra is a row of a fault of the drive, by its size beyond the file's in some unit.
func extra(name, unit string, worth float64, tries []float64, most float64, at func(r *robot.Robot) *float64) *row {
	key := "drive." + name
	return &row{keys: []string{key}, sd: tries[len(tries)-1], low: 0, high: most, step: tries[0] / 5, takes: anyMotion,
		apply: func(m *machine, number float64) { *at(m.spec) += float64(worth * number) },
		shown: []shown{one(key, unit, at, fixed(key))}, tries: tries, alone: unseen}
}

// What an extra row must come to: so much less is left over with it than without, and so many of its errors.
const (
	clearly  = 0.05
	certain  = 3.0
	mostOdds = 2 // extra rows
)

// extras tries the extra rows, and fits those that explain the logs clearly better, the best first.
func (e *estimation) extras(ctx context.Context) error {
	for range mostOdds {
		best, number, err := e.bestExtra(ctx)
		if err != nil || best == nil {
			return err
		}
		before := *e
		before.active, before.numbers, before.alone = slices.Clone(e.active), slices.Clone(e.numbers), slices.Clone(e.alone)
		delete(e.states, best)
		e.active, e.numbers = append(e.active, best), append(e.numbers, number)
		if err := e.settle(ctx); err != nil {
			return err
		}
		j := slices.Index(e.active, best)
		if j < 0 || e.numbers[j] < certain*math.Sqrt(e.covariance().At(j, j)) {
			rounds := e.rounds
			*e = before
			e.rounds, e.states[best] = rounds, verdict{Untold, best.alone}
			return nil
		}
	}
	return nil
}

// bestExtra is the extra row that leaves least, and its number; nil if none leaves clearly less.
func (e *estimation) bestExtra(ctx context.Context) (best *row, number float64, err error) {
	least := (1 - clearly) * left(e.got.Residuals)
	for _, r := range e.rows {
		if r.tries == nil || r.held || slices.Contains(e.active, r) {
			continue
		}
		for _, try := range r.tries {
			off, err := e.with(ctx, r, try)
			if err != nil {
				return nil, 0, err
			}
			if off < least {
				best, number, least = r, try, off
			}
		}
	}
	return best, number, nil
}

// with is what is left with an extra row at a number, after a step of the others that answers to it.
func (e *estimation) with(ctx context.Context, r *row, number float64) (float64, error) {
	rows, numbers := append(slices.Clone(e.active), r), append(slices.Clone(e.numbers), number)
	residuals := make([]float64, e.n)
	if err := e.residuals(ctx, rows, numbers, residuals); err != nil {
		return 0, err
	}
	off := left(residuals)
	pull := e.pull(e.numbers, residuals, nil)
	var factor mat.Cholesky
	var step mat.VecDense
	if !factor.Factorize(e.seen(nil)) || factor.SolveVecTo(&step, pull) != nil {
		return off, nil
	}
	for j, a := range e.active {
		numbers[j] = min(a.high, max(a.low, numbers[j]+step.AtVec(j)))
	}
	if err := e.residuals(ctx, rows, numbers, residuals); err != nil {
		return 0, err
	}
	return min(off, left(residuals)), nil
}

// left is the sum of the sizes of residuals, those that are far off counted by their size and not its square (Huber).
func left(residuals []float64) float64 {
	const cut = 1.345 * leastScale
	sum := 0.0
	for _, r := range residuals {
		inside := math.Min(math.Abs(r), cut)
		sum += inside * (2*math.Abs(r) - inside)
	}
	return sum
}
