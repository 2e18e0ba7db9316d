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
				if shape.SegmentQuery(from, cp.Vector{X: from.X + float64(far*along.X), Y: from.Y + float64(far*along.Y)}, 0,
					&hit) {
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

// From a shape that does not see itself the nearest of its neighbours is hit, or where the line leaves the shape's
// room, of all.
func TestTheFirstHitBesideAShapeIsTheFirstHit(t *testing.T) {
	neighbours, others, misses := 0, 0, 0
	property.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		w := newCopy(s).(*ours)
		unseen := cp.NewShapeFilter(1, cp.ALL_CATEGORIES, cp.ALL_CATEGORIES)
		var eye *cp.Shape
		w.bodies[0].EachShape(func(shape *cp.Shape) { eye = shape; shape.SetFilter(unseen) })
		for i := range 400 {
			if i == 30 {
				w.remove(1)
			}
			w.step(s.dt)
			from := w.bodies[0].Position()
			along := cp.Vector{X: math.Cos(float64(i)), Y: math.Sin(float64(i))}
			far := 0.02 * float64(i%16)
			before := w.space.Looked()
			got := w.space.FirstHitBeside(eye, from, along, far, unseen)
			between := w.space.Looked()
			want := w.space.FirstHit(from, along, far, unseen)
			switch {
			case got != want:
				t.Fatalf("step %d: from %v along %v: %g, want %g", i, from, along, got, want)
			case got == far:
				misses++
			case between-before < w.space.Looked()-between:
				neighbours++
			default:
				others++
			}
		}
	})
	if neighbours == 0 || others == 0 || misses == 0 {
		t.Errorf("%d hits of neighbours, %d others, %d misses: nothing was tried", neighbours, others, misses)
	}
	t.Logf("%d hits of neighbours, %d others, %d misses", neighbours, others, misses)
}
