package sim

import (
	"math"
	"testing"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/floats/scalar"
)

// traction gives every wheel grip across.
func traction(r *robot.Robot) {
	for i := range r.Wheels {
		r.Wheels[i].Across = 0.9
	}
}

// omni takes it away.
func omni(r *robot.Robot) {
	for i := range r.Wheels {
		r.Wheels[i].Across = 0.08
	}
}

func TestAStandingRobotStandsStill(t *testing.T) {
	start := geom.Pose{X: 2, Y: 2, Heading: 0.7}
	w := build(t, yard(4, 4), Entry{Spec: cart(), Start: start})
	before := w.robots[0].Pose()
	w.run(5)
	if got := w.robots[0].Pose(); got != before {
		t.Errorf("moved from %v to %v", before, got)
	}
	if vx, vy, omega := w.robots[0].Velocity(); vx != 0 || vy != 0 || omega != 0 {
		t.Errorf("velocity %g, %g, %g", vx, vy, omega)
	}
}

// A standing robot holds a push across its wheels up to mu m g without creeping, also one that turns it; a greater push
// moves it by the difference (Coulomb). Along its wheels the shorted motors only brake: it rolls, slowly.
func TestAStandingRobotHoldsAPushUpToItsGrip(t *testing.T) {
	push := func(force, torque float64) (moved geom.Pose, speed float64) {
		w := build(t, yard(8, 8), Entry{Spec: cart(traction), Start: geom.Pose{X: 4, Y: 4}})
		r := w.robots[0]
		for range 1000 {
			r.body.SetForce(cp.Vector{Y: force})
			r.body.SetTorque(torque)
			w.Step()
		}
		_, vy, _ := r.Velocity()
		return geom.Pose{X: 4, Y: 4}.Relative(r.Pose()), vy
	}
	limit := 0.9 * 6.5 * Gravity
	if moved, _ := push(0.95*limit, 0); math.Abs(moved.Y) > 1e-5 {
		t.Errorf("at 95 %% of its grip it moved by %g m in 2 s", moved.Y)
	}
	if _, speed := push(1.2*limit, 0); !scalar.EqualWithinRel(speed, 0.2*limit/6.5*2, 0.01) {
		t.Errorf("at 120 %% it has %g m/s after 2 s, want %g", speed, 0.2*limit/6.5*2)
	}
	if moved, _ := push(0.5*limit, 2); math.Abs(moved.Y) > 0.02 || math.Abs(moved.Heading) > 0.1 {
		// The torque turns it against the motors' brake, about its middle.
		t.Errorf("at half its grip and 2 N m it moved by %v in 2 s", moved)
	}
}

// A push from another robot is held in the same way: nothing creeps from the way that contacts are solved.
func TestAPushingRobotDoesNotMoveAHeavierOneSideways(t *testing.T) {
	anvil := cart(traction, func(r *robot.Robot) { r.Chassis.Mass = 9 })
	w := build(t, yard(4, 4),
		Entry{Spec: cart(), Start: geom.Pose{X: 1, Y: 2}},
		Entry{Spec: anvil, Start: geom.Pose{X: 1.405, Y: 2, Heading: math.Pi / 2}})
	w.robots[0].SetDriveVolts(12, 12)
	w.run(1)
	before := w.robots[1].Pose()
	w.run(4)
	after := w.robots[1].Pose()
	if moved := math.Hypot(after.X-before.X, after.Y-before.Y); moved > 0.0005 {
		t.Errorf("pushed by %.4f m in 4 s", moved)
	}
}

// Pushing matches are decided by traction and motors (common practice, no source): equal robots stand, the heavier wins
// among strong ones, the stronger motors win where the tyres hold.
func TestPushingMatches(t *testing.T) {
	heavy := func(r *robot.Robot) { r.Chassis.Mass = 8.5 }
	weak := func(r *robot.Robot) { // of less current: what lost torque otherwise would hold it against a push
		m := &r.Motors[0]
		m.StallTorque, m.StallCurrent, m.FreeCurrent = m.StallTorque*0.3, m.StallCurrent*0.3, m.FreeCurrent*0.3
	}
	for _, c := range []struct {
		what        string
		left, right *robot.Robot
		want        float64 // which way it goes
	}{
		{"equal", cart(), cart(), 0},
		{"heavier on the left", cart(heavy), cart(), 1},
		{"heavier on the right", cart(), cart(heavy), -1},
		{"weak motors on the left", cart(weak), cart(), -1},
		{"heavy but weak on the left", cart(heavy, weak), cart(), -1},
	} {
		w := build(t, yard(6, 4), Entry{Spec: c.left, Start: geom.Pose{X: 2.8, Y: 2}},
			Entry{Spec: c.right, Start: geom.Pose{X: 3.2, Y: 2, Heading: math.Pi}})
		w.robots[0].SetDriveVolts(12, 12)
		w.robots[1].SetDriveVolts(12, 12)
		w.run(1.5)
		moved := w.robots[0].Pose().X - 2.8
		if c.want == 0 && math.Abs(moved) > 0.005 || c.want*moved < 0.02*math.Abs(c.want) {
			t.Errorf("%s: the contact moved by %.4f m", c.what, moved)
		}
	}
}

// Statics: the loads of the wheels carry the weight at the centre of mass; a centre of mass towards the front loads the
// front. Four wheels at the corners of 2a x 2b: front share (1 + x/a)/2.
func TestWheelLoadsCarryTheCentreOfMass(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		r.Chassis.Centre = geom.Vec{X: 0.05, Y: -0.02}
		r.Chassis.CentreHeight = 0
		r.Wheels = append(r.Wheels[:2:2], r.Wheels[4:]...)
	})
	w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
	w.run(0.1)
	weight := 6.5 * Gravity
	for i, wheel := range spec.Wheels {
		want := weight/4 + weight*0.05*math.Copysign(1, wheel.At.X)/(4*0.14) -
			weight*0.02*math.Copysign(1, wheel.At.Y)/(4*0.16)
		if got := w.robots[0].drive.wheels[i].load; !scalar.EqualWithinAbs(got, want, 1e-6) {
			t.Errorf("wheel at %v carries %.4f N, want %.4f", wheel.At, got, want)
		}
	}
}

// Braking and speeding up shift load by m a h/L (Rajamani; from memory): L is the wheelbase of four wheels. And the
// loads settle without swinging.
func TestLoadShiftsWithAccelerationAndSettles(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		r.Chassis.CentreHeight = 0.12
		r.Wheels = append(r.Wheels[:2:2], r.Wheels[4:]...)
		for i := range r.Wheels {
			r.Wheels[i].Along = 0.6
		}
		r.Motors[0].StallTorque, r.Motors[0].StallCurrent, r.Motors[0].Limit, r.Motors[0].FreeSpeed = 3, 20, 0, 300
		r.Battery.Resistance = 0
	})
	w := build(t, yard(20, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	r.SetDriveVolts(12, 12)
	rear := func() float64 { return r.drive.wheels[0].load + r.drive.wheels[1].load }
	last, turns := rear(), 0
	rising := true
	for range 150 {
		w.Step()
		now := rear()
		if math.Abs(now-last) > 1e-3 && (now > last) != rising {
			rising, turns = !rising, turns+1
		}
		last = now
	}
	want := 6.5*Gravity/2 + 6.5*0.6*Gravity*0.12/0.28
	if !scalar.EqualWithinRel(last, want, 0.005) {
		t.Errorf("the rear carries %.3f N, want %.3f", last, want)
	}
	if turns > 0 {
		t.Errorf("the load swung %d times on its way", turns)
	}
}

// In a corner the outer wheels carry m a h/b more (Rajamani; from memory): b is the track.
func TestLoadShiftsOutwardsInACorner(t *testing.T) {
	const radius, height = 0.8, 0.1
	spec := cart(ideal, func(r *robot.Robot) { r.Chassis.CentreHeight = height })
	w := build(t, yard(40, 40), Entry{Spec: spec, Start: geom.Pose{X: 20, Y: 20}})
	r := w.robots[0]
	const v = 1.2
	turn := v / radius
	r.launch(v, 0, turn)
	r.drive.rollers[0].speed, r.drive.rollers[1].speed = (v-turn*0.16)/0.04, (v+turn*0.16)/0.04
	for w.Time() < 0.2 {
		// Motors without effect: what the speeds ask for.
		l := r.drive.lines[0]
		r.SetDriveVolts(l.Nominal*r.drive.rollers[0].speed/l.Free, l.Nominal*r.drive.rollers[1].speed/l.Free)
		w.Step()
	}
	vx, vy, omega := r.Velocity()
	shift := 6.5 * math.Hypot(vx, vy) * omega * height / 0.32
	left, right := r.drive.wheels[0].load, r.drive.wheels[1].load
	if want := 6.5*Gravity/2 + shift; !scalar.EqualWithinRel(right, want, 0.01) ||
		!scalar.EqualWithinRel(left+right, 6.5*Gravity, 1e-9) {
		t.Errorf("turning left, the right wheel carries %.3f N and the left %.3f N, want %.3f N on the right", right, left,
			want)
	}
}

// A held mass moves the centre of mass and raises mass and inertia (parallel axes), and does not move the robot.
func TestAPayloadWeighsWhereItIs(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: cart(), Start: geom.Pose{X: 2, Y: 2, Heading: 1}})
	r := w.robots[0]
	before, outline := r.Pose(), r.Outline()
	r.load(3, 1.5, geom.Vec{X: -0.16})
	if got := r.Mass(); !scalar.EqualWithinAbs(got, 8, 1e-12) {
		t.Errorf("mass %g, want 8", got)
	}
	if want := -0.16 * 1.5 / 8; !scalar.EqualWithinAbs(r.centre.X, want, 1e-12) {
		t.Errorf("centre at %g, want %g", r.centre.X, want)
	}
	own := 6.5 * (0.4*0.4 + 0.38*0.38) / 12
	if want := own + 6.5*1.5/8*0.16*0.16; !scalar.EqualWithinAbs(r.body.Moment(), want, 1e-12) {
		t.Errorf("inertia %g, want %g", r.body.Moment(), want)
	}
	w.run(0.5)
	after := r.Pose()
	if d := before.Relative(after); math.Hypot(d.X, d.Y) > 1e-12 || math.Abs(d.Heading) > 1e-12 {
		t.Errorf("the payload moved the robot by %v", d)
	}
	for i, v := range r.Outline() {
		if math.Hypot(v.X-outline[i].X, v.Y-outline[i].Y) > 1e-9 {
			t.Errorf("outline corner %d went from %v to %v", i, outline[i], v)
		}
	}
	r.launch(0, 0, 2)
	vx, vy, omega := r.Velocity()
	for _, mass := range []float64{2.5, 0} { // more, then none
		r.load(3, mass, geom.Vec{X: -0.16})
		if x, y, o := r.Velocity(); math.Abs(x-vx)+math.Abs(y-vy)+math.Abs(o-omega) > 1e-12 {
			t.Errorf("a load of %g kg changed the velocity from %g, %g, %g to %g, %g, %g", mass, vx, vy, omega, x, y, o)
		}
	}
	if r.Mass() != 6.5 || r.centre != (geom.Vec{}) || !scalar.EqualWithinAbs(r.body.Moment(), own, 1e-15) {
		t.Errorf("after unloading: mass %g, centre %v, inertia %g", r.Mass(), r.centre, r.body.Moment())
	}
}

// Common practice, no source: an all-omni base drifts outwards in a fast turn more than one with traction wheels.
func TestAnOmniBaseDriftsMoreInAFastTurn(t *testing.T) {
	drift := func(tune func(*robot.Robot)) float64 {
		w := build(t, yard(20, 20), Entry{Spec: cart(tune), Start: geom.Pose{X: 10, Y: 10}})
		r := w.robots[0]
		r.SetDriveVolts(10, 10)
		w.run(1)
		r.SetDriveVolts(5, 10)
		var most float64
		for range 300 {
			w.Step()
			vx, vy, _ := r.Velocity()
			side := geom.Rotate(geom.Vec{X: vx, Y: vy}, -r.Pose().Heading).Y
			most = max(most, math.Abs(side))
		}
		return most
	}
	slides, holds := drift(omni), drift(func(*robot.Robot) {})
	t.Logf("side speed of the middle: omni %.3f m/s, with traction wheels in the middle %.3f m/s", slides, holds)
	if slides < 0.1 || slides < 4*holds {
		t.Errorf("omni drifts at %.3f m/s, traction wheels at %.3f m/s", slides, holds)
	}
}

// Common practice, no source: traction wheels away from the middle scrub, and make turning on the spot slower.
func TestTractionWheelsAtTheEndsScrubInATurn(t *testing.T) {
	spin := func(tune func(*robot.Robot)) float64 {
		w := build(t, yard(4, 4), Entry{Spec: cart(tune), Start: geom.Pose{X: 2, Y: 2}})
		w.robots[0].SetDriveVolts(-6, 6)
		w.run(1)
		_, _, omega := w.robots[0].Velocity()
		return omega
	}
	free, scrubbing := spin(omni), spin(traction)
	t.Logf("turning at 6 V: omni %.2f rad/s, traction %.2f rad/s", free, scrubbing)
	if scrubbing > 0.95*free || scrubbing <= 0 {
		t.Errorf("omni %.3f rad/s, traction %.3f rad/s", free, scrubbing)
	}
}

// Common practice, no source: pushing a loaded goal takes longer than pushing an empty one.
func TestPushingALoadedGoalTakesLonger(t *testing.T) {
	push := func(load float64) float64 {
		w := build(t, withGoal(yard(8, 4), sled(), geom.Pose{X: 1.6, Y: 2}),
			Entry{Spec: cart(), Start: geom.Pose{X: 1, Y: 2}})
		w.bodies[0].weigh(load)
		w.robots[0].SetDriveVolts(8, 8)
		for w.bodies[0].Pose().X < 3.6 && w.Time() < 20 {
			w.Step()
		}
		return w.Time()
	}
	empty, loaded := push(0), push(5*0.14)
	t.Logf("2 m: empty %.3f s, with five pieces %.3f s", empty, loaded)
	if loaded < 1.02*empty {
		t.Errorf("empty %.3f s, loaded %.3f s", empty, loaded)
	}
}
