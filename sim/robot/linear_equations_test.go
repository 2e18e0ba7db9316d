package robot

import (
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// Against LAPACK's method, as gonum has it: the error of either grows with the matrix's condition.
func TestThreeEquationsAreSolvedAsLAPACKDoes(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		var m [3][4]float64
		a, b := mat.NewDense(3, 3, nil), mat.NewVecDense(3, nil)
		for i := range m {
			for j := range m[i] {
				m[i][j] = rapid.Float64Range(-1, 1).Draw(t, "m")
				if j < 3 {
					a.Set(i, j, m[i][j])
				} else {
					b.SetVec(i, m[i][j])
				}
			}
		}
		var lu mat.LU
		lu.Factorize(a)
		var want mat.VecDense
		if lu.Cond() > 100 || lu.SolveVecTo(&want, false, b) != nil {
			t.Skip("ill-conditioned")
		}
		got, solved := solve3(m)
		for i := range got {
			if !solved || !scalar.EqualWithinAbsOrRel(got[i], want.AtVec(i), 1e-13, 1e-13) {
				t.Fatalf("%v: %v, not %v", m, got, want.RawVector().Data)
			}
		}
	})
}

func TestEquationsWithoutASingleSolutionAreSeen(t *testing.T) {
	for _, m := range [][3][4]float64{{}, {{1, 2, 3, 4}, {2, 4, 6, 8}, {0, 0, 1, 1}},
		{{1, 0, 0, 1}, {0, 1, 0, 1}, {0, 0, 0, 1}}} {
		if x, solved := solve3(m); solved {
			t.Errorf("%v: solved by %v", m, x)
		}
	}
}
