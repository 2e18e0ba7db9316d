package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"chalkfield/assets/ci"
	"chalkfield/assets/templates"
	"chalkfield/internal/wholefile"
	"chalkfield/sim/robotfile"
)

type newCommand struct {
	Folder string `arg:"" help:"Folder to write into; made if it is not there."`
	Robot  string `help:"Embedded robot to start from." default:"hauler" placeholder:"NAME"`
	CI     bool   `help:"Add a check file, a workflow for a CI server, and a script for a batch scheduler's array jobs." name:"ci"`
}

// Help is shown under the flags.
func (newCommand) Help() string {
	return `Example:
  chalkfield new my_project
  chalkfield run my_project/routine.lua
  chalkfield new my_project --ci         the project, and what CI needs to hold it to its checks

A file that is already there is never overwritten: then nothing is written.`
}

// file is one file of the new project.
type file struct {
	path string
	data []byte
}

// Run writes the project.
func (c newCommand) Run(_ context.Context, s streams) error {
	if info, err := os.Stat(c.Folder); c.Folder == "" || err == nil && !info.IsDir() {
		return fmt.Errorf("%q is no folder to write into: name another", c.Folder)
	}
	robot, err := robotfile.EmbeddedSource(c.Robot)
	if err != nil {
		return err
	}
	project, err := fs.Sub(templates.Project, "project")
	if err != nil {
		return err
	}
	files, err := collect(project, c.Folder)
	if err != nil {
		return err
	}
	files = append(files, file{filepath.Join(c.Folder, "robot.toml"), robot})
	if c.CI {
		recipe, err := collect(ci.Files, c.Folder)
		if err != nil {
			return err
		}
		files = append(files, recipe...)
	}
	if err := writeNew(files); err != nil {
		return err
	}
	for _, f := range files {
		fmt.Fprintf(s.out, "wrote %s\n", f.path)
	}
	fmt.Fprintf(s.out, "Next: chalkfield run %s\n", filepath.Join(c.Folder, "routine.lua"))
	return nil
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

// writeNew writes the files, or none when one of them is already there.
func writeNew(files []file) error {
	for _, f := range files {
		if _, err := os.Lstat(f.path); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s is already there: nothing was written; choose another folder", f.path)
		}
	}
	for _, f := range files {
		if err := os.MkdirAll(filepath.Dir(f.path), 0o755); err != nil {
			return err
		}
		if err := wholefile.Write(f.path, func(w io.Writer) error { _, err := w.Write(f.data); return err }); err != nil {
			return err
		}
	}
	return nil
}
