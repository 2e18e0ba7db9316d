package sim

import "chalkfield/internal/base/geom"

// wheelLoads shares a weight among the wheels of a rigid chassis on equal springs: the load of wheel i is
// a + b x_i + c y_i, the plane whose sum and first moments balance the weight and its moments (statics; the spring rate
// cancels out). Without load transfer it is the level robot; with it, quasi-static.
type wheelLoads struct {
	inverse [3][3]float64 // of sum [1 x y]^T [1 x y]
}

func newWheelLoads(at []geom.Vec) wheelLoads {
	// A little stiffness of its own in every direction keeps the matrix regular when all wheels stand in one line: the
	// direction that they cannot balance is then left alone.
	const tiny = 1e-9
	m := [3][3]float64{{tiny, 0, 0}, {0, tiny, 0}, {0, 0, tiny}}
	for _, p := range at {
		row := [3]float64{1, p.X, p.Y}
		for i := range 3 {
			for j := range 3 {
				m[i][j] += float64(row[i] * row[j])
			}
		}
	}
	return wheelLoads{invert(m)}
}

// share fills loads (N) for a weight (N) and its first moments (N m) along x and y. A wheel cannot pull: negative loads
// become 0 and the others are scaled to carry the weight.
func (w *wheelLoads) share(wheels []wheel, weight, mx, my float64) {
	q := &w.inverse
	a := float64(q[0][0]*weight) + float64(q[0][1]*mx) + float64(q[0][2]*my)
	b := float64(q[1][0]*weight) + float64(q[1][1]*mx) + float64(q[1][2]*my)
	c := float64(q[2][0]*weight) + float64(q[2][1]*mx) + float64(q[2][2]*my)
	var sum float64
	for i := range wheels {
		w := &wheels[i]
		w.load = a + float64(b*w.at.X) + float64(c*w.at.Y)
		if w.load < 0 {
			w.load = 0
		}
		sum += w.load
	}
	if sum > 0 {
		scale := weight / sum
		for i := range wheels {
			wheels[i].load *= scale
		}
	}
}

// invert gives the inverse of a symmetric regular matrix by cofactors.
func invert(m [3][3]float64) [3][3]float64 {
	cof := func(i, j int) float64 {
		a, b, c, d := m[(i+1)%3][(j+1)%3], m[(i+1)%3][(j+2)%3], m[(i+2)%3][(j+1)%3], m[(i+2)%3][(j+2)%3]
		return float64(a*d) - float64(b*c)
	}
	det := float64(m[0][0]*cof(0, 0)) + float64(m[0][1]*cof(0, 1)) + float64(m[0][2]*cof(0, 2))
	var out [3][3]float64
	for i := range 3 {
		for j := range 3 {
			out[j][i] = cof(i, j) / det
		}
	}
	return out
}
