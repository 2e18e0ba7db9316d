package fit

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// slopes are how the residuals change with each active row's number, and the energy (sum of squares) of what is wrong
// in them.
//
// A simulated robot starts and stops by friction, at one tick or the next, so that its motion is not quite smooth in
// the parameters, and a difference of width h has an error that falls with 1/h. What the logs hardly tell apart is seen
// in what little is left where columns nearly cancel, and there these errors are most of it: by differences along each
// row the logs would seem to tell much more than they do. So they are taken along the axes of the error ellipsoid, all
// rows at once, as wide as many errors of each; and of two widths, whose disagreement tells the errors' size.
type slopes struct {
	jacobian *mat.Dense
	wrong    *mat.SymDense
}

// How wide the differences are. Common practice, no source.
const (
	widest    = 20.0 // errors of an axis
	mostMoved = 0.6  // of what was not known of a row before
	narrower  = 0.5  // the second width
	widenings = 3    // of an axis whose error turns out to be longer
)

// refine takes the slopes along the axes that the solver's own ones make.
func (e *estimation) refine(ctx context.Context) error {
	n, p := e.got.Jacobian.Dims()
	e.slopes = slopes{e.got.Jacobian, mat.NewSymDense(p, nil)}
	axes, columns, off := e.axes(), mat.NewDense(n, p, nil), mat.NewDense(n, p, nil)
	rough := make([]float64, n)
	for k := range p {
		axis := mat.Col(nil, k, axes)
		for range widenings {
			column, apart, width, err := e.alongAxis(ctx, axis)
			if err != nil {
				return err
			}
			columns.SetCol(k, column)
			off.SetCol(k, apart)
			for i, x := range apart {
				rough[i] += float64(x * x * width * width)
			}
			longer := e.longer(axis, column)
			if longer < 2 {
				break
			}
			floats.Scale(longer, axis)
		}
		axes.SetCol(k, axis)
	}
	e.trustLess(rough)
	var back, jacobian, half mat.Dense
	if err := back.Inverse(axes); err != nil {
		return nil // two axes alike: the solver's slopes stay
	}
	jacobian.Mul(columns, &back)
	half.Mul(e.energies(off), &back)
	energy := mat.NewSymDense(p, nil)
	for j := range p {
		for k := j; k < p; k++ {
			energy.SetSym(j, k, mat.Dot(back.ColView(j), half.ColView(k)))
		}
	}
	e.slopes = slopes{&jacobian, energy}
	return nil
}

// axes are those of the error ellipsoid, a column each, one standard error long.
func (e *estimation) axes() *mat.Dense {
	p := len(e.active)
	info := e.seen(nil)
	for j := range p {
		for k := j; k < p; k++ {
			info.SetSym(j, k, info.At(j, k)*e.active[j].sd*e.active[k].sd)
		}
	}
	values, vectors := eigen(info)
	for j := range p {
		for k := range p {
			vectors.Set(j, k, vectors.At(j, k)*e.active[j].sd/math.Sqrt(math.Max(1, values[k])))
		}
	}
	return vectors
}

func eigen(m *mat.SymDense) ([]float64, *mat.Dense) {
	var eigen mat.EigenSym
	if !eigen.Factorize(m, true) {
		panic("fit: a finite matrix without eigenvalues")
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	return eigen.Values(nil), &vectors
}

// alongAxis is how the residuals change along an axis, by differences of two widths, and what these disagree by. With
// variances as 1 to 4 the mean weighed by these has the second's share of a fifth.
func (e *estimation) alongAxis(ctx context.Context, axis []float64) (column, apart []float64, width float64,
	err error) {
	width = widest
	for j, r := range e.active {
		width = math.Min(width, mostMoved*r.sd/math.Abs(axis[j]))
	}
	column, err = e.difference(ctx, axis, width)
	if err != nil {
		return nil, nil, 0, err
	}
	second, err := e.difference(ctx, axis, narrower*width)
	apart = floats.SubTo(make([]float64, len(column)), column, second)
	floats.AddScaled(column, -secondShare, apart)
	return column, apart, width, err
}

// secondShare is what the narrower difference counts for.
const secondShare = narrower * narrower / (1 + narrower*narrower)

// energies are those of what is wrong in each axis' column: the mean of two differences has share (1 - share) of the
// energy of what they disagree by.
func (e *estimation) energies(apart *mat.Dense) *mat.DiagDense {
	n, p := apart.Dims()
	out := mat.NewDiagDense(p, nil)
	for k := range p {
		sum := 0.0
		for i := range n {
			sum += float64(e.got.Weights[i] * apart.At(i, k) * apart.At(i, k))
		}
		out.SetDiag(k, float64(secondShare*(1-secondShare)*sum))
	}
	return out
}

// trustLess takes weight from residuals whose simulated value jumps as the rows change a little, by a friction that
// lets go one tick later: the jumps are noise as the measurement's is. Of differences of widths h and h/2 over the
// width, of values with the variance v, the disagreement has 5/2 v/h^2.
func (e *estimation) trustLess(rough []float64) {
	for i, sum := range rough {
		jumps := sum / 2.5 / float64(len(e.active))
		e.got.Weights[i] /= 1 + jumps/(e.got.SD*e.got.SD)
	}
}

// difference is that of the residuals to both sides along an axis, over the way; no row leaves its bounds.
func (e *estimation) difference(ctx context.Context, axis []float64, width float64) ([]float64, error) {
	ahead, behind := width, width
	for j, r := range e.active {
		up, down := r.high-e.numbers[j], e.numbers[j]-r.low
		if axis[j] < 0 {
			up, down = down, up
		}
		if a := math.Abs(axis[j]); a > 0 {
			ahead, behind = math.Min(ahead, math.Max(0, up)/a), math.Min(behind, math.Max(0, down)/a)
		}
	}
	if ahead+behind < width/100 {
		ahead = width / 100 // at both bounds nearly: beyond one of them by little
	}
	var sides [2][]float64
	for i, way := range [2]float64{ahead, -behind} {
		sides[i] = make([]float64, e.n)
		numbers := floats.AddScaledTo(make([]float64, len(axis)), e.numbers, way, axis)
		if err := e.residuals(ctx, e.active, numbers, sides[i]); err != nil {
			return nil, err
		}
	}
	floats.Sub(sides[0], sides[1])
	floats.Scale(1/(ahead+behind), sides[0])
	return sides[0], nil
}

// longer is by how much an axis must be longer to be one standard error, as its column is, and at the most as long as
// what was known before.
func (e *estimation) longer(axis, column []float64) float64 {
	told := 0.0
	for i, c := range column {
		told += float64(e.got.Weights[i] * c * c)
	}
	told /= e.got.SD * e.got.SD
	for j, r := range e.active {
		told += axis[j] * axis[j] / (r.sd * r.sd)
	}
	return math.Min(4, 1/math.Sqrt(told))
}

// seen is what the logs, without some rows, seem to say of the active rows, with what was known before.
func (e *estimation) seen(out map[int]bool) *mat.SymDense {
	n, p := e.slopes.jacobian.Dims()
	info := mat.NewSymDense(p, nil)
	variance := e.got.SD * e.got.SD
	for i := range n {
		if !out[i] {
			info.SymRankOne(info, e.got.Weights[i]/variance, mat.NewVecDense(p, e.slopes.jacobian.RawRowView(i)))
		}
	}
	for j, r := range e.active {
		info.SetSym(j, j, info.At(j, j)+1/(r.sd*r.sd))
	}
	return info
}

// information is what they do say, less what the slopes' errors pretend: its inverse is the covariance of their errors.
// In units of what was known before, no direction is told less than not at all.
func (e *estimation) information() *mat.SymDense {
	info, p := e.seen(nil), len(e.active)
	for j, r := range e.active {
		info.SetSym(j, j, info.At(j, j)-1/(r.sd*r.sd))
	}
	for j := range p {
		for k := j; k < p; k++ {
			pretended := e.slopes.wrong.At(j, k) / (e.got.SD * e.got.SD)
			info.SetSym(j, k, (info.At(j, k)-pretended)*e.active[j].sd*e.active[k].sd)
		}
	}
	values, vectors := eigen(info)
	all := mat.NewSymDense(p, nil)
	for k, value := range values {
		all.SymRankOne(all, 1+math.Max(0, value), vectors.ColView(k))
	}
	for j := range p {
		for k := j; k < p; k++ {
			all.SetSym(j, k, all.At(j, k)/(e.active[j].sd*e.active[k].sd))
		}
	}
	return all
}

// covariance is that of the active rows' numbers. The fit ends where residuals weighed by the slopes come to nothing,
// so what is wrong in these, of energy E, pulls as well: with A the information that is the variance A + E of the
// pulls between A^-1 and A^-1 (an estimating equation's; Huber, Robust Statistics, 1981, ch. 6.3; from memory). It is
// widened by the residuals' likeness in time, and by what rows that are not fitted may be off by (consider).
func (e *estimation) covariance() *mat.SymDense {
	inverted, variance := inverse(e.information()), e.got.SD*e.got.SD
	c := mat.NewSymDense(len(e.active), nil)
	var half, pulled mat.Dense
	half.Mul(inverted, e.slopes.wrong)
	pulled.Mul(&half, inverted)
	for i := range e.active {
		for j := i; j < len(e.active); j++ {
			c.SetSym(i, j, float64(inverted.At(i, j)*e.honest(i)*e.honest(j))+pulled.At(i, j)/variance)
		}
	}
	e.consider(c)
	for j, r := range e.active {
		c.SetSym(j, j, c.At(j, j)+float64(r.blur*r.blur))
	}
	return c
}

// widened is how much the residuals' likeness in time changes a row's error: neighbours that are alike make it greater,
// and less, where what one cell has too much the next has too little, as differences of rounded readings do.
func (e *estimation) widened(j int) float64 { return math.Max(leastOnTheWay, e.likeness(j)) }

func (e *estimation) likeness(j int) float64 {
	ratio := e.got.Corrected[j] / e.got.StandardErrors[j]
	if ratio != ratio {
		return 1
	}
	return math.Max(leastWidened, math.Min(ratio, mostWidened))
}

// honest is that with what the model cannot do: it has all of a drive off one way, which neighbours do not tell, but
// the drives do. On the way to the optimum all are off, so that no row is left out for it.
func (e *estimation) honest(j int) float64 {
	return math.Max(e.likeness(j), math.Min(e.drifts[j], mostWidened))
}

// Of a drive's n differences of one reading and the next, the sum has the noise of two readings, not of n: what acts
// alike all through a drive of forty cells is told 6 times better than by independent ones, so that likeness may come
// to 0.16. Twice that is the least that is taken, for an estimate of it from few residuals can be anything; and on the
// way to the optimum, where a row is left out that is not told, more.
const (
	leastWidened  = 0.3
	leastOnTheWay = 0.5
	mostWidened   = 30.0
)

// byDrive is how much greater each row's error is, that the pulls of whole drives make, than the one of residuals that
// know nothing of each other: with A the information and S a drive's pull, A^-1 (sum of S S^T) A^-1 (Liang & Zeger,
// Biometrika 73 (1986) 13; from memory).
func (e *estimation) byDrive() []float64 {
	p := len(e.active)
	ratios := make([]float64, p)
	inverted := inverse(e.seen(nil))
	if inverted == nil || len(e.drives) < 2 {
		return ratios
	}
	all := mat.NewSymDense(p, nil)
	for j, r := range e.active {
		all.SetSym(j, j, 1/(r.sd*r.sd))
	}
	for _, pull := range e.pulls() {
		all.SymRankOne(all, float64(len(e.drives))/float64(len(e.drives)-1), pull)
	}
	var half, moved mat.Dense
	half.Mul(inverted, all)
	moved.Mul(&half, inverted)
	for j := range p {
		ratios[j] = math.Sqrt(math.Max(0, moved.At(j, j)) / inverted.At(j, j))
	}
	return ratios
}

// pulls are what each drive's residuals pull at the active rows.
func (e *estimation) pulls() []*mat.VecDense {
	p, list := len(e.active), make([]*mat.VecDense, len(e.drives))
	for k := range list {
		list[k] = mat.NewVecDense(p, nil)
	}
	for i, k := range e.owner {
		list[k].AddScaledVec(list[k], -e.got.Weights[i]*e.got.Residuals[i]/(e.got.SD*e.got.SD),
			mat.NewVecDense(p, e.slopes.jacobian.RawRowView(i)))
	}
	return list
}
