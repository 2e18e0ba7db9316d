package stats

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// cubeRootEpsilon balances rounding and truncation of a central difference (Nocedal & Wright, ch. 8, from memory).
const cubeRootEpsilon = 6.055454452393343e-06

// differentiate fills in the Jacobian at the point reached, by differences of second order: to both sides, or both
// points on one side where a bound is near. Each column comes from evaluations of its own, so that it is the same
// whoever makes them.
func (f *fitter) differentiate() error {
	err := f.Map(len(f.beside), func(k int) error {
		values := slices.Clone(f.values)
		p := f.Parameters[k/2]
		values[k/2] = p.inside(values[k/2] + p.sides(values[k/2])[k%2])
		return f.evaluate(values, f.beside[k])
	})
	if err != nil {
		return err
	}
	for j, p := range f.Parameters {
		sides := p.sides(f.values[j])
		a, b := sides[0], sides[1]
		one, two := b/(a*(b-a)), a/(b*(b-a))
		for i, r := range f.residuals {
			slope := float64(one*(f.beside[2*j][i]-r)) - float64(two*(f.beside[2*j+1][i]-r))
			f.jacobian.Set(i, j, slope)
		}
		if at := outOfRange(mat.Col(nil, j, f.jacobian)); at >= 0 {
			return fmt.Errorf("beside %s = %g, residual %d is not finite", p.Name, f.values[j], at)
		}
	}
	return nil
}

// evaluate calls Residuals, perhaps on several goroutines.
func (f *fitter) evaluate(values, residuals []float64) error {
	if f.ctx.Err() != nil {
		return f.ctx.Err()
	}
	f.evaluations.Add(1)
	return f.Residuals(slices.Clone(values), residuals)
}

func (p Parameter) step(at float64) float64 {
	if p.Step > 0 {
		return p.Step
	}
	size := math.Max(math.Abs(at), 1e-3*math.Abs(p.Start))
	if size == 0 {
		size = 1
	}
	return cubeRootEpsilon * size
}

// sides are two changes of the value that stay inside the bounds, exact in floating point.
func (p Parameter) sides(at float64) [2]float64 {
	low, high := p.bounds()
	h := math.Min(p.step(at), (high-low)/4)
	sides := [2]float64{-h, h}
	switch {
	case at-h < low:
		sides = [2]float64{h, 2 * h}
	case at+h > high:
		sides = [2]float64{-h, -2 * h}
	}
	for i := range sides {
		sides[i] = at + sides[i] - at
	}
	return sides
}
