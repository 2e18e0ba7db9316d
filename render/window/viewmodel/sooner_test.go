package viewmodel

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What was found before another number was written stays, marked, but for what is left out; the list before is as it
// was.
func TestWhatWasFoundBeforeIsMarked(t *testing.T) {
	found := []Sooner{{Line: 1, Nth: 1, Saves: 0.5}, {Line: 2, Nth: 1, Saves: 0.2}, {Line: 2, Nth: 2}}
	got := stale(found, func(o Sooner) bool { return o.Line != 2 || o.Nth != 1 })
	want := []Sooner{{Line: 1, Nth: 1, Saves: 0.5, Stale: true}, {Line: 2, Nth: 2, Stale: true}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if found[0].Stale || found[1].Line != 2 || found[1].Nth != 1 {
		t.Errorf("the list before is %+v now", found)
	}
}
