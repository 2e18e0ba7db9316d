package scripting

import (
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
)

// The guide's table of all calls names every method that a routine can call.
func TestGuideNamesEveryMethod(t *testing.T) {
	page, err := os.ReadFile("../assets/guide/routine.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, found := strings.Cut(string(page), "\n## All calls\n")
	if !found {
		t.Fatal("the page has no section of all calls")
	}
	rows := map[string]map[string]method{
		"`bot.drive`": driveMethods(), "what `task` returns": taskMethods(), "a motion in the background": motionMethods(),
		"`pad`": padMethods(), "what `pid` returns": pidMethods(), "what `profile` returns": profileMethods(),
		"what `slew` returns": slewMethods(), "a kind of sensor": {},
	}
	for kind, methods := range partMethods {
		rows[article(string(kind))] = methods
	}
	for _, m := range sensorMethods {
		rows["a kind of sensor"][m.name] = readSensor
	}
	for name, methods := range rows {
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
}
