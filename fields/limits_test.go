package fields

import (
	"reflect"
	"testing"

	"chalkfield/internal/base/tomlfile"
)

// A number without limits is how a rehearsal comes to divide by next to nothing.
func TestEveryNumberHasLimits(t *testing.T) {
	for _, problem := range tomlfile.Unlimited(reflect.TypeFor[Field]()) {
		t.Error(problem)
	}
}
