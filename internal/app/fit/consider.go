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

// consider adds to a covariance of the active rows what rows that are not fitted may be off by. With M what these move
// the active ones by, and P the mean square of what they are off by when the logs have spoken, it adds M P M^T:
// Schmidt's consider covariance (Application of state-space methods to navigation problems, 1966; from memory), in
// which P is what was known before. Here the logs are heard: a row of which they say that it is as the file has it
// counts as little as they leave open, and one that they speak against as much as they say.
func (e *estimation) consider(c *mat.SymDense) {
	n, p := len(e.alone), len(e.active)
	if n == 0 {
		return
	}
	moved, weighed := mat.NewDense(p, n, nil), make([]*free, n)
	info, pull := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	trust := make([]float64, n) // of what the residuals seem to tell, that they do
	for k, u := range e.alone {
		f := e.freely(u.slopes)
		if f == nil {
			f = &free{moved: mat.NewVecDense(p, nil), weighed: make([]float64, e.n)}
		}
		weighed[k] = f
		moved.SetCol(k, f.moved.RawVector().Data)
		if f.told > 0 && u.row.allowed {
			trust[k] = math.Sqrt(1 / (f.told * f.variance))
			pull.SetVec(k, trust[k]*trust[k]*f.told*f.number)
		} else if f.told > 0 { // it was left out for what better slopes left open
			told := math.Max(0, 1/(u.off*u.off)-1/(u.row.sd*u.row.sd))
			trust[k] = math.Sqrt(math.Min(1, told/f.told))
		}
	}
	for k, u := range e.alone {
		for l := k; l < n; l++ {
			info.SetSym(k, l, trust[k]*trust[l]*floats.Dot(weighed[k].weighed, e.alone[l].slopes))
		}
		info.SetSym(k, k, info.At(k, k)+1/(u.row.sd*u.row.sd))
	}
	left := inverse(info)
	if left == nil {
		return
	}
	var number, half, all mat.Dense
	number.Mul(left, pull)
	square := mat.NewSymDense(n, nil)
	square.CopySym(left)
	square.SymRankOne(square, 1, number.ColView(0))
	half.Mul(moved, square)
	all.Mul(&half, moved.T())
	for i := range p {
		for j := i; j < p; j++ {
			c.SetSym(i, j, c.At(i, j)+all.At(i, j))
		}
	}
}
