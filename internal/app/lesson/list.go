package lesson

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
)

// order is the file that lists the lessons of a folder in their order.
const order = "list.toml"

// Embedded are the lessons that come with the program, then the courses.
func Embedded() ([]*Lesson, error) {
	lessons, err := list(assets.Lessons, "lessons")
	courses, err2 := list(assets.Courses, "courses")
	all := append(lessons, courses...)
	for _, l := range all {
		l.Ours = true
	}
	return all, errors.Join(err, err2)
}

// Folder is the lesson of a folder, or the lessons of the folders in it, in their order. The error tells what is wrong
// with those that are left out.
func Folder(folder string) ([]*Lesson, error) {
	info, err := os.Stat(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: there is no such folder", folder)
	case err != nil:
		return nil, fmt.Errorf("%s: cannot be read: %w", folder, atomicfile.Cause(err))
	case !info.IsDir():
		return nil, fmt.Errorf("%s: is no folder: name one with %s in it, or one with such folders", folder, About)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", folder, atomicfile.Cause(err))
	}
	defer root.Close()
	home := filepath.ToSlash(filepath.Clean(folder))
	if !Is(folder) {
		lessons, err := list(root.FS(), home)
		if err == nil && len(lessons) == 0 {
			err = fmt.Errorf("%s: has no lesson: a lesson is a folder with %s in it", home, About)
		}
		return lessons, err
	}
	l, err := Read(root.FS(), home)
	if err != nil {
		return nil, err
	}
	if whole, err := filepath.Abs(folder); err == nil {
		l.Name = filepath.Base(whole) // of "." too
	}
	return []*Lesson{l}, nil
}

// Is reports whether a folder is a lesson.
func Is(folder string) bool {
	info, err := os.Stat(filepath.Join(folder, About))
	return err == nil && info.Mode().IsRegular()
}

// list are the lessons in the folders of a file system.
func list(fsys fs.FS, home string) ([]*Lesson, error) {
	names, err := names(fsys, home)
	if err != nil {
		return nil, err
	}
	var lessons []*Lesson
	var faults []error
	for _, name := range names {
		sub, err := fs.Sub(fsys, name)
		if err != nil {
			return nil, err
		}
		l, err := Read(sub, path.Join(home, name))
		if err != nil {
			faults = append(faults, err)
			continue
		}
		lessons = append(lessons, l)
	}
	if _, err := fs.Stat(fsys, order); err != nil {
		lessons, err = byAfter(lessons)
		faults = append(faults, err)
	}
	return lessons, errors.Join(faults...)
}

// names are the folders that are lessons: those of list.toml, else all, by their names.
func names(fsys fs.FS, home string) ([]string, error) {
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", home, atomicfile.Cause(err))
	}
	var there []string
	for _, e := range entries {
		if _, err := fs.Stat(fsys, path.Join(e.Name(), About)); err == nil {
			there = append(there, e.Name())
		}
	}
	data, err := readOne(fsys, order, atomicfile.TOML)
	if errors.Is(err, fs.ErrNotExist) {
		return there, nil
	}
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path.Join(home, order), atomicfile.Cause(err))
	}
	var file struct {
		Lessons []string `toml:"lessons" need:"['volts_and_time']"`
	}
	at, err := tomlfile.Decode(path.Join(home, order), []byte(data), &file)
	if err != nil {
		return nil, err
	}
	for i, name := range file.Lessons {
		key := fmt.Sprintf("lessons[%d]", i)
		if at.Index(key, "folder here with "+About, name, there) >= 0 && slices.Contains(file.Lessons[:i], name) {
			at.Errorf(key, "%q is in the list already: leave it out", name)
		}
	}
	return file.Lessons, at.Err()
}

// byAfter sorts lessons, which are sorted by name, so that each comes after those that it names.
func byAfter(lessons []*Lesson) (sorted []*Lesson, err error) {
	left := slices.Clone(lessons)
	waits := func(l *Lesson) bool {
		return slices.ContainsFunc(left, func(other *Lesson) bool { return slices.Contains(l.After, other.Name) })
	}
	for len(left) > 0 {
		i := slices.IndexFunc(left, func(l *Lesson) bool { return !waits(l) })
		if i < 0 {
			var ring []string
			for _, l := range left {
				ring = append(ring, l.files.path(About))
			}
			return append(sorted, left...), fmt.Errorf("%s: each is to come after another of them, in a ring: mend after "+
				"= [...] "+
				"of one", strings.Join(ring, ", "))
		}
		sorted, left = append(sorted, left[i]), slices.Delete(left, i, i+1)
	}
	return sorted, nil
}
