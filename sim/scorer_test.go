package sim

import (
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// shift moves the clamped sled to the side of its seat by moving the seat: what a clamp that caught it off centre
// leaves.
func (c *crew) shift(by float64) {
	s := c.r.mechanisms[c.index["scorer"]].(*scorer)
	spec := *s.clamp.spec
	spec.At.Y -= by
	s.clamp.spec = &spec
}

func TestAScorerFillsTheClampedSled(t *testing.T) {
	c := clamped(t, cores(yard(4, 3), 3, 3, 0.5))
	c.load(3)
	sled, mass := c.w.bodies[3], c.w.bodies[3].body.Mass()
	c.do("conveyor", robot.Volts, 10)
	c.wait(3)
	c.expect(record.Scored, 3)
	c.expect(record.Crooked, 0)
	for _, b := range c.w.bodies[:3] {
		if b.Holder.Goal() != sled.ID || b.Scorer != c.r.Side {
			t.Errorf("%s: holder %d, scorer %d", b.Name, b.Holder, b.Scorer)
		}
	}
	if got := sled.body.Mass() - mass; got < 0.4199 || got > 0.4201 {
		t.Errorf("the sled is %.4f kg heavier, want 0.42", got)
	}
	if s := c.look("scorer"); s.Scored != 3 || s.Jammed {
		t.Errorf("%+v", s)
	}
}

func TestAFullSledBacksTheConveyorUp(t *testing.T) {
	f := cores(yard(4, 3), 6, 3, 0.5)
	c := clamped(t, f)
	sled := c.w.bodies[6]
	for _, b := range c.w.bodies[:4] {
		c.w.putInGoal(b, sled, geom.Pose{})
	}
	v := belt(c)
	v.preload(c.w.bodies[4])
	v.preload(c.w.bodies[5])
	c.do("conveyor", robot.Volts, 10)
	c.wait(3)
	c.expect(record.Scored, 1)
	c.expect(record.Jammed, 1)
	if s := c.look("conveyor"); !s.Jammed || s.Count != 1 {
		t.Errorf("%+v", s)
	}
}

func TestAnOffCentreSledTakesCoresCrookedAndTheNextSeatsThem(t *testing.T) {
	c := clamped(t, cores(yard(4, 3), 2, 3, 0.5))
	c.load(2)
	c.shift(0.035) // beyond 28 mm, within 45 mm
	c.do("conveyor", robot.Volts, 10)
	c.wait(3)
	c.expect(record.Crooked, 2) // the second lies crooked on the first
	c.expect(record.Seated, 1)
	c.expect(record.Scored, 1)
	if c.w.bodies[2].crooked != c.w.bodies[1] {
		t.Error("the last core does not lie crooked")
	}
}

// How far off a crooked piece was never reads as if it were within what it may be.
func TestHowFarOffACrookedPieceIsReadsAsTooFar(t *testing.T) {
	s := &scorer{spec: &robot.Scorer{Crooked: 0.0279}}
	for offset, want := range map[float64]string{0.0279: "", 0.0284: "28.4 mm off, straight up to 27.9 mm",
		0.02792: "27.92 mm off, straight up to 27.90 mm", 0.04: "40 mm off, straight up to 28 mm"} {
		if got := s.crookedBy(offset); got != want {
			t.Errorf("%g m off: %q, want %q", offset, got, want)
		}
	}
}

func TestACrookedCoreJamsWhenTheNextDoesNotPushItHome(t *testing.T) {
	c := clamped(t, cores(yard(4, 3), 2, 3, 0.5))
	c.load(2)
	c.shift(0.035)
	c.do("conveyor", robot.Volts, 10)
	for c.saw(record.Crooked) == 0 && c.w.Time() < 5 {
		c.wait(0.01)
	}
	c.shift(0.02) // now 55 mm off: beyond 45 mm
	c.wait(2)
	c.expect(record.Jammed, 1)
	c.expect(record.Seated, 0)
	// Backed off and straightened, the next try pushes it home.
	c.do("conveyor", robot.Volts, -10)
	c.wait(0.1)
	c.shift(-0.055)
	c.do("conveyor", robot.Volts, 10)
	c.wait(1)
	c.expect(record.Seated, 1)
	c.expect(record.Scored, 2)
}

// The last core that fits lies crooked: the next pushes it home and stays on the belt.
func TestACoreTooManySeatsTheLastOne(t *testing.T) {
	c := clamped(t, cores(yard(4, 3), 6, 3, 0.5))
	for _, b := range c.w.bodies[:4] {
		c.w.putInGoal(b, c.w.bodies[6], geom.Pose{})
	}
	belt(c).preload(c.w.bodies[4])
	belt(c).preload(c.w.bodies[5])
	c.shift(0.035)
	c.do("conveyor", robot.Volts, 10)
	c.wait(3)
	c.expect(record.Crooked, 1)
	c.expect(record.Seated, 1)
	c.expect(record.Scored, 1)
	c.expect(record.Jammed, 1)
	if n := c.look("conveyor").Count; n != 1 {
		t.Errorf("%d cores on the belt, want 1", n)
	}
}

func TestAPieceMissesASledThatIsFarOff(t *testing.T) {
	c := clamped(t, cores(yard(4, 3), 1, 3, 0.5))
	c.load(1)
	c.shift(0.06)
	c.do("conveyor", robot.Volts, 10)
	c.wait(2)
	c.expect(record.Missed, 1)
	if c.log[1].Sentence(units.Metric) != "missed: core 1 beside goal 1: 60 mm and 0.0 deg off, half of the tries "+
		"succeed at 45 mm or 25.0 deg" {
		t.Error(c.story())
	}
	c.expect(record.Scored, 0)
	if b := c.w.bodies[0]; b.Holder != record.OnFloor || !c.w.field.Floor.Contains(b.Pose().At()) {
		t.Errorf("holder %d at %+v", b.Holder, b.Pose())
	}
}

// atRack stands the hauler with its back a hand from a rack at x = 0.
func atRack(t testing.TB, n int) *crew {
	return with(t, rack(cores(yard(4, 3), n, 3, 0.5), 1.5), hauler(t), geom.Pose{X: 0.26, Y: 1.5})
}

func TestARackIsServedOnlyAtItsHeight(t *testing.T) {
	c := atRack(t, 1)
	c.load(1)
	c.do("conveyor", robot.Volts, 10)
	c.wait(1.5)
	c.expect(record.Scored, 0)
	c.expect(record.Jammed, 1) // 50 mm to the wall: no room to fall
	c.do("conveyor", robot.Volts, -6)
	c.wait(0.1)
	c.do("conveyor", robot.Volts, 0)
	c.do("lift", robot.Target, c.r.Spec.Parts[5].Lift.Heights[2].At)
	c.wait(1)
	c.do("conveyor", robot.Volts, 10)
	c.wait(1)
	c.expect(record.Scored, 1)
}

func TestARackOutOfReachIsNotServed(t *testing.T) {
	c := atRack(t, 1)
	c.r.SetDriveVolts(6, 6)
	c.wait(0.6)
	c.r.SetDriveVolts(0, 0)
	c.load(1)
	c.do("lift", robot.Target, c.r.Spec.Parts[5].Lift.Heights[2].At)
	c.wait(1)
	c.do("conveyor", robot.Volts, 10)
	c.wait(1)
	c.expect(record.Scored, 0)
	c.expect(record.Release, 1)
}

// A goal of another kind of piece is no goal for this one.
func TestAGoalTakesOnlyItsKinds(t *testing.T) {
	f := cores(yard(4, 3), 1, 3, 0.5)
	f.PieceKinds = append(f.PieceKinds, core())
	c := clamped(t, f)
	c.w.field.GoalKinds[0].Takes = []int{1}
	c.load(1)
	c.do("conveyor", robot.Volts, 10)
	c.wait(1)
	c.expect(record.Scored, 0)
}
