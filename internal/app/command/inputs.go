package command

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// demoRoutine is the embedded routine that runs when no file is named.
const demoRoutine = "core_haul_demo"

// inputs are the flags of every command that rehearses.
type inputs struct {
	Routine  string   `arg:"" optional:"" help:"Routine file (.lua), or the name of an embedded routine. Without it: the demo." placeholder:"ROUTINE"`
	Robot    string   `help:"Robot file (.toml) or embedded robot. Default: robot.toml beside the routine, else the hauler." placeholder:"FILE"`
	Field    string   `help:"Field file (.toml) or embedded field. Default: field.toml beside the routine, else Core Haul." placeholder:"FILE"`
	Session  string   `help:"Which session of the field to play. Default: its first." placeholder:"NAME"`
	Side     string   `help:"Side to play for. Default: the routine's own." placeholder:"NAME"`
	Seed     uint64   `help:"Draws the spread and the noise." default:"1"`
	Nominal  bool     `help:"Draw nothing: everything exactly as the files say."`
	Param    values   `help:"Give the routine's param() a value. May be repeated." placeholder:"NAME=VALUE"`
	Partner  string   `help:"Routine, record or log of a partner on the same side." placeholder:"FILE"`
	Opponent []string `help:"Routine, record or log of an opponent. May be repeated." placeholder:"FILE"`
	Pad      string   `help:"Input script (.csv) that drives the driver phase." placeholder:"FILE"`
	outside
}

// bare reports whether nothing but the first argument is given.
func (in inputs) bare() bool {
	return in.Program == "" && in.Robot == "" && in.Field == "" && in.Session == "" && in.Side == "" &&
		in.Seed == 1 && !in.Nominal && len(in.Param) == 0 &&
		in.Partner == "" && len(in.Opponent) == 0 && in.Pad == ""
}

// load reads every file that the flags name.
func (in inputs) load() (rehearse.Setup, error) {
	var setup rehearse.Setup
	var routine *scripting.Program
	var err error
	if in.Program == "" {
		if routine, err = loadRoutine(in.Routine, demoRoutine); err != nil {
			return setup, err
		}
	}
	robot, err := in.robot()
	if err != nil {
		return setup, err
	}
	if setup.Field, err = in.field(); err != nil {
		return setup, err
	}
	if in.Program != "" {
		if routine, err = in.loadProgram(setup.Field, robot); err != nil {
			return setup, err
		}
	}
	setup.Session, setup.Seed, setup.Nominal = in.Session, in.Seed, in.Nominal
	first := rehearse.Entrant{Robot: robot, Routine: routine, Side: in.Side}
	if in.Pad != "" {
		if first.Pad, err = loadPad(in.Pad); err == nil {
			err = in.driven(setup, routine)
		}
		if err != nil {
			return setup, err
		}
	}
	setup.Entrants = []rehearse.Entrant{first}
	if err = in.addOthers(&setup); err == nil {
		setup.Params, err = in.Param.of(setup)
	}
	return setup, err
}

// driven says why nothing would read the pad.
func (in inputs) driven(setup rehearse.Setup, routine *scripting.Program) error {
	if !routine.HasDriver {
		wants := "driver = function(bot, pad) ... end"
		if routine.Foreign() {
			wants = routine.Wants(scripting.Driver)
		}
		return fmt.Errorf("%s: nothing reads it: %s has no %s", in.Pad, routine.Name, wants)
	}
	driven := func(s fields.Session) bool {
		return slices.ContainsFunc(s.Phases, func(i int) bool { return setup.Field.Phases[i].Control == fields.Driver })
	}
	session, err := setup.Field.SessionNamed(setup.Session)
	if err != nil || driven(session) {
		return err
	}
	for _, s := range setup.Field.Sessions {
		if driven(s) {
			return fmt.Errorf("%s: nothing reads it: the session %q has no driver phase; choose another (--session %q)",
				in.Pad, session.Name, s.Name)
		}
	}
	return fmt.Errorf("%s: nothing reads it: no session of %s has a driver phase", in.Pad, setup.Field.Title)
}

// addOthers adds the partner, who plays for the same side, and the opponents, who play for another.
func (in inputs) addOthers(setup *rehearse.Setup) error {
	side, err := rehearse.SideOf(setup.Field, setup.Entrants[0])
	if err != nil {
		return err
	}
	if in.Partner != "" {
		partner, err := in.other(*setup, in.Partner, setup.Field.Sides[side].Name)
		if err != nil {
			return err
		}
		setup.Entrants = append(setup.Entrants, partner)
	}
	for _, path := range in.Opponent {
		if len(setup.Field.Sides) < 2 {
			return fmt.Errorf("--opponent: %s has only one side", setup.Field.Title)
		}
		opponent, err := in.other(*setup, path, setup.Field.Sides[setup.Field.OtherSide(side)].Name)
		if err != nil {
			return err
		}
		setup.Entrants = append(setup.Entrants, opponent)
	}
	return nil
}

// other is another robot: one that replays a record or a log, or one with a routine. Its robot file is the one beside
// its routine, else the same as the first's.
func (in inputs) other(setup rehearse.Setup, path, side string) (rehearse.Entrant, error) {
	e := rehearse.Entrant{Side: side}
	fallback := in.Robot
	if fallback == "" {
		_, home := assets.RoutineHome(path)
		fallback = beside(in.own(), "robot.toml", "", home)
	}
	var err error
	switch strings.ToLower(filepath.Ext(path)) {
	case ".jsonl":
		e.Replay, err = loadRecord(path)
	case ".csv":
		e.Replay, err = replayOfLog(path, setup)
	default:
		e.Routine, err = loadRoutine(path, "")
	}
	if err != nil {
		return e, err
	}
	e.Robot, err = robot.Find(beside(path, "robot.toml", "", fallback))
	return e, err
}

func loadPad(path string) (rehearse.Pad, error) {
	file, err := atomicfile.Open(path, atomicfile.Pad)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer file.Close()
	return rehearse.ReadInputScript(path, file)
}

func loadRecord(path string) (*record.Record, error) {
	file, err := atomicfile.Open(path, atomicfile.Record)
	if err != nil {
		return nil, unreadable(path, err)
	}
	defer file.Close()
	return record.Read(path, file)
}

func (in inputs) robot() (*robot.Robot, error) {
	_, home := assets.RoutineHome(in.Routine)
	if in.Robot != "" && filepath.Ext(in.Robot) != "" && filepath.Ext(in.Robot) != robot.Suffix {
		return nil, fmt.Errorf("--robot %s: a robot file's name ends in .toml", in.Robot)
	}
	return findRobot(beside(in.own(), "robot.toml", in.Robot, home))
}

// findRobot reads a robot file, or an embedded robot by its name.
func findRobot(nameOrPath string) (*robot.Robot, error) {
	found, err := robot.Find(nameOrPath)
	if errors.Is(err, os.ErrNotExist) {
		err = noSuchFile(nameOrPath)
	}
	return found, err
}

func (in inputs) field() (*fields.Field, error) {
	home, _ := assets.RoutineHome(in.Routine)
	path := beside(in.own(), "field.toml", in.Field, home)
	found, err := fields.Find(path)
	if errors.Is(err, os.ErrNotExist) {
		err = noSuchFile(path)
	}
	return found, err
}

// beside chooses a file: the named one, else the one of that name in the folder of a routine or field, else the
// embedded one.
func beside(main, name, named, embedded string) string {
	if named != "" {
		return named
	}
	if ext := filepath.Ext(main); ext == ".lua" || ext == ".toml" {
		path := filepath.Join(filepath.Dir(main), name)
		if _, err := os.Stat(path); err == nil {
			return path
		}
	}
	return embedded
}

// loadRoutine reads a routine file, or an embedded routine by name.
func loadRoutine(named, fallback string) (*scripting.Program, error) {
	if named == "" {
		named = fallback
	}
	if !strings.HasSuffix(named, ".lua") {
		if info, err := os.Stat(named); err == nil && info.IsDir() {
			return nil, fmt.Errorf("%s: is a folder: name the routine in it, such as %s", named,
				filepath.Join(named, "routine.lua"))
		}
		if assets.HasRoutine(named) {
			return scripting.LoadFS(assets.Routines, named+".lua")
		}
		if filepath.Ext(named) == ".toml" {
			return nil, fmt.Errorf("%s: a routine's file ends in .lua; what a field or robot file means says "+
				"`chalkfield show %s`", named, named)
		}
		if what, of := homeOf(named); what != "" {
			return nil, fmt.Errorf("%s: is a %s: name a routine for it, %s or a file of your own", named, what,
				strings.Join(of, ", "))
		}
		return nil, fmt.Errorf("%s: neither a .lua file nor an embedded routine: %s", named,
			wording.Instead(named, assets.RoutineNames()))
	}
	program, err := scripting.Load(named)
	if errors.Is(err, os.ErrNotExist) {
		return nil, noSuchFile(named)
	}
	return program, err
}

// homeOf says what an embedded name is that is no routine's, and which embedded routines are written for it.
func homeOf(named string) (what string, routines []string) {
	for _, name := range assets.RoutineNames() {
		switch field, robot := assets.RoutineHome(name); named {
		case field:
			what, routines = "field", append(routines, name)
		case robot:
			what, routines = "robot", append(routines, name)
		}
	}
	return what, routines
}

// unreadable says why a file could not be opened.
func unreadable(path string, err error) error {
	if errors.Is(err, os.ErrNotExist) {
		return noSuchFile(path)
	}
	return fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
}

// noSuchFile suggests the file of the same folder whose name is nearest.
func noSuchFile(path string) error {
	entries, _ := os.ReadDir(filepath.Dir(path))
	var names []string
	for _, e := range entries {
		if filepath.Ext(e.Name()) == filepath.Ext(path) {
			names = append(names, e.Name())
		}
	}
	near := wording.Nearest(filepath.Base(path), names)
	switch ext := filepath.Ext(path); {
	case near != "":
		return fmt.Errorf("%s: no such file; write %s", path, filepath.Join(filepath.Dir(path), near))
	case ext == ".lua" || ext == ".toml":
		return fmt.Errorf("%s: no such file; `chalkfield new my_project` writes one to start from", path)
	}
	return fmt.Errorf("%s: no such file", path)
}
