package stats

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// fitter is a fit under way: the problem, the point reached and what is known of it.
type fitter struct {
	Problem
	ctx               context.Context
	n                 int // residuals
	round             int
	evaluations       atomic.Int64
	values, residuals []float64
	jacobian          *mat.Dense  // a row a residual, a column a parameter
	beside            [][]float64 // residuals beside the point: two for each parameter
	loss              lossForm
	scales, weights   []float64 // of each residual
	slope             float64   // mean slope of the loss's influence: 1 for least squares
	noise             float64   // variance of a residual: what a prior is weighed with against one
	damping           float64
	rise              float64 // what damping is raised by after a step that failed
}

const (
	firstDamping = 1e-3 // the scaled columns have length 1: common practice
	mostDamping  = 1e16
	tinyStep     = 1e-9  // of the step for the derivative
	rounding     = 1e-12 // of the objective: a gain that it does not show
)

// run goes downhill until the end.
func (f *fitter) run() (End, error) {
	if err := f.evaluate(f.values, f.residuals); err != nil {
		return "", err
	}
	if at := outOfRange(f.residuals); at >= 0 {
		return "", fmt.Errorf("residual %d is %v at the start", at, f.residuals[at])
	}
	for ; ; f.round++ {
		if err := f.differentiate(); err != nil {
			return "", err
		}
		f.weigh()
		if f.Progress != nil {
			f.Progress(f.round, math.Sqrt(f.noise), slices.Clone(f.values))
		}
		if f.round == f.MaxRounds {
			return TooManyRounds, nil
		}
		if end, err := f.improve(); err != nil || end != "" {
			return end, err
		}
	}
}

// improve takes a step that makes the objective smaller, or says why there is none. The damping follows the ratio of
// what was gained to what the linear model promised (after Nielsen, Damping Parameter in Marquardt's Method, 1999, from
// memory; a tenth at most, for his third), down to where it changes no direction's step by more than a thousandth.
func (f *fitter) improve() (End, error) {
	s, err := f.linear(f.weights, f.noise)
	if err != nil {
		return "", err
	}
	s.decompose(f.outward(s))
	if s.reach <= f.Tolerance*f.Tolerance*f.noise*float64(len(f.values)) || f.tiny(s.step(0)) {
		return Converged, nil
	}
	f.damping = math.Max(f.damping, 1e-3*s.leastSquare)
	now, residuals := f.objective(f.values, f.residuals), make([]float64, f.n)
	for f.damping < mostDamping {
		step := s.step(f.damping)
		f.inside(step)
		if f.tiny(step) {
			break
		}
		promise := s.promise(step)
		if err := f.bend(s, step); err != nil {
			return "", err
		}
		values := f.inside(step)
		if err := f.evaluate(values, residuals); err != nil {
			return "", err
		}
		if won := now - f.objective(values, residuals); won > 0 {
			f.values, f.residuals = values, residuals
			off := float64(2*won/promise) - 1
			f.damping *= math.Max(0.1, 1-float64(off*off*off))
			f.rise = 2
			return "", nil
		}
		if s.reach < rounding*now {
			return Converged, nil
		}
		f.damping *= f.rise
		f.rise *= 2
	}
	return NoProgress, nil
}

// outward names the parameters at a bound beyond which the objective falls: they stay there for this round (gradient
// projection; Bertsekas, SIAM J. Control Optim. 20 (1982) 221, from memory).
func (f *fitter) outward(s *system) []bool {
	held := make([]bool, len(f.values))
	for j, p := range f.Parameters {
		low, high := p.bounds()
		slope := s.gradient(j)
		held[j] = f.values[j] == low && slope > 0 || f.values[j] == high && slope < 0
	}
	return held
}

// inside gives where a step leads, and shortens it to stay within the bounds.
func (f *fitter) inside(step []float64) []float64 {
	values := make([]float64, len(step))
	for j, p := range f.Parameters {
		values[j] = p.inside(f.values[j] + step[j])
		step[j] = values[j] - f.values[j]
	}
	return values
}

// tiny tells whether a step changes nothing that can be seen.
func (f *fitter) tiny(step []float64) bool {
	for j, p := range f.Parameters {
		if math.Abs(step[j]) > tinyStep*p.step(f.values[j]) {
			return false
		}
	}
	return true
}

// bend adds to a step what follows a curved valley: half the acceleration that keeps the residuals on the straight line
// of the linear model, from their second derivative along the step, by one evaluation at a tenth of it. Where the
// acceleration is not small against the step, it is not to be trusted. Transtrum, Machta & Sethna, Phys. Rev. E 83
// (2011) 036701 (from memory).
func (f *fitter) bend(s *system, step []float64) error {
	const part, trusted = 0.1, 0.75 / 4
	curve, towards := make([]float64, f.n), floats.ScaleTo(make([]float64, len(step)), part, step)
	if err := f.evaluate(f.inside(towards), curve); err != nil {
		return err
	}
	var slope, pull mat.VecDense
	slope.MulVec(f.jacobian, mat.NewVecDense(len(step), step))
	for i, beside := range curve {
		curve[i] = f.weights[i] * 2 / part * ((beside-f.residuals[i])/part - slope.AtVec(i))
	}
	pull.MulVec(f.jacobian.T(), mat.NewVecDense(f.n, curve))
	scaled := pull.RawVector().Data
	floats.Div(scaled, s.lengths)
	half := s.combine(func(d direction) float64 {
		return -0.5 * floats.Dot(scaled, d.v) / (float64(d.sigma*d.sigma) + f.damping)
	})
	if s.size(half) <= trusted*s.size(step) {
		floats.Add(step, half)
	}
	return nil
}

// objective is the loss of the residuals, twice as in a sum of squares, with the priors as further residuals; infinite
// where a residual is out of range.
func (f *fitter) objective(values, residuals []float64) float64 {
	if outOfRange(residuals) >= 0 {
		return math.Inf(1)
	}
	sum := 0.0
	for i, r := range residuals {
		sum += float64(f.scales[i] * f.scales[i] * f.loss.twice(r/f.scales[i]))
	}
	for j, p := range f.Parameters {
		if p.PriorSD > 0 {
			off := (values[j] - p.Prior) / p.PriorSD
			sum += float64(f.noise * off * off)
		}
	}
	return sum
}
