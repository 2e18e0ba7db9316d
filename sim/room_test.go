package sim

import (
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// On every field there is room for a robot, and for one beside it, where they meet nothing and count for nothing.
func TestThereIsRoomForARobot(t *testing.T) {
	for _, name := range fields.Embedded() {
		field, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		spec, err := robot.OpenEmbedded("hauler")
		if err != nil {
			t.Fatal(err)
		}
		c := Config{Field: field}
		for range 2 {
			c.Robots = append(c.Robots, Entry{Spec: spec})
			at, found := Room(c)
			if !found {
				t.Fatalf("%s: no room", name)
			}
			last := &c.Robots[len(c.Robots)-1]
			if last.Start = at; last.onMark(field) {
				t.Errorf("%s: it stands on a mark at %v", name, at)
			}
		}
		if err := checkStarts(c); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		small := *field
		small.Floor = geom.Rect(geom.Vec{}, geom.Vec{X: 0.3, Y: 0.3})
		if at, found := Room(Config{Field: &small, Robots: c.Robots[:1]}); found {
			t.Errorf("%s: there is room at %v of 300 mm by 300 mm", name, at)
		}
	}
}
