package fit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A row is told by the logs when they leave less than this share of what was not known before; two are told only
// together from this correlation of their errors on. Common practice, no source.
const (
	toldShare  = 0.4
	sharedFrom = 0.9
)

// information is what the logs, and what was known before, say of the active rows: the inverse is the covariance of
// their errors.
func (e *estimation) information() *mat.SymDense {
	n, p := e.got.Jacobian.Dims()
	info := mat.NewSymDense(p, nil)
	for i := range n {
		info.SymRankOne(info, e.got.Weights[i]/(e.got.SD*e.got.SD), mat.NewVecDense(p, e.got.Jacobian.RawRowView(i)))
	}
	for j, r := range e.active {
		info.SetSym(j, j, info.At(j, j)+1/(r.sd*r.sd))
	}
	return info
}

// inverse of a matrix that priors make regular; nil if it is not.
func inverse(m *mat.SymDense) *mat.SymDense {
	var factor mat.Cholesky
	var out mat.SymDense
	if !factor.Factorize(m) || factor.InverseTo(&out) != nil {
		return nil
	}
	return &out
}

// leaveOut takes the rows that the logs do not tell out of the active ones, the least told first, until all others are
// told; it reports whether it took any.
func (e *estimation) leaveOut() bool {
	info := e.information()
	widened := make([]float64, len(e.active)) // how much the residuals' likeness in time adds to an error
	for j := range e.active {
		widened[j] = math.Max(1, e.got.Corrected[j]/e.got.StandardErrors[j])
		if !(widened[j] < 100) {
			widened[j] = 1
		}
	}
	left := make([]int, len(e.active))
	for j := range left {
		left[j] = j
	}
	took := false
	for len(left) > 0 {
		c := inverse(part(info, left))
		if c == nil {
			return took
		}
		worst, most := -1, toldShare
		for k, j := range left {
			if share := math.Sqrt(c.At(k, k)) * widened[j] / e.active[j].sd; share > most {
				worst, most = k, share
			}
		}
		if worst < 0 {
			break
		}
		e.states[e.active[left[worst]]] = e.why(c, left, worst)
		left = slices.Delete(left, worst, worst+1)
		took = true
	}
	var rows []*row
	var numbers []float64
	for _, j := range left {
		rows, numbers = append(rows, e.active[j]), append(numbers, e.numbers[j])
	}
	e.active, e.numbers = rows, numbers
	return took
}

// why says why a row is left out: another says the same, or nothing tells it.
func (e *estimation) why(c *mat.SymDense, left []int, k int) verdict {
	best, partner := sharedFrom, -1
	for i := range left {
		if i == k {
			continue
		}
		if alike := math.Abs(c.At(i, k)) / math.Sqrt(c.At(i, i)*c.At(k, k)); alike > best {
			best, partner = alike, i
		}
	}
	r := e.active[left[k]]
	if partner >= 0 {
		return verdict{Shared, fmt.Sprintf("in these logs it does the same as %s", e.active[left[partner]].name())}
	}
	if r.alone != "" {
		return verdict{Untold, r.alone}
	}
	return verdict{Untold, "it hardly shows in these logs"}
}

// part is a matrix of some rows and columns.
func part(m *mat.SymDense, which []int) *mat.SymDense {
	out := mat.NewSymDense(len(which), nil)
	for a, i := range which {
		for b := a; b < len(which); b++ {
			out.SetSym(a, b, m.At(i, which[b]))
		}
	}
	return out
}

// covariance is that of the active rows' numbers, the residuals' likeness in time counted.
func (e *estimation) covariance() *mat.SymDense {
	p := len(e.active)
	c := mat.NewSymDense(p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			c.SetSym(i, j, e.got.Correlation[i][j]*e.got.Corrected[i]*e.got.Corrected[j])
		}
	}
	return c
}
