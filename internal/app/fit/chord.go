package fit

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// chords is the most steps from an optimum of the solver's to where all pulls end.
const chords = 8

// chord takes Gauss and Newton's steps, with some residuals left out, from the present numbers to where the rest pull
// as is said (nil: not at all), until a step is so short, in errors; the slopes stay as they are (the chord method;
// Ortega & Rheinboldt, Iterative Solution of Nonlinear Equations, 1970, ch. 7; from memory). What it looks for is the
// shortest step, in errors: not the least sum of squares, which is too rough for that (see slopes), while the pulls,
// which are weighed sums of thousands of residuals, hardly feel it. A long step through a curved valley is first
// followed by a longer one, back to its floor.
func (e *estimation) chord(ctx context.Context, out map[int]bool, rest *mat.VecDense, near float64) (numbers,
	residuals []float64, err error) {
	numbers, residuals = e.numbers, e.got.Residuals
	info := e.seen(out)
	var factor mat.Cholesky
	if !factor.Factorize(info) {
		return numbers, residuals, nil
	}
	next, there, least := numbers, residuals, math.Inf(1)
	for range chords {
		pull := e.pull(next, there, out)
		if rest != nil {
			pull.SubVec(pull, rest)
		}
		var step mat.VecDense
		if factor.SolveVecTo(&step, pull) != nil {
			break
		}
		length := math.Sqrt(math.Max(0, mat.Dot(&step, pull)))
		if length < least {
			numbers, residuals, least = next, there, length
		}
		if length < near {
			break
		}
		next, there = slices.Clone(next), make([]float64, len(residuals))
		for j, r := range e.active {
			next[j] = min(r.high, max(r.low, next[j]+step.AtVec(j)))
		}
		if err := e.residuals(ctx, e.active, next, there); err != nil {
			return nil, nil, err
		}
	}
	return numbers, residuals, nil
}

// pull is where the residuals, without some, and what was known before pull the active rows' numbers.
func (e *estimation) pull(numbers, residuals []float64, out map[int]bool) *mat.VecDense {
	n, p := e.slopes.jacobian.Dims()
	pull := mat.NewVecDense(p, nil)
	variance := e.got.SD * e.got.SD
	for i := range n {
		if !out[i] {
			pull.AddScaledVec(pull, -e.got.Weights[i]*residuals[i]/variance, mat.NewVecDense(p, e.slopes.jacobian.RawRowView(i)))
		}
	}
	for j, r := range e.active {
		pull.SetVec(j, pull.AtVec(j)-numbers[j]/(r.sd*r.sd))
	}
	return pull
}
