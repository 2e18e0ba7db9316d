// Package property checks properties on drawn cases: the same cases at every run, so that no run of the tests fails by
// chance. `.ci/fuzz` draws others, with a new RAPID_SEED and more of them a property. And it bounds what one execution
// of a fuzz target may take, so that a hang or a flood is a finding with its input.
package property

import (
	"flag"
	"os"
	"strconv"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// seed is what cases are drawn with unless RAPID_SEED or -rapid.seed gives another.
const seed = "1"

// few and all are how many cases are drawn unless RAPID_CHECKS or -rapid.checks says another number.
const few, all = 40, 100

var fix = sync.OnceValue(func() error {
	checks := flag.Lookup("rapid.checks")
	if checks.Value.String() == checks.DefValue && os.Getenv("RAPID_CHECKS") == "" {
		if err := flag.Set(checks.Name, strconv.Itoa(Cases(few, all))); err != nil {
			return err
		}
	}
	if given := flag.Lookup("rapid.seed"); given.Value.String() != "0" {
		return nil
	}
	return flag.Set("rapid.seed", seed)
})

// Check is rapid.Check with a seed of ours.
func Check(t *testing.T, holds func(*rapid.T)) {
	t.Helper()
	if err := fix(); err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, holds)
}
