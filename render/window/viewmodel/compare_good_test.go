package viewmodel

import (
	"strings"
	"testing"
)

// A run that failed is not what the next good one is compared with: the last good one is.
func TestAfterAFailureTheNextGoodRunIsComparedWithTheLastGoodOne(t *testing.T) {
	d, disk := opened(t)
	good := d.Now
	for range 2 {
		disk.routine = strings.Replace(text(300), "bot.drive:ahead", "bot.nothing.at", 1)
		d.Reload()
		finish(t, d)
		if d.Fault == nil || d.Before != good {
			t.Fatalf("fault %v; the pale trace is not the good run's", d.Fault)
		}
	}
	disk.routine = text(300)
	d.Reload()
	finish(t, d)
	if d.Before != good || d.Notice.Text != "Rehearsed again: same score, routine ends at the same time." {
		t.Errorf("compared with another run: %q", d.Notice.Text)
	}
}

// Where there has been no good run there is nothing to compare with, and none of another file.
func TestAFirstGoodRunIsComparedWithNothing(t *testing.T) {
	disk := &files{t: t, routine: strings.Replace(text(300), "bot.drive:ahead", "bot.nothing.at", 1)}
	d := New(Files{}, disk.load)
	t.Cleanup(d.Close)
	d.Reload()
	finish(t, d)
	disk.routine = text(300)
	d.Reload()
	finish(t, d)
	if d.Before != nil {
		t.Error("compared with the failed run")
	}
	disk.routine = strings.Replace(text(500), "bot.drive:ahead", "bot.nothing.at", 1)
	d.Exchange(Files{Routine: "other.lua"})
	finish(t, d)
	disk.routine = text(500)
	d.Reload()
	finish(t, d)
	if d.Before != nil {
		t.Error("compared with a run of another file")
	}
}
