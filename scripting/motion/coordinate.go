package motion

import "sort"

// coordinate is one coordinate of the spline: a cubic between each two knots, given by the values and slopes at both.
type coordinate struct {
	knots, values, slopes []float64
}

// newCoordinate finds the slopes with which the second derivative is continuous, from those at both ends (de Boor, A
// Practical Guide to Splines, chapter IV, "complete cubic spline"; from memory, checked against gonum's in the tests):
//
//	m[i-1]/h[i-1] + 2 m[i] (1/h[i-1] + 1/h[i]) + m[i+1]/h[i] = 3 (d[i-1]/h[i-1] + d[i]/h[i])
//
// with h the steps of the knots and d the slopes of the chords. No pivot is needed: the diagonal is twice the rest.
func newCoordinate(knots, values []float64, first, last float64) coordinate {
	n := len(knots)
	m := make([]float64, n)
	m[0], m[n-1] = first, last
	upper := make([]float64, n) // m[i] = m[i] so far - upper[i] m[i+1]
	for i := 1; i < n-1; i++ {
		near, far := 1/(knots[i]-knots[i-1]), 1/(knots[i+1]-knots[i])
		bend := float64(3 * (float64((values[i]-values[i-1])*near*near) + float64((values[i+1]-values[i])*far*far)))
		pivot := 2*(near+far) - float64(near*upper[i-1])
		upper[i] = far / pivot
		m[i] = (bend - float64(near*m[i-1])) / pivot
	}
	for i := n - 2; i > 0; i-- {
		m[i] -= float64(upper[i] * m[i+1])
	}
	return coordinate{knots, values, m}
}

// at is the value and the slope at a knot or between two: Hermite's form, in which each end keeps its value to the bit.
func (c *coordinate) at(knot float64) (value, slope float64) {
	i := min(max(sort.SearchFloat64s(c.knots, knot)-1, 0), len(c.knots)-2)
	h := c.knots[i+1] - c.knots[i]
	u := (knot - c.knots[i]) / h
	v := 1 - u
	rise := c.values[i+1] - c.values[i]
	start, end := float64(c.slopes[i]*h)-rise, rise-float64(c.slopes[i+1]*h)
	value = float64(c.values[i]*v) + float64(c.values[i+1]*u) + float64(u*v*(float64(start*v)+float64(end*u)))
	slope = (rise + float64((v-u)*(float64(start*v)+float64(end*u))) + float64(u*v*(end-start))) / h
	return value, slope
}
