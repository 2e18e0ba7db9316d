package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// sighted gives the hauler an ideal sensor of marks at its origin, looking ahead 90 degrees wide.
func sighted(tune ...func(*robot.MarkSensor)) func(*robot.Robot) {
	return func(r *robot.Robot) {
		s := &robot.MarkSensor{View: math.Pi / 2, Low: 0.1, High: 4}
		for _, f := range tune {
			f(s)
		}
		r.Sensors = append(r.Sensors, robot.Sensor{Name: "camera", Kind: robot.Mark, Mark: s})
	}
}

// camera is the index of the sensor that sighted adds.
func camera(c *crew) int { return len(c.r.Spec.Sensors) - 1 }

// marked is a yard with marks.
func marked(f *fields.Field, marks ...fields.Mark) *fields.Field {
	f.Marks = marks
	return f
}

func post(x, y float64) fields.Mark { return fields.Mark{Name: "post", At: geom.Pose{X: x, Y: y}} }

// The robot stands at (1, 1.5). Triangles of sides 3, 4, 5 and 5, 12, 13.
func TestAMarkIsSeenByRangeAndBearing(t *testing.T) {
	const degree = math.Pi / 180
	flat := func(x, y, heading float64) fields.Mark {
		return fields.Mark{Name: "post", At: geom.Pose{X: x, Y: y, Heading: heading}, Flat: true}
	}
	off := func(s *robot.MarkSensor) { s.At = geom.Pose{X: 0.15, Y: 0.05, Heading: math.Pi / 2} }
	near := func(s *robot.MarkSensor) { s.High = 2 }
	far := func(s *robot.MarkSensor) { s.Low = 1 }
	for _, c := range []struct {
		name        string
		heading     float64
		mark        fields.Mark
		tune        func(*robot.MarkSensor)
		far, toward float64 // 0: not seen
	}{
		{"3, 4, 5 to the left", 0, post(1.8, 2.1), nil, 1, math.Atan2(3, 4)},
		{"3, 4, 5 to the right", 0, post(1.8, 0.9), nil, 1, -math.Atan2(3, 4)},
		{"5, 12, 13, turned", math.Pi / 2, post(1.25, 2.1), nil, 0.65, -math.Atan2(5, 12)},
		{"from its own place and direction", 0, post(1.15, 2.05), off, 0.5, 0},
		{"from its own place, aslant", 0, post(1.45, 1.95), off, 0.5, -math.Atan2(3, 4)},
		{"at the edge of the view", 0, post(2, 2.4999), nil, math.Hypot(1, 0.9999), math.Atan2(0.9999, 1)},
		{"beyond the edge", 0, post(2, 2.5001), nil, 0, 0},
		{"behind", math.Pi, post(2, 1.5), nil, 0, 0},
		{"too far", 0, post(3.001, 1.5), near, 0, 0},
		{"not too far", 0, post(2.999, 1.5), near, 1.999, 0},
		{"too near", 0, post(1.999, 1.5), far, 0, 0},
		{"on the wall", 0, post(4, 1.5), nil, 3, 0},
		{"in a corner", 0, post(4, 3), nil, math.Hypot(3, 1.5), math.Atan2(1.5, 3)},
		{"flat, facing", 0, flat(2, 1.5, math.Pi), nil, 1, 0},
		{"flat, aslant by 69 degrees", 0, flat(2, 1.5, math.Pi-69*degree), nil, 1, 0},
		{"flat, aslant by 71 degrees", 0, flat(2, 1.5, math.Pi-71*degree), nil, 0, 0},
		{"flat, its back", 0, flat(2, 1.5, 0), nil, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			tune := c.tune
			if tune == nil {
				tune = func(*robot.MarkSensor) {}
			}
			k := with(t, marked(yard(4, 3), c.mark), hauler(t, sighted(tune)), geom.Pose{X: 1, Y: 1.5, Heading: c.heading})
			k.w.Sense()
			got := k.r.Sights(camera(k))[0]
			if math.Abs(got.Range-c.far) > 1e-9 || math.Abs(got.Bearing-c.toward) > 1e-9 {
				t.Errorf("at %.6f m, %.4f rad, want %.6f m, %.4f rad", got.Range, got.Bearing, c.far, c.toward)
			}
			if seen := reading(k, "camera"); (seen == 1) != (c.far > 0) {
				t.Errorf("it counts %g", seen)
			}
			if told := k.r.AppendTold(nil); len(told) != 2 || told[0] != got.Range || told[1] != got.Bearing {
				t.Errorf("the record has %v", told)
			}
		})
	}
}

// Walls hide every mark; robots and goals those that are not high, unless the robot holds the goal; pieces none.
func TestWhatHidesAMark(t *testing.T) {
	corner := func() *fields.Field { // the floor is an L: the way from (1, 1.5) to (2.5, 0.3) leads through its corner
		f := yard(4, 3)
		f.Floor = geom.Polygon{{X: 0, Y: 1.2}, {X: 2, Y: 1.2}, {X: 2, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 3}, {X: 0, Y: 3}}
		return f
	}
	ahead, aside := post(3, 1.5), post(2.5, 0.3)
	high := func(m fields.Mark) fields.Mark { m.High = true; return m }
	wide := func(s *robot.MarkSensor) { s.View = 2 * math.Pi }
	other := Entry{Spec: cart(), Start: geom.Pose{X: 2, Y: 1.5, Heading: 1}}
	for _, c := range []struct {
		name   string
		field  *fields.Field
		mark   fields.Mark
		robots []Entry
		seen   float64
	}{
		{"nothing", yard(4, 3), ahead, nil, 1},
		{"a wall", corner(), aside, nil, 0},
		{"a wall, high", corner(), high(aside), nil, 0},
		{"past the wall", corner(), ahead, nil, 1},
		{"a robot", yard(4, 3), ahead, []Entry{other}, 0},
		{"a robot, high", yard(4, 3), high(ahead), []Entry{other}, 1},
		{"a robot beside the way", yard(4, 3), ahead, []Entry{{Spec: cart(), Start: geom.Pose{X: 2, Y: 2}}}, 1},
		{"a goal", sleds(cores(yard(4, 3), 0, 0, 0), geom.Pose{X: 2, Y: 1.5}), ahead, nil, 0},
		{"a goal, high", sleds(cores(yard(4, 3), 0, 0, 0), geom.Pose{X: 2, Y: 1.5}), high(ahead), nil, 1},
		{"a piece", cores(yard(4, 3), 1, 2, 1.5), ahead, nil, 1},
	} {
		w := build(t, marked(c.field, c.mark), append([]Entry{{Spec: hauler(t, sighted(wide)),
			Start: geom.Pose{X: 1, Y: 1.5}}}, c.robots...)...)
		w.Sense()
		k := crewOf(t, w)
		if got := reading(k, "camera"); got != c.seen {
			t.Errorf("%s: %g seen, want %g: %v", c.name, got, c.seen, k.r.Sights(camera(k)))
		}
	}
	back := func(s *robot.MarkSensor) { s.At.Heading = math.Pi }
	k := clamped(t, marked(cores(yard(4, 3), 0, 0, 0), post(0, 1.5)), sighted(back))
	k.wait(0.02)
	if got := reading(k, "camera"); got != 1 {
		t.Errorf("over the goal that it holds: %g seen", got)
	}
}

// What is read is what was true its latency ago, at looks of its rate.
func TestMarksAreSeenLate(t *testing.T) {
	late := func(s *robot.MarkSensor) { s.Latency, s.Rate = 0.06, 50 }
	k := with(t, marked(yard(4, 3), post(3.5, 2)), hauler(t, sighted(late)), geom.Pose{X: 0.6, Y: 1.5})
	k.r.SetDriveVolts(5, 6)
	var were []robot.Sight
	for i := range 60 {
		k.wait(ControlTick)
		were = append(were, k.r.sight(k.r.Pose(), k.r.Spec.Sensors[camera(k)].Mark, &k.w.field.Marks[0]))
		if i < 8 {
			continue
		}
		want := were[(i-6)/2*2] // every second tick is looked, from the first on
		got := k.r.Sights(camera(k))[0]
		if math.Abs(got.Range-want.Range) > 1e-9 || math.Abs(got.Bearing-want.Bearing) > 1e-9 {
			t.Fatalf("tick %d: %+v, want %+v", i, got, want)
		}
	}
}

// Of n looks the share that is lost is binomial and the rest have the file's noise: mean and standard deviation within
// 4 of their own standard errors, s/sqrt(n) and s/sqrt(2 n) (normal distribution; from memory). Another mark changes
// nothing of the first.
func TestMarksHaveNoiseAndAreLost(t *testing.T) {
	const looks, lost, far, toward = 20000, 0.1, 0.02, 0.01
	faulty := func(s *robot.MarkSensor) {
		s.Dropout, s.Range.Noise, s.Range.Scale, s.Bearing.Noise = lost, far, 0.02, toward
	}
	var first []robot.Sight
	other := fields.Mark{Name: "other", At: geom.Pose{X: 2.5, Y: 1.5}}
	for _, marks := range [][]fields.Mark{{post(2.8, 2.1)}, {post(2.8, 2.1), other}} {
		w, err := New(Config{Field: marked(yard(4, 3), marks...), Seed: 11, Robots: []Entry{{Spec: hauler(t, still,
			sighted(faulty)), Start: geom.Pose{X: 1, Y: 1.5}}}})
		if err != nil {
			t.Fatal(err)
		}
		k := crewOf(t, w)
		truth := k.r.sight(k.r.Pose(), k.r.Spec.Sensors[camera(k)].Mark, &w.field.Marks[0])
		var list []robot.Sight
		for range looks {
			w.Sense()
			list = append(list, k.r.Sights(camera(k))[0])
		}
		checkNoise(t, list, lost, func(s robot.Sight) float64 { return s.Range }, 1.02*truth.Range, far)
		checkNoise(t, list, lost, func(s robot.Sight) float64 { return s.Bearing }, truth.Bearing, toward)
		if first == nil {
			first = list
		}
		for i := range list {
			if list[i] != first[i] {
				t.Fatalf("look %d: another mark makes %+v of %+v", i, list[i], first[i])
			}
		}
	}
}

// still is a robot that starts exactly where it is put.
func still(r *robot.Robot) { r.Spread.StartAt, r.Spread.StartHeading = 0, 0 }

func checkNoise(t *testing.T, list []robot.Sight, lost float64, of func(robot.Sight) float64, mean, deviation float64) {
	t.Helper()
	var n, sum, square float64
	for _, s := range list {
		if s.Range > 0 {
			x := of(s) - mean
			n, sum, square = n+1, sum+x, square+x*x
		}
	}
	all := float64(len(list))
	if off := 4 * math.Sqrt(all*lost*(1-lost)); math.Abs(n-all*(1-lost)) > off {
		t.Errorf("%g of %g are seen", n, all)
	}
	if math.Abs(sum/n) > 4*deviation/math.Sqrt(n) {
		t.Errorf("the mean is off by %g", sum/n)
	}
	if s := math.Sqrt(square / n); math.Abs(s-deviation) > 4*deviation/math.Sqrt(2*n) {
		t.Errorf("the standard deviation is %g, want %g", s, deviation)
	}
}
