package motion

import (
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Motors that may take 15 % of their stall current push 15 % as hard, however slow the robot: with it in the
// model a plan asks no more, and the robot ends when the plan does. A model without the limit shows what the test sees.
func TestPlansKeepWithinACurrentLimit(t *testing.T) {
	for _, row := range []struct {
		name string
		make func() (*Motion, error)
	}{
		{"ahead", func() (*Motion, error) { return Ahead(1.5, Options{}) }},
		{"face", func() (*Motion, error) { return Face(2.5, Shortest, Options{}) }},
		{"dock", func() (*Motion, error) { return Dock(geom.Pose{X: 1.5, Y: 0.6, Heading: 0.5}, Options{}) }},
		{"trace", func() (*Motion, error) { return Trace([]geom.Vec{{X: 0.8, Y: 0.4}, {X: 1.6}}, Options{}) }},
	} {
		late := func(known bool) float64 {
			m := typical()
			m.limit = 0.15 * m.nominal
			m.wrong = func(model *robot.Model) {
				if !known {
					model.Limit = 0
				}
			}
			motion, err := row.make()
			drive(t, m, motion, err)
			r := motion.Result()
			if !r.OK {
				t.Errorf("%s, limit known %v: %+v", row.name, known, r)
			}
			return r.Took - r.Planned
		}
		if with, without := late(true), late(false); with > 0.2 || without < with+0.25 {
			t.Errorf("%s: %.2f s after the plan, %.2f s with the limit unknown", row.name, with, without)
		} else {
			t.Logf("%s: %.2f s after the plan, %.2f s with the limit unknown", row.name, with, without)
		}
	}
}
