package viewmodel

import (
	"fmt"
	"io"
	"path/filepath"

	"chalkfield/internal/app/lesson"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/atomicfile"
)

// courseOpen is the course that is open with its answer's files; nil: there is none.
func (d *Model) courseOpen() *lesson.Lesson {
	if l := d.learning.open; l != nil && l.Kind == lesson.Drive && d.answers(d.Files) {
		return l
	}
	return nil
}

// DrivesCourse reports whether a course is open, which a drive is then of.
func (d *Model) DrivesCourse() bool { return d.courseOpen() != nil }

// CourseSession is the session in which the course that is open is driven.
func (d *Model) CourseSession() string {
	if s := d.Setup.Session; s != "" {
		return s
	}
	if sessions := d.DriverSessions(); len(sessions) > 0 {
		return sessions[0].Name
	}
	return ""
}

// Course is how the course that is open stands: the drive under way, else the last one.
func (d *Model) Course() (driven lesson.Driven, any bool) {
	if d.drive != nil && d.drive.watch != nil {
		return d.drive.watch.Driven(d.drive.run.Record), true
	}
	return d.learning.driven, d.learning.drove
}

// tookCourse judges a drive of a course that has ended, and keeps what it reached.
func (d *Model) tookCourse(drive *driving) {
	l, p, s := d.learning.open, d.learning.page, d.learning.school
	run := drive.run
	driven := drive.watch.Driven(run.Record)
	d.learning.driven, d.learning.drove = driven, true
	marks, err := l.JudgeDrive(run.Record, driven, d.Units)
	if err != nil {
		p.Fault = err.Error()
		d.turnedPage()
		return
	}
	d.tick(l.StepsDone(run.Record, marks.Passed), marks.Passed)
	p.Marks, p.Judged, p.Fault, p.Passed, p.Reached = marks.List, true, "", marks.Passed, marks.Stars
	best, err := s.Progress.Drove(l, driven, marks, p.Ticked)
	if best && err == nil {
		err = drive.pad.tape.save(s.Desk.Answer(l))
	}
	d.learning.best = best
	if !d.Notice.Bad {
		d.Say(lesson.Say("course_said"))
	}
	d.noteKept(err)
}

// CourseBest reports whether the last drive was the best of its course.
func (d *Model) CourseBest() bool { return d.learning.best }

// CourseGhost is the last drive as the ghost of later ones.
func (d *Model) CourseGhost() *Ghost {
	g := &Ghost{Seconds: d.learning.driven.Seconds}
	g.follow(d.Driven.Record)
	return g
}

// CourseGhostName is the file of the best drive's ghost.
func (d *Model) CourseGhostName() string { return d.learning.open.Hash[:24] + ".json" }

// save writes what a pad gave as `--pad` reads it: a row whenever it was another.
func (t tape) save(path string) error {
	write := func(out io.Writer) error { return rehearse.WriteInputScript(out, t.all) }
	if err := atomicfile.Write(path, write); err != nil {
		return fmt.Errorf("%s: the drive was not written: %w", filepath.ToSlash(path), atomicfile.Cause(err))
	}
	return nil
}
