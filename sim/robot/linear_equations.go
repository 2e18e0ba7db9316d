package robot

import "math"

// solve3 solves three linear equations, whose right sides are the last column, by Gauss's elimination with row pivots.
// It reports false where they have no single solution.
func solve3(m [3][4]float64) (x [3]float64, solved bool) {
	for c := range 3 {
		pivot := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[pivot][c]) {
				pivot = r
			}
		}
		m[c], m[pivot] = m[pivot], m[c]
		for r := c + 1; r < 3; r++ {
			share := m[r][c] / m[c][c]
			for k := c; k < 4; k++ {
				m[r][k] -= float64(share * m[c][k])
			}
		}
	}
	for r := 2; r >= 0; r-- {
		sum := m[r][3]
		for k := r + 1; k < 3; k++ {
			sum -= float64(m[r][k] * x[k])
		}
		x[r] = sum / m[r][r]
	}
	return x, !math.IsNaN(x[0]+x[1]+x[2]) && !math.IsInf(x[0]+x[1]+x[2], 0)
}
