package command

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/build"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
	"chalkfield/render/window"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

type openCommand struct {
	inputs
	logFlags
	Setpoints  string  `help:"Lay a table of setpoints (.csv, .json) over it: where was the robot to be?" placeholder:"FILE"`
	Beside     string  `help:"Show another run beside it on the field: a routine (.lua) or a record (.jsonl)." placeholder:"FILE"`
	BesideSeed *uint64 `help:"Show the run of another seed beside it." name:"beside-seed" placeholder:"N"`
	Drive      bool    `help:"Begin with a drive, of --session or the first that somebody drives."`
	DrivePhase bool    `help:"Begin with a drive where you drive: what comes before in the session runs at once." name:"drive-phase"`
	Build      string  `help:"Build a field or robot: draw and drag what is in this file, and type its values." placeholder:"FILE"`
	StateFile  string  `help:"Write the window's state to this file at every update (for tests)." name:"state-file" hidden:"" type:"path"`
}

// Help is shown under the flags.
func (openCommand) Help() string {
	return `Examples:
  chalkfield                                  the demo, running
  chalkfield open mine.lua                    your routine; saving the file rehearses it again
  chalkfield open mine.lua --robot robot.toml --field field.toml
  chalkfield open mine.lua --opponent other.lua --session match
  chalkfield open mine.lua --log run.csv      with the real robot's run beside it, from its log
  chalkfield open mine.lua --setpoints plan.csv --log run.csv   plan, rehearsal and real run over each other
  chalkfield open mine.lua --beside old.lua   two routines at the same time: when do they part?
  chalkfield open mine.lua --beside-seed 6    what seed 6 does otherwise
  chalkfield open --program "python3 bot.py"  a program of your own instead of a routine
  chalkfield open mine.lua --drive            drive it yourself
  chalkfield open mine.lua --drive-phase --session match   the match from the driver phase on
  chalkfield open out.jsonl                   a record: what was rehearsed then
  chalkfield open --build my_game/field.toml  make the field itself (a new one: chalkfield new my_game --field)
  chalkfield open --build my_project/robot.toml   make the robot: outline, wheels, parts, sensors

In the window: Space plays and stops, F1 lists every key, a file dropped on it opens.`
}

// Run shows the window until it is closed.
func (c openCommand) Run(ctx context.Context, s streams) error {
	files := c.files()
	if strings.HasSuffix(c.Routine, ".jsonl") {
		if !c.bare() || c.logFlags != (logFlags{}) || c.Setpoints != "" || c.Beside != "" || c.BesideSeed != nil || c.Drive ||
			c.DrivePhase {
			return fmt.Errorf("%s is a record, which shows what was rehearsed then: leave the flags away", c.Routine)
		}
		files = viewmodel.Files{Record: c.Routine}
	}
	if c.Build != "" {
		if _, err := build.Begin(c.Build, nil); err != nil {
			return err
		}
	}
	if _, _, err := c.logFlags.read(); err != nil {
		return err
	}
	if _, err := c.readSetpoints(); err != nil {
		return err
	}
	if c.Beside != "" || c.BesideSeed != nil {
		if _, err := c.other(); err != nil {
			return err
		}
	}
	return window.Open(ctx, window.Options{Files: files, Load: c.loadFor, Start: c.start, Named: c.Program, Out: s.out,
		Err: s.err, Drive: c.drive(), Build: c.Build, Dump: c.StateFile, Units: s.units})
}

// drive is how the window begins.
func (c openCommand) drive() window.Drive {
	switch {
	case c.DrivePhase:
		return window.PhaseDrive
	case c.Drive:
		return window.WholeDrive
	}
	return window.NoDrive
}

// files are what the command line names.
func (c openCommand) files() viewmodel.Files {
	return viewmodel.Files{Routine: c.Routine, Robot: c.Robot, Field: c.Field, Session: c.Session,
		Chosen: &viewmodel.Choices{Seed: c.Seed, Nominal: c.Nominal, Side: c.Side, Partner: c.Partner,
			Opponents: c.Opponent}}
}

// start starts a program that a record names, and that the person at the window agreed to.
func (c openCommand) start(command string, f *fields.Field, r *robot.Robot) (*scripting.Program, error) {
	in := c.inputs
	in.Program, in.Routine, in.begins = command, "", true
	return in.loadProgram(f, r)
}

// loadFor reads what the command line names, with the files that the person at the window has exchanged.
func (c openCommand) loadFor(files viewmodel.Files) (viewmodel.Loaded, error) {
	in := c.inputs
	in.begins = true // the last good run stays
	in.Routine, in.Robot, in.Field, in.Session = files.Routine, files.Robot, files.Field, files.Session
	if in.Routine != "" {
		in.Program = "" // a routine was opened in its place
	}
	if chosen := files.Chosen; chosen != nil {
		in.Seed, in.Nominal, in.Side = chosen.Seed, chosen.Nominal, chosen.Side
		in.Partner, in.Opponent = chosen.Partner, chosen.Opponents
	}
	loaded := viewmodel.Loaded{Watch: in.diskFiles()}
	if loaded.Source = sourceOf(in.Routine); in.Program != "" {
		loaded.Source = in.programText()
	}
	candidate, err := in.candidate()
	loaded.Setup, loaded.Name, loaded.Replay = candidate.Setup, candidate.Name, candidate.Replay
	if err == nil && files.Routine == c.Routine { // log and table are of that routine
		err = c.loadBeside(&loaded)
	}
	return loaded, err
}

func (c openCommand) loadBeside(to *viewmodel.Loaded) error {
	if c.Log != "" {
		to.Watch = append(to.Watch, c.Log)
		log, laid, err := c.logFlags.read()
		if err != nil {
			return err
		}
		to.Log = &viewmodel.Log{File: log, Options: laid}
	}
	if c.Beside != "" || c.BesideSeed != nil {
		other, err := c.other()
		if err != nil {
			return err
		}
		to.Other = other
		if c.Beside != "" {
			to.Watch = append(to.Watch, c.Beside)
		}
	}
	if c.Setpoints == "" {
		return nil
	}
	to.Watch = append(to.Watch, c.Setpoints)
	table, err := c.readSetpoints()
	to.Setpoints = &viewmodel.Setpoints{Name: filepath.Base(c.Setpoints), Table: table}
	return err
}

// other reads what is run beside.
func (c openCommand) other() (*viewmodel.Other, error) {
	if c.Beside == "" {
		return &viewmodel.Other{Name: fmt.Sprintf("seed %d", *c.BesideSeed), Seed: c.BesideSeed}, nil
	}
	o := &viewmodel.Other{Name: filepath.Base(c.Beside), Seed: c.BesideSeed}
	var err error
	if strings.EqualFold(filepath.Ext(c.Beside), ".jsonl") {
		if c.BesideSeed != nil {
			return nil, fmt.Errorf("--beside %s is a record, which has its seed: leave --beside-seed away", c.Beside)
		}
		o.Record, err = c.otherRecord()
		return o, err
	}
	o.Routine, err = loadRoutine(c.Beside, "")
	if o.Seed != nil {
		o.Name += fmt.Sprintf(", seed %d", *o.Seed)
	}
	return o, err
}

// otherRecord reads a record of the same field.
func (c openCommand) otherRecord() (*record.Record, error) {
	rec, err := loadRecord(c.Beside)
	if err != nil {
		return nil, err
	}
	field, err := c.inputs.field()
	if err != nil {
		return nil, err
	}
	switch {
	case rec.Header.Field.SHA256 != field.SHA256:
		return nil, fmt.Errorf("--beside %s: is of another field, %s: two runs are laid on one", c.Beside,
			rec.Header.Field.Called())
	case len(rec.Header.Robots) == 0 || len(rec.Samples) == 0:
		return nil, fmt.Errorf("--beside %s: has no robot's run", c.Beside)
	}
	return rec, nil
}

// readSetpoints reads the table; nil without one.
func (c openCommand) readSetpoints() (*setpoints.Table, error) {
	if c.Setpoints == "" {
		return nil, nil
	}
	return readPlan(c.Setpoints)
}

// sourceOf is the routine's text, as far as it can be read.
func sourceOf(routine string) viewmodel.Source {
	if strings.HasSuffix(routine, ".lua") {
		text, err := atomicfile.Read(routine, atomicfile.Routine)
		if err != nil {
			return viewmodel.Source{Name: filepath.Base(routine), Path: routine}
		}
		return viewmodel.SourceOf(filepath.Base(routine), routine, string(text))
	}
	if routine == "" {
		routine = demoRoutine
	}
	text, err := fs.ReadFile(assets.Routines, routine+".lua")
	if err != nil {
		return viewmodel.Source{}
	}
	return viewmodel.SourceOf(routine+".lua", "", string(text))
}

// diskFiles are the files of the person's own that a rehearsal is made from: the routine, the Lua files of its folder,
// robot and field beside it even before they are there, other robots' routines.
func (in inputs) diskFiles() []string {
	var list []string
	add := func(path string) {
		if _, err := os.Stat(path); path != "" && err == nil {
			list = append(list, path)
		}
	}
	list = append(list, in.programFiles()...)
	if strings.HasSuffix(in.Routine, ".lua") {
		list = append(list, in.Routine) // watched even while it is missing: an editor may be replacing it
		modules, err := filepath.Glob(filepath.Join(filepath.Dir(in.Routine), "*.lua"))
		if err == nil {
			for _, module := range modules {
				if filepath.Clean(module) != filepath.Clean(in.Routine) {
					add(module)
				}
			}
		}
	}
	addBeside := func(name, named string) {
		if named == "" && strings.HasSuffix(in.own(), ".lua") { // watched before it is there, too
			list = append(list, filepath.Join(filepath.Dir(in.own()), name))
			return
		}
		add(named)
	}
	addBeside("robot.toml", in.Robot)
	addBeside("field.toml", in.Field)
	add(in.Partner)
	for _, opponent := range in.Opponent {
		add(opponent)
	}
	return list
}
