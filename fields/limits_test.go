package fields

import (
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"chalkfield/internal/base/tomlfile"
)

// A number without limits is how a rehearsal comes to divide by next to nothing.
func TestEveryNumberHasLimits(t *testing.T) {
	for _, problem := range tomlfile.Unlimited(reflect.TypeFor[Field]()) {
		t.Error(problem)
	}
}

func TestTheGuideHasTheLongestName(t *testing.T) {
	page, err := os.ReadFile("../assets/guide/field.md")
	if want := fmt.Sprintf("names of at most %d characters", maxName); err != nil ||
		!strings.Contains(string(page), want) {
		t.Errorf("%v: assets/guide/field.md lacks %q", err, want)
	}
}
