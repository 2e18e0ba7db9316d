package fit

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// unfitted is a row that keeps its file's value: how well that is known when the logs have spoken, and what it does to
// the residuals.
type unfitted struct {
	row    *row
	off    float64
	slopes []float64
}

// allow adds rows that are never fitted to those that were left out, and takes what all of them do to the residuals at
// the optimum.
func (e *estimation) allow(ctx context.Context) error {
	if len(e.active) == 0 {
		return nil
	}
	for _, r := range e.rows {
		if r.allowed && !r.held {
			e.alone = append(e.alone, unfitted{row: r, off: r.sd})
		}
	}
	for i := range e.alone {
		u := &e.alone[i]
		var err error
		if u.slopes, err = e.aside(ctx, u.row, u.row.sd); err != nil {
			return err
		}
	}
	return nil
}

// aside is how the residuals change with a row that is not fitted: the difference over so much to both sides, within
// its bounds. One as wide as what is not known is not of the jumps alone.
func (e *estimation) aside(ctx context.Context, r *row, width float64) ([]float64, error) {
	from, to := math.Max(-width, r.low), math.Min(width, r.high)
	rows, slopes, behind := append(slices.Clone(e.active), r), make([]float64, e.n), make([]float64, e.n)
	if err := e.residuals(ctx, rows, append(slices.Clone(e.numbers), to), slopes); err != nil {
		return nil, err
	}
	if err := e.residuals(ctx, rows, append(slices.Clone(e.numbers), from), behind); err != nil {
		return nil, err
	}
	floats.Sub(slopes, behind)
	floats.Scale(1/(to-from), slopes)
	return slopes, nil
}

// free is what a row would do that is not fitted, were it, with all others free.
type free struct {
	moved    *mat.VecDense // the active rows' numbers for each of its own
	weighed  []float64     // what is left of its slopes, in the weights of the residuals
	told     float64       // what the residuals tell of its number: 1 over the variance, if they were independent
	number   float64       // where it would go
	variance float64       // of that
}

// freely finds that, nil where nothing of it shows. What is left of the row's slopes with all others free pulls at it
// drive by drive, each as much as it tells: that the drives pull apart makes the variance greater.
func (e *estimation) freely(slopes []float64) *free {
	inverted, variance := inverse(e.seen(nil)), e.got.SD*e.got.SD
	if inverted == nil {
		return nil
	}
	f := &free{moved: new(mat.VecDense), weighed: make([]float64, e.n)}
	for i, slope := range slopes {
		f.weighed[i] = slope * e.got.Weights[i] / variance
		f.told += float64(f.weighed[i] * slope)
	}
	var with mat.VecDense
	with.MulVec(e.slopes.jacobian.T(), mat.NewVecDense(e.n, slices.Clone(f.weighed)))
	f.moved.MulVec(inverted, &with)
	if f.told -= mat.Dot(&with, f.moved); !(f.told > 0) {
		return nil
	}
	pulls, tell := make([]float64, len(e.drives)), make([]float64, len(e.drives))
	for i, k := range e.owner {
		own := slopes[i] - mat.Dot(mat.NewVecDense(len(e.active), e.slopes.jacobian.RawRowView(i)), f.moved)
		f.weighed[i] = own * e.got.Weights[i] / variance
		pulls[k] -= float64(f.weighed[i] * e.got.Residuals[i])
		tell[k] += float64(f.weighed[i] * own)
	}
	f.number, f.variance = floats.Sum(pulls)/f.told, 1/f.told
	if n := float64(len(pulls)); n > 1 {
		squares := 0.0
		for k, pull := range pulls {
			alone := pull - float64(tell[k]*f.number)
			squares += float64(alone * alone)
		}
		f.variance = math.Max(f.variance, squares*n/(n-1)/(f.told*f.told))
	}
	return f
}

// consider adds to a covariance of the active rows what rows that are not fitted may be off by. With M what one of
// standard deviation s moves the active ones by, it adds M s^2 M^T: Schmidt's consider covariance (Application of
// state-space methods to navigation problems, 1966; from memory). What the logs seem to say of such a row itself is not
// heard: a robot whose wheels roll 30 % harder is fitted by gears that drag more, and its logs then seem to say for
// certain that the wheels roll as the file has it (known robot 200).
func (e *estimation) consider(c *mat.SymDense) {
	for _, u := range e.alone {
		if f := e.freely(u.slopes); f != nil {
			c.SymRankOne(c, u.off*u.off, f.moved)
		}
	}
}
