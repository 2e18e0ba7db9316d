package viewmodel

import (
	"math"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

// What is put partly off the floor comes to stand wholly on it, and no farther in than it must.
func TestInsideKeepsAWholeShapeOnTheFloor(t *testing.T) {
	square := geom.Rect(geom.Vec{}, geom.Vec{X: 3, Y: 2})
	angled := geom.Polygon{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 1}, {X: 0, Y: 1}} // an L
	box := geom.Rect(geom.Vec{X: -0.2, Y: -0.2}, geom.Vec{X: 0.2, Y: 0.2})
	for _, c := range []struct {
		what     string
		floor    geom.Polygon
		shape    geom.Polygon
		at, want geom.Pose
	}{
		{"the corner", square, box, geom.Pose{}, geom.Pose{X: 0.2, Y: 0.2}},
		{"far outside", square, box, geom.Pose{X: -5, Y: 9}, geom.Pose{X: 0.2, Y: 1.8}},
		{"one wall", square, box, geom.Pose{X: 2.9, Y: 1}, geom.Pose{X: 2.8, Y: 1}},
		{"free", square, box, geom.Pose{X: 1, Y: 1}, geom.Pose{X: 1, Y: 1}},
		{"turned", square, box, geom.Pose{X: 0, Y: 1, Heading: math.Pi / 4}, geom.Pose{X: 0.283, Y: 1, Heading: math.Pi / 4}},
		{"a disc", square, disc(0.1), geom.Pose{X: 0, Y: 1}, geom.Pose{X: 0.1, Y: 1}},
		{"over the corner that juts in", angled, box, geom.Pose{X: 2.1, Y: 0.9}, geom.Pose{X: 2.2, Y: 0.9}},
	} {
		got, ok := inside(&fields.Field{Floor: c.floor}, c.shape, c.at)
		if !ok || deepest(c.floor, c.shape.Placed(got)) != (geom.Vec{}) {
			t.Errorf("%s: %+v is not on the floor", c.what, got)
		}
		if c.what != "over the corner that juts in" && math.Hypot(got.X-c.want.X, got.Y-c.want.Y) > 0.0015 {
			t.Errorf("%s: %+v, want %+v", c.what, got, c.want)
		}
	}
	if _, ok := inside(&fields.Field{Floor: geom.Rect(geom.Vec{}, geom.Vec{X: 0.3, Y: 3})}, box,
		geom.Pose{X: 0.1, Y: 1}); ok {
		t.Error("a shape wider than the floor was placed")
	}
}

// A sled on another one, or on a core, would burst apart.
func TestAGoalIsNotPutIntoAnotherThing(t *testing.T) {
	d, _ := opened(t)
	f := d.Setup.Field
	var sleds []int
	for i, g := range f.Goals {
		if !f.GoalKinds[g.Kind].Fixed {
			sleds = append(sleds, i)
		}
	}
	goal, other := Thing{GoalThing, len(f.Pieces) + sleds[0]}, f.Goals[sleds[1]]
	for name, at := range map[string]geom.Pose{other.Name: other.At, f.Pieces[20].Name: f.Pieces[20].At} {
		at.X += 0.05
		d.Move(goal, at)
		if !d.Notice.Bad || !strings.Contains(d.Notice.Text, "would stand in ") || len(d.arranged.Bodies) > 0 {
			t.Errorf("%s: %q, arranged %v", name, d.Notice.Text, d.arranged.Bodies)
		}
	}
}

func TestAGoalMovedIntoTheWallStandsBesideIt(t *testing.T) {
	d, _ := opened(t)
	goal := Nothing
	for _, thing := range d.MovableThings() {
		if thing.Kind == GoalThing {
			goal = thing
			break
		}
	}
	d.Move(goal, geom.Pose{X: 0, Y: 2.1})
	finish(t, d)
	at, ok := d.Standing(goal)
	floor := d.Setup.Field.Floor
	if !ok || deepest(floor, d.Now.Outline(goal).Placed(at)) != (geom.Vec{}) || at.X < 0.05 || at.X > 0.5 {
		t.Errorf("it stands at %+v; %s", at, d.Notice.Text)
	}
}
