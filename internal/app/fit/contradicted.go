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
		if !r.held || r.tries != nil || !e.sees(r) && r.aside == 0 || r.sd != twice || len(e.active) == 0 ||
			e.toldByAnother(r) {
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

// toldByAnother tells whether a fitted row explains all that a held one would: a mass is told where the motors' torque
// is held, for else a heavier robot with stronger motors drives the same, and what speaks for another is what the model
// lacks.
func (e *estimation) toldByAnother(r *row) bool {
	return r.name() == "chassis.mass" && slices.ContainsFunc(e.active, func(a *row) bool {
		return a.name() == motorPath("stall_torque")(e.spec)
	})
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
	told, variance := 0.0, e.got.SD*e.got.SD
	weighed := make([]float64, e.n)
	for i := range up {
		up[i] /= 2 * step
		weighed[i] = up[i] * e.got.Weights[i] / variance
		told += float64(weighed[i] * up[i])
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
	// What is left of the row's own slopes with all others free pulls at it, drive by drive, each as much as it tells; and
	// what the intervals allow for moves it.
	pulls, tell, all, off := make([]float64, len(e.drives)), make([]float64, len(e.drives)), 0.0, 1/told
	for i, k := range e.owner {
		own := up[i] - mat.Dot(mat.NewVecDense(len(e.active), e.slopes.jacobian.RawRowView(i)), &moved)
		weighed[i] = own * e.got.Weights[i] / variance
		pulls[k] -= float64(weighed[i] * e.got.Residuals[i])
		tell[k] += float64(weighed[i] * own)
		all -= float64(weighed[i] * e.got.Residuals[i])
	}
	if n := float64(len(pulls)); n > 1 {
		squares := 0.0
		for k, pull := range pulls {
			alone := pull - float64(tell[k]*all/told)
			squares += float64(alone * alone)
		}
		off = math.Max(off, squares*n/(n-1)/(told*told))
	}
	for _, u := range e.alone {
		shift := u.sd * floats.Dot(weighed, u.slopes) / told
		off += float64(shift * shift)
	}
	return max(r.low, min(r.high, max(-0.7, min(0.7, all/told)))), math.Sqrt(off), nil
}
