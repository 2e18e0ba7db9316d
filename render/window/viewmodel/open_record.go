package viewmodel

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
)

// openRecord shows a record on the field that it was made on, and reports whether it could. Its routine, where it is found, is
// open from then on.
func (d *Model) openRecord(path string) bool {
	d.Saved = false
	rec, err := readRecord(path)
	if err != nil {
		d.fail(err)
		return false
	}
	origin, err := rehearse.Trace(path, rec)
	if d.onField(rec.Header.Field) {
		origin.Field, err = d.Setup.Field, nil
	}
	if err != nil {
		d.fail(fmt.Errorf("%s: %w. Put it there, or open it first", filepath.Base(path), err))
		return false
	}
	d.EndDrive()
	d.job.cancel()
	source, after := d.adopt(path, rec, origin)
	d.Show(NewRun(origin.Setup(), rec, source))
	if d.Fault == nil {
		d.Say("Shows the record " + filepath.Base(path) + ". " + after)
	}
	return true
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

// onField reports whether a file is the field of the files that are open.
func (d *Model) onField(file record.File) bool {
	return d.Setup.Field != nil && d.Setup.Field.SHA256 == file.SHA256
}

// adopt opens the files that made a record, as far as they are found. It gives the text whose lines the record speaks of,
// empty if that is not there, and says what R does now.
func (d *Model) adopt(path string, rec *record.Record, origin rehearse.Origin) (source Source, after string) {
	if loaded, files, ok := d.behind(rec, origin); ok {
		d.replace(files)
		d.Setup, d.Text, d.Watch = loaded.Setup, loaded.Source, loaded.Watch
		if origin.RoutineChanged {
			return Source{}, "R rehearses its routine, which has changed since."
		}
		return loaded.Source, "R rehearses its routine."
	}
	if d.onField(rec.Header.Field) && d.Files.Record == "" {
		return Source{}, "R rehearses the routine that is open."
	}
	d.replace(Files{Record: path})
	d.Setup, d.Text, d.Watch = origin.Setup(), Source{}, []string{path}
	d.Setup.Entrants = d.Setup.Entrants[:min(len(d.Setup.Entrants), 1)] // the others' routines are not known
	if len(d.Setup.Entrants) > 0 && len(rec.Samples) > 0 && len(rec.Samples[0].Robots) > 0 {
		start := rec.Samples[0].Robots[0].Belief.Geom() // at first it believes to be where it was to stand
		d.Setup.Entrants[0].Start = &start
	}
	return Source{}, "Its routine is neither embedded nor beside it: O opens another."
}

// behind loads the files that made a record.
func (d *Model) behind(rec *record.Record, origin rehearse.Origin) (Loaded, Files, bool) {
	if origin.RoutinePlace == "" {
		return Loaded{}, Files{}, false
	}
	files := Files{Routine: origin.RoutinePlace, Robot: origin.RobotPlace, Field: origin.FieldPlace, Session: rec.Header.Session}
	if origin.FieldPlace == "" {
		files.Field = d.Files.Field // it is the field that is open
	}
	loaded, err := d.load(files)
	return loaded, files, err == nil && loaded.Setup.Field.SHA256 == rec.Header.Field.SHA256
}
