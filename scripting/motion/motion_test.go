package motion

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// aside is how far a way strays from a line of points at most, m.
func aside(way []geom.Pose, line []geom.Vec) float64 {
	most := 0.0
	if len(line) < 2 {
		return 0 // there already: no way planned
	}
	for _, p := range way {
		near := math.Inf(1)
		for i := range len(line) - 1 {
			near = math.Min(near, geom.DistanceToSegment(p.At(), line[i], line[i+1]))
		}
		most = math.Max(most, near)
	}
	return most
}

// missed is how far a way stays from the point that it misses most, m.
func missed(way []geom.Pose, points []geom.Vec) float64 {
	most := 0.0
	for _, at := range points {
		near := math.Inf(1)
		for _, p := range way {
			near = math.Min(near, math.Hypot(p.X-at.X, p.Y-at.Y))
		}
		most = math.Max(most, near)
	}
	return most
}

// wrongness is how a machine differs from its model.
type wrongness struct {
	name string
	set  func(m *machine)
	late float64 // share of the planned time by which a motion may be late,
	more float64 // and s on top: settling, a correction
	off  float64 // m aside of the planned way
	past float64 // times as far past its end as the others
}

// scale multiplies the model's speed constants.
func scale(by float64) func(*machine) {
	return func(m *machine) { m.wrong = func(x *robot.Model) { x.KV *= by; x.TurnKV *= by } }
}

// Tolerances for machines and ways that are not at the edge (see fair): what 7000 draws needed, and about a third more.
var wrongnesses = []wrongness{
	{"right model", func(*machine) {}, 0.02, 0.15, 0.022, 1},
	{"kV 20 % too low", scale(0.8), 0.15, 0.3, 0.030, 1},
	{"kV 20 % too high", scale(1.2), 0.02, 0.3, 0.020, 1},
	{"battery 20 % low, unknown", func(m *machine) { m.battery, m.honest = 9.6, false }, 0.25, 0.3, 0.035, 1},
	{"battery 20 % low, known", func(m *machine) { m.battery = 9.6 }, 0.05, 0.3, 0.025, 1},
	{"late and noisy sensors", func(m *machine) { m.lag, m.noise = 2, 0.02 }, 0.05, 0.5, 0.030, 1},
	{"motors 40 ms late", func(m *machine) { m.late = 4 }, 0.05, 0.5, 0.030, 1.5},
	{"volts slew by 200 V/s", func(m *machine) { m.slew = 200 }, 0.1, 0.8, 0.040, 2},
	{"dead band of 1 V", func(m *machine) { m.band = 1 }, 0.05, 0.5, 0.030, 1},
	{"pivot 60 mm behind", func(m *machine) {
		m.ahead, m.pose.X, m.wrong = 0.06, -0.06, func(x *robot.Model) { x.Pivot = -0.06 }
	}, 0.1, 0.3, 0.025, 1},
}

// Over random machines, right and wrong models, near and far ends: each motion arrives within its tolerance, before its
// timeout; and on fair ways near its planned time, close to its planned way and to its points.
func TestMotionsArriveOverMachinesAndModels(t *testing.T) {
	for _, w := range wrongnesses {
		t.Run(w.name, func(t *testing.T) {
			property.Check(t, func(rt *rapid.T) {
				m := drawMachine(rt)
				w.set(m)
				motion, points := drawMotion(rt)
				way := drive(t, m, motion, nil)
				expectEnd(rt, motion, m.ahead != 0 && !fair(m, points))
				if fair(m, points) {
					w.expectWay(rt, m, motion, way, points)
				}
			})
		})
	}
}

// expectEnd wants an arrival. A trace on a base that turns about another point may also miss narrowly, if it says so,
// where points are near together or at a sharp corner: that is what Trace's comment promises.
func expectEnd(t *rapid.T, m *Motion, narrow bool) {
	r := m.Result()
	if narrow && m.Name() == "trace" && r.Why == TimedOut && r.Left < worthIt*DefaultWithin {
		return
	}
	most := DefaultWithin
	switch m.Name() {
	case "face":
		most = DefaultWithinAngle
	case "visit", "dock", "trace":
		most = math.Hypot(1, sideFactor) * DefaultWithin
	}
	if !r.OK || r.Why != Arrived || math.Abs(r.Left) > most+1e-9 {
		t.Fatalf("%s: %+v, at most %.4f may be left", m.Name(), r, most)
	}
}

// expectWay holds a motion to its plan.
func (w *wrongness) expectWay(t *rapid.T, m *machine, motion *Motion, way []geom.Pose, points []geom.Vec) {
	r := motion.Result()
	if r.Took > r.Planned*(1+w.late)+w.more || r.Took < r.Planned-0.1 {
		t.Fatalf("%s took %.3f s, planned %.3f s", motion.Name(), r.Took, r.Planned)
	}
	if most := map[bool]float64{false: 0.02, true: 0.1}[motion.Name() == "face"]; r.Overshoot > most*w.past {
		t.Fatalf("%s went %.4f past its end", motion.Name(), r.Overshoot)
	}
	if off := aside(way, motion.Plan()); m.ahead == 0 && off > w.off {
		t.Fatalf("%s: %.4f m off the planned way", motion.Name(), off)
	}
	if off := missed(way, points); off > w.off {
		t.Fatalf("%s: misses a point by %.4f m", motion.Name(), off)
	}
}

// fair reports whether friction and scrubbing take at most a third of the voltage, points lie well apart, and the way
// through them turns by less than a right angle at each.
func fair(m *machine, points []geom.Vec) bool {
	if model := m.Model(); model.KS+model.TurnKS > model.Volts/3 {
		return false
	}
	row := append([]geom.Vec{{}}, points...)
	for i := range len(row) - 1 {
		step := r2.Sub(row[i+1], row[i])
		if r2.Norm(step) < 0.3 || i > 0 && r2.Dot(step, r2.Sub(row[i], row[i-1])) < 0 {
			return false
		}
	}
	return true
}

// drawMotion draws a motion of any kind but Rate, and the points it shall meet.
func drawMotion(t *rapid.T) (*Motion, []geom.Vec) {
	o := Options{Reverse: rapid.Bool().Draw(t, "reverse")}
	heading := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "heading")
	points := drawPoints(t, 5)
	var m *Motion
	var err error
	switch rapid.IntRange(0, 4).Draw(t, "kind") {
	case 0:
		points = nil
		m, err = Ahead(rapid.Float64Range(-2.5, 2.5).Draw(t, "distance"), o)
	case 1:
		points = nil
		m, err = Face(heading, rapid.SampledFrom([]Way{Shortest, CounterClockwise, Clockwise}).Draw(t, "way"), Options{})
	case 2:
		points = points[:1]
		m, err = Visit(points[0], o)
	case 3:
		points = points[:1]
		m, err = Dock(geom.Pose{X: points[0].X, Y: points[0].Y, Heading: heading}, o)
	default:
		m, err = Trace(points, o)
	}
	if err != nil {
		t.Fatal(err)
	}
	return m, points
}

// The time of a straight move on a machine with power to spare is the trapezoid's (Lynch & Park, Modern
// Robotics, 9.2; from memory).
func TestAheadTakesTheTrapezoidsTime(t *testing.T) {
	for _, c := range []struct{ distance, seconds float64 }{{2, 2.146667}, {0.3, 0.692820}, {-2, 2.146667}} {
		m := newMachine(6.5, 0.3, 2.5, 150, 0.9)
		motion, err := Ahead(c.distance, Options{Speed: 1.2, Accel: 2.5})
		drive(t, m, motion, err)
		if r := motion.Result(); math.Abs(r.Planned-c.seconds) > 1e-3 || math.Abs(r.Took-c.seconds) > 0.03 ||
			math.Abs(r.Left) > 0.004 {
			t.Errorf("%g m: planned %.4f s, took %.2f s, left %.4f m; want %.4f s", c.distance, r.Planned, r.Took, r.Left,
				c.seconds)
		}
	}
}

func TestDockEndsInThePoseForwardsAndBackwards(t *testing.T) {
	for _, reverse := range []bool{false, true} {
		for _, at := range []geom.Pose{
			{X: 1, Y: 0.8}, {X: 1, Y: -0.8, Heading: math.Pi / 2}, {X: -1}, {X: 0.15, Y: 0.1, Heading: 1}, {X: 0.05},
			{X: -0.05, Y: 0.02},
			{Y: 0.3}, {Heading: 2}, {X: 1.5, Heading: math.Pi},
		} {
			m := typical()
			motion, err := Dock(at, Options{Reverse: reverse})
			way := drive(t, m, motion, err)
			end := way[len(way)-1]
			if off := math.Hypot(end.X-at.X, end.Y-at.Y); off > 0.012 {
				t.Errorf("dock %v, reverse %v: ends %.4f m off (%+v)", at, reverse, off, motion.Result())
			}
			if off := geom.WrapAngle(end.Heading - at.Heading); math.Abs(off) > 1.2*DefaultWithinAngle {
				t.Errorf("dock %v, reverse %v: heading %.4f rad off", at, reverse, off)
			}
		}
	}
}

// The last stretch of a dock goes in the direction of the pose: a clamp or a scorer needs that.
func TestDockComesInAlongThePose(t *testing.T) {
	for _, reverse := range []bool{false, true} {
		m := typical()
		at := geom.Pose{X: 1.2, Y: -0.6, Heading: 2}
		motion, err := Dock(at, Options{Reverse: reverse})
		for _, p := range drive(t, m, motion, err) {
			seen := at.Relative(p)
			if math.Hypot(seen.X, seen.Y) < 0.05 && (math.Abs(seen.Y) > 0.015 || math.Abs(seen.Heading) > 0.2) {
				t.Errorf("reverse %v: 50 mm before the end %.4f m aside, %.3f rad askew", reverse, seen.Y, seen.Heading)
				break
			}
		}
	}
}

// A point a little off the heading is driven to at once, in one swing; one far off only after a turn.
func TestVisitTurnsWhileDrivingWhereThatIsQuicker(t *testing.T) {
	for _, c := range []struct {
		bearing float64 // deg
		first   bool    // turns first
	}{{0, false}, {2, false}, {-20, false}, {30, false}, {70, true}, {180, true}} {
		at := geom.Rotate(geom.Vec{X: 1.2}, c.bearing*math.Pi/180)
		motion, err := Visit(at, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := motion.Start(typical()); err != nil {
			t.Fatal(err)
		}
		if motion.Turning() != c.first {
			t.Errorf("%g deg off: turns first is %v", c.bearing, motion.Turning())
		}
	}
}

func TestFaceTurnsTheWayAsked(t *testing.T) {
	for _, c := range []struct {
		name    string
		from    float64
		make    func() (*Motion, error)
		turning float64 // whole turn, rad
	}{
		{"shortest", 0, func() (*Motion, error) { return Face(2, Shortest, Options{}) }, 2},
		{"shortest across half a turn", 3, func() (*Motion, error) { return Face(-3, Shortest, Options{}) }, 2*math.Pi - 6},
		{"clockwise the long way", 0, func() (*Motion, error) { return Face(2, Clockwise, Options{}) }, 2 - 2*math.Pi},
		{"counter-clockwise the long way", 0, func() (*Motion, error) { return Face(-1, CounterClockwise, Options{}) },
			2*math.Pi - 1},
		{"a little past it means no full turn", 0.01, func() (*Motion, error) {
			return Face(0, CounterClockwise,
				Options{})
		}, 0},
		{"a point", 0, func() (*Motion, error) { return FacePoint(geom.Vec{X: 0, Y: 1}, Shortest, Options{}) }, math.Pi / 2},
		{"the back to a point", 0, func() (*Motion, error) {
			return FacePoint(geom.Vec{X: 0, Y: 1}, Shortest,
				Options{Reverse: true})
		}, -math.Pi / 2},
		{"a point under the robot", 1, func() (*Motion, error) { return FacePoint(geom.Vec{}, Shortest, Options{}) }, 0},
		{"several turns away", 0, func() (*Motion, error) { return Face(1+8*math.Pi, Shortest, Options{}) }, 1},
	} {
		m := typical()
		m.pose.Heading = c.from
		motion, err := c.make()
		drive(t, m, motion, err)
		if got := m.pose.Heading - c.from; math.Abs(got-c.turning) > 1.3*DefaultWithinAngle || !motion.Result().OK {
			t.Errorf("%s: turned %.4f rad, want %.4f (%+v)", c.name, got, c.turning, motion.Result())
		}
	}
}

// Common practice, no source: a curve through points takes less time than to stop, turn and go at each of them.
func TestTraceIsQuickerThanStopTurnGo(t *testing.T) {
	points := []geom.Vec{{X: 0.9, Y: 0.3}, {X: 1.5, Y: 0.8}, {X: 2.1, Y: 0.5}}
	m := typical()
	motion, err := Trace(points, Options{})
	way := drive(t, m, motion, err)
	curve := motion.Result().Took
	if off := missed(way, points); off > 0.008 {
		t.Errorf("trace misses a point by %.4f m", off)
	}
	m = typical()
	stops := 0.0
	for _, p := range points {
		face, err := FacePoint(p, Shortest, Options{})
		drive(t, m, face, err)
		visit, err := Visit(p, Options{})
		drive(t, m, visit, err)
		stops += face.Result().Took + visit.Result().Took
	}
	if curve > 0.85*stops {
		t.Errorf("curve %.2f s, stop-turn-go %.2f s", curve, stops)
	}
}

// At the end a motion comes to rest at once: no creeping on, no swinging about, and the robot stays where it stopped.
func TestMotionsSettleWithoutDitherOrCreep(t *testing.T) {
	for _, c := range everyMotion() {
		m := typical()
		motion, err := c.make()
		drive(t, m, motion, err)
		r := motion.Result()
		if r.Settle > 0.05 {
			t.Errorf("%s: %.3f s from the plan's end to its own", c.name, r.Settle)
		}
		if m.uLeft != 0 || m.uRight != 0 {
			t.Errorf("%s: ends at %.2f V, %.2f V", c.name, m.uLeft, m.uRight)
		}
		before := m.at()
		for range 50 {
			m.run()
		}
		if moved := before.Relative(m.at()); math.Hypot(moved.X, moved.Y) > 0.004 || math.Abs(moved.Heading) > 0.01 {
			t.Errorf("%s: moves on by %.4f m, %.4f rad after its end", c.name, math.Hypot(moved.X, moved.Y), moved.Heading)
		}
	}
}

// everyMotion is one typical motion of each kind that ends.
func everyMotion() []struct {
	name string
	make func() (*Motion, error)
} {
	return []struct {
		name string
		make func() (*Motion, error)
	}{
		{"ahead", func() (*Motion, error) { return Ahead(1.2, Options{}) }},
		{"ahead backwards", func() (*Motion, error) { return Ahead(-0.6, Options{}) }},
		{"ahead a little", func() (*Motion, error) { return Ahead(0.03, Options{}) }},
		{"face", func() (*Motion, error) { return Face(1.5, Shortest, Options{}) }},
		{"face a little", func() (*Motion, error) { return Face(0.1, Shortest, Options{}) }},
		{"visit", func() (*Motion, error) { return Visit(geom.Vec{X: 1, Y: 0.4}, Options{}) }},
		{"visit behind", func() (*Motion, error) { return Visit(geom.Vec{X: -1, Y: 0.4}, Options{}) }},
		{"dock", func() (*Motion, error) { return Dock(geom.Pose{X: 1, Y: 0.8}, Options{}) }},
		{"trace", func() (*Motion, error) {
			return Trace([]geom.Vec{{X: 0.5, Y: 0.2}, {X: 1, Y: 0.8}, {X: 1.6, Y: 0.6}}, Options{})
		}},
	}
}

// A jump has no plan: at the first tick it asks for the gain times the error, or for as much as its speed.
func TestJumpAsksForGainTimesError(t *testing.T) {
	for _, c := range []struct{ p, speed, want float64 }{{2, 0, 2 * 0.3}, {1000, 0.5, 0.5}} {
		m := typical()
		face, err := Face(0.3, Shortest, Options{Jump: true, TurnRate: c.speed, Gains: Gains{HeadingP: c.p}})
		if err != nil {
			t.Fatal(err)
		}
		if err := face.Start(m); err != nil {
			t.Fatal(err)
		}
		face.read(0.01)
		if s, _ := face.step(); math.Abs(s.turn-c.want) > 1e-9 || s.turnAccel != 0 {
			t.Errorf("gain %g: asks for %g rad/s and %g rad/s^2, not %g", c.p, s.turn, s.turnAccel, c.want)
		}
	}
}
