package sensing

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
	"pgregory.net/rapid"
)

// wheelAt is a tracking wheel at a place.
func wheelAt(at geom.Pose) robot.Sensor {
	return robot.Sensor{Kind: robot.Tracking, Tracking: &robot.TrackingSensor{At: at}}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s: got %.9f, want %.9f (within %g)", what, got, want, tolerance)
	}
}

// Lynch & Park, Modern Robotics, ch. 13 (from memory): w = (vr - vl)/b, R = b (vr + vl)/(2 (vr - vl)); vl 0.6, vr 0.9,
// b 0.32 for 1.5 s. The tolerance is the last digit.
func TestDifferentialDriveOnAnArc(t *testing.T) {
	p := Advance(geom.Pose{}, FromTrains(0.6*1.5, 0.9*1.5, 0.32))
	near(t, "x", p.X, 0.789194, 1e-6)
	near(t, "y", p.Y, 0.668956, 1e-6)
	near(t, "heading", p.Heading, 1.40625, 1e-12)
}

// Siegwart ch. 5: the chord is 2 sin(t/2)/t times the arc, along heading + t/2.
func TestChordOfAnArc(t *testing.T) {
	for _, turn := range []float64{1e-12, 1e-6, 0.3, -2, 5} {
		p := Advance(geom.Pose{X: 1, Y: 2, Heading: 0.7}, Twist{Along: 0.8, Turn: turn})
		chord := 2 * math.Sin(turn/2) / turn * 0.8
		near(t, "x", p.X, 1+chord*math.Cos(0.7+turn/2), 1e-12)
		near(t, "y", p.Y, 2+chord*math.Sin(0.7+turn/2), 1e-12)
	}
}

// A wheel offset by d reads s + d dth, d to the right; 50 mm left of centre, pure spin of 1 rad: -50 mm
// (Borenstein, Everett, Feng, Where am I?, 1996; from memory).
func TestAnOffsetWheelRollsInASpin(t *testing.T) {
	near(t, "left of centre", newMount(geom.Pose{Y: 0.05}).rolled(Twist{Turn: 1}), -0.050, 1e-15)
	across := newMount(geom.Pose{X: 0.12, Heading: math.Pi / 2})
	near(t, "across, ahead of centre", across.rolled(Twist{Turn: 1}), 0.120, 1e-15)
}

// tracking is a robot with one wheel along, one across and an inertial sensor.
func tracking(along, across geom.Pose) *robot.Robot {
	return &robot.Robot{
		Sensors:  []robot.Sensor{wheelAt(along), wheelAt(across), {Kind: robot.Inertial}},
		Odometry: robot.Odometry{Method: robot.ByTracking, Along: []int{0}, Across: 1, Inertial: 2},
	}
}

// SE(2) exponential (Lynch & Park, Modern Robotics, 13.4; from memory): df .5, dl .1, dth .4, p_y .05, p_x -.12, from
// (1, 2, pi/6): (1.289773, 2.452171, 0.923599).
func TestTwoTrackingWheelsAndGyro(t *testing.T) {
	robot := tracking(geom.Pose{Y: 0.05}, geom.Pose{X: -0.12, Heading: math.Pi / 2})
	k := NewTracker(robot, 0.01)
	k.SetBelief(geom.Pose{X: 1, Y: 2, Heading: math.Pi / 6})
	k.Update([]float64{0.5, 0.1, 0.4})
	near(t, "x", k.Belief().X, 1.289773, 1e-6)
	near(t, "y", k.Belief().Y, 2.452171, 1e-6)
	near(t, "heading", k.Belief().Heading, 0.923599, 1e-6)

	k = NewTracker(robot, 0.01)
	k.Update([]float64{-0.05, -0.12, 1}) // what the two wheels roll in a pure spin of 1 rad
	near(t, "spin x", k.Belief().X, 0, 1e-15)
	near(t, "spin y", k.Belief().Y, 0, 1e-15)
}

// Any placement and direction of the wheels gives back the twist that made them roll.
func TestTrackingWheelsGiveBackTheMotion(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		place := rapid.Float64Range(-0.2, 0.2)
		along := geom.Pose{X: place.Draw(t, "x"), Y: place.Draw(t, "y"), Heading: rapid.Float64Range(-1, 1).Draw(t, "along")}
		across := geom.Pose{X: place.Draw(t, "x"), Y: place.Draw(t, "y"), Heading: along.Heading +
			rapid.Float64Range(1, 2).Draw(t, "across")}
		w := Twist{rapid.Float64Range(-1, 1).Draw(t, "a"), rapid.Float64Range(-1, 1).Draw(t, "c"),
			rapid.Float64Range(-3, 3).Draw(t, "turn")}
		k := NewTracker(tracking(along, across), 0.01)
		k.Update([]float64{newMount(along).rolled(w), newMount(across).rolled(w), w.Turn})
		got, want := k.Belief(), Advance(geom.Pose{}, w)
		if math.Hypot(got.X-want.X, got.Y-want.Y) > 1e-9 || got.Heading != want.Heading {
			t.Fatalf("got %+v, want %+v", got, want)
		}
	})
}

func TestEncodersAndAWheelAcross(t *testing.T) {
	robot := &robot.Robot{
		Sensors:  []robot.Sensor{{}, {}, {}, wheelAt(geom.Pose{X: -0.06, Y: 0.02, Heading: 1.3})},
		Odometry: robot.Odometry{Method: robot.ByEncodersInertial, Along: []int{0, 1}, Inertial: 2, Across: 3, Track: 0.3},
	}
	w := Twist{Along: 0.4, Left: -0.07, Turn: 0.5}
	k := NewTracker(robot, 0.01)
	k.Update([]float64{0.3, 0.5, 0.5, newMount(robot.Sensors[3].Mount()).rolled(w)})
	want := Advance(geom.Pose{}, w)
	near(t, "x", k.Belief().X, want.X, 1e-12)
	near(t, "y", k.Belief().Y, want.Y, 1e-12)
}

func TestTwoParallelWheelsMeasureTheTurn(t *testing.T) {
	spec := tracking(geom.Pose{Y: 0.14}, geom.Pose{X: -0.1, Heading: math.Pi / 2})
	spec.Sensors[2] = wheelAt(geom.Pose{Y: -0.12})
	spec.Odometry = robot.Odometry{Method: robot.ByTracking, Along: []int{0, 2}, Across: 1, Inertial: -1}
	w := Twist{Along: 0.3, Left: -0.05, Turn: 0.6}
	k := NewTracker(spec, 0.01)
	k.Update([]float64{newMount(spec.Sensors[0].Mount()).rolled(w), newMount(spec.Sensors[1].Mount()).rolled(w),
		newMount(spec.Sensors[2].Mount()).rolled(w)})
	want := Advance(geom.Pose{}, w)
	near(t, "x", k.Belief().X, want.X, 1e-12)
	near(t, "y", k.Belief().Y, want.Y, 1e-12)
	near(t, "heading", k.Belief().Heading, want.Heading, 1e-12)
}

// Without a perpendicular wheel, side slip is lost from the belief; with it, it is not.
func TestOnlyAWheelAcrossSeesSideSlip(t *testing.T) {
	w := Twist{Along: 0.5, Left: 0.08}
	robot := tracking(geom.Pose{Y: 0.05}, geom.Pose{X: -0.12, Heading: math.Pi / 2})
	readings := []float64{newMount(robot.Sensors[0].Mount()).rolled(w), newMount(robot.Sensors[1].Mount()).rolled(w), 0}
	with := NewTracker(robot, 0.01)
	with.Update(readings)
	near(t, "with the wheel", with.Belief().Y, 0.08, 1e-12)
	robot.Odometry.Across = -1
	without := NewTracker(robot, 0.01)
	without.Update(readings)
	near(t, "without", without.Belief().Y, 0, 1e-12)
	near(t, "along", without.Belief().X, 0.5, 1e-12)
}

func TestSpeedIsThatOfTheLastTick(t *testing.T) {
	k := NewTracker(&robot.Robot{
		Sensors:  make([]robot.Sensor, 2),
		Odometry: robot.Odometry{Method: robot.ByEncoders, Along: []int{0, 1}, Across: -1, Inertial: -1, Track: 0.3},
	}, 0.01)
	k.Reset([]float64{2, 3})
	k.Update([]float64{2.006, 3.009})
	along, turn := k.Speed()
	near(t, "along", along, 0.75, 1e-9)
	near(t, "turn", turn, 1, 1e-9)
}
