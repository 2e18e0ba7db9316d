package rehearse

import (
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// rear turns about its traction wheels' axle, 145 mm behind its centre of mass.
const rear = `title = "rear"
[chassis]
length = "380 mm"
width = "360 mm"
mass = "7.5 kg"
centre = ["25 mm", "-10 mm"]
[[motors]]
name = "drive"
stall_torque = "1.1 N m"
free_speed = "400 rpm"
[drive]
gear = 1.2
[[wheels]]
at = ["150 mm", "150 mm"]
train = "left"
[[wheels]]
at = ["150 mm", "-150 mm"]
train = "right"
[[wheels]]
at = ["-120 mm", "150 mm"]
train = "left"
kind = "traction"
[[wheels]]
at = ["-120 mm", "-150 mm"]
train = "right"
kind = "traction"
`

// A base that turns about one axle swings its mass round, and its plans know: it ends its turns with them. Planned
// without that it went 4.4 degrees too far and settled 0.2 s later.
func TestTurnsAboutAnAxleEndWithTheirPlans(t *testing.T) {
	spec, err := robot.Parse("rear.toml", []byte(rear+sensed))
	if err != nil {
		t.Fatal(err)
	}
	setup := Setup{Field: wideYard(t, 10), Seed: 1, Nominal: true, Entrants: []Entrant{{Robot: spec,
		Routine: written(t, "bot.drive:face(135) bot.drive:face(-45)")}}}
	turns := 0
	for _, e := range rehearsed(t, setup).Events {
		if e.Kind != record.MotionEnd {
			continue
		}
		if turns++; e.Reason != record.Arrived || e.Overshoot > 0.01 || e.Settle > 0.05 {
			t.Errorf("%s: %.4f rad too far, %.2f s after its plan", e.Sentence(units.Metric), e.Overshoot, e.Settle)
		}
	}
	if turns != 2 {
		t.Errorf("%d turns ended", turns)
	}
}
