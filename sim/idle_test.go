package sim

import (
	"fmt"
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// among is a world in which the demo's robot is to drive in the left half, its intake running, while n pieces lie in
// the right half, asleep.
func among(t testing.TB, n int) *World {
	f := yard(4.2, 3)
	small := core()
	small.Radius = 0.05
	f.PieceKinds = []fields.PieceKind{small}
	for i := range n {
		at := geom.Pose{X: 2.6 + 0.12*float64(i%13), Y: 0.15 + 0.16*float64(i/13)}
		f.Pieces = append(f.Pieces, fields.Piece{Name: fmt.Sprintf("core %d", i+1), At: at, Side: -1, Goal: -1, Robot: -1})
	}
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	w, err := New(Config{Field: f, Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 1.2, Y: 1.5}}}, Nominal: true})
	if err != nil {
		t.Fatal(err)
	}
	for part := range spec.Parts {
		w.robots[0].Do(part, robot.Command{Verb: robot.Volts, Value: 9})
	}
	for range 30 { // until the pieces sleep
		w.circle(0)
	}
	return w
}

// circle is a control tick, the i-th, of a drive in circles that change.
func (w *World) circle(i int) {
	w.Sense()
	w.robots[0].SetDriveVolts(5, 7+2*math.Sin(0.05*float64(i)))
	w.Tick()
	w.TakeEvents()
}

// What a tick costs hardly grows with pieces that nobody touches: the bodies that a step moves are the robot alone, and
// of the trees at most 5 nodes more are looked at among 200 pieces than among 10: pieces in the robot's room, and a
// level more a search. (Found: 4.2 more than 15.2. A node takes some tens of instructions, a tick of the demo 46,000; a
// fifth of the nodes was the bound as long as a bumper searched the trees, 4.9 of 24.3.)
func TestIdlePiecesCostNothing(t *testing.T) {
	looked := func(n int) float64 {
		w := among(t, n)
		before := w.space.Looked()
		for i := range 2000 {
			w.circle(i)
		}
		for _, b := range w.bodies {
			if !b.Asleep() {
				t.Fatalf("%d pieces: %s is awake", n, b.Name)
			}
		}
		return float64(w.space.Looked()-before) / 2000
	}
	few, many := looked(10), looked(200)
	t.Logf("nodes a tick: %.1f among 10 pieces, %.1f among 200", few, many)
	if few < 10 || many > few+5 {
		t.Errorf("nodes a tick: %.1f among 10 pieces, %.1f among 200", few, many)
	}
}

// BenchmarkIdle is a control tick of a robot that drives, beside pieces that nobody touches.
func BenchmarkIdle(b *testing.B) {
	for _, n := range []int{10, 50, 200} {
		b.Run(fmt.Sprintf("pieces=%d", n), func(b *testing.B) {
			w := among(b, n)
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				w.circle(i)
			}
		})
	}
}

// A control tick of the demo's robot allocates nothing: sensors, mechanisms, drive, the trees, and whether strides will
// do.
func TestATickAllocatesNothing(t *testing.T) {
	w := among(t, 40)
	i := 0
	if n := testing.AllocsPerRun(500, func() { w.circle(i); i++ }); n > 0 {
		t.Errorf("%g allocations a tick", n)
	}
}
