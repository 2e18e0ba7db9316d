package lesson

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/scripting"
)

// The files of every lesson.
const (
	About    = "lesson.toml"
	text     = "text.md"
	hints    = "hints.md"
	passFile = "pass.check.toml"
)

// folder is what a lesson's folder holds: small files, in memory.
type folder struct {
	home  string            // as errors name it
	files map[string]string // by name
}

// kinds are the files that a lesson can have.
var kinds = map[string]atomicfile.Kind{
	".toml": atomicfile.TOML, ".md": atomicfile.Routine, ".lua": atomicfile.Routine, ".csv": atomicfile.Pad,
}

const mostFiles = 64

// readFolder reads the files of a lesson's folder; other kinds of files, and folders in it, are nobody's business.
func readFolder(fsys fs.FS, home string) (folder, error) {
	f := folder{home, map[string]string{}}
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return f, fmt.Errorf("%s: cannot be read: %w", home, atomicfile.Cause(err))
	}
	for _, e := range entries {
		kind, known := kinds[path.Ext(e.Name())]
		if !known || e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if len(f.files) == mostFiles {
			return f, fmt.Errorf("%s: has more than %d files: a lesson is a small folder of its own", home, mostFiles)
		}
		if f.files[e.Name()], err = readOne(fsys, e.Name(), kind); err != nil {
			return f, fmt.Errorf("%s: cannot be read: %w", f.path(e.Name()), atomicfile.Cause(err))
		}
	}
	return f, nil
}

func readOne(fsys fs.FS, name string, kind atomicfile.Kind) (string, error) {
	file, err := fsys.Open(name)
	if err != nil {
		return "", err
	}
	defer file.Close()
	if info, err := file.Stat(); err != nil || !info.Mode().IsRegular() {
		return "", errors.Join(err, errors.New("it is no file"))
	}
	data, err := io.ReadAll(io.LimitReader(file, kind.Most+1))
	if err == nil && int64(len(data)) > kind.Most {
		err = fmt.Errorf("it is too large: write at most %d bytes", kind.Most)
	}
	return strings.TrimPrefix(string(data), "\ufeff"), err
}

// path is a file's name as errors have it.
func (f folder) path(name string) string { return filepath.ToSlash(filepath.Join(f.home, name)) }

func (f folder) has(name string) bool {
	_, there := f.files[name]
	return there
}

// routine compiles a routine of the folder.
func (f folder) routine(name string) (*scripting.Program, error) {
	if !f.has(name) {
		return nil, fmt.Errorf("%s: there is no such file: write it", f.path(name))
	}
	p, err := scripting.LoadTexts(name, f.files)
	if err != nil {
		return nil, fmt.Errorf("in %s: %w", f.home, err)
	}
	return p, nil
}

// hash is over all files but the texts: who mends a sentence takes nobody's progress away.
func (f folder) hash() string {
	sum := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(f.files)) {
		if path.Ext(name) != ".md" {
			fmt.Fprintf(sum, "%s %d\n%s", name, len(f.files[name]), f.files[name])
		}
	}
	return hex.EncodeToString(sum.Sum(nil))
}
