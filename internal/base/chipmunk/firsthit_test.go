package cp_test

import (
	"math"
	"testing"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

// What the trees are asked gives what all shapes give, one by one, while they move, sleep and leave.
func TestTheFirstHitIsTheNearestOfAll(t *testing.T) {
	hits, misses := 0, 0
	property.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		w := newCopy(s).(*ours)
		for i := range 60 {
			if i == 30 {
				w.remove(1)
			}
			w.step(s.dt)
			from := w.bodies[0].Position().Add(cp.Vector{X: 0.9 * math.Cos(float64(7*i)), Y: 0.9 * math.Sin(float64(7*i))})
			along := cp.Vector{X: math.Cos(float64(i)), Y: math.Sin(float64(i))}
			far := 0.05 * float64(i)
			want := far
			w.space.EachShape(func(shape *cp.Shape) {
				var hit cp.SegmentQueryInfo
				if shape.SegmentQuery(from, cp.Vector{X: from.X + float64(far*along.X), Y: from.Y + float64(far*along.Y)}, 0, &hit) {
					want = min(want, far*hit.Alpha)
				}
			})
			if got := w.space.FirstHit(from, along, far, cp.SHAPE_FILTER_ALL); got != want {
				t.Fatalf("step %d: from %v along %v: %g, want %g", i, from, along, got, want)
			}
			if want < far {
				hits++
			} else {
				misses++
			}
		}
	})
	if hits == 0 || misses == 0 {
		t.Errorf("%d hits, %d misses: nothing was tried", hits, misses)
	}
}
