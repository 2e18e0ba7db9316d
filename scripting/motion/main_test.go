package motion

import (
	"flag"
	"os"
	"testing"
)

// TestMain gives the drawn cases a fixed seed, so that a run repeats; -rapid.seed draws others.
func TestMain(m *testing.M) {
	flag.Parse()
	given := false
	flag.Visit(func(f *flag.Flag) { given = given || f.Name == "rapid.seed" })
	if !given {
		if err := flag.Set("rapid.seed", "20250131"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
