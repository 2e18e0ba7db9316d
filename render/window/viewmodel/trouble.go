package viewmodel

import (
	"fmt"

	"chalkfield/internal/base/record"
)

// Failures are the errors of a robot's routine, in order of time: each phase has one at most.
func (r *Run) Failures(robot int) []record.Event {
	var list []record.Event
	for _, e := range r.Record.Events {
		if e.Kind == record.Failure && e.Robot == robot {
			list = append(list, e)
		}
	}
	return list
}

// faultOfEvent is a routine's error as the model's fault.
func faultOfEvent(e record.Event) *Fault {
	return &Fault{File: e.File, Line: e.Line, Text: e.Message()}
}

// FailureWords says which function of the routine failed, where and why: "The driver function failed at line 32 of
// mine.lua: boom".
func FailureWords(e record.Event) string {
	if e.Line == 0 {
		return fmt.Sprintf("%s failed: %s", failing(e), e.Text)
	}
	return fmt.Sprintf("%s failed at line %d of %s: %s", failing(e), e.Line, e.File, e.Text)
}

// failing is the task that failed as the beginning of a sentence.
func failing(e record.Event) string {
	switch {
	case e.What == "auto" || e.What == "driver":
		return "The " + e.What + " function"
	case e.Macro != "":
		return "The macro of button " + e.Macro
	}
	return "A task"
}

// hearDrive tells at once what has gone wrong in a drive since it was last asked: the routine's error, or a driver
// function that is over, for either leaves the sticks without effect.
func (d *Model) hearDrive() {
	events := d.drive.run.Record.Events
	for _, e := range events[d.drive.heard:] {
		switch {
		case e.Robot != 0:
		case e.Kind == record.Failure:
			d.Fault = faultOfEvent(e)
			d.Warn(d.Fault.Short() + "\nThe robot stands until the phase ends. Esc ends the drive.")
		case e.Kind == record.TaskEnd && e.What == "driver" && e.Reason == record.Finished && !d.drive.hand:
			d.Warn("Your driver function has come to its end: nothing reads the sticks any more, " +
				"only macros (pad:bind) still answer. A loop with wait() in it keeps reading them.")
		}
	}
	d.drive.heard = len(events)
}

// tellDriven says how a drive ended, with the routine's error if it had one.
func (d *Model) tellDriven() {
	words := fmt.Sprintf("Drove %.1f s. D offers this drive again, R rehearses the routine.", d.End)
	if failed := d.Driven.Failures(0); len(failed) > 0 {
		d.Warn(faultOfEvent(failed[len(failed)-1]).Short() + "\n" + words)
		return
	}
	d.Say(words)
}

// tellUndriven says that there is no drive to keep, and what went wrong as it was prepared.
func (d *Model) tellUndriven(run *Run) {
	if failed := run.Failures(0); len(failed) > 0 {
		d.Warn(faultOfEvent(failed[0]).Short() + "\nNothing was driven.")
		return
	}
	d.Say("Nothing was driven.")
}

// faultOfDriven is the last drive's error, with its line as long as the text on the page is the one that was driven.
func (d *Model) faultOfDriven() *Fault {
	failed := d.Driven.Failures(0)
	if len(failed) == 0 {
		return nil
	}
	fault := faultOfEvent(failed[len(failed)-1])
	if len(d.Text.Lines) > 0 && !d.Driven.Source.Same(d.Text) {
		fault.Line = 0
	}
	return fault
}
