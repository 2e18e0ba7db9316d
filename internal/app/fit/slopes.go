package fit

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// far is how much wider the second differences are.
const far = 3.0

// slopes are how the residuals change with each active row's number, from two differences of different width, and the
// energy (sum of squares) of what is wrong in each column.
//
// A simulated robot starts and stops by friction, at one tick or the next, so that its motion is not quite smooth in
// the parameters, and a difference of width h has an error that falls with 1/h. Two columns that are nearly alike would
// seem to differ by these errors, and the logs to tell apart what they do not. What two differences disagree by tells
// the errors' size: of widths h and far h, with variances as far^2 to 1, the mean weighed by these has
// far^2/(1+far^2)^2 of the energy of their difference.
type slopes struct {
	jacobian *mat.Dense
	wrong    []float64
}

func (e *estimation) refine(ctx context.Context) error {
	n, p := e.got.Jacobian.Dims()
	s := slopes{mat.NewDense(n, p, nil), make([]float64, p)}
	up, down := make([]float64, n), make([]float64, n)
	for j, r := range e.active {
		high, low := math.Min(r.high, e.numbers[j]+float64(far*r.step)), math.Max(r.low, e.numbers[j]-float64(far*r.step))
		for _, side := range []struct {
			number float64
			out    []float64
		}{{high, up}, {low, down}} {
			numbers := append([]float64(nil), e.numbers...)
			numbers[j] = side.number
			if err := e.residuals(ctx, e.active, numbers, side.out); err != nil {
				return err
			}
		}
		near, wide := mat.Col(nil, j, e.got.Jacobian), floats.SubTo(make([]float64, n), up, down)
		floats.Scale(1/(high-low), wide)
		const share = 1 / (1 + far*far)
		mean := make([]float64, n)
		for i := range mean {
			mean[i] = float64(share*near[i]) + float64((1-share)*wide[i])
			off := near[i] - wide[i]
			s.wrong[j] += float64(e.got.Weights[i] * share * (1 - share) * off * off)
		}
		s.jacobian.SetCol(j, mean)
	}
	e.slopes = s
	return nil
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
		info.SetSym(j, j, info.At(j, j)-1/(r.sd*r.sd)-e.slopes.wrong[j]/(e.got.SD*e.got.SD))
	}
	for j := range p {
		for k := range j + 1 {
			info.SetSym(j, k, info.At(j, k)*e.active[j].sd*e.active[k].sd)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(info, true) {
		panic("fit: a finite matrix without eigenvalues")
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	all := mat.NewSymDense(p, nil)
	for k, value := range eigen.Values(nil) {
		all.SymRankOne(all, 1+math.Max(0, value), vectors.ColView(k))
	}
	for j := range p {
		for k := range j + 1 {
			all.SetSym(j, k, all.At(j, k)/(e.active[j].sd*e.active[k].sd))
		}
	}
	return all
}

// covariance is that of the active rows' numbers: widened by the residuals' likeness in time, and by what rows that
// were left out may be off by, as much as was known of them before. With A the information on the active rows and B
// their products with a row left out of standard deviation s, it adds (A^-1 B) s^2 (A^-1 B)^T: Schmidt's consider
// covariance (Application of state-space methods to navigation problems, 1966; from memory).
func (e *estimation) covariance() *mat.SymDense {
	inverted := inverse(e.information())
	c := mat.NewSymDense(len(e.active), nil)
	for i := range e.active {
		for j := i; j < len(e.active); j++ {
			c.SetSym(i, j, inverted.At(i, j)*e.widened(i)*e.widened(j))
		}
	}
	variance := e.got.SD * e.got.SD
	for _, u := range e.alone {
		weighed := make([]float64, len(u.slopes))
		for i, slope := range u.slopes {
			weighed[i] = slope * e.got.Weights[i] / variance
		}
		var products, moved mat.VecDense
		products.MulVec(e.slopes.jacobian.T(), mat.NewVecDense(len(weighed), weighed))
		moved.MulVec(inverted, &products)
		c.SymRankOne(c, u.sd*u.sd, &moved)
	}
	for j, r := range e.active {
		c.SetSym(j, j, c.At(j, j)+float64(r.blur*r.blur))
	}
	return c
}

// widened is how much the residuals' likeness in time adds to a row's error.
func (e *estimation) widened(j int) float64 {
	const most = 30 // an estimate of it from few residuals can be anything
	ratio := e.got.Corrected[j] / e.got.StandardErrors[j]
	if !(ratio > 1) {
		return 1
	}
	return math.Min(ratio, most)
}
