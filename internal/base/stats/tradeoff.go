package stats

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Tradeoff is a change of some parameters together that the residuals hardly notice.
type Tradeoff struct {
	Parameters []int // indices, rising; one alone has no effect at all
	// Direction is how much each changes, in its unit, when the first grows by 1 % of its size (of 1 where it is 0).
	Direction []float64
	Index     float64 // condition index: how much less than a single parameter it is noticed; may be infinite
}

const (
	strongIndex = 30  // from where on Belsley, Kuh & Welsch call a dependence strong
	halfOf      = 0.5 // of a parameter's variance, from which on they count it as harmed
	noticeable  = 0.1 // share in a direction, against the greatest
)

// tradeoffs finds what the data cannot tell apart: directions with a condition index of 30 or more, and in each the
// parameters that owe more than half of their variance to such directions. Belsley, Kuh & Welsch, Regression
// Diagnostics (1980), ch. 3 (from memory), with priors left out. Where several directions are weak, singular vectors
// mix them; the elimination below gives each one a parameter that is in no other.
func (f *fitter) tradeoffs(s *system) (found []Tradeoff) {
	for _, way := range s.weakDirections() {
		var seen mat.VecDense
		seen.MulVec(s.r, mat.NewVecDense(len(way), way))
		one := Tradeoff{Index: s.directions[0].sigma * floats.Norm(way, 2) / mat.Norm(&seen, 2)}
		if one.Index > 1/blind || math.IsNaN(one.Index) {
			one.Index = math.Inf(1)
		}
		for j, share := range way {
			if math.Abs(share) >= noticeable*floats.Norm(way, math.Inf(1)) && s.harmed(j) {
				one.Parameters = append(one.Parameters, j)
				one.Direction = append(one.Direction, share/s.lengths[j])
			}
		}
		if n := len(one.Parameters); n == 0 || n == 1 && !math.IsInf(one.Index, 1) {
			continue
		}
		size := math.Abs(f.values[one.Parameters[0]])
		if size == 0 {
			size = 1
		}
		floats.Scale(0.01*size/one.Direction[0], one.Direction)
		found = append(found, one)
	}
	slices.SortStableFunc(found, func(a, b Tradeoff) int { return cmp.Compare(b.Index, a.Index) })
	return found
}

// weak tells whether a direction's condition index is high.
func (s *system) weak(d direction) bool { return d.sigma*strongIndex <= s.directions[0].sigma }

// harmed tells whether more than half of a parameter's variance comes from weak directions.
func (s *system) harmed(j int) bool {
	weak, all := 0.0, 0.0
	for _, d := range s.directions {
		ratio := d.v[j] / math.Max(d.sigma, 1e-4*blind)
		all += float64(ratio * ratio)
		if s.weak(d) {
			weak += float64(ratio * ratio)
		}
	}
	return weak > halfOf*all
}

// weakDirections spans the weak directions by rows of which each has an entry 1 where all others have 0 (Gauss and
// Jordan, the greatest entry first).
func (s *system) weakDirections() (rows [][]float64) {
	for _, d := range s.directions {
		if s.weak(d) {
			rows = append(rows, slices.Clone(d.v))
		}
	}
	for done := range rows {
		row, column := done, 0
		for i := done; i < len(rows); i++ {
			for j := range rows[i] {
				if math.Abs(rows[i][j]) > math.Abs(rows[row][column]) {
					row, column = i, j
				}
			}
		}
		rows[done], rows[row] = rows[row], rows[done]
		floats.Scale(1/rows[done][column], rows[done])
		for i := range rows {
			if i != done {
				floats.AddScaled(rows[i], -rows[i][column], rows[done])
				rows[i][column] = 0
			}
		}
	}
	return rows
}
