package fit

import (
	"context"
	"maps"
	"math"
	"slices"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// A fault that the robot has and the file says nothing of is found beside the motors' strength; one that it has not is
// left at the file's value.
func TestAFaultOfTheDriveIsFound(t *testing.T) {
	faults := map[string]struct {
		give   func(r *robot.Robot)
		want   float64
		within float64
	}{
		"drive.slew":      {func(r *robot.Robot) { r.Drive.Slew = 40 }, 40, 0.05},
		"drive.dead_band": {func(r *robot.Robot) { r.Drive.DeadBand = 1.5 }, 1.5, 0.05},
		"wheels.static": {func(r *robot.Robot) {
			for i := range r.Wheels {
				r.Wheels[i].Static = 1.5
			}
		}, 1.5, 0.1},
		"drive.backlash": {func(r *robot.Robot) { r.Drive.Backlash = 0.06 }, 0.06, 0.1},
	}
	for _, key := range slices.Sorted(maps.Keys(faults))[:property.Cases(1, len(faults))] {
		c := faults[key]
		t.Run(key, func(t *testing.T) {
			k := drawn(t, "hauler", 0)
			k.file = clone(k.real)
			c.give(k.real)
			driveMotor(k.file).StallTorque *= 1.1
			log := k.played(t, shortDrives, 13, "short", 1)
			got, err := Fit(context.Background(), k.file, []Input{log}, Options{Hold: []string{"chassis.mass",
				"chassis.inertia", "motors[0].free_current", "motors[0].stall_current", "motors[0].free_speed", "drive.drag",
				"drive.viscous", "drive.creep", "drive.left_push", "wheels.along", "wheels.across", "wheels.radius", "track"}})
			if err != nil {
				t.Fatal(err)
			}
			for _, other := range []string{"drive.slew", "drive.dead_band", "drive.backlash", "wheels.static"} {
				p := value(t, got, other)
				t.Logf("%s %g [%g %g] %s", p.Key, p.After, p.Low, p.High, p.State)
				switch {
				case other == key && (p.State != Fitted || math.Abs(p.After/c.want-1) > c.within):
					t.Errorf("%s: %g %s, the truth is %g", key, p.After, p.State, c.want)
				case other != key && p.State == Fitted:
					t.Errorf("%s: %g [%g %g], and the robot has none", other, p.After, p.Low, p.High)
				}
			}
		})
	}
}
