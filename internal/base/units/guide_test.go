package units_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	// dimension is a quantity with its units, as this package declares it.
	dimension = regexp.MustCompile(`(?s)\{"(an? [^"]+)", [\d.]+, \[\]unit\{(.*?)\}\}`)
	spelling  = regexp.MustCompile(`\{"([^"]+)", `)
	// row is a quantity with its units, as the guide's table has it.
	row   = regexp.MustCompile("(?m)^\\| (an? [^|]+?) \\| ([^|]+?) \\|")
	ticks = regexp.MustCompile("`([^`]+)`")
)

// The guide's page of units has every quantity of a file with all its units, and no others.
func TestGuideListsEveryUnit(t *testing.T) {
	declared := map[string][]string{}
	sources, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, source := range sources {
		for _, d := range dimension.FindAllStringSubmatch(read(t, source), -1) {
			for _, u := range spelling.FindAllStringSubmatch(d[2], -1) {
				declared[d[1]] = append(declared[d[1]], u[1])
			}
		}
	}
	if len(declared) < 15 {
		t.Fatalf("only %d quantities were found in the sources: %v", len(declared), declared)
	}
	listed := map[string][]string{}
	for _, r := range row.FindAllStringSubmatch(read(t, "../../../assets/guide/units.md"), -1) {
		for _, u := range ticks.FindAllStringSubmatch(r[2], -1) {
			listed[r[1]] = append(listed[r[1]], u[1])
		}
	}
	for what, units := range declared {
		if !slices.Equal(units, listed[what]) {
			t.Errorf("%s has %s, the page lists %s", what, strings.Join(units, ", "), strings.Join(listed[what], ", "))
		}
	}
	for what := range listed {
		ofALift := what == "an arm's gain" || what == "an elevator's gain" // sim/robot reads these
		if declared[what] == nil && !ofALift {
			t.Errorf("the page lists %s, which no file has", what)
		}
	}
}

func read(t *testing.T, path string) string {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
