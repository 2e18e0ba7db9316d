package property

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestTheSameCasesAreDrawnAgain(t *testing.T) {
	draw := func() (drawn []int) {
		Check(t, func(t *rapid.T) { drawn = append(drawn, rapid.Int().Draw(t, "n")) })
		return drawn
	}
	if first, again := draw(), draw(); len(first) < 20 || !slices.Equal(first, again) {
		t.Errorf("%d cases, then others: %v, %v", len(first), first, again)
	}
}

// A property that is checked past this package fails a run by chance.
func TestEveryPropertyIsCheckedHere(t *testing.T) {
	root, checked := filepath.Join("..", "..", ".."), 0
	err := filepath.WalkDir(root, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(file, "_test.go") {
			return err
		}
		source, err := os.ReadFile(file)
		checked += strings.Count(string(source), "property.Check(")
		for _, past := range []string{"rapid." + "Check(", "rapid." + "MakeCheck("} {
			if strings.Contains(string(source), past) {
				t.Errorf("%s calls %s...): write property.Check", file, past)
			}
		}
		return err
	})
	if err != nil || checked < 30 {
		t.Errorf("%d properties found: %v", checked, err)
	}
}
