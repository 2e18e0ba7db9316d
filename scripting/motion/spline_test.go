package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
)

func drawPoints(t *rapid.T, most int) []geom.Vec {
	coordinate := rapid.Float64Range(-1.5, 1.5)
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) geom.Vec {
		return geom.Vec{X: coordinate.Draw(t, "x"), Y: coordinate.Draw(t, "y")}
	}), 1, most).Draw(t, "points")
}

// The spline meets its points, leaves along the heading asked for, and has one slope and one second derivative on both
// sides of each knot: the definition of a cubic spline.
func TestSplineMeetsItsPointsAndIsSmooth(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		points := drawPoints(t, 8)
		points = thinned(geom.Vec{}, points)
		if len(points) < 2 {
			return
		}
		heading := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "heading")
		s := newSpline(points, &heading)
		for i, k := range s.knots {
			x, _ := s.x.at(k)
			y, _ := s.y.at(k)
			if math.Hypot(x-points[i].X, y-points[i].Y) > 1e-9 {
				t.Fatalf("misses point %d by %g m", i, math.Hypot(x-points[i].X, y-points[i].Y))
			}
		}
		_, dx := s.x.at(0)
		_, dy := s.y.at(0)
		if math.Abs(geom.WrapAngle(math.Atan2(dy, dx)-heading)) > 1e-6 {
			t.Fatalf("leaves at %g rad, want %g", math.Atan2(dy, dx), heading)
		}
		for i := 1; i < len(s.knots)-1; i++ {
			h := 1e-5 * math.Min(s.knots[i]-s.knots[i-1], s.knots[i+1]-s.knots[i])
			for _, c := range []*coordinate{&s.x, &s.y} {
				_, at := c.at(s.knots[i])
				_, before := c.at(s.knots[i] - h)
				_, after := c.at(s.knots[i] + h)
				left, right := (at-before)/h, (after-at)/h
				if math.Abs(left-right) > 1e-3*(1+math.Abs(left)+math.Abs(right)) {
					t.Fatalf("second derivative jumps at knot %d: %g, %g", i, left, right)
				}
			}
		}
	})
}

// A cubic spline through points of a circle comes near the circle: with n equal steps h the error is of order h^4 (de
// Boor, A Practical Guide to Splines; from memory), so halving the step divides it by about 16.
func TestSplineThroughACircleConvergesWithTheFourthPower(t *testing.T) {
	worst := func(n int) float64 {
		points := make([]geom.Vec, n+1)
		for i := range points {
			points[i] = geom.Unit(2 * math.Pi * float64(i) / float64(n))
		}
		heading := math.Pi / 2
		s := newSpline(points, &heading)
		most := 0.0
		for i := range 1000 { // the first half: the free end bends a little
			knot := s.knots[n] / 2 * float64(i) / 1000
			x, _ := s.x.at(knot)
			y, _ := s.y.at(knot)
			most = math.Max(most, math.Abs(math.Hypot(x, y)-1))
		}
		return most
	}
	if a, b := worst(16), worst(32); a > 1e-3 || a/b < 8 || a/b > 32 {
		t.Errorf("error %g at 16 points, %g at 32: ratio %g, want about 16", a, b, a/b)
	}
}

func TestEndSlopeIsThatOfTheParabolaThroughThreePoints(t *testing.T) {
	s := spline{knots: []float64{0, 1, 3}} // x = u^2, y = 2 - u
	points := []geom.Vec{{X: 0, Y: 2}, {X: 1, Y: 1}, {X: 9, Y: -1}}
	for _, c := range []struct {
		i, j, k int
		want    geom.Vec
	}{{0, 1, 2, geom.Vec{X: 0, Y: -1}}, {2, 1, 0, geom.Vec{X: 6, Y: -1}}} {
		if got := s.endSlope(points, c.i, c.j, c.k); r2.Norm(r2.Sub(got, c.want)) > 1e-12 {
			t.Errorf("slope at point %d: %v, want %v", c.i, got, c.want)
		}
	}
}

func TestCutAtCuspsStopsOnlyWhereTheRowDoublesBack(t *testing.T) {
	for _, c := range []struct {
		name  string
		row   []geom.Vec
		parts int
	}{
		{"straight", []geom.Vec{{}, {X: 1}, {X: 2}}, 1},
		{"square corner", []geom.Vec{{}, {X: 1}, {X: 1, Y: 1}}, 1},
		{"there and back", []geom.Vec{{}, {X: 1}, {}}, 2},
		{"zigzag", []geom.Vec{{}, {X: 1}, {X: 0.1}, {X: 1, Y: 0.1}}, 3},
		{"one point", []geom.Vec{{}}, 0},
	} {
		parts := cutAtCusps(c.row)
		if len(parts) != c.parts {
			t.Errorf("%s: %d parts, want %d", c.name, len(parts), c.parts)
		}
		for i := 1; i < len(parts); i++ {
			if last := parts[i-1]; last[len(last)-1] != parts[i][0] {
				t.Errorf("%s: part %d does not begin where part %d ends", c.name, i, i-1)
			}
		}
	}
}

func TestThinnedDropsPointsOnTopOfEachOther(t *testing.T) {
	row := thinned(geom.Vec{}, []geom.Vec{{}, {X: 0.0005}, {X: 1}, {X: 1}, {X: 1, Y: 0.0009}, {X: 1, Y: 0.002}})
	want := []geom.Vec{{}, {X: 1}, {X: 1, Y: 0.002}}
	if len(row) != len(want) {
		t.Fatalf("%v, want %v", row, want)
	}
	for i := range want {
		if r2.Norm(r2.Sub(row[i], want[i])) > 0 {
			t.Errorf("point %d: %v, want %v", i, row[i], want[i])
		}
	}
}
