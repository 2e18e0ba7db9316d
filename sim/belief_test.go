package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// instrumented gives a robot ideal sensors: encoders, inertial, a tracking wheel along and one across.
func instrumented(method robot.OdometryMethod, across int) func(*robot.Robot) {
	return func(r *robot.Robot) {
		r.Sensors = []robot.Sensor{
			{Name: "left", Kind: robot.Encoder, Encoder: &robot.EncoderSensor{Train: robot.Left}},
			{Name: "right", Kind: robot.Encoder, Encoder: &robot.EncoderSensor{Train: robot.Right}},
			{Name: "inertial", Kind: robot.Inertial, Inertial: &robot.InertialSensor{}},
			{Name: "along", Kind: robot.Tracking, Tracking: &robot.TrackingSensor{At: geom.Pose{X: 0.03, Y: 0.07}}},
			{Name: "across", Kind: robot.Tracking, Tracking: &robot.TrackingSensor{At: geom.Pose{X: -0.09, Y: 0.01,
				Heading: math.Pi / 2}}},
		}
		r.Odometry = robot.Odometry{Method: method, Along: []int{0, 1}, Across: across, Inertial: 2, Track: r.PlainTrack()}
		if method == robot.ByTracking {
			r.Odometry.Along = []int{3}
		}
	}
}

// wander drives a course with turns both ways and returns how far apart belief and truth end.
func wander(t *testing.T, step float64, spec *robot.Robot) (place, heading float64) {
	t.Helper()
	w := buildAt(t, step, yard(6, 6), Entry{Spec: spec, Start: geom.Pose{X: 3, Y: 3}})
	r := w.Robots()[0]
	for _, leg := range [][3]float64{{3, 3, 0.6}, {2, 4, 0.8}, {4, 2, 1.2}, {-3, 3, 0.4}, {-2, -4, 0.8}, {3, 3.5, 1}} {
		r.SetDriveVolts(leg[0], leg[1])
		for range int(math.Round(leg[2] / ControlTick)) {
			w.Tick()
			w.Sense()
		}
	}
	d := r.Pose().Relative(r.Belief())
	return math.Hypot(d.X, d.Y), math.Abs(r.Pose().Heading - r.Belief().Heading)
}

// With ideal sensors and tyres that do not slip the belief is the truth, but for what a step of the engine blurs: it
// moves a turning body along its heading at the step's start, which is off by half the step's turn, about v dt/2 to the
// side per radian of a turn: up to 1 mm at 1 m/s, which partly cancels over turns both ways. Half of it with half the
// step. The heading has no such error, only what the tyre solver leaves (settled, 1e-5 m/s in a step, made good in the
// next).
func TestBeliefIsTruthWithIdealSensorsAndNoSlip(t *testing.T) {
	for _, test := range []struct {
		name   string
		method robot.OdometryMethod
		across int
	}{
		{"encoders", robot.ByEncoders, -1},
		{"encoders and inertial", robot.ByEncodersInertial, -1},
		{"tracking wheels and inertial", robot.ByTracking, 4},
	} {
		place, heading := wander(t, 0.002, cart(ideal, instrumented(test.method, test.across)))
		if place > 0.0005 || heading > 1e-6 {
			t.Errorf("%s: belief is off by %.5f m and %.6f rad", test.name, place, heading)
		}
		finer, _ := wander(t, 0.001, cart(ideal, instrumented(test.method, test.across)))
		t.Logf("%s: %.6f m, %.7f rad; half the step %.6f m", test.name, place, heading, finer)
		if place > 2e-5 && finer > 0.7*place {
			t.Errorf("%s: half the step gives %.5f m after %.5f m: not the step's error", test.name, finer, place)
		}
	}
}

// A base with traction wheels behind turns about a point between them. The belief goes along with its origin, which
// swings sideways: 0.28 m for 90 degrees with 0.2 m between the two (a chord, by hand), of which nothing may be lost.
func TestTheBeliefSwingsAboutThePivot(t *testing.T) {
	for _, method := range []robot.OdometryMethod{robot.ByEncodersInertial, robot.ByTracking} {
		spec := hauler(t, instrumented(method, -1), func(r *robot.Robot) {
			r.Wheels = nil
			for _, side := range []struct {
				train robot.Train
				y     float64
			}{{robot.Left, 0.15}, {robot.Right, -0.15}} {
				r.Wheels = append(r.Wheels,
					robot.Wheel{At: geom.Vec{X: 0.12, Y: side.y}, Train: side.train, Radius: 0.045, Along: 0.9, Across: 0.1,
						Inertia: 1e-4},
					robot.Wheel{At: geom.Vec{X: -0.2, Y: side.y}, Train: side.train, Radius: 0.045, Along: 1, Across: 0.85,
						Inertia: 1e-4})
			}
			r.Sensors[3].Tracking.At = geom.Pose{Y: 0.07}
		})
		if pivot := spec.Pivot(); math.Abs(pivot+0.2) > 1e-9 {
			t.Fatalf("it turns about %.3f m", pivot)
		}
		c := with(t, yard(6, 6), spec, geom.Pose{X: 3, Y: 3})
		for range 400 {
			if c.r.Pose().Heading > math.Pi/2 {
				break
			}
			c.r.SetDriveVolts(-4, 4)
			c.wait(ControlTick)
		}
		c.r.SetDriveVolts(0, 0)
		c.wait(0.5)
		truth, belief := c.r.Pose(), c.r.Belief()
		moved, off := math.Hypot(truth.X-3, truth.Y-3), math.Hypot(truth.X-belief.X, truth.Y-belief.Y)
		if moved < 0.25 || off > 0.01 {
			t.Errorf("%s: the origin moved %.0f mm, the belief is off by %.0f mm", method, 1000*moved, 1000*off)
		}
	}
}

// An omni base drifts sideways in a curve. Only a wheel across keeps the belief with it.
func TestSideSlipIsLostWithoutAWheelAcross(t *testing.T) {
	off := func(across int) float64 {
		spec := hauler(t, instrumented(robot.ByTracking, across))
		c := with(t, yard(6, 6), spec, geom.Pose{X: 2, Y: 2})
		c.r.SetDriveVolts(11, 11)
		c.wait(0.8)
		c.r.SetDriveVolts(3, 11) // a fast turn to the left
		c.wait(0.7)
		d := c.r.Pose().Relative(c.r.Belief())
		return math.Hypot(d.X, d.Y)
	}
	with, without := off(4), off(-1)
	t.Logf("with a wheel across %.4f m off, without %.4f m", with, without)
	if with > 0.005 || without < 0.05 {
		t.Errorf("with a wheel across %.4f m off, without %.4f m", with, without)
	}
}

// Encoders believe in the radius of the file: drawn radii that are p too large make the robot go p farther than it
// believes.
func TestADrawnRadiusMisleadsTheEncoders(t *testing.T) {
	spec := cart(ideal, instrumented(robot.ByEncodersInertial, -1))
	spec.Spread.Radius = 0.02
	w, err := New(Config{Field: yard(6, 6), Robots: []Entry{{Spec: spec, Start: geom.Pose{X: 1, Y: 3}}}, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	c := crewOf(t, w)
	c.r.SetDriveVolts(4, 4)
	c.wait(0.2)
	var mean float64
	for _, d := range w.Drawn() {
		if d.Name == "robot 1 left radius" || d.Name == "robot 1 right radius" {
			mean += d.Value / 2
		}
	}
	for range 200 {
		c.wait(0.005 * 2)
	}
	gone := math.Hypot(c.r.Pose().X-1, c.r.Pose().Y-3)
	believed := math.Hypot(c.r.Belief().X-1, c.r.Belief().Y-3)
	if got := gone/believed - 1; mean == 0 || math.Abs(got-mean) > 0.0015 {
		t.Errorf("went %.4f of what it believes, drawn %.4f", got, mean)
	}
}

func TestTheBeliefBeginsWhereTheRobotWasMeantToStart(t *testing.T) {
	spec := cart(instrumented(robot.ByEncoders, -1))
	spec.Spread.StartAt, spec.Spread.StartHeading = 0.02, 0.05
	meant := geom.Pose{X: 2, Y: 3, Heading: 1}
	w, err := New(Config{Field: yard(6, 6), Robots: []Entry{{Spec: spec, Start: meant}}, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	r := w.Robots()[0]
	if r.Belief() != meant || r.Pose() == meant {
		t.Errorf("belief %+v, truth %+v, meant %+v", r.Belief(), r.Pose(), meant)
	}
	r.SetBelief(geom.Pose{X: 1})
	w.Sense()
	if r.Belief() != (geom.Pose{X: 1}) {
		t.Errorf("belief %+v after SetBelief and no motion", r.Belief())
	}
}

func TestMeasuredWheelSpeedsAreTheEncoders(t *testing.T) {
	c := with(t, yard(6, 6), hauler(t), geom.Pose{X: 2, Y: 2})
	c.r.SetDriveVolts(4, 6)
	c.wait(0.8)
	left, right := c.r.MeasuredWheelSpeeds()
	for t2, got := range []float64{left, right} {
		if want := c.r.WheelSpeeds()[t2]; math.Abs(got-want) > 0.0001/ControlTick { // one step of the encoder
			t.Errorf("train %d: %.4f m/s, want %.4f", t2, got, want)
		}
	}
}

// What happens in the world does not depend on how often it is looked at, and two worlds of one seed agree in every
// reading.
func TestReadingsAreRepeatable(t *testing.T) {
	run := func() []float64 {
		f := cores(yard(4, 3), 3, 1.6, 1.5)
		w, err := New(Config{Field: f, Robots: []Entry{{Spec: hauler(t), Start: geom.Pose{X: 1, Y: 1.5}}}, Seed: 9})
		if err != nil {
			t.Fatal(err)
		}
		c := crewOf(t, w)
		c.do("intake", robot.Volts, 11)
		c.do("conveyor", robot.Volts, 8)
		c.r.SetDriveVolts(5, 5)
		var all []float64
		for range 150 {
			c.wait(0.01)
			all = append(all, c.r.readings...)
		}
		if c.saw(record.Pickup) == 0 {
			t.Fatal("nothing happened")
		}
		return all
	}
	a, b := run(), run()
	for i := range a {
		if a[i] != b[i] {
			t.Fatalf("reading %d: %v and %v", i, a[i], b[i])
		}
	}
}
