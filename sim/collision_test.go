package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"

	"gonum.org/v1/gonum/floats/scalar"
)

// disc is a kind of piece without floor friction, so that a collision is seen by itself.
func disc(mass, radius, friction, restitution float64) fields.PieceKind {
	return fields.PieceKind{Name: "disc", Radius: radius, Mass: mass, Friction: friction, Restitution: restitution}
}

// Meriam & Kraige (formula from memory): v1' = (m1 - e m2) v1/(m1 + m2), v2' = m1 (1 + e) v1/(m1 + m2). The pair's e is
// the product of the two values (Chipmunk's documentation, seen). Impulses do not depend on the step: exact but for
// rounding.
func TestHeadOnCollisionKeepsMomentumAndRestitution(t *testing.T) {
	for _, c := range []struct{ m1, m2, v, e1, e2 float64 }{
		{6.5, 1.6, 1, 0.6, 0.5}, {0.14, 1.6, 2, 0.8, 0.5}, {1, 1, 1.5, 1, 1}, {2, 3, 1, 0, 0.7},
	} {
		f := withPiece(withPiece(yard(20, 4), disc(c.m1, 0.1, 0.5, c.e1), geom.Pose{X: 10, Y: 2}),
			disc(c.m2, 0.1, 0.5, c.e2), geom.Pose{X: 10.4, Y: 2})
		w := build(t, f)
		w.bodies[0].launch(c.v, 0, 0)
		before := w.energy()
		w.run(0.5)
		e := c.e1 * c.e2
		want1, want2 := (c.m1-e*c.m2)*c.v/(c.m1+c.m2), c.m1*(1+e)*c.v/(c.m1+c.m2)
		v1, _, _ := w.bodies[0].Velocity()
		v2, _, _ := w.bodies[1].Velocity()
		if !scalar.EqualWithinAbs(v1, want1, 1e-9) || !scalar.EqualWithinAbs(v2, want2, 1e-9) {
			t.Errorf("%+v: %.6f and %.6f m/s, want %.6f and %.6f", c, v1, v2, want1, want2)
		}
		lost := 0.5 * c.m1 * c.m2 / (c.m1 + c.m2) * (1 - e*e) * c.v * c.v
		if got := before - w.energy(); !scalar.EqualWithinAbs(got, lost, 1e-9) {
			t.Errorf("%+v: %.6f J lost, want %.6f", c, got, lost)
		}
	}
}

// Baraff, SIGGRAPH notes (1997; formula seen): j = -(1+e) v_n/(1/m + (r x n)^2/I). A box of 4 kg, 0.4 m x 0.3 m, v (1,
// 0), struck at r (0.2, 0.1) with n (-1, 0), e 0.5: v_x -0.013514 m/s, w 4.864865 rad/s. What it runs into is a corner
// of a goal too heavy to move. The contact is met at most one step of rotation-free path late, so the values are exact
// but for the goal's finite mass.
func TestOffCentreImpactTurnsABox(t *testing.T) {
	box := fields.GoalKind{Name: "box", Shape: geom.Rect(geom.Vec{X: -0.2, Y: -0.15}, geom.Vec{X: 0.2, Y: 0.15}),
		Mass: 4, Restitution: 0.5}
	anvil := fields.GoalKind{Name: "anvil", Shape: regular(4, 0.3), Mass: 1e9, Restitution: 1}
	w := build(t, withGoal(withGoal(yard(8, 4), box, geom.Pose{X: 2, Y: 2}), anvil, geom.Pose{X: 2.7, Y: 2.1}))
	w.bodies[0].launch(1, 0, 0)
	w.run(0.25)
	vx, vy, omega := w.bodies[0].Velocity()
	if !scalar.EqualWithinAbs(vx, -0.013514, 1e-5) || !scalar.EqualWithinAbs(vy, 0, 1e-5) ||
		!scalar.EqualWithinAbs(omega, 4.864865, 1e-4) {
		t.Errorf("v (%.6f, %.6f), w %.6f; want (-0.013514, 0), 4.864865", vx, vy, omega)
	}
}

// Brach, Mechanical Impact Dynamics (1991; from memory, confirmed numerically): the friction impulse stops the slip or
// is mu times the normal one. A disc of 2 kg, R 0.1 m, v (3, -2) on a wall, e 0.5: mu 0.2 slides, v (2.4, 1), w -12; mu
// 0.9 sticks, v_x 2, w -20. The pair's mu is the product.
func TestImpactWithFrictionSlidesOrSticks(t *testing.T) {
	for _, c := range []struct{ mu1, mu2, wantX, wantOmega float64 }{{0.5, 0.4, 2.4, -12}, {1, 0.9, 2, -20}} {
		f := withPiece(yard(20, 4), disc(2, 0.1, c.mu1, 0.5), geom.Pose{X: 2, Y: 1})
		f.Surface.WallFriction, f.Surface.WallRestitution = c.mu2, 1
		w := build(t, f)
		w.bodies[0].launch(3, -2, 0)
		w.run(0.8)
		vx, vy, omega := w.bodies[0].Velocity()
		if !scalar.EqualWithinAbs(vx, c.wantX, 1e-9) || !scalar.EqualWithinAbs(vy, 1, 1e-9) ||
			!scalar.EqualWithinAbs(omega, c.wantOmega, 1e-8) {
			t.Errorf("mu %g: v (%.6f, %.6f), w %.6f; want (%g, 1), %g", c.mu1*c.mu2, vx, vy, omega, c.wantX, c.wantOmega)
		}
	}
}

// A contact is reported once, with the speed at which it closed and where.
func TestAContactIsReportedOnceWithItsSpeed(t *testing.T) {
	w := build(t, withGoal(yard(4, 4), sled(), geom.Pose{X: 2.5, Y: 2}), Entry{Spec: cart(), Start: geom.Pose{X: 1, Y: 2}})
	w.robots[0].launch(0, 0, 0)
	w.robots[0].SetDriveVolts(8, 8)
	var events []record.Event
	var speed float64
	for w.Time() < 4 {
		vx, _, _ := w.robots[0].Velocity()
		w.Step()
		for _, e := range w.TakeEvents() {
			if len(events) == 0 {
				speed = vx
			}
			events = append(events, e)
		}
	}
	if len(events) == 0 {
		t.Fatal("no contact")
	}
	first := events[0]
	if first.Kind != record.Contact || first.What != "goal 1" || first.Robot != 0 ||
		!scalar.EqualWithinAbs(first.Value, speed, 0.02) || math.Abs(first.At[0]-(2.5-0.15)) > 0.005 {
		t.Errorf("%+v at %v, closing at %.4f m/s", first, *first.At, speed)
	}
	if w.bodies[0].Scorer != 0 {
		t.Error("the goal does not know who pushed it")
	}
	goals := 0
	for _, e := range events {
		if e.What == "goal 1" {
			goals++
		}
	}
	if goals > 2 { // the first bump throws it off, so it may be met again
		t.Errorf("%d contacts with the goal that the robot pushes: %v", goals, events)
	}
}

// An arrangement that was apart stays apart: in the bump nothing overlaps by more than two steps' path, and what is
// pushed settles to the engine's slop.
func TestAPushedRowDoesNotOverlap(t *testing.T) {
	f := yard(4, 4)
	for i := range 4 {
		f = withPiece(f, core(), geom.Pose{X: 1.6 + 0.15*float64(i), Y: 2})
	}
	w := build(t, f, Entry{Spec: cart(), Start: geom.Pose{X: 1, Y: 2}})
	w.robots[0].SetDriveVolts(6, 6)
	for w.Time() < 3 {
		w.Step()
		allowed := 0.004
		if w.Time() > 2.5 {
			allowed = 0.0008
		}
		for i := range 3 {
			a, b := w.bodies[i].Pose(), w.bodies[i+1].Pose()
			if gap := math.Hypot(a.X-b.X, a.Y-b.Y) - 0.14; gap < -allowed {
				t.Fatalf("at %.3f s pieces %d and %d overlap by %.2f mm", w.Time(), i+1, i+2, -gap*1e3)
			}
		}
	}
}

// Pieces that are put into each other (a bad drop) come apart to within the engine's slop.
func TestOverlappingPiecesComeApart(t *testing.T) {
	w := build(t, withPiece(withPiece(yard(4, 4), core(), geom.Pose{X: 2, Y: 2}), core(), geom.Pose{X: 2.12, Y: 2}))
	w.run(1.5)
	a, b := w.bodies[0].Pose(), w.bodies[1].Pose()
	if gap := math.Hypot(a.X-b.X, a.Y-b.Y) - 0.14; gap < -0.001 || gap > 0.005 {
		t.Errorf("after 1.5 s the gap is %.2f mm", gap*1e3)
	}
}
