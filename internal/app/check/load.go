package check

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
)

// LoadAll finds and reads the check files at and below some paths, in the order of the paths and, within a folder, of
// the names; each file once. What cannot be read is a File with a Fault, so that the others are judged all the same.
// reads lists the files that a subject makes a rehearsal read; apart takes folders that are judged otherwise.
func LoadAll(paths []string, reads func(Subject) []string, apart func(folder string) bool) []*File {
	s := search{apart: apart}
	for _, path := range paths {
		s.at(path)
	}
	for _, f := range s.files {
		if f.Fault == nil {
			f.Reads = append([]string{f.Path}, reads(f.Subject.beside(filepath.Dir(f.Path)))...)
			for i := range f.Cases {
				if follows := f.Cases[i].Follows; follows != nil {
					f.Reads = append(f.Reads, follows.reads()...)
				}
			}
		}
	}
	vetGoldens(s.files)
	return s.files
}

// search gathers check files.
type search struct {
	files []*File
	apart func(folder string) bool
	known map[string]bool // resolved paths
	met   int             // files and faults, the known ones too
}

// at takes a check file, or all of a folder.
func (s *search) at(path string) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		s.fault(path, atomicfile.Cause(err))
		return
	case !info.IsDir():
		s.take(path)
		return
	}
	before := s.met
	top := path
	if link, err := os.Lstat(path); err == nil && link.Mode()&fs.ModeSymlink != 0 {
		top += string(filepath.Separator) // a link that is named is followed
	}
	filepath.WalkDir(top, func(name string, entry fs.DirEntry, err error) error { // visit keeps the errors
		return s.visit(top, name, entry, err)
	})
	if s.met == before {
		s.fault(path, fmt.Errorf("there is no file *%s at or below it", Suffix))
	}
}

// visit takes what a walk through a folder meets, hidden folders left out.
func (s *search) visit(top, name string, entry fs.DirEntry, err error) error {
	switch {
	case err != nil:
		s.fault(name, atomicfile.Cause(err))
	case entry.IsDir() && name != top && strings.HasPrefix(entry.Name(), "."):
		return filepath.SkipDir
	case entry.IsDir() && s.apart(name):
		s.met++
		return filepath.SkipDir
	case entry.IsDir() || !strings.HasSuffix(name, Suffix):
	case entry.Type() != 0 && entry.Type() != fs.ModeSymlink:
		s.fault(name, atomicfile.NoFile(entry.Type()))
	default:
		s.take(name)
	}
	return nil
}

func (s *search) take(path string) {
	if !s.fresh(path) {
		return
	}
	f, err := Load(path)
	if err != nil {
		f = &File{Path: path, Fault: err}
	}
	s.files = append(s.files, f)
}

func (s *search) fault(path string, err error) {
	if s.fresh(path) {
		s.files = append(s.files, &File{Path: path, Fault: fmt.Errorf("%s: %w", path, err)})
	}
}

// fresh reports whether a path was not met before.
func (s *search) fresh(path string) bool {
	s.met++
	path = resolved(path)
	if s.known[path] {
		return false
	}
	if s.known == nil {
		s.known = map[string]bool{}
	}
	s.known[path] = true
	return true
}

// resolved is a path without links in its folders: one for each name that leads to one place. The last part stays, for
// names in a check file start from the folder that its own name is in.
func resolved(path string) string {
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		return filepath.Join(dir, filepath.Base(path))
	}
	return filepath.Clean(path)
}
