package property

import (
	"os"
	"strings"
	"testing"
)

// What `go test ./...` takes a few cases of is taken at full length by CI, by the name that is asked for here.
func TestCITakesAllCases(t *testing.T) {
	t.Setenv(thorough, "")
	few := Cases(3, 50)
	t.Setenv(thorough, "1")
	if all := Cases(3, 50); few != 3 || all != 50 {
		t.Errorf("%d and %d cases", few, all)
	}
	script, err := os.ReadFile("../../../.ci/run")
	if err != nil || !strings.Contains(string(script), "\n"+thorough+"=1 $command -v ") {
		t.Errorf(".ci/run does not run the tests with %s=1: %v", thorough, err)
	}
}
