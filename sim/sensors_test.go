package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

func reading(c *crew, name string) float64 {
	for i, s := range c.r.Sensors() {
		if s.Name == name {
			return c.r.Reading(i)
		}
	}
	c.t.Fatalf("no sensor %q", name)
	return 0
}

// The hauler's distance sensor looks ahead from (205, 95) mm of the robot at (1, 1.5).
func TestADistanceSensorSeesWhatStandsThere(t *testing.T) {
	tests := []struct {
		name string
		core geom.Pose
		want float64
	}{
		{"the wall beyond its range", geom.Pose{X: 3, Y: 0.3}, 2},
		{"a core's near side", geom.Pose{X: 2, Y: 1.595}, 2 - 0.07 - 1.205},
		{"past a core that is beside the ray", geom.Pose{X: 2, Y: 1.7}, 2},
	}
	for _, test := range tests {
		c := with(t, cores(yard(4, 3), 1, test.core.X, test.core.Y), hauler(t), geom.Pose{X: 1, Y: 1.5})
		c.wait(0.2)
		if got := reading(c, "front"); math.Abs(got-test.want) > 0.0011 {
			t.Errorf("%s: %.4f m, want %.4f", test.name, got, test.want)
		}
	}
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 3, Y: 1.5})
	c.wait(0.2)
	if got := reading(c, "front"); math.Abs(got-(4-3.205)) > 0.0011 {
		t.Errorf("wall: %.4f m, want 0.795", got)
	}
}

// A sensor that looks through the robot sees neither it nor the sled that it holds, only the wall behind.
func TestADistanceSensorDoesNotSeeItsOwnRobot(t *testing.T) {
	back := func(r *robot.Robot) {
		r.Sensors = append(r.Sensors, robot.Sensor{Name: "back", Kind: robot.Distance,
			Distance: &robot.DistanceSensor{High: 3, At: geom.Pose{X: 0.1, Heading: math.Pi}}})
	}
	f := sleds(cores(yard(4, 3), 0, 0, 0), geom.Pose{X: 0.638, Y: 1.5})
	c := with(t, f, hauler(t, back), geom.Pose{X: 1, Y: 1.5})
	c.wait(0.05)
	if got, want := reading(c, "back"), 1.1-0.638-0.15; math.Abs(got-want) > 0.002 {
		t.Errorf("before the clamp shuts: %.4f m, want %.4f to the sled", got, want)
	}
	c.do("clamp", robot.Shut, 0)
	c.wait(0.4)
	if got := reading(c, "back"); math.Abs(got-c.r.Pose().X-0.1) > 0.002 {
		t.Errorf("holding it: %.4f m, want %.4f to the wall", got, c.r.Pose().X+0.1)
	}
}

func TestABumperIsPressedByWhatItTouches(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 0.4, Y: 1.5})
	c.wait(0.1)
	if reading(c, "rear") != 0 {
		t.Error("pressed in the open")
	}
	c.r.SetDriveVolts(-3, -3)
	c.wait(1)
	if reading(c, "rear") != 1 {
		t.Errorf("not pressed at x %.4f", c.r.Pose().X)
	}
	c.r.SetDriveVolts(3, 3)
	c.wait(0.5)
	if reading(c, "rear") != 0 {
		t.Error("still pressed")
	}
}

func TestARotationSensorReadsTheLift(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("lift", robot.Target, 0.5)
	c.wait(1)
	if got, want := reading(c, "lift_angle"), liftOf(c).at; math.Abs(got-want) > 0.06*degree {
		t.Errorf("%.4f rad, want %.4f", got, want)
	}
}

// The inertial sensor counts turns on and starts from zero however the robot stands.
func TestAnInertialSensorCountsFromTheStart(t *testing.T) {
	c := with(t, yard(4, 3), cart(ideal, instrumented(robot.ByEncoders, -1)), geom.Pose{X: 2, Y: 1.5, Heading: 2})
	c.r.SetDriveVolts(-6, 6)
	c.wait(3)
	want := c.r.Pose().Heading - 2
	if got := c.r.Reading(2); want < 7 || math.Abs(got-want) > 1e-9 {
		t.Errorf("%.4f rad, want %.4f", got, want)
	}
}

// telling has the hauler's optical sensor tell what it sees, at once.
func telling(r *robot.Robot) {
	r.Sensors[5].Optical.Looks, r.Sensors[5].Optical.Timing = true, robot.Timing{}
}

// mixed is a yard of two kinds of piece, of which one is the second side's.
func mixed() *fields.Field {
	f := cores(yard(4, 3), 3, 3, 0.5)
	plate := f.PieceKinds[0]
	plate.Name = "plate"
	f.PieceKinds = append(f.PieceKinds, plate)
	f.Sides = []fields.Side{{Name: "ochre"}, {Name: "teal"}}
	f.Pieces[1].Kind, f.Pieces[2].Side = 1, 1
	return f
}

func TestAnOpticalSensorTellsKindAndSide(t *testing.T) {
	c := with(t, mixed(), hauler(t, telling), geom.Pose{X: 1, Y: 1.5})
	c.load(3)
	for i, want := range [][2]string{{"core", ""}, {"plate", ""}, {"core", "teal"}} {
		for k, p := range belt(c).pieces {
			p.at = map[bool]float64{true: 0.33, false: 0}[k == i]
		}
		c.wait(0.01)
		kind, side := c.r.PieceBefore(5)
		if kind != want[0] || side != want[1] || reading(c, "chute") != 1 {
			t.Errorf("piece %d: %q of %q and %g, want %q", i, kind, side, reading(c, "chute"), want)
		}
		if told := c.r.AppendTold(nil); len(told) != 1 || told[0] != float64(i+1) {
			t.Errorf("piece %d: the record has %v", i, told)
		}
	}
	belt(c).pieces[2].at = 0
	c.wait(0.01)
	if kind, side := c.r.PieceBefore(5); kind != "" || side != "" || reading(c, "chute") != 0 {
		t.Errorf("nothing is %q of %q", kind, side)
	}
}

// Of n looks the share that tells another piece is binomial: within 4 standard deviations of the file's, and then each
// of the others alike. A sensor without mistakes makes none, whatever it reads.
func TestAnOpticalSensorIsMistakenInItsShare(t *testing.T) {
	const looks = 20000
	for _, share := range []float64{0, 0.1} {
		mistaken := func(r *robot.Robot) { r.Sensors[5].Optical.Mistakes = share }
		w, err := New(Config{Field: mixed(), Seed: 5, Robots: []Entry{{Spec: hauler(t, telling, mistaken),
			Start: geom.Pose{X: 1, Y: 1.5}}}})
		if err != nil {
			t.Fatal(err)
		}
		c := crewOf(t, w)
		c.load(1)
		belt(c).pieces[0].at = 0.33
		told := map[string]int{}
		for range looks {
			w.Sense()
			kind, side := c.r.PieceBefore(5)
			told[kind+side]++
		}
		wrong, off := looks-told["core"], 4*math.Sqrt(looks*share*(1-share))
		if math.Abs(float64(wrong)-looks*share) > off || math.Abs(float64(told["plate"]-told["coreteal"])) > 2*off {
			t.Errorf("a share of %g: %v", share, told)
		}
	}
}

func BenchmarkHauler(b *testing.B) {
	f := busyField()
	w := build(b, f, Entry{Spec: hauler(b), Start: geom.Pose{X: 2.1, Y: 2.22}})
	c := crewOf(b, w)
	c.do("intake", robot.Volts, 11)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if i%5 == 0 {
			w.Sense()
		}
		if i%250 == 0 {
			k := float64(i / 250)
			c.r.SetDriveVolts(12*math.Sin(0.7*k), 12*math.Sin(1.3*k+1))
		}
		w.Step()
		w.TakeEvents()
	}
	b.ReportMetric(stepLength*float64(b.N)/b.Elapsed().Seconds(), "sim-s/s")
}

func BenchmarkOutfitIdle(b *testing.B) {
	w := build(b, yard(4, 3), Entry{Spec: hauler(b), Start: geom.Pose{X: 2.1, Y: 1.5}})
	r := w.Robots()[0]
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if i%5 == 0 {
			w.openTick()
		}
		r.roll(stepLength)
		for _, p := range r.parts {
			p.step(stepLength)
		}
		if i%5 == 0 {
			w.Sense()
		}
	}
}
