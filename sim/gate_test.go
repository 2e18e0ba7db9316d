package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"

	"pgregory.net/rapid"
)

// gated gives the hauler a gate 200 mm along its conveyor that throws out to the left, on a piston.
func gated(tune ...func(*robot.Gate)) func(*robot.Robot) {
	return func(r *robot.Robot) {
		g := &robot.Gate{On: 1, Along: 0.2, Into: -1, Out: geom.Pose{Y: 0.29, Heading: math.Pi / 2},
			Piston: robot.Piston{Bore: 0.012, Stroke: 0.02, Spring: 10, Time: 0.12}}
		for _, f := range tune {
			f(g)
		}
		r.Parts = append(r.Parts, robot.Part{Name: "gate", Kind: robot.KindGate, Gate: g})
	}
}

func TestAnOpenGateThrowsOutAndAShutOneLetsPass(t *testing.T) {
	for _, open := range []bool{true, false} {
		c := with(t, cores(yard(4, 3), 1, 3, 0.5), hauler(t, gated()), geom.Pose{X: 2, Y: 1.5})
		c.load(1)
		belt(c).pieces[0].at = 0.1
		if open {
			c.do("gate", robot.Open, 0)
		}
		c.wait(0.2)
		c.do("conveyor", robot.Volts, 9)
		c.wait(2)
		c.expect(record.Release, 1)
		at := c.r.Pose().ToLocal(c.w.bodies[0].Pose().At())
		left := at.Y > 0.28 && math.Abs(at.X) < 0.02
		if left != open || (c.look("gate").Count == 1) != open || c.look("gate").Out != open {
			t.Errorf("open %v: it lies at (%.3f, %.3f) of the robot, %+v", open, at.X, at.Y, c.look("gate"))
		}
	}
}

// A piece that has passed the gate when it opens goes on; the one behind it is thrown out.
func TestAGateLetsGoOnWhatHasPassed(t *testing.T) {
	c := with(t, cores(yard(4, 3), 2, 3, 0.5), hauler(t, gated()), geom.Pose{X: 2, Y: 1.5})
	c.load(2)
	belt(c).pieces[0].at, belt(c).pieces[1].at = 0.21, 0.04
	c.do("gate", robot.Open, 0)
	c.wait(0.2)
	c.do("conveyor", robot.Volts, 6)
	c.wait(2)
	c.expect(record.Release, 2)
	first, second := c.r.Pose().ToLocal(c.w.bodies[0].Pose().At()), c.r.Pose().ToLocal(c.w.bodies[1].Pose().At())
	if first.X > -0.25 || second.Y < 0.28 {
		t.Errorf("they lie at %v and %v of the robot: %s", first, second, c.story())
	}
}

// The belt's speed is what a piece is thrown out with: it gets no energy that the belt did not have.
func TestAThrownPieceHasTheBeltsSpeed(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 3, 0.5), hauler(t, gated()), geom.Pose{X: 2, Y: 1.5})
	c.load(1)
	belt(c).pieces[0].at = 0.1
	c.do("gate", robot.Open, 0)
	c.wait(0.2)
	c.do("conveyor", robot.Volts, 9)
	for range 200 {
		c.wait(0.01)
		if c.saw(record.Release) > 0 {
			break
		}
	}
	vx, vy, _ := c.w.bodies[0].Velocity()
	speed := belt(c).surface()
	if v := math.Hypot(vx, vy); v > speed+1e-9 || v < speed-0.02*9.81*0.6 || math.Abs(vx) > 1e-3 {
		t.Errorf("it leaves with (%.4f, %.4f) m/s, the belt runs at %.4f m/s", vx, vy, speed)
	}
}

// A gate's strokes cost air by Boyle's law, as the clamp's do with the same piston: see
// TestStrokesInTheWorldCostAir. The spring brings it back for nothing.
func TestAGatesStrokesCostAir(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t, gated()), geom.Pose{X: 1, Y: 1.5})
	for k, want := range []float64{596.056e3, 592.136e3} {
		c.do("gate", robot.Open, 0)
		c.do("gate", robot.Open, 0) // asking again costs nothing
		c.wait(0.4)
		after := c.r.Air()
		c.do("gate", robot.Shut, 0)
		c.wait(0.4)
		if math.Abs(after-want) > 10 || c.r.Air() != after || c.r.AirStrokes() != k+1 {
			t.Errorf("after %d strokes %.1f Pa, and %.1f when back", k+1, after, c.r.Air())
		}
	}
}

func TestWithoutAirAGateStaysShut(t *testing.T) {
	empty := func(r *robot.Robot) { r.Air.Pressure = 60e3 } // 6.8 N against a spring of 10 N
	c := with(t, yard(4, 3), hauler(t, gated(), empty), geom.Pose{X: 1, Y: 1.5})
	for range 2 { // asking again changes nothing and is not reported again
		c.do("gate", robot.Open, 0)
		c.wait(0.5)
	}
	if c.saw(record.Missed) != 1 || c.look("gate").Out ||
		c.log[0].Sentence(units.Metric) != "missed: too little air for gate" {
		t.Errorf("%s %+v", c.story(), c.look("gate"))
	}
}

// lossless is a flap whose motor turns all its current into torque, without friction.
func lossless(r *robot.Robot) {
	r.Battery.Resistance = 0
	m := robot.Motor{Name: "flap", FreeSpeed: 50, StallCurrent: 3, Nominal: 12}
	m.StallTorque = m.VoltsPerSpeed() * m.StallCurrent
	r.Motors = append(r.Motors, m)
	g := r.Parts[len(r.Parts)-1].Gate
	g.Motor = &robot.Flap{Powered: robot.Powered{Motor: len(r.Motors) - 1, Count: 1, Gear: 10, Efficiency: 1,
		Inertia: 0.02}, Swing: 1, Volts: 6}
}

// A motor on an inertia runs up as w = wf (1 - exp(-t/T)), T = J R/(k k'), so a swing takes the t at which
// wf (t - T (1 - exp(-t/T))) is its angle (first-order lag; from memory).
func TestAMotorSwingsAGateInItsTime(t *testing.T) {
	const free, lag = 50.0 / 10 / 2, 0.02 * (12.0 / 3) / (2.4 * 2.4) // k = 12 V/(5 rad/s) at the flap
	angle := func(t float64) float64 { return free * (t - lag*(1-math.Exp(-t/lag))) }
	want := 0.0
	for angle(want) < 1 {
		want += 1e-5
	}
	c := with(t, yard(4, 3), hauler(t, gated(), lossless), geom.Pose{X: 1, Y: 1.5})
	c.do("gate", robot.Open, 0)
	took := 0.0
	for ; !c.look("gate").Out && took < 5; took += ControlTick {
		c.wait(ControlTick)
	}
	if took < want || took > want+2*ControlTick {
		t.Errorf("it took %.3f s, want %.3f s", took, want)
	}
	c.do("gate", robot.Shut, 0)
	c.wait(want - 2*ControlTick)
	if !c.look("gate").Moving || c.look("gate").Out {
		t.Errorf("on its way back: %+v", c.look("gate"))
	}
	c.wait(4 * ControlTick)
	if s := c.look("gate"); s.Moving || s.Out || c.r.mechanisms[c.index["gate"]].(motorGate).flap.at != 0 {
		t.Errorf("back: %+v", s)
	}
}

// A robot that is disabled leaves its flap where it is; a command takes it on.
func TestADisabledGateStops(t *testing.T) {
	c := with(t, yard(4, 3), hauler(t, gated(), lossless), geom.Pose{X: 1, Y: 1.5})
	c.do("gate", robot.Open, 0)
	c.wait(0.1)
	c.r.StopMotors()
	c.wait(1)
	if s := c.look("gate"); s.Out || s.Moving {
		t.Errorf("disabled: %+v", s)
	}
	c.do("gate", robot.Open, 0)
	c.wait(1)
	if !c.look("gate").Out {
		t.Errorf("told again: %+v", c.look("gate"))
	}
}

// A wall where pieces are thrown out keeps them on the belt: a jam, told once, which ends when the robot drives off.
func TestAGateWithoutRoomJams(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 3, 0.5), hauler(t, gated()), geom.Pose{X: 2, Y: 2.75})
	c.load(1)
	belt(c).pieces[0].at = 0.1
	c.do("gate", robot.Open, 0)
	c.wait(0.2)
	c.do("conveyor", robot.Volts, 9)
	c.wait(2)
	c.expect(record.Jammed, 1)
	if !c.look("gate").Jammed || c.look("conveyor").Count != 1 || belt(c).pieces[0].at != 0.2 {
		t.Errorf("%+v, %+v", c.look("gate"), c.look("conveyor"))
	}
	c.do("gate", robot.Shut, 0)
	c.wait(2)
	if c.look("gate").Jammed || c.look("conveyor").Count != 0 {
		t.Errorf("shut again: %+v, %+v", c.look("gate"), c.look("conveyor"))
	}
}

// binned adds a conveyor that takes what the gate throws out.
func binned(r *robot.Robot) {
	bin := *r.Parts[1].Conveyor
	bin.Slots, bin.Length = 1, 0.2
	r.Parts = append(r.Parts, robot.Part{Name: "bin", Kind: robot.KindConveyor, Conveyor: &bin})
	r.Parts[len(r.Parts)-2].Gate.Into = len(r.Parts) - 1
}

func TestAGateFillsAnotherConveyorUntilItIsFull(t *testing.T) {
	c := with(t, cores(yard(4, 3), 2, 3, 0.5), hauler(t, gated(), binned), geom.Pose{X: 2, Y: 1.5})
	c.load(2)
	belt(c).pieces[0].at, belt(c).pieces[1].at = 0.19, 0.02
	c.do("gate", robot.Open, 0)
	c.wait(0.2)
	c.do("conveyor", robot.Volts, 6)
	c.wait(2)
	if c.look("bin").Count != 1 || c.look("gate").Count != 1 || c.look("conveyor").Count != 1 || !c.look("gate").Jammed {
		t.Errorf("bin %+v, conveyor %+v, gate %+v", c.look("bin"), c.look("conveyor"), c.look("gate"))
	}
	c.expect(record.Release, 0)
}

// Whatever belts and gates are told, each piece is in one place: on one of the belts, in their order and apart, or on
// the floor, and the robot weighs what it holds.
func TestGatesLoseNoPiece(t *testing.T) {
	property.Check(t, func(rt *rapid.T) {
		f := cores(yard(4, 3), 4, 3, 0.5)
		for i := range f.Pieces {
			f.Pieces[i].At = geom.Pose{X: 2.3 + 0.16*float64(i), Y: 1.5}
		}
		tune := []func(*robot.Robot){gated(func(g *robot.Gate) {
			g.Along = rapid.Float64Range(0, 0.48).Draw(rt, "along")
		})}
		if rapid.Bool().Draw(rt, "bin") {
			tune = append(tune, binned)
		}
		c := with(t, f, hauler(t, tune...), geom.Pose{X: 1.9, Y: 1.5})
		c.do("intake", robot.Volts, 11)
		c.r.SetDriveVolts(3, 3)
		for range rapid.IntRange(5, 20).Draw(rt, "orders") {
			c.do("conveyor", robot.Volts, rapid.Float64Range(-12, 12).Draw(rt, "belt"))
			if _, has := c.index["bin"]; has {
				c.do("bin", robot.Volts, rapid.Float64Range(-12, 12).Draw(rt, "bin belt"))
			}
			c.do("gate", rapid.SampledFrom([]robot.Verb{robot.Open, robot.Shut}).Draw(rt, "gate"), 0)
			c.wait(0.15)
			c.checkPieces(rt, f)
		}
	})
}

func (c *crew) checkPieces(t *rapid.T, f *fields.Field) {
	riders := map[*Body]int{}
	for i, m := range c.r.mechanisms {
		v, is := m.(*conveyor)
		if !is {
			continue
		}
		for k, p := range v.pieces {
			riders[p.body]++
			if p.at < 0 || p.at > v.spec.Length || k > 0 && v.pieces[k-1].at-p.at < v.between-1e-9 {
				t.Fatalf("piece %d of %s at %.4f m", k, c.r.Spec.Parts[i].Name, p.at)
			}
		}
	}
	mass := c.r.Spec.Chassis.Mass
	for _, b := range c.w.bodies[:len(f.Pieces)] {
		held := b.Holder == record.HeldByRobot(0)
		if held != (riders[b] == 1) || riders[b] > 1 || !held && b.Holder != record.OnFloor {
			t.Fatalf("%s is held by %v and rides %d times", b.Name, b.Holder, riders[b])
		}
		if held {
			mass += b.mass
		}
	}
	if math.Abs(c.r.Mass()-mass) > 1e-9 {
		t.Fatalf("the robot weighs %.6f kg, want %.6f", c.r.Mass(), mass)
	}
}
