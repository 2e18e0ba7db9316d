package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// When logs are said to speak against a held value: so many errors, and so much of the value. Common practice, no
// source.
const (
	sureErrors = 5.0
	sureShare  = 0.03
)

func speakFor(value float64, unit string) string {
	return fmt.Sprintf("these logs speak for %s", Printed("", value, 0.02*value, unit))
}

// contradicted says where the logs speak against a value that is held: one step of Gauss and Newton's from the optimum,
// with that value and all fitted ones free.
func (e *estimation) contradicted(ctx context.Context, out *Result) error {
	for _, r := range e.rows {
		if !r.held || r.tries != nil || !e.sees(r) && r.aside == 0 || r.sd != twice || len(e.active) == 0 {
			continue
		}
		number, off, err := e.freed(ctx, r)
		if err != nil {
			return err
		}
		rows, numbers := append(slices.Clone(e.active), r), append(slices.Clone(e.numbers), number)
		before, after := e.apply(e.active, e.numbers), e.apply(rows, numbers)
		was, is := r.shown[0].get(&before), r.shown[0].get(&after)
		i := slices.IndexFunc(out.Parameters, func(p Parameter) bool { return p.Key == r.shown[0].key })
		if math.Abs(number) > sureErrors*off && math.Abs(is/was-1) > sureShare && i >= 0 {
			out.Parameters[i].Why = speakFor(is, r.shown[0].unit)
		}
	}
	for _, p := range out.Parameters {
		if p.State == Held && p.Why != "" {
			out.warn("%s is held, and %s: measure it again, or let it be fitted", p.Key, p.Why)
		}
	}
	return nil
}

// freed is where a held row's number would go, and its error.
func (e *estimation) freed(ctx context.Context, r *row) (number, off float64, err error) {
	rows, step := append(slices.Clone(e.active), r), 5*r.step
	up, down := make([]float64, e.n), make([]float64, e.n)
	if err := e.residuals(ctx, rows, append(slices.Clone(e.numbers), step), up); err != nil {
		return 0, 0, err
	}
	if err := e.residuals(ctx, rows, append(slices.Clone(e.numbers), -step), down); err != nil {
		return 0, 0, err
	}
	floats.Sub(up, down)
	pull, told, variance := 0.0, 0.0, e.got.SD*e.got.SD
	weighed := make([]float64, e.n)
	for i, change := range up {
		slope := change / (2 * step)
		weighed[i] = slope * e.got.Weights[i] / variance
		pull -= float64(weighed[i] * e.got.Residuals[i])
		told += float64(weighed[i] * slope)
	}
	var with, moved mat.VecDense
	with.MulVec(e.slopes.jacobian.T(), mat.NewVecDense(e.n, weighed))
	inverted := inverse(e.seen(nil))
	if inverted == nil {
		return 0, math.Inf(1), nil
	}
	moved.MulVec(inverted, &with)
	if told -= mat.Dot(&with, &moved); !(told > 0) {
		return 0, math.Inf(1), nil
	}
	return max(r.low, min(r.high, max(-0.7, min(0.7, pull/told)))), 1 / math.Sqrt(told), nil
}
