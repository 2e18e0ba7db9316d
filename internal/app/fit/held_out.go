package fit

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// chords is the most steps of a fit without a drive from the full one's optimum, where it nearly is.
const chords = 3

// without gives the numbers of a fit to all drives but one: from the optimum of all, Gauss and Newton's steps with that
// drive's residuals left out; the slopes stay those of the optimum (the chord method; Ortega & Rheinboldt, Iterative
// Solution of Nonlinear Equations, 1970, ch. 7; from memory). A step that moves no row by more than its error is the
// last, and one after which the other drives are farther off is not taken.
func (e *estimation) without(ctx context.Context, k int) ([]float64, error) {
	out := e.drives[k].rows()
	info := e.seen(out)
	errors := inverse(info)
	var factor mat.Cholesky
	if errors == nil || !factor.Factorize(info) {
		return e.numbers, nil
	}
	numbers, residuals := e.numbers, slices.Clone(e.got.Residuals)
	pull, off := e.pull(numbers, residuals, out)
	rest, _ := e.pull(numbers, residuals, nil) // what the fit to all left
	for range chords {
		pull.SubVec(pull, rest)
		var step mat.VecDense
		if err := factor.SolveVecTo(&step, pull); err != nil {
			break
		}
		next, small := slices.Clone(numbers), true
		for j, r := range e.active {
			next[j] = min(r.high, max(r.low, next[j]+step.AtVec(j)))
			small = small && math.Abs(step.AtVec(j)) < math.Sqrt(errors.At(j, j))
		}
		if small {
			return next, nil
		}
		if err := e.residuals(ctx, e.active, next, residuals); err != nil {
			return nil, err
		}
		var now float64
		if pull, now = e.pull(next, residuals, out); now > off {
			break
		}
		numbers, off = next, now
	}
	return numbers, nil
}

// pull is where the residuals, without some, and what was known before pull the active rows' numbers, and the sum of
// their weighted squares.
func (e *estimation) pull(numbers, residuals []float64, out map[int]bool) (pull *mat.VecDense, off float64) {
	n, p := e.slopes.jacobian.Dims()
	pull = mat.NewVecDense(p, nil)
	variance := e.got.SD * e.got.SD
	for i := range n {
		if !out[i] {
			pull.AddScaledVec(pull, -e.got.Weights[i]*residuals[i]/variance, mat.NewVecDense(p, e.slopes.jacobian.RawRowView(i)))
			off += float64(e.got.Weights[i] * residuals[i] * residuals[i] / variance)
		}
	}
	for j, r := range e.active {
		pull.SetVec(j, pull.AtVec(j)-numbers[j]/(r.sd*r.sd))
		off += float64(numbers[j] * numbers[j] / (r.sd * r.sd))
	}
	return pull, off
}

// rows are the residuals of a drive.
func (d *drive) rows() map[int]bool {
	out := map[int]bool{}
	for _, s := range d.signals {
		at := s.at
		for _, v := range s.values {
			if v == v {
				out[at] = true
				at++
			}
		}
	}
	for _, end := range d.ends {
		out[end.at] = true
	}
	return out
}

// holdOut predicts each drive from a fit of all others.
func (e *estimation) holdOut(ctx context.Context) ([]*Errors, error) {
	if len(e.drives) < 3 {
		return make([]*Errors, len(e.drives)), nil
	}
	list := make([]*Errors, len(e.drives))
	for k, d := range e.drives {
		e.options.progress("leaving drives out", 0.8+0.2*float64(k)/float64(len(e.drives)))
		numbers, err := e.without(ctx, k)
		if err != nil {
			return nil, err
		}
		done, err := e.predict(ctx, e.apply(e.active, numbers), []int{k})
		if err != nil {
			return nil, err
		}
		errors := d.errors(done[k])
		list[k] = &errors
	}
	return list, nil
}
