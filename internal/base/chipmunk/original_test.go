package cp_test

import (
	"math"
	"runtime"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// thing is a body of a scene, of one shape.
type thing struct {
	kind                 int // 0 disc, 1 box, 2 polygon, 3 rod
	size, mass, friction float64
	bounce               float64
	x, y, angle          float64
	vx, vy, spin         float64
}

// tie is a joint between two things: a pivot where they are, or a gear.
type tie struct {
	a, b   int
	gear   bool
	limits float64 // greatest force; 0: none
}

type scene struct {
	things []thing
	ties   []tie
	dt     float64
}

// world is a scene in one of the two engines.
type world interface {
	step(dt float64)
	push(i int, vx, vy float64)
	remove(i int)
	state() []float64
}

func drawScene(t *rapid.T) scene {
	number := func(low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, "number") }
	s := scene{dt: rapid.SampledFrom([]float64{0.001, 0.002, 0.005}).Draw(t, "step")}
	for range rapid.IntRange(2, 14).Draw(t, "things") {
		s.things = append(s.things, thing{
			kind: rapid.IntRange(0, 3).Draw(t, "kind"), size: number(0.05, 0.3), mass: number(0.1, 10),
			friction: number(0, 1), bounce: number(0, 0.8), x: number(-0.9, 0.9), y: number(-0.9, 0.9), angle: number(-4, 4),
			vx: number(-2, 2), vy: number(-2, 2), spin: number(-9, 9),
		})
	}
	for range rapid.IntRange(0, 3).Draw(t, "ties") {
		a, b := rapid.IntRange(0, len(s.things)-1).Draw(t, "a"), rapid.IntRange(0, len(s.things)-1).Draw(t, "b")
		if a != b {
			limit := rapid.SampledFrom([]float64{0, 5}).Draw(t, "limit")
			s.ties = append(s.ties, tie{a, b, rapid.Bool().Draw(t, "gear"), limit})
		}
	}
	return s
}

// That the copy is the original: every place, velocity, sleep, ray and distance has the same bits, step by step. The
// bodies are slowed down so that they come to rest; one is pushed and one taken out on the way.
func TestScenesHaveTheBitsOfTheOriginal(t *testing.T) {
	if x := math.Sqrt(2) + float64(len(t.Name())); runtime.GOARCH != "amd64" || x*x-float64(x*x) != 0 {
		t.Skip("the original is fused here")
	}
	asleep, touched := 0, 0
	property.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		ours, theirs := newCopy(s), newOriginal(s)
		for i := range 400 {
			switch i {
			case 200:
				ours.push(0, 1, 0.5)
				theirs.push(0, 1, 0.5)
			case 300:
				ours.remove(1)
				theirs.remove(1)
			}
			ours.step(s.dt)
			theirs.step(s.dt)
			got, want := ours.state(), theirs.state()
			if !slices.EqualFunc(got, want, func(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }) {
				t.Fatalf("step %d:\n%v\n%v", i, got, want)
			}
			asleep += int(got[0])
			touched += int(got[1])
		}
	})
	if asleep == 0 || touched == 0 {
		t.Errorf("%d sleeping and %d touching bodies: nothing was tried", asleep, touched)
	}
}
