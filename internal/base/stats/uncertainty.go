package stats

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// judge fills in what the estimate is worth, from the Jacobian at its end.
//
//	A = slope J^T J + noise P,  covariance = noise A^-1
//
// with P the priors' inverse variances. For least squares without priors that is s^2 (J^T J)^-1, s^2 the sum of squares
// over n-p; for other losses, Huber's (Robust Statistics, 1981, ch. 7.6, from memory).
func (f *fitter) judge(e *Estimate) error {
	all, err := f.linear(slices.Repeat([]float64{f.slope}, f.n), f.noise)
	if err != nil {
		return err
	}
	data, err := f.linear(nil, 0)
	if err != nil {
		return err
	}
	inverse, p := all.inverse(), len(f.values)
	e.Weights, e.SD, e.Jacobian = f.weights, math.Sqrt(f.noise), f.jacobian
	e.StandardErrors, e.Corrected = make([]float64, p), make([]float64, p)
	e.Correlation = make([][]float64, p)
	var half, corrected mat.Dense
	half.Mul(inverse, f.pulls(all.lengths))
	corrected.Mul(&half, inverse)
	for j := range p {
		e.StandardErrors[j] = math.Sqrt(f.noise*inverse.At(j, j)) / all.lengths[j]
		e.Corrected[j] = math.Sqrt(math.Max(0, corrected.At(j, j))) / all.lengths[j]
		if all.unseen(j) {
			e.StandardErrors[j], e.Corrected[j] = math.Inf(1), math.Inf(1)
		}
		e.Correlation[j] = make([]float64, p)
		for k := range p {
			e.Correlation[j][k] = inverse.At(j, k) / math.Sqrt(inverse.At(j, j)*inverse.At(k, k))
		}
	}
	e.Tradeoffs = f.tradeoffs(data)
	return nil
}

// inverse of R^T R, directions that are not seen counted as just about seen.
func (s *system) inverse() *mat.SymDense {
	out := mat.NewSymDense(len(s.q), nil)
	for _, d := range s.directions {
		sigma := math.Max(d.sigma, blind*math.Max(s.directions[0].sigma, blind))
		out.SymRankOne(out, 1/(sigma*sigma), mat.NewVecDense(len(d.v), d.v))
	}
	return out
}

// unseen tells whether a parameter has a noticeable share in a direction that is not seen.
func (s *system) unseen(j int) bool {
	share := 0.0
	for _, d := range s.directions {
		if !d.seen {
			share += float64(d.v[j] * d.v[j])
		}
	}
	return share > 1e-6
}

// pulls is the covariance of the sum of what pulls at each scaled parameter: every residual's influence times its row
// of the Jacobian, series by series, and the priors'.
func (f *fitter) pulls(lengths []float64) *mat.SymDense {
	p, at := len(f.values), 0
	sum := mat.NewSymDense(p, nil)
	for _, n := range f.Series {
		scores := mat.NewDense(max(1, n), p, nil)
		for t := range n {
			i := at + t
			pull := f.scales[i] * f.loss.influence(f.residuals[i]/f.scales[i])
			for j := range p {
				scores.Set(t, j, pull*f.jacobian.At(i, j)/lengths[j])
			}
		}
		addLongRun(sum, scores)
		at += n
	}
	sum.ScaleSym(float64(f.n)/float64(f.n-p), sum)
	for j, q := range f.Parameters {
		if q.PriorSD > 0 {
			root := f.noise / q.PriorSD / lengths[j]
			sum.SetSym(j, j, sum.At(j, j)+float64(root*root))
		}
	}
	return sum
}

// mostAlike is the greatest likeness of neighbours that is taken out before the window (Andrews & Monahan's).
const mostAlike = 0.97

// addLongRun adds the covariance of the sum of a series' rows, which are correlated in time: products of rows up to L
// apart with the weights 1 - lag/(L+1) of Bartlett's window (Newey & West, Econometrica 55 (1987) 703), where L is 4
// (n/100)^(2/9) (their Rev. Econ. Stud. 61 (1994) 631). Before, each column's likeness to its own last value is taken
// out, and put back after: a window alone is too narrow for residuals that change slowly (Andrews & Monahan,
// Econometrica 60 (1992) 953, with a diagonal matrix). All from memory.
func addLongRun(sum *mat.SymDense, scores *mat.Dense) {
	n, p := scores.Dims()
	gain := make([]float64, p)
	for j := range p {
		x := mat.Col(nil, j, scores)
		products, squares := 0.0, float64(x[0]*x[0])
		for t := 1; t < n; t++ {
			products += float64(x[t] * x[t-1])
			squares += float64(x[t] * x[t])
		}
		alike := 0.0
		if squares > 0 {
			alike = math.Max(-mostAlike, math.Min(mostAlike, products/squares))
		}
		for t := n - 1; t > 0; t-- {
			x[t] -= float64(alike * x[t-1])
		}
		x[0] *= math.Sqrt(1 - float64(alike*alike))
		scores.SetCol(j, x)
		gain[j] = 1 / (1 - alike)
	}
	window := min(n-1, int(4*math.Pow(float64(n)/100, 2./9)))
	var total, product mat.Dense
	total.Mul(scores.T(), scores)
	for lag := 1; lag <= window; lag++ {
		product.Mul(scores.Slice(lag, n, 0, p).T(), scores.Slice(0, n-lag, 0, p))
		product.Scale(1-float64(lag)/float64(window+1), &product)
		total.Add(&total, &product)
		total.Add(&total, product.T())
	}
	for j := range p {
		for k := j; k < p; k++ {
			sum.SetSym(j, k, sum.At(j, k)+float64(total.At(j, k)*gain[j]*gain[k]))
		}
	}
}
