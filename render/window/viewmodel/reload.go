package viewmodel

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
)

// Reload reads the files again and rehearses. A file with an error becomes the model's Fault; the last run stays.
func (d *Model) Reload() {
	d.EndDrive()
	switch {
	case d.Files.Record != "":
		d.openRecord(d.Files.Record)
	case d.Read():
		d.Rehearse()
	}
}

// Later notes that files were saved, which are not to be read yet.
func (d *Model) Later() { d.Saved = true }

// Read reads the files again and rehearses nothing. It reports whether they could be read.
func (d *Model) Read() bool {
	d.Saved = false
	if d.Files.Record != "" {
		return true // nothing of what made it is there to be read
	}
	files := d.Files
	files.Chosen = d.chosen
	loaded, err := d.loaded(files)
	d.Watch, d.Text = loaded.Watch, loaded.Source
	if err == nil {
		d.Setup, d.Log, d.Setpoints, d.Other = loaded.Setup, loaded.Log, loaded.Setpoints, loaded.Other
	}
	d.readModules()
	d.carry()
	if err != nil {
		d.job.cancel()
		d.fail(err)
		return false
	}
	d.name, d.replay = loaded.Name, loaded.Replay
	if d.chosen != nil {
		d.Setup = d.chosen.draws(d.Setup)
	}
	d.noteVersion()
	d.readLaid()
	return true
}

// fail keeps an error as the fault. One of the routine stands at its line in the notebook; any other is told whole.
func (d *Model) fail(err error) {
	d.Fault = FaultOf(err)
	d.showFaulty()
	if d.Fault.In(d.Source().Name) {
		d.Warn(d.Fault.Short())
	} else {
		d.Warn(d.Fault.Text)
	}
}

// Rehearse runs the files as last read, with what is arranged, in the background. Poll shows the run when it is there.
func (d *Model) Rehearse() { d.turn(turns{}) }

// turn does, as a turn of a value or as none. A turn that comes while the one before it is rehearsed waits for that,
// so that there is something to see of a long one; only the last that waits is rehearsed.
func (d *Model) turn(t turns) {
	d.EndDrive()
	if d.Setup.Field == nil {
		return
	}
	if !d.hasRoutine() {
		if commands := d.Unstarted(); len(commands) > 0 {
			d.Warn("Nothing commands the robot: R asks whether to start " + wording.Visible(commands[0]) + ".")
		} else {
			d.Warn("There is no routine to rehearse: O opens one.")
		}
		return
	}
	same := t.of != "" && t.of == d.turns.of
	d.turns = t
	if _, busy := d.Busy(); busy && same {
		d.job.waits = true
		return
	}
	d.begin()
}

// begin starts the rehearsal of what counts now.
func (d *Model) begin() {
	d.rehearse(func(*rehearse.Setup) (map[int]*scripting.Program, error) { return nil, nil })
}

// rehearse does it in the background, when what is needed first is started.
func (d *Model) rehearse(begin func(*rehearse.Setup) (map[int]*scripting.Program, error)) {
	setup, source, arranged, trial := d.arranged.Apply(d.Setup), d.Text, d.arranged, d.trial
	log, table, other := d.Log, d.Setpoints, d.beside()
	if trial != nil {
		source = trial.source
	}
	d.job.start(func(ctx context.Context, tell func(float64)) result {
		setup, err := trial.with(setup)
		var started map[int]*scripting.Program
		if err == nil {
			started, err = begin(&setup)
		}
		var rec *record.Record
		if err == nil {
			rec, err = rehearseWhole(ctx, setup, tell)
		}
		if err != nil {
			return result{setup: setup, arranged: arranged, trial: trial, err: err}
		}
		run := NewRun(setup, rec, source)
		run.Real, run.Setpoints = log.beside(run), table.beside(run)
		if run.Other, err = other.beside(ctx, run); err != nil {
			return result{setup: setup, arranged: arranged, trial: trial, err: err}
		}
		return result{setup: setup, arranged: arranged, run: run, started: started}
	})
}

// hasRoutine reports whether there is something to rehearse; a record may be shown without its routine.
func (d *Model) hasRoutine() bool {
	return len(d.Setup.Entrants) > 0 && d.Setup.Entrants[0].Routine != nil
}

// Poll takes a finished rehearsal from the background and shows it. It reports whether anything changed.
func (d *Model) Poll() bool {
	news := d.pollStudy()
	news = d.pollSearch() || news
	news = d.pollGains() || news
	news = d.pollLesson() || news
	r, ok := d.job.poll()
	if !ok {
		return news
	}
	if d.job.waits {
		d.begin()
		if r.err != nil {
			return true // of a step on the way
		}
	}
	if r.err != nil {
		d.refuse(r)
		return true
	}
	if failed := r.run.Failures(0); len(failed) > 0 && d.trial != nil && d.trial.typed {
		d.trial.fails = errors.New(failed[0].Message())
		return true
	}
	d.tried = r.arranged
	d.keep(r.started)
	d.Show(r.run)
	d.judge(r.run)
	return true
}

// AwaitTurn waits for the run of a turn that has just begun, so long at most: what is drawn before it would take the
// processor from it, and be drawn again. It reports whether the run is there.
func (d *Model) AwaitTurn(most time.Duration) bool {
	return d.turns.of != "" && d.job.await(most)
}

// Turns reports whether what is rehearsed came of a turn of a value or a number: its run comes soon.
func (d *Model) Turns() bool { return d.job.running && d.turns.of != "" }

// refuse tells why there is no run. What was moved to where it cannot stand goes back; files are not touched.
func (d *Model) refuse(r result) {
	if r.trial != nil {
		if d.trial == r.trial {
			d.trial.refused = r.err // told beside what is in hand
		}
		return
	}
	if len(d.undo) == 0 || d.undo[len(d.undo)-1].written != nil || r.arranged.same(d.tried) {
		d.fail(r.err)
		return
	}
	last := len(d.undo) - 1
	d.arranged, d.undo = d.undo[last].arranged, d.undo[:last]
	var start *rehearse.StartError
	if errors.As(r.err, &start) { // the routine's own start may be right
		d.Warn(fmt.Sprintf("Not moved: %v there.", start.Why))
		return
	}
	d.Warn("Not changed: " + FaultOf(r.err).Short() + ".")
}

// Show puts a run into the model; the run that was there becomes the pale one. The time position stays.
func (d *Model) Show(run *Run) {
	first, opened, wrote := d.Now == nil, d.opened, d.wrote
	d.putAside()
	switch {
	case opened != "":
		d.rehearsed = nil // of other files: nothing to compare with
	case d.turns.of != "":
		d.rehearsed = d.turns.from
	}
	if d.Now != nil && d.Now != run {
		d.Now.Kept = nil // it may be large, and is found again
	}
	d.Before, d.Now, d.Fault, d.opened, d.wrote = d.rehearsed, run, nil, "", ""
	if d.first == nil {
		d.first = run
	}
	d.Runs++
	d.End = run.Index.End()
	d.Seek(d.Time)
	if d.added.line > 0 && run.Source.Text == d.added.text && d.added.time < 0 {
		if t, ok := run.leaves(0, d.added.line); ok {
			d.Seek(t)
		}
		d.added.time = d.Time
	}
	if d.Robot >= len(run.Record.Header.Robots) {
		d.Robot = 0
	}
	d.Selected = run.kept(d.Selected)
	switch failed := run.Failures(0); {
	case len(failed) > 0:
		d.Fault = faultOfEvent(failed[0])
		d.showFaulty()
		d.Warn(d.Fault.Short())
	case first:
		d.Say("Space plays and stops, the mouse asks what a thing is, F1 lists every key.")
	case opened != "":
		d.Say("Opened " + opened + d.seedWords() + ".")
	case wrote != "":
		d.Say(wrote)
	case run.Other != nil:
		if difference, ok := Compare(run, run.Other.Run); ok {
			d.Say(fmt.Sprintf("Beside %s: %s; %s.", run.Other.Name, difference, run.Other.PartsWords(d.Units)))
		}
	default:
		if difference, ok := Compare(d.Now, d.Before); ok {
			d.Say(Exchanged(d.Now, d.Before) + "Rehearsed again: " + difference.String() + ".")
		}
	}
	d.tellReal()
}

// kept is the thing itself as far as this run has it too.
func (r *Run) kept(thing Thing) Thing {
	switch {
	case thing.Kind == RobotThing && thing.Index < len(r.Record.Header.Robots):
		return thing
	case (thing.Kind == PieceThing || thing.Kind == GoalThing) && thing.Index < len(r.Record.Header.Bodies):
		return thing
	}
	return Nothing
}

// Open takes a file that a person dropped or chose: a routine, robot, field or record. It reports whether the file is
// worth finding again: a routine, robot or field with a mistake is, because it can be put right; a record that cannot
// be shown is not.
func (d *Model) Open(path string) bool {
	d.Follows = true
	switch strings.ToLower(filepath.Ext(path)) {
	case ".lua":
		d.Exchange(Files{Routine: path, Robot: d.Files.Robot, Field: d.Files.Field, Session: d.Files.Session})
	case ".toml":
		return d.openTOML(path)
	case ".jsonl":
		return d.openRecord(path)
	default:
		d.Warn(fmt.Sprintf("%s: not opened: the window reads routines (.lua), robots and fields (.toml) and "+
			"records (.jsonl).", filepath.Base(path)))
		return false
	}
	return true
}

// openTOML tells a robot from a field by its tables: only a robot has a chassis.
func (d *Model) openTOML(path string) bool {
	if strings.HasSuffix(path, check.Suffix) {
		d.Warn(fmt.Sprintf("%s is a check file: `chalkfield check %s` holds a routine to it.", filepath.Base(path), path))
		return false
	}
	data, err := tomlfile.ReadFile(path)
	if err != nil {
		d.Warn(err.Error())
		return false
	}
	if strings.Contains(string(data), "[chassis]") {
		d.OpenRobot(path)
	} else {
		d.OpenField(path)
	}
	return true
}

// OpenRobot rehearses with another robot: a file or an embedded one.
func (d *Model) OpenRobot(robot string) {
	d.Exchange(Files{Routine: d.Files.Routine, Robot: robot, Field: d.Files.Field, Session: d.Files.Session})
}

// OpenField rehearses on another field: a file or an embedded one.
func (d *Model) OpenField(field string) {
	d.Exchange(Files{Routine: d.Files.Routine, Robot: d.Files.Robot, Field: field})
}

// Exchange opens other files.
func (d *Model) Exchange(files Files) {
	d.EndDrive()
	d.Follows = true
	same := files == d.Files
	if d.replace(files); same {
		d.opened = called(files.Routine, "the demo's routine") + " again"
	}
	d.Reload()
}

// seedWords tell of a seed that was chosen for what was open before, and counts still.
func (d *Model) seedWords() string {
	if d.chosen == nil || d.chosen.Nominal || d.chosen.Seed == usualSeed {
		return ""
	}
	return fmt.Sprintf(", seed %d as chosen before (J chooses another)", d.chosen.Seed)
}

const usualSeed = 1 // of the command line where none is given

// Continue opens a copy of the routine with what is tried of it: the moment shown, the page and what it is compared
// with stay.
func (d *Model) Continue(files Files) {
	t, playing, follows, before := d.Time, d.Playing, d.Follows, d.lastGood()
	if d.trial != nil {
		before = d.turns.from
	}
	versions, writes, first, search := d.versions, d.writes, d.first, d.search
	d.replace(files)
	d.Time, d.Playing, d.Follows = t, playing, follows
	d.versions, d.writes, d.first, d.search = versions, writes, first, search
	if d.trial = nil; d.Read() {
		d.turn(turns{of: files.Routine, from: before, kept: true})
	}
	d.opened, d.wrote = "", "Wrote "+called(files.Routine, "")+", which is open now: later changes go into it."
}

// OpenDraft exchanges the routine for the draft of a drive, in a session in which it drives by itself.
func (d *Model) OpenDraft(files Files) {
	if f := d.Setup.Field; f != nil && !d.BeginsAlone(files.Session) {
		for _, s := range f.Sessions {
			if d.BeginsAlone(s.Name) {
				files.Session = s.Name
				break
			}
		}
	}
	d.Exchange(files)
	d.opened = files.Routine + ", the draft of the drive. D offers the drive again"
}

// replace names other files. What was arranged belongs to the old ones.
func (d *Model) replace(files Files) {
	d.trial = nil
	other := files.Record != d.Files.Record
	if other || files.Field != d.Files.Field {
		d.opened = called(files.Field, "the demo's field")
		d.arranged, d.undo, d.redo = Arrangement{}, nil, nil
	}
	if other || files.Routine != d.Files.Routine {
		d.opened = called(files.Routine, "the demo's routine")
		d.modules, d.module = nil, ""
		d.arranged.Start, d.arranged.Params = nil, nil
		d.undo, d.redo = nil, nil
		d.Time, d.Playing = 0, true
		d.versions, d.writes, d.laid, d.laidFile = nil, 0, nil, ""
		d.first = nil
		d.StopSearch()
		d.search = nil
	}
	d.Files = files
}

// called is a file's name, or what stands in its place where none is given.
func called(path, otherwise string) string {
	if path == "" {
		return otherwise
	}
	return filepath.Base(path)
}
