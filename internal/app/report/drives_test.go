package report

import (
	"context"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// drivesPage is the page of an embedded robot whose centre of mass is so far up, m.
func drivesPage(t *testing.T, name string, height float64) string {
	t.Helper()
	spec, err := robot.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	spec.Chassis.CentreHeight = height
	plan, err := testdrive.Make(context.Background(), spec, testdrive.Room{Length: 2.4, Width: 1.6})
	if err != nil {
		t.Fatal(err)
	}
	var page strings.Builder
	if err := TestDrives(units.Metric, plan).Markdown(&page, "drives.svg", "The drives"); err != nil {
		t.Fatal(err)
	}
	return page.String()
}

// The page says what this robot has: no arm, claw or lift where there is none. It begins with the slow drive.
func TestThePageOfDrivesSaysWhatTheRobotHas(t *testing.T) {
	barrow := drivesPage(t, "barrow", 0.08)
	pages := map[string]string{barrow: "start: intake, belt, tipper."}
	if property.Cases(0, 1) == 1 {
		pages[drivesPage(t, "hauler", 0.08)] = "start: intake, conveyor, clamp, scorer, claw, lift."
	}
	words := strings.FieldsFunc(barrow, func(r rune) bool { return !(r >= 'a' && r <= 'z') })
	for _, none := range []string{"arm", "claw", "lift"} {
		if slices.Contains(words, none) {
			t.Errorf("barrow has a %s", none)
		}
	}
	for page, parts := range pages {
		for _, want := range []string{parts, "Start with `ramp`", "\n- Air released before hands go in",
			"\n| `left A`, `right A` |", "![The drives](drives.svg)",
			"\n| before all | weigh the robot, battery in | ............ kg |\n"} {
			if !strings.Contains(page, want) {
				t.Errorf("no %q in %s", want, page)
			}
		}
	}
}

// Where even the ramps tip the robot, the page names none of the drives that are left out as the one to begin with.
func TestThePageOfDrivesThatTip(t *testing.T) {
	page := drivesPage(t, "hauler", 0.7)
	if !strings.Contains(page, "\nLeft out: ramp: ") || strings.Contains(page, "Start with `ramp`") ||
		strings.Contains(page, "`step_brake`") {
		t.Error(page)
	}
}
