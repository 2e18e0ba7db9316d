package viewmodel

import (
	"context"
	"testing"
	"time"

	"chalkfield/internal/app/study/results"
)

// Work that takes longer than is waited for tells of itself, and is not waited for the next time.
func TestWorkIsAwaitedWhereItIsShort(t *testing.T) {
	told, gate := make(chan bool, 9), make(chan bool)
	j := newJob()
	j.tell = func() { told <- true }
	start := func() { j.start(func(context.Context, func(float64)) result { <-gate; return result{} }) }
	taken := func() {
		t.Helper()
		if _, ok := j.poll(); !ok {
			t.Error("there is no result")
		}
	}
	start()
	if j.await(time.Millisecond) {
		t.Error("work that goes on is said to be done")
	}
	close(gate)
	<-told
	taken()
	start()
	if !j.await(time.Minute) {
		t.Error("short work is not awaited")
	}
	taken()
	if j.await(time.Minute) {
		t.Error("work that was taken is said to be done")
	}
	j.took = 2 * time.Minute
	start()
	if j.await(time.Minute) {
		t.Error("work is awaited although the one before took longer")
	}
	<-told
	taken()
}

// A turn's run is there in the Update of the turn; any other rehearsal is not waited for.
func TestTheRunOfATurnIsAwaited(t *testing.T) {
	d, _ := inFile(t, text(300))
	d.Rehearse()
	if d.AwaitTurn(time.Minute) {
		t.Error("a rehearsal is awaited that is no turn's")
	}
	finish(t, d)
	before := d.Now
	hold(t, d, "300")
	d.Try("400")
	if !d.Turns() || !d.AwaitTurn(time.Minute) || !d.Poll() || d.Now == before || d.Turns() {
		t.Errorf("the turn's run is not there: %q", d.Notice.Text)
	}
}

// Whoever looks only when told sees the end of a study.
func TestAStudyTellsOfItsEnd(t *testing.T) {
	d, _ := inFile(t, text(300))
	told := make(chan bool, 1000)
	d.Tells(func() { told <- true })
	d.Begin(Ask{Kind: results.Trials, Count: 20})
	for d.StudyRuns() {
		select {
		case <-told:
			d.Poll()
		case <-time.After(time.Minute):
			t.Fatal("nothing is told")
		}
	}
	if d.Study().Seen.File == nil || len(d.Study().Seen.File.Results) != 20 {
		t.Error("the study is not whole")
	}
}
