package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// gonum's clamped spline has slope 0 at both ends.
func TestCoordinateIsGonumsClampedSpline(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		knots, values, most := []float64{0}, []float64{rapid.Float64Range(-1, 1).Draw(t, "value")}, 1.0
		for range rapid.IntRange(1, 20).Draw(t, "count") {
			knots = append(knots, knots[len(knots)-1]+rapid.Float64Range(0.5, 2).Draw(t, "step"))
			values = append(values, rapid.Float64Range(-1, 1).Draw(t, "value"))
		}
		var want interp.ClampedCubic
		if err := want.Fit(knots, values); err != nil {
			t.Fatal(err)
		}
		got := newCoordinate(knots, values, 0, 0)
		for i := range 200 {
			knot := knots[len(knots)-1] * float64(i) / 199
			value, slope := got.at(knot)
			most = max(most, math.Abs(slope))
			if off := math.Abs(value - want.Predict(knot)); off > 1e-14*most {
				t.Fatalf("at %v: %v, off by %g", knot, value, off)
			}
			if off := math.Abs(slope - want.PredictDerivative(knot)); off > 1e-13*most {
				t.Fatalf("at %v: slope %v, off by %g", knot, slope, off)
			}
		}
	})
}

// Any cubic is its own spline.
func TestACubicIsItsOwnSpline(t *testing.T) {
	cubic := func(x float64) (value, slope float64) { return 1 + x*(2+x*(-3+x*0.5)), 2 + x*(-6+x*1.5) }
	knots := []float64{0, 0.5, 2, 2.25, 4}
	values := make([]float64, len(knots))
	for i, k := range knots {
		values[i], _ = cubic(k)
	}
	_, first := cubic(0)
	_, last := cubic(4)
	c := newCoordinate(knots, values, first, last)
	for i := range 101 {
		x := float64(i) / 25
		value, slope := c.at(x)
		wantValue, wantSlope := cubic(x)
		if math.Abs(value-wantValue) > 1e-13 || math.Abs(slope-wantSlope) > 1e-13 {
			t.Errorf("at %v: %v, %v, not %v, %v", x, value, slope, wantValue, wantSlope)
		}
	}
}
