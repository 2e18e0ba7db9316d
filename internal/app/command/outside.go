package command

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"

	"chalkfield/fields"
	"chalkfield/internal/app/program"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/sim/robot"

	"github.com/alecthomas/kong"
)

// outside are the flags of a program that commands the robot in place of a routine.
type outside struct {
	Program  string        `help:"A program of your own that commands the robot, in any language: \"python3 robot.py\". It runs with your rights; see: chalkfield guide programs." placeholder:"CMD"`
	Patience time.Duration `help:"How long the program may take for an answer." default:"1s" placeholder:"1s"`

	dir      string         // in which it runs; "": this one
	begins   bool           // it must say what it is, else there is no routine: else one that fails at once
	programs *program.Owner // of this run
}

// AfterApply takes whose the programs are.
func (o *outside) AfterApply(owner *program.Owner, parsed *kong.Context) error {
	o.programs = owner
	for _, p := range parsed.Path {
		if p.Flag != nil && p.Flag.Name == "program" && strings.TrimSpace(o.Program) == "" {
			return program.ErrNoName
		}
	}
	return nil
}

// own is the path of the routine, or of one as it would lie beside the program: where robot.toml is looked for.
func (in inputs) own() string {
	if in.Program == "" {
		return in.Routine
	}
	return filepath.Join(program.Home(in.Program, in.dir), "program.lua")
}

// loadProgram starts the program.
func (in inputs) loadProgram(field *fields.Field, robot *robot.Robot) (*scripting.Program, error) {
	switch {
	case in.Routine != "":
		return nil, fmt.Errorf("--program: the robot has one master: leave out %s, or the program", in.Routine)
	case in.Patience < 0:
		return nil, fmt.Errorf("--patience %v: write how long, such as 3s", in.Patience)
	case in.programs == nil:
		return nil, errors.New("--program: no program is started here")
	}
	routine, err := in.programs.Load(program.Spec{Words: in.Program, Dir: in.dir, Patience: in.Patience, Field: field,
		Robot: robot, Simulator: "chalkfield " + rehearse.Program})
	var trouble *scripting.Trouble
	if errors.As(err, &trouble) && !in.begins {
		return scripting.NewLost(in.Program, trouble), nil
	}
	return routine, err
}

// programText is the text of the first file that the command names, for reading; of one that is no text there is none.
func (in inputs) programText() viewmodel.Source {
	for _, path := range in.programFiles() {
		text, err := atomicfile.Read(path, atomicfile.Routine)
		if err == nil && utf8.Valid(text) && !bytes.ContainsRune(text, 0) {
			return viewmodel.SourceOf(filepath.Base(path), "", string(text))
		}
	}
	return viewmodel.Source{}
}

// programFiles are the files that the program's command names.
func (in inputs) programFiles() []string {
	var files []string
	for _, word := range strings.Fields(in.Program) {
		path := filepath.Join(in.dir, word)
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
			files = append(files, path)
		}
	}
	return files
}
