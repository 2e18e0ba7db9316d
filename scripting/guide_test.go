package scripting

import (
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"chalkfield/sim/robot"
)

// The guide's page names every method that a routine can call; those of mechanisms and sensors with their line.
func TestGuideNamesEveryMethod(t *testing.T) {
	page, err := os.ReadFile("../assets/guide/routine.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, found := strings.Cut(string(page), "\n## All calls\n")
	if !found {
		t.Fatal("the page has no section of all calls")
	}
	for name, methods := range map[string]map[string]method{
		"`bot.drive`": driveMethods(), "what `task` returns": taskMethods(), "a motion in the background": motionMethods(),
		"`pad`": padMethods(), "what `pid` returns": pidMethods(), "what `profile` returns": profileMethods(),
		"what `slew` returns": slewMethods(),
	} {
		_, rest, found := strings.Cut(table, "| "+name+" |")
		row, _, _ := strings.Cut(rest, "\n")
		if !found || len(methods) == 0 {
			t.Errorf("no row for %s, or no methods", name)
		}
		for _, m := range slices.Sorted(maps.Keys(methods)) {
			if !strings.Contains(row, "`"+m+"`") {
				t.Errorf("%s: %s is not in the table", name, m)
			}
		}
	}
	rows := []string{}
	for kind, calls := range partCalls {
		for _, c := range calls {
			rows = append(rows, fmt.Sprintf("| %s | `%s` | %s |", kind, c.form, c.does))
		}
	}
	for kind, m := range sensorMethods {
		if kind == robot.Encoder || kind == robot.Tracking {
			kind = robot.Encoder + ", " + robot.Tracking
		}
		rows = append(rows, fmt.Sprintf("| %s | `%s()` | %s |", kind, m.name, m.reading))
		for _, more := range moreSensorCalls[kind] {
			rows = append(rows, fmt.Sprintf("| %s | `%s` | %s |", kind, more.form, more.does))
		}
	}
	slices.Sort(rows)
	for _, row := range rows {
		if !strings.Contains(string(page), "\n"+row+"\n") {
			t.Errorf("the page lacks the row\n%s", row)
		}
	}
}
