package sim

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// hauler is the demo robot, read anew; tune changes it.
func hauler(t testing.TB, tune ...func(*robot.Robot)) *robot.Robot {
	t.Helper()
	r, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range tune {
		f(r)
	}
	return r
}

// crew drives one robot and collects what happens.
type crew struct {
	t     testing.TB
	w     *World
	r     *Robot
	log   []record.Event
	index map[string]int
}

// with puts the robot on a field, facing along x.
func with(t testing.TB, f *fields.Field, spec *robot.Robot, start geom.Pose) *crew {
	t.Helper()
	return crewOf(t, build(t, f, Entry{Spec: spec, Start: start}))
}

func crewOf(t testing.TB, w *World) *crew {
	c := &crew{t: t, w: w, r: w.Robots()[0], index: map[string]int{}}
	for i, p := range c.r.Spec.Parts {
		c.index[p.Name] = i
	}
	return c
}

func (c *crew) do(part string, verb robot.Verb, value float64) {
	c.r.Do(c.index[part], robot.Command{Verb: verb, Value: value})
}
func (c *crew) look(part string) robot.Status { return c.r.Look(c.index[part]) }

// wait runs the world with its control ticks.
func (c *crew) wait(seconds float64) {
	for range int(math.Round(seconds / ControlTick)) {
		c.w.Tick()
		c.w.Sense()
		for _, e := range c.w.TakeEvents() {
			if e.Kind != record.Contact {
				c.log = append(c.log, e)
			}
		}
	}
}

// saw counts the events of a kind.
func (c *crew) saw(kind record.Kind) (n int) {
	for _, e := range c.log {
		if e.Kind == kind {
			n++
		}
	}
	return n
}

// expect fails unless exactly n events of a kind were seen.
func (c *crew) expect(kind record.Kind, n int) {
	c.t.Helper()
	if got := c.saw(kind); got != n {
		c.t.Errorf("%d events %q, want %d; all: %s", got, kind, n, c.story())
	}
}

func (c *crew) story() string {
	var lines []string
	for _, e := range c.log {
		lines = append(lines, fmt.Sprintf("%.2f %s", e.T, e.Sentence(units.Metric)))
	}
	return "\n" + strings.Join(lines, "\n")
}

// cores adds n cores in a row along x from a place on, 150 mm apart.
func cores(f *fields.Field, n int, x, y float64) *fields.Field {
	kind := len(f.PieceKinds)
	f.PieceKinds = append(f.PieceKinds, core())
	for i := range n {
		name := fmt.Sprintf("core %d", len(f.Pieces)+1)
		f.Pieces = append(f.Pieces, fields.Piece{Kind: kind, Name: name, At: geom.Pose{X: x + 0.15*float64(i), Y: y},
			Side: -1, Goal: -1, Robot: -1})
	}
	return f
}

// sleds takes the field's first kind of piece.
func sleds(f *fields.Field, at ...geom.Pose) *fields.Field {
	k := sled()
	k.Takes = []int{0}
	for _, p := range at {
		f = withGoal(f, k, p)
	}
	return f
}

// rack is a fixed goal of the demo game's size on the wall x = 0, its heading into the field.
func rack(f *fields.Field, y float64) *fields.Field {
	return withGoal(f, fields.GoalKind{
		Name: "rack", Fixed: true, Shape: geom.Rect(geom.Vec{X: -0.04, Y: -0.15}, geom.Vec{X: 0.04, Y: 0.15}),
		Room: 2, Takes: []int{0}, Height: "rack", Reach: 0.15,
	}, geom.Pose{X: 0.04, Y: y})
}

// clamped has the hauler hold a sled behind it, off by a distance to the side and an angle when it shut the clamp.
func clamped(t testing.TB, f *fields.Field, tune ...func(*robot.Robot)) *crew {
	t.Helper()
	c := with(t, sleds(f, geom.Pose{X: 0.638, Y: 1.5}), hauler(t, tune...), geom.Pose{X: 1, Y: 1.5})
	c.do("clamp", robot.Shut, 0)
	c.wait(0.3)
	if !c.look("clamp").Holding {
		t.Fatalf("the clamp does not hold: %s", c.story())
	}
	return c
}

// load puts the field's first n pieces on the conveyor at once.
func (c *crew) load(n int) {
	v := c.r.mechanisms[c.index["conveyor"]].(*conveyor)
	for _, b := range c.w.bodies[:n] {
		if !v.preload(b) {
			c.t.Fatal("no room on the conveyor")
		}
	}
}
