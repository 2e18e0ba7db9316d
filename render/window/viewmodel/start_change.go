package viewmodel

import (
	"errors"
	"io"
	"path/filepath"

	"chalkfield/internal/base/atomicfile"
)

// StartChange is a change of the start in a routine's file, not made yet.
type StartChange struct {
	Name     string // of the file
	Old, New string // the tables
	path     string
	text     string // the whole file as it would be
	before   string // and as it was when asked
}

// StartChange works out how the moved start would be written into the routine's file.
func (d *Model) StartChange() (StartChange, error) {
	if d.arranged.Start == nil {
		return StartChange{}, errors.New("the start has not been moved: press A and drag the robot first")
	}
	path := d.Text.Path
	switch {
	case d.Files.Record != "":
		return StartChange{}, errors.New("the routine is inside the record: O opens a routine of your own")
	case path == "":
		return StartChange{}, errors.New("the routine is no file of yours: `chalkfield new` writes a project of your own")
	}
	data, err := atomicfile.Read(path, atomicfile.Routine)
	if err != nil {
		return StartChange{}, err
	}
	text, old, err := RewriteStart(string(data), d.asWritten(*d.arranged.Start))
	if err != nil {
		return StartChange{}, err
	}
	return StartChange{Name: filepath.Base(path), Old: old, New: LuaPose(d.asWritten(*d.arranged.Start)), path: path,
		text: text, before: string(data)}, nil
}

// Write makes the change, unless the file has become another meanwhile.
func (c StartChange) Write() error { return c.exchange(c.before, c.text) }

// TakeBack gives the file its old text again, if it still has the one that Write gave it.
func (c StartChange) TakeBack() error { return c.exchange(c.text, c.before) }

func (c StartChange) exchange(from, to string) error {
	data, err := atomicfile.Read(c.path, atomicfile.Routine)
	if err != nil {
		return err
	}
	if string(data) != from {
		return errors.New(c.Name + " was changed meanwhile, nothing was written")
	}
	return atomicfile.Write(c.path, func(out io.Writer) error {
		_, err := io.WriteString(out, to)
		return err
	})
}

// standing is the start that the file has with the change, or without.
func (c StartChange) standing(with bool) string {
	if with {
		return c.New
	}
	return c.Old
}
