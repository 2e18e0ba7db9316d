package viewmodel

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/history"
)

// Called is the window's title: the file that is open.
func (d *Model) Called() string {
	if path := cmp.Or(d.Files.Record, d.Text.Path, d.Files.Routine, d.Text.Name); path != "" {
		return filepath.Base(path) + " - Chalkfield"
	}
	return "Chalkfield"
}

// Folder is where files are written that the window makes: beside the routine, else where the program was started.
func (d *Model) Folder() string { return filepath.Dir(d.Files.Routine) }

// LitLines are the lines at which the tasks stand, as long as the text shown is the one that ran.
func (d *Model) LitLines() []int {
	if d.Now == nil || !d.ran(d.Now, d.Source()) {
		return nil
	}
	if module := d.Source().Module; module != "" {
		return d.litIn(module)
	}
	if robots := d.Now.Record.Header.Robots; len(robots) > 0 && robots[0].Outside {
		if file, _, _ := d.Now.Record.Standing(0, d.Time); file != d.Source().Name { // a program tells its lines itself
			return nil
		}
	}
	return d.Now.LitLines(0, d.Time)
}

// litIn are the lines of a file that the routine requires at which its tasks stand, or in what it called, by number of
// the task; nil where none does, or it is not known.
func (d *Model) litIn(module string) []int {
	h := d.History(0)
	if h == nil {
		return nil
	}
	var lit []int
	moment, _ := h.At(d.Time)
	for _, task := range moment.Tasks {
		at := slices.IndexFunc(task.Frames, func(f *history.Frame) bool { return f.File == module })
		if at < 0 {
			continue
		}
		for len(lit) <= task.Number {
			lit = append(lit, 0)
		}
		lit[task.Number] = task.Frames[at].Line
	}
	return lit
}

// LineNow is the line at which the main task stands, or with which it will begin; 0: there is none.
func (d *Model) LineNow() int {
	if lit := d.LitLines(); len(lit) > 0 && lit[0] > 0 {
		return lit[0]
	}
	if d.Now == nil || !d.Now.Source.Same(d.Source()) {
		return 0
	}
	return d.Now.FirstLine(0)
}

// PhaseWords tell the phase of this moment and what is left of it.
func (d *Model) PhaseWords() string {
	name, left := d.PhaseLeft()
	if name == "" {
		return ""
	}
	return fmt.Sprintf("%s, %.1f s left", name, left)
}

// PhaseLeft is the phase of this moment and what is left of it, s; "" before the first.
func (d *Model) PhaseLeft() (name string, left float64) {
	phase, since, ok := d.Now.Phase(d.Time)
	if !ok {
		return "", 0
	}
	return phase.Name, math.Max(0, phase.Seconds-since)
}

// Stock is what the first robot has of battery and air now, and what it had at the start; false where there is no
// robot.
func (d *Model) Stock() (now, first *record.RobotSample, ok bool) {
	if d.Now == nil {
		return nil, nil, false
	}
	now, ok = d.Now.Index.Robot(0, max(d.Now.Index.At(d.Time), 0))
	if !ok {
		return nil, nil, false
	}
	first, ok = d.Now.Index.Robot(0, 0)
	return now, first, ok
}

// RobotPose is where the robot that is spoken of stands.
func (d *Model) RobotPose() (geom.Pose, bool) {
	if d.Now == nil {
		return geom.Pose{}, false
	}
	return d.Now.PoseOf(Thing{RobotThing, d.Robot}, d.Time)
}

// ShowsBefore reports whether the run before, or the one beside, is drawn, pale.
func (d *Model) ShowsBefore() bool {
	run, _ := d.Compares()
	return run != nil && d.Pale && !d.Driving()
}
