package viewmodel

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/scripting"
)

// The runs between quick turns of one value are on the way only.
func TestQuickTurnsAreComparedWithTheRunBeforeThem(t *testing.T) {
	d, disk := opened(t)
	disk.routine = strings.Replace(strings.Replace(text(1), "ahead(1)", `ahead(param("way", 300, 100, 900))`, 1),
		"wait(1)", `wait(param("pause", 1, 0.5, 2))`, 1)
	d.Reload()
	finish(t, d)
	turn := func(name string, to, quiet float64) {
		t.Helper()
		values, runs := d.Values(), d.Runs
		d.SetValue(values[slices.IndexFunc(values, func(p scripting.Param) bool { return p.Name == name })], to)
		finish(t, d)
		if d.Runs != runs+1 {
			t.Fatalf("%s = %g gives no run: %q", name, to, d.Notice.Text)
		}
		d.Wait(quiet)
	}
	wantBefore := func(want *Run, what string) {
		t.Helper()
		if d.Before != want {
			t.Errorf("%s: compared with another run: %q", what, d.Notice.Text)
		}
	}
	before := d.Now
	turn("way", 500, 0.2)
	turn("way", 400, 0.2)
	wantBefore(before, "turned twice")
	turn("way", 300, lastTurn)
	wantBefore(before, "turned back")
	if d.Notice.Text != "Rehearsed again: same score, routine ends at the same time." {
		t.Errorf("turned back, it says %q", d.Notice.Text)
	}
	before = d.Now
	turn("way", 600, 0)
	wantBefore(before, "after a pause")
	before = d.Now
	turn("pause", 2, 0)
	wantBefore(before, "another value")
	before = d.Now
	d.Undo()
	finish(t, d)
	wantBefore(before, "undone")
	before = d.Now
	turn("pause", 1.5, 0)
	wantBefore(before, "turned after an undo")
}
