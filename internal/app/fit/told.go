package fit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A row is told by the logs when they leave less than this share of what was not known before, or speak for certain
// against the file's value; two are told only together from this correlation of their errors on. Common practice, no
// source.
const (
	toldShare  = 0.4
	sharedFrom = 0.9
)

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
			if r := e.active[j]; r.rest != "" && !e.sees(r) { // what no log tells is allowed for
				worst = k
				break
			}
			off := math.Sqrt(c.At(k, k)) * e.widened(j)
			if share := off / e.active[j].sd; share > most && math.Abs(e.numbers[j]) < certain*off {
				worst, most = k, share
			}
		}
		if worst < 0 {
			break
		}
		if _, like := e.alike(c, left, worst); e.active[left[worst]].rest == "" && like >= 0 && e.active[left[like]].yields {
			worst = like
		}
		r := e.active[left[worst]]
		e.states[r] = e.why(c, left, worst)
		off := math.Min(r.sd, math.Sqrt(c.At(worst, worst))*e.widened(left[worst]))
		e.alone = append(e.alone, unfitted{r, off, mat.Col(nil, left[worst], e.slopes.jacobian)})
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

// alike is the row whose errors go most with those of one, -1 if with none much.
func (e *estimation) alike(c *mat.SymDense, left []int, k int) (best float64, partner int) {
	best, partner = sharedFrom, -1
	for i := range left {
		if i == k {
			continue
		}
		if alike := math.Abs(c.At(i, k)) / math.Sqrt(c.At(i, i)*c.At(k, k)); alike > best {
			best, partner = alike, i
		}
	}
	return best, partner
}

// why says why a row is left out: another says the same, or nothing tells it.
func (e *estimation) why(c *mat.SymDense, left []int, k int) verdict {
	r := e.active[left[k]]
	if r.aside > 0 && !e.sees(r) {
		return verdict{Untold, r.alone}
	}
	if _, partner := e.alike(c, left, k); partner >= 0 && !r.yields {
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
