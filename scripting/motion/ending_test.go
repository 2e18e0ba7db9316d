package motion

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

func TestMotionAgainstAWallEndsStalledSoonAfterTheHit(t *testing.T) {
	for _, c := range []struct {
		name string
		make func() (*Motion, error)
	}{
		{"ahead", func() (*Motion, error) { return Ahead(1, Options{}) }},
		{"visit", func() (*Motion, error) { return Visit(geom.Vec{X: 1, Y: 0.1}, Options{}) }},
		{"trace", func() (*Motion, error) { return Trace([]geom.Vec{{X: 0.5}, {X: 1, Y: 0.1}}, Options{}) }},
	} {
		for _, wall := range []float64{0, 0.5} {
			m := typical()
			m.wall = wall
			motion, err := c.make()
			way := drive(t, m, motion, err)
			hit := 0.0
			for i, p := range way {
				if p.X >= wall {
					hit = float64(i) * tick
					break
				}
			}
			r := motion.Result()
			if r.OK || r.Why != Stalled || r.Took < hit+0.2 || r.Took > hit+0.6 {
				t.Errorf("%s, wall at %g m: %+v, hit at %.2f s", c.name, wall, r, hit)
			}
			if math.Abs(r.Left-(1-wall)) > 0.06 {
				t.Errorf("%s, wall at %g m: left %.3f m", c.name, wall, r.Left)
			}
			if m.uLeft != 0 || m.uRight != 0 {
				t.Errorf("%s: leaves %.1f V, %.1f V on a stalled drive", c.name, m.uLeft, m.uRight)
			}
		}
	}
}

func TestFaceThatCannotTurnEndsStalled(t *testing.T) {
	m := typical()
	model := m.Model()
	m.wrong = func(x *robot.Model) { *x = model }
	m.inertia = 1e5 // held fast
	motion, err := Face(1, Shortest, Options{})
	drive(t, m, motion, err)
	if r := motion.Result(); r.Why != Stalled || r.Took > 0.6 || math.Abs(r.Left-1) > 0.02 {
		t.Errorf("%+v, want stalled within 0.6 s", r)
	}
}

func TestMotionEndsAtItsTimeout(t *testing.T) {
	for _, c := range everyMotion() {
		m := typical()
		motion, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		motion.options.Timeout = 0.05
		drive(t, m, motion, nil)
		if r := motion.Result(); r.Why != TimedOut || r.OK || math.Abs(r.Took-0.05) > 1e-9 || r.Left == 0 || m.uLeft != 0 {
			t.Errorf("%s: %+v, %.1f V", c.name, r, m.uLeft)
		}
	}
}

// A robot far weaker than its model gets more time than planned, but not for ever.
func TestWeakRobotEndsByTheDefaultTimeout(t *testing.T) {
	m := typical()
	m.battery, m.honest = 3, false
	motion, err := Ahead(2, Options{})
	drive(t, m, motion, err)
	r := motion.Result()
	if r.Why != TimedOut || math.Abs(r.Took-(1.5*r.Planned+1)) > 0.02 {
		t.Errorf("%+v, want a timeout at 1.5 times the plan and 1 s", r)
	}
	if r.Left < 0.3 || r.Left > 1.9 {
		t.Errorf("left %.3f m", r.Left)
	}
}

func TestEndingAMotionStopsTheTrains(t *testing.T) {
	m := typical()
	motion, err := Ahead(2, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := motion.Start(m); err != nil {
		t.Fatal(err)
	}
	for range 40 {
		motion.Update(tick)
		m.run()
	}
	if m.uLeft <= 0 {
		t.Fatalf("commands %.1f V on the way", m.uLeft)
	}
	motion.Cancel()
	r := motion.Result()
	if !motion.Done() || r.Why != Cancelled || r.OK || math.Abs(r.Took-0.4) > 1e-9 ||
		math.Abs(r.Left-(2-m.pose.X)) > 0.015 {
		t.Errorf("%+v at x %.3f m", r, m.pose.X)
	}
	m.SetDriveVolts(3, 4) // someone else drives now
	motion.Update(tick)
	motion.Cancel()
	if m.uLeft != 3 || m.uRight != 4 || motion.Result() != r {
		t.Error("a cancelled motion still acts")
	}
	if err := motion.Start(m); err == nil {
		t.Error("a used motion starts again")
	}
}

// A push from another robot in the middle of the way: the motion still ends at its end.
func TestPushedRobotStillArrives(t *testing.T) {
	for _, c := range []struct {
		name string
		make func() (*Motion, error)
		end  geom.Vec
	}{
		{"visit", func() (*Motion, error) { return Visit(geom.Vec{X: 1.5, Y: 0.2}, Options{}) }, geom.Vec{X: 1.5, Y: 0.2}},
		{"dock", func() (*Motion, error) { return Dock(geom.Pose{X: 1.5, Y: 0.8}, Options{}) }, geom.Vec{X: 1.5, Y: 0.8}},
		{"dock backwards", func() (*Motion, error) { return Dock(geom.Pose{X: -1.5, Y: 0.5}, Options{Reverse: true}) },
			geom.Vec{X: -1.5, Y: 0.5}},
		{"trace", func() (*Motion, error) { return Trace([]geom.Vec{{X: 0.7, Y: 0.4}, {X: 1.5}}, Options{}) },
			geom.Vec{X: 1.5}},
	} {
		for _, push := range []geom.Pose{{X: -0.2}, {X: 0.15}, {Y: 0.15}, {Y: -0.15}, {Heading: 0.7},
			{X: -0.1, Y: 0.2, Heading: -1.2}} {
			m := typical()
			motion, err := c.make()
			if err != nil {
				t.Fatal(err)
			}
			if err := motion.Start(m); err != nil {
				t.Fatal(err)
			}
			for i := 0; !motion.Done() && i < 2000; i++ {
				if i >= 70 && i < 80 { // over a tenth of a second
					m.pose = m.pose.Compose(geom.Pose{X: push.X / 10, Y: push.Y / 10, Heading: push.Heading / 10})
				}
				motion.Update(tick)
				m.run()
			}
			r := motion.Result()
			if off := math.Hypot(m.pose.X-c.end.X, m.pose.Y-c.end.Y); !r.OK || off > 0.033 {
				t.Errorf("%s pushed by %+v: ends %.3f m off: %+v", c.name, push, off, r)
			}
		}
	}
}

// A motion that begins at speed takes that speed along.
func TestMotionsChainWithoutStopping(t *testing.T) {
	points := []geom.Vec{{X: 1.3, Y: 0.1}, {X: 1.8, Y: 0.5}}
	run := func(exit float64) (seconds float64, end geom.Pose, speed float64) {
		m := typical()
		first, err := Ahead(0.8, Options{Exit: exit})
		drive(t, m, first, err)
		if r := first.Result(); !r.OK || math.Abs(r.Left) > 0.02 {
			t.Fatalf("exit %g: %+v", exit, r)
		}
		speed = m.vx
		second, err := Trace(points, Options{})
		drive(t, m, second, err)
		if !second.Result().OK {
			t.Fatalf("exit %g: %+v", exit, second.Result())
		}
		return first.Result().Took + second.Result().Took, m.pose, speed
	}
	stopped, _, _ := run(0)
	chained, end, speed := run(0.8)
	if speed < 0.72 || speed > 0.88 {
		t.Errorf("leaves with %.3f m/s, want 0.8", speed)
	}
	if chained > stopped-0.2 {
		t.Errorf("chained %.2f s, with a stop %.2f s", chained, stopped)
	}
	if off := math.Hypot(end.X-1.8, end.Y-0.5); off > 0.015 {
		t.Errorf("ends %.4f m off", off)
	}
}

// A robot that still rolls the other way, or spins, when a motion begins.
func TestMotionsStartFromAnyState(t *testing.T) {
	for _, c := range everyMotion() {
		for _, s := range []struct{ along, turn float64 }{{0.7, 0}, {-0.7, 0}, {0, 4}, {0, -4}, {0.5, 2}} {
			m := typical()
			m.vx, m.w = s.along, s.turn
			m.left, m.right = s.along-s.turn*m.track/2, s.along+s.turn*m.track/2
			motion, err := c.make()
			drive(t, m, motion, err)
			if r := motion.Result(); !r.OK || r.Took > 1.3*r.Planned+0.8 {
				t.Errorf("%s from %+v: %+v", c.name, s, r)
			}
		}
	}
}

// Slow is not stalled: at 10 mm/s a robot moves less in the stall's time than the stall allows.
func TestSlowMotionIsNotCalledStalled(t *testing.T) {
	m := typical()
	motion, err := Ahead(0.05, Options{Speed: 0.01, Accel: 0.02, Within: 0.002})
	drive(t, m, motion, err)
	if r := motion.Result(); !r.OK || r.Took < 4 {
		t.Errorf("%+v, want arrived after 5 s", r)
	}
}
