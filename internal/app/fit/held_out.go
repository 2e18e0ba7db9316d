package fit

import (
	"context"

	"gonum.org/v1/gonum/mat"
)

// chords is how many rounds a fit without a drive takes from the full one's optimum, where it nearly is.
const chords = 1

// without gives the numbers of a fit to all drives but one. From the optimum of all, Gauss and Newton's step with that
// drive's residuals left out; the slopes stay those of the optimum (the chord method; Ortega & Rheinboldt, Iterative
// Solution of Nonlinear Equations, 1970, ch. 7; from memory).
func (e *estimation) without(k int) []float64 {
	out := e.drives[k].rows()
	n, p := e.got.Jacobian.Dims()
	info := mat.NewSymDense(p, nil)
	pull := mat.NewVecDense(p, nil)
	variance := e.got.SD * e.got.SD
	for i := range n {
		if out[i] {
			continue
		}
		row := mat.NewVecDense(p, e.got.Jacobian.RawRowView(i))
		info.SymRankOne(info, e.got.Weights[i]/variance, row)
		pull.AddScaledVec(pull, -e.got.Weights[i]*e.got.Residuals[i]/variance, row)
	}
	for j, r := range e.active {
		info.SetSym(j, j, info.At(j, j)+1/(r.sd*r.sd))
		pull.SetVec(j, pull.AtVec(j)-e.numbers[j]/(r.sd*r.sd))
	}
	var factor mat.Cholesky
	var step mat.VecDense
	numbers := append([]float64(nil), e.numbers...)
	if !factor.Factorize(info) || factor.SolveVecTo(&step, pull) != nil {
		return numbers
	}
	for j, r := range e.active {
		numbers[j] = min(r.high, max(r.low, numbers[j]+step.AtVec(j)))
	}
	return numbers
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
		e.options.progress("leaving each drive out once", 0.8+0.2*float64(k)/float64(len(e.drives)))
		done, err := e.predict(ctx, e.apply(e.active, e.without(k)), []int{k})
		if err != nil {
			return nil, err
		}
		errors := d.errors(done[k])
		list[k] = &errors
	}
	return list, nil
}
