package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

type newCommand struct {
	Folder  string `arg:"" help:"Folder to write into; made if it is not there."`
	Robot   string `help:"Embedded robot to start from." default:"hauler" placeholder:"NAME"`
	Program string `help:"Instead of a Lua routine a program in this language: python, cpp or java." enum:",python,cpp,java" default:"" placeholder:"LANGUAGE"`
	Field   bool   `help:"Begin with a field of your own, to be made in the window."`
	Size    string `help:"With --field: the floor's width and height." placeholder:"'3.6 m x 3.6 m'"`
	Picture string `help:"With --field: a picture (PNG, JPEG) of the whole floor, to trace." placeholder:"FILE"`
	From    string `help:"With --field: a copy of this embedded field." placeholder:"NAME"`
	Lesson  bool   `help:"A lesson for new members: one that works, to change into yours."`
	CI      bool   `help:"Add a check file, a workflow for a CI server, and a script for a batch scheduler's array jobs." name:"ci"`

	in units.System // of a field that is begun
}

// Help is shown under the flags.
func (newCommand) Help() string {
	return `Example:
  chalkfield new my_project
  chalkfield run my_project/routine.lua
  chalkfield new my_bot --program python a program of your own instead of a routine; also cpp, java
  chalkfield new my_game --field         a field of your own; then: chalkfield open --build my_game/field.toml
  chalkfield new my_game --field --picture plan.png --size "3.6 m x 3.6 m"    from a picture of it
  chalkfield new my_game --field --from core_haul                             from a field that is there
  chalkfield new my_lesson --lesson      a lesson of your own; then: chalkfield check my_lesson
  chalkfield new my_project --ci         adds to a project, old or new, what CI needs to hold it to its checks

A file that is already there is never overwritten. Where one of a new project's is there, nothing is written; --ci
adds to a project what is missing and leaves what is there.`
}

// file is one file of the new project.
type file struct {
	path string
	data []byte
}

// Run writes the project; with --ci, where routines are there already, only what CI needs for them.
func (c newCommand) Run(ctx context.Context, s streams) error {
	if info, err := os.Stat(c.Folder); c.Folder == "" || err == nil && !info.IsDir() {
		return fmt.Errorf("%q is no folder to write into: name another", c.Folder)
	}
	if !c.Field && (c.Size != "" || c.Picture != "" || c.From != "") {
		return errors.New("--size, --picture and --from are about a field: write --field too")
	}
	if c.Program != "" {
		if c.Field {
			return errors.New("--program and --field each make a project: begin with one, and put the other's files beside it")
		}
		return c.writeProgram(s)
	}
	if c.CI {
		there, passed, err := routinesIn(c.Folder)
		if err != nil {
			return err
		}
		for _, why := range passed {
			fmt.Fprintf(s.out, "no check for %s\n", why)
		}
		if len(there) > 0 {
			return c.addRecipe(ctx, s, there)
		}
	}
	c.in = s.units
	project := c.project
	switch {
	case c.Lesson && (c.Field || c.CI):
		return errors.New("--lesson makes a folder of its own: leave --field and --ci away")
	case c.Lesson:
		project = c.lesson
	case c.Field:
		project = c.fieldProject
	}
	files, err := project()
	if err != nil {
		return err
	}
	if err := writeNew(s, files); err != nil {
		return err
	}
	if c.CI {
		if err := c.addRecipe(ctx, s, []string{"routine.lua"}); err != nil {
			return err
		}
	}
	if c.Lesson {
		fmt.Fprintf(s.out, "Next: chalkfield check %s\n", c.Folder)
		return nil
	}
	next := "run " + filepath.Join(c.Folder, "routine.lua")
	if c.Field {
		next = "open --build " + filepath.Join(c.Folder, "field.toml")
	}
	fmt.Fprintf(s.out, "Next: chalkfield %s\n", next)
	return nil
}

// project is a README, a first routine for the robot, the robot, and the field that it is for.
func (c newCommand) project() ([]file, error) {
	robot, err := robot.EmbeddedSource(c.Robot)
	if err != nil {
		return nil, err
	}
	files := []file{{filepath.Join(c.Folder, "robot.toml"), robot}}
	for _, folder := range []string{"project", c.Robot} {
		part, err := fs.Sub(assets.Templates, folder)
		if err != nil {
			return nil, err
		}
		more, err := collect(part, c.Folder)
		if err != nil {
			return nil, err
		}
		files = append(more, files...)
	}
	if name := assets.ProjectFields[c.Robot]; name != "" {
		field, err := fields.EmbeddedSource(name)
		if err != nil {
			return nil, err
		}
		files = append(files, file{filepath.Join(c.Folder, "field.toml"), field})
	}
	return files, nil
}

// lesson is one that holds what it says.
func (c newCommand) lesson() ([]file, error) {
	part, err := fs.Sub(assets.Templates, "lesson")
	if err != nil {
		return nil, err
	}
	return collect(part, c.Folder)
}

// collect reads every file below a folder of templates.
func collect(from fs.FS, into string) ([]file, error) {
	var files []file
	err := fs.WalkDir(from, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, path)
		files = append(files, file{filepath.Join(into, filepath.FromSlash(path)), data})
		return err
	})
	return files, err
}

// free reports a file that is already there.
func free(files []file) error {
	for _, f := range files {
		if exists(f.path) {
			return fmt.Errorf("%s is already there: nothing was written; choose another folder", f.path)
		}
	}
	return nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// writeNew writes the files, or none when one of them is already there.
func writeNew(s streams, files []file) error {
	if err := free(files); err != nil {
		return err
	}
	return writeAll(s.out, files)
}

// writeAll writes the files and tells of each.
func writeAll(out io.Writer, files []file) error {
	for _, f := range files {
		if err := os.MkdirAll(filepath.Dir(f.path), 0o755); err != nil {
			return err
		}
		if err := atomicfile.Write(f.path, func(w io.Writer) error { _, err := w.Write(f.data); return err }); err != nil {
			return err
		}
		fmt.Fprintf(out, "wrote %s\n", f.path)
	}
	return nil
}
