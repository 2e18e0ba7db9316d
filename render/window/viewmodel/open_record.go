package viewmodel

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
)

// openRecord shows a record with the files that it was made from, and reports whether it could.
func (d *Model) openRecord(path string) bool {
	d.Saved = false
	rec, err := readRecord(path)
	if err != nil {
		d.fail(err)
		return false
	}
	setup, err := rehearse.SetupOf(rec)
	if err != nil {
		d.fail(fmt.Errorf("%s: %w", filepath.Base(path), err))
		return false
	}
	d.EndDrive()
	d.job.cancel()
	d.replace(Files{Record: path})
	d.Setup, d.Text, d.Watch = setup, sourceOf(rec), []string{path}
	d.Show(NewRun(setup, rec, d.Text))
	if d.Fault == nil {
		d.Say("Shows the record " + filepath.Base(path) + ". " + again(rec) + ".")
	}
	return true
}

// again says how what is in a record can be rehearsed. A program is not started by a record of it.
func again(rec *record.Record) string {
	for _, robot := range rec.Header.Robots {
		if robot.Outside {
			return "A program commanded it, " + wording.Visible(robot.Routine.Name) + ": R asks whether to start that"
		}
	}
	return "R rehearses what is in it" + withoutDriver(rec)
}

// withoutDriver says what rehearsing a record again leaves out: a driver's sticks are not in it.
func withoutDriver(rec *record.Record) string {
	for _, e := range rec.Events {
		if e.Kind == record.TaskStart && e.What == "driver" {
			return ", but nobody drives then: the sticks are not in a record"
		}
	}
	return ""
}

// sourceOf is the text of the first robot's routine.
func sourceOf(rec *record.Record) Source {
	if len(rec.Header.Robots) == 0 || rec.Header.Robots[0].Routine.SHA256 == "" {
		return Source{}
	}
	routine := rec.Header.Robots[0].Routine
	return SourceOf(routine.Name, "", rec.Text(routine))
}

func readRecord(path string) (*record.Record, error) {
	file, err := atomicfile.Open(path, atomicfile.Record)
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("%s: no such file", path)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
	}
	defer file.Close()
	return record.Read(path, file)
}
