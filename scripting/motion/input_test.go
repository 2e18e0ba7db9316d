package motion

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

func TestBadArgumentsAreRefusedByName(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	at := geom.Vec{X: 1}
	only := func(_ *Motion, err error) error { return err }
	for _, c := range []struct {
		err   error
		names string
	}{
		{only(Ahead(nan, Options{})), "ahead: distance must be a finite number, not NaN"},
		{only(Ahead(inf, Options{})), "ahead: distance must be a finite number, not +Inf"},
		{only(Ahead(5000, Options{})), "ahead: distance is 5000, too large"},
		{only(Ahead(1, Options{Speed: nan})), "ahead: speed"},
		{only(Ahead(1, Options{Speed: -1})), "ahead: speed must not be negative"},
		{only(Ahead(1, Options{Accel: inf})), "ahead: accel"},
		{only(Ahead(1, Options{TurnRate: -1})), "ahead: turn rate"},
		{only(Ahead(1, Options{TurnAccel: nan})), "ahead: turn accel"},
		{only(Ahead(1, Options{Within: -0.1})), "ahead: within"},
		{only(Ahead(1, Options{WithinAngle: nan})), "ahead: within angle"},
		{only(Ahead(1, Options{Timeout: inf})), "ahead: timeout"},
		{only(Ahead(1, Options{Exit: -1})), "ahead: exit"},
		{only(Ahead(1, Options{Gains: Gains{AlongP: -1}})), "ahead: gain along_p"},
		{only(Ahead(1, Options{Gains: Gains{HeadingP: nan}})), "ahead: gain heading_p"},
		{only(Ahead(1, Options{Gains: Gains{HeadingD: inf}})), "ahead: gain heading_d"},
		{only(Face(nan, Shortest, Options{})), "face: heading"},
		{only(Face(1, Way(7), Options{})), "face: way"},
		{only(Face(1, Shortest, Options{Exit: 1})), "face: exit"},
		{only(FacePoint(geom.Vec{Y: inf}, Shortest, Options{})), "face: point: y"},
		{only(Visit(geom.Vec{X: nan}, Options{})), "visit: point: x"},
		{only(Dock(geom.Pose{Heading: nan}, Options{})), "dock: pose: heading"},
		{only(Dock(geom.Pose{X: -1e9}, Options{})), "dock: pose: x"},
		{only(Dock(geom.Pose{X: 1}, Options{Exit: 1})), "dock: exit"},
		{only(Trace(nil, Options{})), "trace: points"},
		{only(Trace([]geom.Vec{at, {X: nan}}, Options{})), "trace: point 2: x"},
		{only(Trace([]geom.Vec{at}, Options{Timeout: -1})), "trace: timeout"},
		{only(Rate(nan, 0, Options{})), "rate: speed"},
		{only(Rate(0, inf, Options{})), "rate: turn rate"},
		{only(Rate(0, 1, Options{Exit: 1})), "rate: exit"},
	} {
		if c.err == nil || !strings.HasPrefix(c.err.Error(), c.names) {
			t.Errorf("error %v, want one that begins %q", c.err, c.names)
		}
	}
}

func TestMachineThatCannotDriveIsRefusedAtStart(t *testing.T) {
	for _, c := range []struct {
		name  string
		wrong func(*robot.Model)
	}{
		{"kV", func(x *robot.Model) { x.KV = 0 }}, {"track", func(x *robot.Model) { x.Track = -1 }},
		{"volts", func(x *robot.Model) { x.Volts = math.NaN() }},
		{"grip", func(x *robot.Model) { x.Grip = math.Inf(1) }}, {"pivot", func(x *robot.Model) { x.Pivot = 3 }},
	} {
		m := typical()
		m.wrong = c.wrong
		motion, err := Ahead(1, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := motion.Start(m); err == nil || !strings.Contains(err.Error(), "robot model: "+c.name) {
			t.Errorf("%s: error %v", c.name, err)
		}
	}
	m := typical()
	m.pose.X = math.NaN()
	motion, _ := Ahead(1, Options{})
	if err := motion.Start(m); err == nil || !strings.Contains(err.Error(), "belief") {
		t.Errorf("belief NaN: error %v", err)
	}
}

// A model with nothing but track, volts and kV still drives.
func TestSparseModelDrives(t *testing.T) {
	m := typical()
	full := m.Model()
	m.wrong = func(x *robot.Model) { *x = robot.Model{Track: full.Track, Volts: full.Volts, KV: full.KV} }
	motion, err := Visit(geom.Vec{X: 1, Y: 0.3}, Options{Timeout: 8})
	drive(t, m, motion, err)
	if r := motion.Result(); !r.OK {
		t.Errorf("%+v", r)
	}
}

func TestMotionWithNothingToDoIsDoneAtStart(t *testing.T) {
	here := geom.Vec{}
	for _, c := range []struct {
		name string
		make func() (*Motion, error)
	}{
		{"ahead 0", func() (*Motion, error) { return Ahead(0, Options{}) }},
		{"ahead less than the tolerance", func() (*Motion, error) { return Ahead(-0.008, Options{}) }},
		{"face the same heading", func() (*Motion, error) { return Face(0, Shortest, Options{}) }},
		{"face a point under the robot", func() (*Motion, error) { return FacePoint(here, Shortest, Options{}) }},
		{"visit here", func() (*Motion, error) { return Visit(here, Options{}) }},
		{"dock here", func() (*Motion, error) { return Dock(geom.Pose{Heading: 2 * math.Pi}, Options{}) }},
		{"trace here", func() (*Motion, error) { return Trace([]geom.Vec{here, here, {X: 0.0005}}, Options{}) }},
	} {
		m := typical()
		m.uLeft, m.uRight = 5, 5
		motion, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		if err := motion.Start(m); err != nil {
			t.Fatal(err)
		}
		if r := motion.Result(); !motion.Done() || !r.OK || r.Took != 0 || math.Abs(r.Left) > DefaultWithin || m.uLeft != 0 {
			t.Errorf("%s: done %v, %+v, %.1f V", c.name, motion.Done(), r, m.uLeft)
		}
	}
}

func TestTraceTakesDegenerateRows(t *testing.T) {
	spiral := make([]geom.Vec, 10_000) // 0.7 mm apart and less: thinned on the way
	for i := range spiral {
		u := float64(i) / float64(len(spiral))
		spiral[i] = geom.Rotate(geom.Vec{X: 0.3 + 0.5*u}, 4*math.Pi*u)
	}
	for _, c := range []struct {
		name   string
		points []geom.Vec
	}{
		{"one point", []geom.Vec{{X: 0.5}}},
		{"doubled points", []geom.Vec{{X: 0.5}, {X: 0.5}, {X: 0.5}, {X: 1, Y: 0.2}, {X: 1, Y: 0.2}}},
		{"points less than a millimetre apart", []geom.Vec{{X: 0.5}, {X: 0.5004}, {X: 0.5008, Y: 0.0003}, {X: 1, Y: 0.2}}},
		{"points two millimetres apart", []geom.Vec{{X: 0.5}, {X: 0.502}, {X: 0.5, Y: 0.002}, {X: 1, Y: 0.2}}},
		{"starts at the robot", []geom.Vec{{}, {X: 0.7, Y: 0.1}}},
		{"straight back", []geom.Vec{{X: -0.7}}},
		{"there and back", []geom.Vec{{X: 0.7}, {}, {X: 0.7}}},
		{"closed", []geom.Vec{{X: 0.6}, {X: 0.6, Y: 0.6}, {Y: 0.6}, {}}},
		{"spikes", []geom.Vec{{X: 0.5}, {X: 0.2, Y: 0.02}, {X: 0.7, Y: 0.04}, {X: 0.3, Y: 0.06}}},
		{"10,000 points", spiral},
	} {
		m := typical()
		motion, err := Trace(c.points, Options{})
		way := drive(t, m, motion, err)
		if r := motion.Result(); !r.OK {
			t.Errorf("%s: %+v", c.name, r)
		}
		if off := missed(way, c.points[:min(len(c.points), 50)]); off > 0.012 {
			t.Errorf("%s: misses a point by %.4f m", c.name, off)
		}
	}
}

// Whatever numbers come: an error that says which, or a plan whose time is finite.
func TestAnyPointsGiveAnErrorOrAFinitePlan(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-2, 2),
			rapid.SampledFrom([]float64{0, 1, math.Inf(1), math.NaN(), 1e-320}))
		point := rapid.Custom(func(t *rapid.T) geom.Vec { return geom.Vec{X: number.Draw(t, "x"), Y: number.Draw(t, "y")} })
		points := rapid.SliceOfN(point, 1, 6).Draw(t, "points")
		o := Options{Speed: number.Draw(t, "speed"), Accel: number.Draw(t, "accel"), Within: number.Draw(t, "within"),
			Reverse: rapid.Bool().Draw(t, "reverse")}
		var m *Motion
		var err error
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			m, err = Trace(points, o)
		case 1:
			m, err = Dock(geom.Pose{X: points[0].X, Y: points[0].Y, Heading: number.Draw(t, "heading")}, o)
		case 2:
			m, err = Visit(points[0], o)
		default:
			m, err = Ahead(points[0].X, o)
		}
		if err != nil {
			if _, known := err.(*ArgumentError); !known {
				t.Fatalf("error of another kind: %v", err)
			}
			return
		}
		if err := m.Start(typical()); err != nil {
			t.Fatal(err)
		}
		if p := m.Result().Planned; !(p >= 0) || math.IsInf(p, 0) {
			t.Fatalf("planned time %v", p)
		}
		for _, p := range m.Plan() {
			if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
				t.Fatalf("planned point %v", p)
			}
		}
	})
}

// A sensor that fails in the middle: the commands stay finite and the motion ends.
func TestMotionSurvivesASensorThatFails(t *testing.T) {
	for _, c := range everyMotion() {
		m := typical()
		motion, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		if err := motion.Start(m); err != nil {
			t.Fatal(err)
		}
		for i := 0; !motion.Done(); i++ {
			if i == 3 {
				m.pose.X, m.vx, m.left, m.w = math.NaN(), math.NaN(), math.NaN(), math.NaN()
			}
			motion.Update(tick)
			if math.IsNaN(m.uLeft + m.uRight) {
				t.Fatalf("%s: commands NaN", c.name)
			}
			if i > 2000 {
				t.Fatalf("%s: no end", c.name)
			}
		}
	}
}
