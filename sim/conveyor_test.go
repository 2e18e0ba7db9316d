package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
	"pgregory.net/rapid"
)

func belt(c *crew) *conveyor { return c.r.mechanisms[c.index["conveyor"]].(*conveyor) }

func TestAHeldPieceStandsAtTheSensorUntilReleased(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 1.29, 1.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.do("intake", robot.Volts, 11)
	c.do("conveyor", robot.Volts, 9)
	c.wait(0.1)
	c.do("conveyor", robot.Hold, 0)
	c.wait(2)
	chute := c.r.Spec.Sensors[5].Optical.Along
	if got := belt(c).pieces[0].at; math.Abs(got-chute) > held || !c.look("conveyor").Holding {
		t.Errorf("the piece stands at %.4f m, the sensor looks at %.4f; %+v", got, chute, c.look("conveyor"))
	}
	if c.r.Reading(5) != 1 {
		t.Error("the optical sensor does not see it")
	}
	c.do("conveyor", robot.Volts, 9)
	c.wait(1.5)
	c.expect(record.Release, 1)
	if c.w.bodies[0].Holder != record.OnFloor {
		t.Error("still held")
	}
}

// A piece that has run past its sensor, but not by half a slot, is pushed back.
func TestAHeldPieceIsPushedBackAsItDrifts(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 3, 0.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.load(1)
	chute := c.r.Spec.Sensors[5].Optical.Along
	belt(c).pieces[0].at = chute + 0.06
	c.do("conveyor", robot.Hold, 0)
	c.wait(1)
	if got := belt(c).pieces[0].at; math.Abs(got-chute) > held {
		t.Errorf("the piece stands at %.4f m, the sensor looks at %.4f", got, chute)
	}
}

func TestARunningBackConveyorReleasesAtTheIntake(t *testing.T) {
	c := with(t, cores(yard(4, 3), 2, 3, 0.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.load(2)
	c.do("conveyor", robot.Volts, -9)
	c.wait(3)
	c.expect(record.Release, 2)
	for _, b := range c.w.bodies {
		if at := c.r.Pose().ToLocal(b.Pose().At()); at.X < 0.25 {
			t.Errorf("%s lies at x %.3f of the robot, want before the mouth", b.Name, at.X)
		}
	}
}

// The first piece lies before the mouth, so the second finds no room until the robot backs away.
func TestAPieceWithNoRoomToLeaveJams(t *testing.T) {
	f := sleds(cores(yard(4, 3), 1, 3, 0.5), geom.Pose{X: 0.61, Y: 1.5})
	c := with(t, f, hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.load(1)
	c.do("conveyor", robot.Volts, 9) // onto a sled that is not clamped
	c.wait(1.5)
	c.expect(record.Jammed, 1)
	if !c.look("conveyor").Jammed || c.look("conveyor").Count != 1 {
		t.Errorf("%+v", c.look("conveyor"))
	}
	c.r.SetDriveVolts(5, 5)
	c.wait(1)
	c.expect(record.Release, 1)
	if c.look("conveyor").Jammed {
		t.Error("still jammed")
	}
}

func TestPiecesKeepTheirOrderAndDistance(t *testing.T) {
	c := with(t, cores(yard(4, 3), 3, 3, 0.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	v := belt(c)
	property.Check(t, func(rt *rapid.T) {
		v.pieces = v.pieces[:0]
		for i, b := range c.w.bodies[:rapid.IntRange(0, 3).Draw(rt, "pieces")] {
			v.pieces = append(v.pieces, &riding{body: b, at: v.spec.Length - v.between*float64(i+1)})
		}
		for range rapid.IntRange(1, 60).Draw(rt, "moves") {
			v.move(rapid.Float64Range(-0.2, 0.2).Draw(rt, "by"))
			for i, p := range v.pieces {
				if p.at < -1e-12 || p.at > v.spec.Length+1e-12 {
					rt.Fatalf("piece %d at %.4f of %.4f m", i, p.at, v.spec.Length)
				}
				if i > 0 && v.pieces[i-1].at-p.at < v.between-1e-12 {
					rt.Fatalf("pieces %d and %d are %.4f m apart, want %.4f", i-1, i, v.pieces[i-1].at-p.at, v.between)
				}
			}
		}
	})
}

// A piece that is set down rests where it came out, and nothing overlaps: no piece may be shot away by the contacts.
func TestAReleasedPieceIsNotShotAway(t *testing.T) {
	c := with(t, cores(yard(4, 3), 1, 3, 0.5), hauler(t), geom.Pose{X: 1, Y: 1.5})
	c.load(1)
	c.do("conveyor", robot.Volts, 12)
	c.wait(0.4)
	for range 100 {
		c.wait(0.01)
		vx, vy, _ := c.w.bodies[0].Velocity()
		if v := math.Hypot(vx, vy); v > 0.62 { // the belt's free speed is 0.56 m/s
			t.Fatalf("it flies at %.2f m/s", v)
		}
	}
	c.expect(record.Release, 1)
}
