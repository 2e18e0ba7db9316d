package fit

import (
	"context"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// A held value that the logs speak against is named, with what they speak for; one that is right is not.
func TestAWrongHeldValueIsNamed(t *testing.T) {
	k := drawn(t, "hauler", 0)
	k.file = clone(k.real)
	driveMotor(k.file).FreeSpeed *= 1.15
	k.file.Battery.Resistance *= 1.5
	log := k.played(t, shortDrives, 13, "short", 1)
	got, err := Fit(context.Background(), k.file, []Input{log}, Options{Hold: []string{
		"chassis.mass", "chassis.inertia", "motors[0].free_current", "motors[0].stall_current", "motors[0].free_speed",
		"drive.drag", "drive.viscous", "drive.creep", "wheels.along", "wheels.across", "wheels.static", "drive.slew",
		"drive.dead_band", "drive.backlash", "wheels.radius", "track", "battery.resistance"}})
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(got.Warnings, "\n")
	for _, key := range []string{"motors[0].free_speed", "battery.resistance"} {
		if !strings.Contains(all, key+" is held, and these logs speak for ") {
			t.Errorf("%s: not in %q", key, all)
		}
	}
	if strings.Contains(all, "chassis.mass is held, and") {
		t.Errorf("the mass is right: %q", all)
	}
	for _, d := range got.Drives {
		if d.After.End == nil || math.IsNaN(*d.After.End) {
			t.Errorf("%s: no end", d.What)
		}
	}
	t.Log(all)
}

// A mass is spoken against where the logs can tell it: with the motors' torque held too, for a heavier robot with
// stronger motors drives the same. One that is right never is.
func TestAWrongMassIsNamedWhereTheLogsTellIt(t *testing.T) {
	torque := "motors[0].stall_torque"
	for _, c := range []struct {
		name   string
		off    float64
		hold   []string
		spoken bool
	}{
		{"hauler", 1.3, []string{"chassis.mass", torque}, true},
		{"hauler", 1, []string{"chassis.mass", torque}, false},
		{"lifter", 1, []string{"chassis.mass"}, false},
	}[:property.Cases(2, 3)] {
		k := drawn(t, c.name, 4)
		k.file = clone(k.file)
		driveMotor(k.file).StallTorque = driveMotor(k.real).StallTorque
		k.file.Chassis.Mass *= c.off
		got, err := Fit(context.Background(), k.file, []Input{k.played(t, shortDrives, 13, "short", 1)},
			Options{Hold: c.hold})
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Join(got.Warnings, "\n")
		if said := strings.Contains(all, "chassis.mass is held, and these logs speak for "); said != c.spoken {
			t.Errorf("%+v: spoken against: %v; %q", c, said, all)
		}
		if c.spoken {
			t.Log(all)
		}
	}
}
