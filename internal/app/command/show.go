package command

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/check"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
	"chalkfield/sim/robot"
)

type showCommand struct {
	Thing   string `arg:"" optional:"" help:"Field, robot, routine, record, log or table of setpoints: a .toml, .lua, .jsonl, .csv or .json file or an embedded name. Without it: the list of embedded ones."`
	Field   string `help:"Field on which a robot or routine is looked at. Default: field.toml beside it, else the one that is embedded for it." placeholder:"FILE"`
	Picture string `help:"Draw it (.png or .svg)." placeholder:"FILE"`
	Source  bool   `help:"Print the file itself, to copy from."`
	Calls   bool   `help:"List what a routine can call on a robot's mechanisms and sensors, a line each."`
	Columns string `help:"What a log's columns are, above its log.toml: \"left V=motor_a, heading deg=imu_z\"." placeholder:"LIST"`
	JSON    bool   `help:"Print what is in a log or a table of setpoints as JSON." name:"json"`
	showFlags
}

// Help is shown under the flags.
func (showCommand) Help() string {
	return `Examples:
  chalkfield show                                 what is embedded
  chalkfield show core_haul --picture field.png   the rules and the floor of a field
  chalkfield show robot.toml                      check a robot file and see what it can do
  chalkfield show robot.toml --field kiln_yard    what of it cannot work on that field
  chalkfield show robot.toml --calls              what a routine can do with its mechanisms and sensors
  chalkfield show hauler --source > robot.toml    start a robot of your own
  chalkfield show core_haul_demo --source         read an embedded routine
  chalkfield show out.jsonl --picture out.png     what happened in a rehearsal that was recorded
  chalkfield show out.jsonl --movie out.gif       the same as a movie, for those who have no Chalkfield
  chalkfield show program                         what a program of your own and Chalkfield say, as a JSON Schema
  chalkfield show plan.csv                        what a table of setpoints is, and what it cannot carry
  chalkfield show run.csv                         what is in a log of the real robot, and what is odd about it`
}

// Run tells what the file means, after it has been checked.
func (c showCommand) Run(ctx context.Context, s streams) error {
	if c.Thing == "" {
		fmt.Fprintf(s.out, "fields: %s\nrobots: %s\nroutines: %s\n", strings.Join(fields.Embedded(), ", "),
			strings.Join(robot.Embedded(), ", "), strings.Join(assets.RoutineNames(), ", "))
		return nil
	}
	if c.Thing == "program" {
		return s.copyOut(assets.Messages)
	}
	what, err := c.shown()
	if err == nil && c.Calls && what != aRobot {
		err = fmt.Errorf("%s: --calls is for a robot", c.Thing)
	}
	if err == nil && what != aLog && (c.Columns != "" || c.JSON && what != aPlan) {
		err = fmt.Errorf("%s: --columns and --json are for a log (.csv)", c.Thing)
	}
	if err == nil && what != aRecord && c.showFlags.asked() {
		err = fmt.Errorf("%s: a movie or replay shows a run: `chalkfield run mine.lua --replay out.html`, or a record "+
			"(.jsonl) of one", c.Thing)
	}
	if err = errors.Join(err, c.showFlags.dressed(c.Picture)); err != nil {
		return err
	}
	if c.Source {
		return c.printSource(s, what)
	}
	switch what {
	case aRobot:
		return c.showRobot(s)
	case aRoutine:
		return c.showRoutine(s)
	case aRecord:
		return c.showRecord(ctx, s)
	case aLog:
		return c.showLog(s)
	case aPlan:
		return c.showPlan(s)
	}
	return c.showField(s)
}

// shown is what a named thing is.
type shown int

const (
	aField shown = iota
	aRobot
	aRoutine
	aRecord
	aLog
	aPlan
)

// shown tells files apart by their ending and the two formats of .toml by their content.
func (c showCommand) shown() (shown, error) {
	if info, err := os.Stat(c.Thing); err == nil && info.IsDir() && !c.embedded() {
		return aField, fmt.Errorf("%s is a folder: name a .toml, .lua, .jsonl or .csv file, in it or elsewhere", c.Thing)
	}
	switch {
	case strings.HasSuffix(c.Thing, ".lua"), assets.HasRoutine(c.Thing):
		return aRoutine, nil
	case strings.HasSuffix(c.Thing, ".jsonl"):
		return aRecord, nil
	case isPlan(c.Thing):
		return aPlan, nil
	case strings.EqualFold(filepath.Ext(c.Thing), ".csv"):
		return aLog, nil
	case strings.HasSuffix(c.Thing, check.Suffix):
		return aField, fmt.Errorf("%s is a check file: `chalkfield check %s` holds a routine to it, with --list it "+
			"names the cases", c.Thing, c.Thing)
	case slices.Contains(robot.Embedded(), c.Thing):
		return aRobot, nil
	case slices.Contains(fields.Embedded(), c.Thing):
		return aField, nil
	case filepath.Base(c.Thing) == logfile.SettingsName:
		return aField, fmt.Errorf("%s says what is in the columns of the logs beside it: name one of these, a .csv file",
			c.Thing)
	case !strings.HasSuffix(c.Thing, ".toml"):
		known := slices.Concat(fields.Embedded(), robot.Embedded(), assets.RoutineNames())
		return aField, fmt.Errorf("%s: neither a .toml, .lua, .jsonl or .csv file nor embedded: %s", c.Thing,
			wording.Instead(c.Thing, known))
	}
	data, err := tomlfile.ReadFile(c.Thing)
	if err != nil {
		return aField, unreadable(c.Thing, err)
	}
	if robot.Likely(data) {
		return aRobot, nil
	}
	return aField, nil
}

// embedded reports whether the name is that of something in the program.
func (c showCommand) embedded() bool {
	return slices.Contains(slices.Concat(fields.Embedded(), robot.Embedded(), assets.RoutineNames()), c.Thing)
}

func (c showCommand) printSource(s streams, what shown) error {
	var data []byte
	var err error
	switch {
	case !c.embedded():
		kind := map[shown]atomicfile.Kind{aRoutine: atomicfile.Routine, aRecord: atomicfile.Record, aRobot: atomicfile.TOML,
			aField: atomicfile.TOML, aLog: atomicfile.Log, aPlan: setpoints.Kind}[what]
		if data, err = atomicfile.Read(c.Thing, kind); err != nil {
			return unreadable(c.Thing, err)
		}
	case what == aRobot:
		data, err = robot.EmbeddedSource(c.Thing)
	case what == aRoutine:
		data, err = fs.ReadFile(assets.Routines, c.Thing+".lua")
	default:
		data, err = fields.EmbeddedSource(c.Thing)
	}
	if err != nil {
		return err
	}
	return s.copyOut(data)
}

// copyOut prints a file as it is, byte for byte, where it goes into another file; a terminal gets it like other text.
func (s streams) copyOut(data []byte) error {
	out := s.out
	if shown, is := out.(*wording.VisibleWriter); is && terminal(out) == nil {
		out = shown.Under()
	}
	_, err := out.Write(data)
	return err
}

// showRoutine says what a routine is for, and what of it can be tuned.
func (c showCommand) showRoutine(s streams) error {
	if c.Picture != "" {
		return fmt.Errorf("--picture: a routine is drawn as it runs: `chalkfield run %s --picture %s`", c.Thing, c.Picture)
	}
	program, err := loadRoutine(c.Thing, "")
	if err != nil {
		return err
	}
	in := inputs{Routine: c.Thing, Field: c.Field}
	field, err := in.field()
	if err != nil {
		return err
	}
	robot, err := in.robot()
	if err != nil {
		return err
	}
	start, err := program.StartOn(field.Tile)
	if err != nil {
		return err
	}
	return report.Routine(s.units, program, start, field, robot).Text(s.out)
}

func (c showCommand) showRobot(s streams) error {
	robot, err := robot.Find(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" {
		if err := c.paper(c.Picture, s.units).robot(robot); err != nil {
			return err
		}
	}
	if c.Calls {
		return report.Calls(robot).Text(s.out)
	}
	field, err := c.fieldOf()
	if err != nil {
		return err
	}
	return report.Robot(s.units, robot, field).Text(s.out)
}

func (c showCommand) showField(s streams) error {
	field, err := fields.Find(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" {
		if err := c.paper(c.Picture, s.units).field(field); err != nil {
			return err
		}
	}
	return report.Field(s.units, field).Text(s.out)
}

// fieldOf is the field that a robot is looked at on: the one that `run` takes for a routine beside the robot's file, or
// for the first embedded routine that is written for an embedded robot.
func (c showCommand) fieldOf() (*fields.Field, error) {
	in := inputs{Routine: filepath.Join(filepath.Dir(c.Thing), "routine.lua"), Field: c.Field}
	for _, name := range slices.Backward(assets.RoutineNames()) {
		if _, robot := assets.RoutineHome(name); robot == c.Thing {
			in.Routine = name
		}
	}
	return in.field()
}
