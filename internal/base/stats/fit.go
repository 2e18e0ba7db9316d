package stats

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Parameter is a number that Fit looks for; every value here has its unit.
type Parameter struct {
	Name      string
	Start     float64
	Low, High float64 // never tried outside; both 0: no bounds. Standard errors ignore them
	Step      float64 // to each side, for the derivative; 0: 6e-6 of the value (at least of a thousandth of the start)
	Prior     float64 // what was known before
	PriorSD   float64 // standard deviation of that knowledge; 0: none
}

// Problem is a least-squares problem: find the parameters that make the residuals small.
type Problem struct {
	Parameters []Parameter
	// Series has the number of residuals of each series, in their order. Those of one series follow each other in time;
	// those of all should be in units of the noise expected of them, so that they count alike.
	Series []int
	// Residuals fills in measured less predicted (or the reverse) for the given parameters. It must depend on nothing
	// else. A residual that is not finite, or beyond 1e75, makes a step too bold; an error ends the fit.
	Residuals func(parameters, residuals []float64) error
	Loss      Loss
	// LeastScale is the least that a series' residuals are taken to scatter by, for the loss. Values that are rounded
	// need it: most may agree while few are off by a step, which are no outliers.
	LeastScale float64
	// Map calls job once for each of 0..n-1, in any order and on any number of goroutines (Residuals is then called on
	// them too), and gives the first error. nil: one after the other. The estimate is the same.
	Map func(n int, job func(int) error) error
	// Progress, if given, hears of each round: from 0, the residuals' standard deviation, the parameters' values.
	Progress func(round int, sd float64, values []float64)
	// Tolerance ends the fit: how far the parameters may still be from the optimum, in standard errors. 0: 1e-6
	Tolerance float64
	MaxRounds int // 0: 200
}

// End is why a fit ended.
type End string

const (
	Converged     End = "converged"
	NoProgress    End = "no progress" // no step makes the residuals smaller: a residual function that jumps
	TooManyRounds End = "too many rounds"
	Cancelled     End = "cancelled"
)

// Estimate is what a fit found. Lists have a number a parameter, in the problem's order and the parameter's unit.
type Estimate struct {
	End         End
	Rounds      int // of one Jacobian and one step each
	Evaluations int // calls of Residuals
	Values      []float64
	Residuals   []float64
	Weights     []float64 // 0..1 a residual: what the loss left of it
	SD          float64   // of the residuals, with n-p; robust if the loss is
	// StandardErrors take the residuals to be independent; infinite where the data say nothing.
	StandardErrors []float64
	// Corrected standard errors take into account that residuals near in time are alike, within a series.
	Corrected   []float64
	Correlation [][]float64 // of the parameters' errors
	Jacobian    *mat.Dense  // slopes at the end: a row a residual, a column a parameter
	Tradeoffs   []Tradeoff  // what the data cannot tell apart
}

// Fit minimises the sum of squares (or the loss) of the residuals, from Start down into the valley that it lies in.
//
// The step is Gauss and Newton's with Levenberg's damping, on parameters scaled by the lengths of the Jacobian's
// columns (Marquardt, J. SIAM 11 (1963) 431; Moré, Lecture Notes in Mathematics 630 (1978) 105; Nocedal & Wright,
// Numerical Optimization, ch. 10; all from memory), bent along a curved valley. A malformed problem is an error. So is
// a context that ends, with its cause, and what Residuals says; the estimate then has the values reached and no
// standard errors. The same problem gives the same bits on one kind of processor.
func Fit(ctx context.Context, problem Problem) (Estimate, error) {
	f, err := newFitter(ctx, problem)
	if err != nil {
		return Estimate{}, err
	}
	end, err := f.run()
	if err != nil && ctx.Err() != nil {
		end, err = Cancelled, context.Cause(ctx)
	}
	estimate := Estimate{
		End: end, Rounds: f.round, Evaluations: int(f.evaluations.Load()), Values: f.values, Residuals: f.residuals,
	}
	if err == nil {
		err = f.judge(&estimate)
	}
	return estimate, err
}

// newFitter checks the problem and fills in its defaults.
func newFitter(ctx context.Context, problem Problem) (*fitter, error) {
	f := &fitter{Problem: problem, ctx: ctx, loss: lossForms[problem.Loss], damping: firstDamping, rise: 2}
	for _, n := range f.Series {
		f.n += n
	}
	if len(f.Parameters) == 0 || f.n <= len(f.Parameters) {
		return nil, fmt.Errorf("a fit needs a parameter and more residuals: it has %d and %d", len(f.Parameters), f.n)
	}
	for _, p := range f.Parameters {
		if err := p.check(); err != nil {
			return nil, fmt.Errorf("%s: %w", p.Name, err)
		}
		f.values = append(f.values, p.Start)
		f.beside = append(f.beside, make([]float64, f.n), make([]float64, f.n))
	}
	f.residuals, f.scales, f.weights = make([]float64, f.n), make([]float64, f.n), make([]float64, f.n)
	f.jacobian = mat.NewDense(f.n, len(f.Parameters), nil)
	if f.Map == nil {
		f.Map = inTurn
	}
	f.Tolerance, f.MaxRounds = cmp.Or(f.Tolerance, 1e-6), cmp.Or(f.MaxRounds, 200)
	return f, nil
}

func (p Parameter) check() error {
	low, high := p.bounds()
	switch {
	case !(low < high):
		return fmt.Errorf("nothing lies between the bounds %g and %g", low, high)
	case !(p.Start >= low && p.Start <= high) || math.IsInf(p.Start, 0):
		return fmt.Errorf("the start %g lies outside %g to %g", p.Start, low, high)
	case !(p.Step >= 0) || !(p.PriorSD >= 0):
		return errors.New("a step or a prior's deviation cannot be negative")
	}
	return nil
}

func (p Parameter) bounds() (low, high float64) {
	if p.Low == 0 && p.High == 0 {
		return math.Inf(-1), math.Inf(1)
	}
	return p.Low, p.High
}

func (p Parameter) inside(value float64) float64 {
	low, high := p.bounds()
	return math.Max(low, math.Min(high, value))
}

func inTurn(n int, job func(int) error) error {
	for i := range n {
		if err := job(i); err != nil {
			return err
		}
	}
	return nil
}

// largest is the size up to which squares, and squares of these, are far from overflowing.
const largest = 1e75

// outOfRange is the first index of a number that is none or too large to compute with, or -1.
func outOfRange(x []float64) int {
	return slices.IndexFunc(x, func(v float64) bool { return !(math.Abs(v) <= largest) })
}
