package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// kiln puts the barrow before its side's kiln on the second field.
func kiln(t *testing.T, seed uint64, nominal bool, changes ...func(*fields.Field)) *crew {
	t.Helper()
	f, err := fields.OpenEmbedded("kiln_yard")
	if err != nil {
		t.Fatal(err)
	}
	for _, change := range changes {
		change(f)
	}
	spec, err := robot.OpenEmbedded("barrow")
	if err != nil {
		t.Fatal(err)
	}
	w, err := New(Config{Field: f, Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 0.7, Y: 2.05, Heading: math.Pi}}},
		Seed: seed, Nominal: nominal})
	if err != nil {
		t.Fatal(err)
	}
	return crewOf(t, w)
}

// The second robot has no clamp, no air and no lift: it tips its preload into the kiln.
func TestTheSecondRobotScoresForward(t *testing.T) {
	c := kiln(t, 0, true)
	loaded := c.look("belt").Count
	if loaded == 0 || c.r.Air() != 0 {
		t.Fatalf("loaded %d, air %.0f", loaded, c.r.Air())
	}
	c.r.SetDriveVolts(3, 3)
	c.wait(1.2)
	c.r.SetDriveVolts(0, 0)
	c.do("belt", robot.Volts, 7)
	c.wait(2.5)
	c.expect(record.Scored, loaded)
	if s := c.look("tipper"); s.Scored != loaded || s.Jammed {
		t.Errorf("%+v", s)
	}
}

// A fixed goal that faces away is not filled; one that is served from all around is, whichever way it faces.
func TestAGoalIsServedFromAllAround(t *testing.T) {
	for _, around := range []bool{false, true} {
		c := kiln(t, 0, true, func(f *fields.Field) {
			for i := range f.Goals {
				f.Goals[i].At.Heading += math.Pi
			}
			for i := range f.GoalKinds {
				f.GoalKinds[i].Around = around
			}
		})
		loaded := c.look("belt").Count
		c.r.SetDriveVolts(3, 3)
		c.wait(1.2)
		c.r.SetDriveVolts(0, 0)
		c.do("belt", robot.Volts, 7)
		c.wait(2.5)
		if scored := c.look("tipper").Scored; (scored == loaded) != around || scored > 0 && !around {
			t.Errorf("around %v: %d of %d scored", around, scored, loaded)
		}
	}
}

func TestTheSecondRobotTakesFromBehind(t *testing.T) {
	f := yard(4, 3)
	f.Surface.Grip = 1
	spec, err := robot.OpenEmbedded("barrow")
	if err != nil {
		t.Fatal(err)
	}
	c := with(t, cores(f, 1, 1, 1.5), spec, geom.Pose{X: 1.6, Y: 1.5})
	c.do("intake", robot.Volts, 7)
	c.r.SetDriveVolts(-3, -3)
	c.wait(1.2)
	c.expect(record.Pickup, 1)
}
