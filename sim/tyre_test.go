package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

// What a sliding tyre answers lies within its ellipse, however little it holds one way, and wherever the last search
// ended: a tyre that gave more would make energy.
func TestATyreNeverGivesMoreThanItsEllipse(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		order := func(name string, low, high float64) float64 {
			return math.Pow(10, rapid.Float64Range(low, high).Draw(t, name))
		}
		var w tyre
		w.set(order("a", -9, 1), order("b", -9, 1), order("kp", -3, 8), order("kq", -3, 1), order("creep", -4, 0))
		for range rapid.IntRange(1, 30).Draw(t, "rounds") {
			u, s := rapid.Float64Range(-3, 3).Draw(t, "along"), rapid.Float64Range(-3, 3).Draw(t, "across")
			p, q := w.stop(u, s)
			if w.holds(p, q) {
				w.over = 0
			} else {
				p, q = w.slide(p, q)
			}
			if x, y := p/w.a, q/w.b; !(x*x+y*y <= 1+1e-9) || !(w.over >= 0) {
				t.Fatalf("%.6g of along, %.6g of across; over %g", x, y, w.over)
			}
			w.p, w.q = p, q
		}
	})
}
