package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// spline is a twice continuously differentiable cubic through points, over the centripetal parameter: knots step by the
// square root of the distance between points (Lee, Choosing nodes in parametric curve interpolation, CAD 21(6), 1989),
// which keeps the curve near its points when their distances differ.
type spline struct {
	knots []float64
	x, y  coordinate
}

// newSpline fits at least two points that are all apart from their neighbours. heading is the direction at the first
// point; nil lets the curve choose it.
func newSpline(points []geom.Vec, heading *float64) *spline {
	n := len(points)
	s := &spline{knots: make([]float64, n)}
	xs, ys := make([]float64, n), make([]float64, n)
	for i, p := range points {
		xs[i], ys[i] = p.X, p.Y
		if i > 0 {
			s.knots[i] = s.knots[i-1] + math.Sqrt(geom.Norm(r2.Sub(p, points[i-1])))
		}
	}
	first, last := s.endSlope(points, 0, 1, 2), s.endSlope(points, n-1, n-2, n-3)
	if heading != nil {
		first = geom.Scale(geom.Norm(r2.Sub(points[1], points[0]))/(s.knots[1]-s.knots[0]), geom.Unit(*heading))
		if n == 2 { // no bend at the far end: m1 = (3 chord/h - m0)/2
			last = geom.Scale(0.5, r2.Sub(geom.Scale(3, s.chord(points, 0, 1)), first))
		}
	}
	s.x, s.y = newCoordinate(s.knots, xs, first.X, last.X), newCoordinate(s.knots, ys, first.Y, last.Y)
	return s
}

// chord is the mean slope between two points.
func (s *spline) chord(points []geom.Vec, i, j int) geom.Vec {
	return geom.Scale(1/(s.knots[j]-s.knots[i]), r2.Sub(points[j], points[i]))
}

// endSlope is the slope at point i of the parabola through the points i, j, k.
func (s *spline) endSlope(points []geom.Vec, i, j, k int) geom.Vec {
	near := s.chord(points, i, j)
	if k < 0 || k >= len(points) {
		return near
	}
	far := s.chord(points, j, k)
	share := (s.knots[j] - s.knots[i]) / (s.knots[k] - s.knots[i])
	return r2.Add(near, geom.Scale(share, r2.Sub(near, far)))
}

// shifted is the row whose points, after the first, lie ahead of the given ones by lead, along the spline's direction
// at each, and how far a point moved against the row before, at most. A point that would fall on the one before stays.
func (s *spline) shifted(points, before []geom.Vec, lead float64) (row []geom.Vec, moved float64) {
	row = []geom.Vec{points[0]}
	for i, p := range points[1:] {
		_, dx := s.x.at(s.knots[i+1])
		_, dy := s.y.at(s.knots[i+1])
		next := r2.Add(p, geom.Scale(lead, geom.Unit(portable.Atan2(dy, dx))))
		if geom.Norm(r2.Sub(next, row[i])) < apart {
			next = before[i+1]
		}
		row = append(row, next)
		moved = max(moved, geom.Norm(r2.Sub(next, before[i+1])))
	}
	return row, moved
}

// lay samples the spline into a curve.
func (s *spline) lay(c *curve, points []geom.Vec, spacing float64) {
	c.clear()
	for i := range len(points) - 1 {
		count := max(6, pieces(1.2*geom.Norm(r2.Sub(points[i+1], points[i])), spacing))
		for k := range count {
			c.addKnot(s, s.knots[i]+(s.knots[i+1]-s.knots[i])*float64(k)/float64(count))
		}
	}
	c.addKnot(s, s.knots[len(points)-1])
	c.measure()
}

func (c *curve) addKnot(s *spline, knot float64) {
	x, dx := s.x.at(knot)
	y, dy := s.y.at(knot)
	c.add(geom.Vec{X: x, Y: y}, portable.Atan2(dy, dx))
}
