package stats

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// blind is the singular value, as a share of the greatest, up to which a direction is not seen at all: a Jacobian by
// differences is no better than that.
const blind = 1e-8

// system is a problem made linear: a step s leaves |q + R s|^2 and what no step can change. Its parameters are scaled
// so that each column of R has length 1 (0 for a parameter without effect).
type system struct {
	r          *mat.Dense
	q, lengths []float64
	directions []direction // the most seen first
	// reach is the part of the sum of squares that a full step takes away. Against the noise it is the relative offset of
	// Bates & Watts, Technometrics 23 (1981) 179 (from memory).
	reach       float64
	leastSquare float64 // of sigma, among the directions seen
}

// direction is a singular direction of R among the scaled parameters.
type direction struct {
	sigma float64
	along float64 // q's part that it changes
	v     []float64
	seen  bool // else the data say nothing of it
}

// linear is the problem at the point reached, with a weight a residual (nil: 1), and priors as residuals of the given
// variance (0: without them). The QR decomposition of [J r] gives R and q at once, without the squared condition number
// of J^T J. Numbers that are out of range are an error.
func (f *fitter) linear(weights []float64, noise float64) (*system, error) {
	p := len(f.Parameters)
	rows := mat.NewDense(f.n+p, p+1, nil)
	for i, r := range f.residuals {
		row := rows.RawRowView(i)
		copy(row, f.jacobian.RawRowView(i))
		row[p] = r
		if weights != nil {
			floats.Scale(math.Sqrt(weights[i]), row)
		}
	}
	for j, q := range f.Parameters {
		if q.PriorSD > 0 {
			root := math.Sqrt(noise) / q.PriorSD
			rows.Set(f.n+j, j, root)
			rows.Set(f.n+j, p, root*(f.values[j]-q.Prior))
		}
	}
	var qr mat.QR
	var full mat.Dense
	qr.Factorize(rows)
	qr.RTo(&full)
	s := &system{r: mat.NewDense(p, p, nil), q: mat.Col(nil, p, &full)[:p], lengths: make([]float64, p)}
	for j := range p {
		column := mat.Col(nil, j, &full)[:p]
		s.lengths[j] = floats.Norm(column, 2)
		if s.lengths[j] == 0 {
			s.lengths[j] = 1
		}
		floats.Scale(1/s.lengths[j], column)
		s.r.SetCol(j, column)
	}
	if outOfRange(s.q) >= 0 || outOfRange(s.r.RawMatrix().Data) >= 0 { // with a NaN the decomposition would not end
		return nil, errors.New("residuals, their slopes or priors are too large or too small to compute with")
	}
	s.decompose(make([]bool, p))
	return s, nil
}

// decompose finds the directions among the parameters that are not held.
func (s *system) decompose(held []bool) {
	free := mat.DenseCopyOf(s.r)
	for j, still := range held {
		if still {
			free.SetCol(j, make([]float64, len(held)))
		}
	}
	var svd mat.SVD
	var u, v mat.Dense
	if !svd.Factorize(free, mat.SVDThin) {
		panic("stats: a finite matrix without singular values")
	}
	svd.UTo(&u)
	svd.VTo(&v)
	sigma := svd.Values(nil)
	s.directions, s.reach = nil, 0
	for i := range sigma {
		d := direction{sigma[i], floats.Dot(mat.Col(nil, i, &u), s.q), mat.Col(nil, i, &v), sigma[i] > blind*sigma[0]}
		if d.seen {
			s.reach += float64(d.along * d.along)
			s.leastSquare = d.sigma * d.sigma
		}
		s.directions = append(s.directions, d)
	}
}

// gradient of the objective along scaled parameter j.
func (s *system) gradient(j int) float64 { return floats.Dot(mat.Col(nil, j, s.r), s.q) }

// combine sums shares of the directions that are seen, in the parameters' units: others are left alone.
func (s *system) combine(share func(direction) float64) []float64 {
	sum := make([]float64, len(s.q))
	for _, d := range s.directions {
		if d.seen {
			floats.AddScaled(sum, share(d), d.v)
		}
	}
	floats.Div(sum, s.lengths)
	return sum
}

// step is Gauss and Newton's, damped.
func (s *system) step(damping float64) []float64 {
	return s.combine(func(d direction) float64 { return -d.along * d.sigma / (float64(d.sigma*d.sigma) + damping) })
}

// size of a step among the scaled parameters.
func (s *system) size(step []float64) float64 {
	return floats.Norm(floats.MulTo(make([]float64, len(step)), step, s.lengths), 2)
}

// promise is how much smaller the linear model's sum of squares gets with a step.
func (s *system) promise(step []float64) float64 {
	var change mat.VecDense
	change.MulVec(s.r, mat.NewVecDense(len(step), floats.MulTo(make([]float64, len(step)), step, s.lengths)))
	moved := change.RawVector().Data
	return -float64(2*floats.Dot(s.q, moved)) - floats.Dot(moved, moved)
}
