package motion

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// rearDriven is a machine that turns about a point 60 mm behind the one that poses speak of, and knows it.
func rearDriven() *machine {
	m := typical()
	m.ahead = 0.06
	m.pose.X = -0.06
	m.wrong = func(x *robot.Model) { x.Pivot = -0.06 }
	return m
}

// The robot's own point comes to the point visited, also to one so near that the pivot must go the other way.
func TestVisitBringsTheRobotsPointNotThePivot(t *testing.T) {
	for _, at := range []geom.Vec{{X: 1, Y: 0.5}, {X: -1, Y: 0.1}, {X: -0.03}, {X: -0.06}, {X: -0.06, Y: 0.03},
		{Y: 0.05}, {X: 0.03}} {
		for _, reverse := range []bool{false, true} {
			m := rearDriven()
			motion, err := Visit(at, Options{Reverse: reverse})
			drive(t, m, motion, err)
			end := m.at()
			if off := math.Hypot(end.X-at.X, end.Y-at.Y); off > 0.012 || motion.arrival.corrected > 0 {
				t.Errorf("visit %v, reverse %v: ends %.4f m off after %d corrections: %+v", at, reverse, off,
					motion.arrival.corrected, motion.Result())
			}
		}
	}
}

func TestPlanIsTheWayOfTheRobotsPoint(t *testing.T) {
	points := []geom.Vec{{X: 0.6, Y: 0.2}, {X: 1.2, Y: -0.2}}
	for _, reverse := range []bool{false, true} {
		m := rearDriven()
		motion, err := Trace(points, Options{Reverse: reverse})
		way := drive(t, m, motion, err)
		if off := aside(way, motion.Plan()); off > 0.02 && !reverse { // backwards it turns first, about the pivot
			t.Errorf("%.4f m off the plan", off)
		}
		last := motion.Plan()[len(motion.Plan())-1]
		if off := math.Hypot(last.X-1.2, last.Y+0.2); off > 0.003 {
			t.Errorf("reverse %v: plan ends %.4f m off the last point", reverse, off)
		}
		if off := missed(way, points); off > 0.012 {
			t.Errorf("reverse %v: misses a point by %.4f m", reverse, off)
		}
	}
}

// A pivot that the model does not know shifts the robot while it turns first: the line that follows is laid anew.
func TestVisitAimsAnewAfterATurnThatShiftedTheRobot(t *testing.T) {
	m := typical()
	m.ahead = 0.05
	m.pose.X = -0.05
	at := geom.Vec{X: -0.35, Y: 0.2}
	motion, err := Visit(at, Options{})
	drive(t, m, motion, err)
	end := m.at()
	if off := math.Hypot(end.X-at.X, end.Y-at.Y); off > 0.013 || motion.arrival.corrected > 0 {
		t.Errorf("ends %.4f m off after %d corrections", off, motion.arrival.corrected)
	}
	start := motion.lastCurve().curve.start()
	if moved := math.Hypot(start.X, start.Y); moved < 0.05 { // by the turn: the chord of 0.05 m about the pivot
		t.Errorf("the line was laid from %.4f m beside the start", moved)
	}
}

// A robot that rolls when a Face begins is braked by the plan's deceleration, not by a slammed zero.
func TestFaceBrakesARollingRobotSoftly(t *testing.T) {
	m := typical()
	m.vx, m.left, m.right = 0.9, 0.9, 0.9
	motion, err := Face(2, Shortest, Options{Accel: 1.5})
	if err != nil {
		t.Fatal(err)
	}
	if err := motion.Start(m); err != nil {
		t.Fatal(err)
	}
	for i := 0; !motion.Done(); i++ {
		before := m.vx
		motion.Update(tick)
		m.run()
		if brake := (before - m.vx) / tick; brake > 3 { // the turn that starts meanwhile makes tyres slip
			t.Fatalf("tick %d: brakes with %.2f m/s^2, asked for 1.5", i, brake)
		}
	}
}
