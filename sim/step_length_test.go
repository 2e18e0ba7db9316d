package sim

import (
	"slices"
	"testing"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

// touchingNow counts the contacts of a world's robots, and of pieces and goals that are awake.
func (w *World) touchingNow() (n int) {
	count := func(*cp.Arbiter) { n++ }
	for _, r := range w.robots {
		r.body.EachArbiter(count)
	}
	for _, b := range w.bodies {
		if b.body != nil && !b.Asleep() {
			b.body.EachArbiter(count)
		}
	}
	return n
}

// A tick of strides meets nothing, whatever the robots are told to do: there is no contact after either stride. Ticks
// of both kinds come.
func TestATickOfStridesMeetsNothing(t *testing.T) {
	strides, steps, touched := 0, 0, 0
	property.Check(t, func(t *rapid.T) {
		w := scene(t)
		throw(t, w)
		for i := range 150 {
			if i%30 == 0 {
				for _, r := range w.robots {
					r.SetDriveVolts(rapid.Float64Range(-13, 13).Draw(t, "left"), rapid.Float64Range(-13, 13).Draw(t, "right"))
				}
			}
			if slices.ContainsFunc(w.robots, func(r *Robot) bool { return r.body.IsSleeping() }) {
				w.Tick() // a command that arrives in it may wake one where it leans
				continue
			}
			apart := w.space.Apart(ControlTick, clearance)
			if !apart {
				w.Tick()
				steps++
				touched += min(1, w.touchingNow())
				continue
			}
			strides++
			for range 2 {
				w.advance(stride)
				if n := w.touchingNow(); n != 0 {
					t.Fatalf("at %.3f s: %d contacts in a stride", w.Time(), n)
				}
			}
		}
	})
	if strides == 0 || touched == 0 {
		t.Errorf("%d ticks of strides, %d of steps, contacts after %d: nothing was tried", strides, steps, touched)
	}
	t.Logf("%d ticks of strides, %d of steps, contacts after %d", strides, steps, touched)
}
