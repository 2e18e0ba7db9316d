package lesson

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"chalkfield/internal/base/atomicfile"
)

// Reached is what a learner has reached in a lesson.
type Reached struct {
	Name   string  `json:"name"` // of the lesson, for people
	Tries  int     `json:"tries"`
	Opened int     `json:"hints"` // hints that were opened
	Steps  []bool  `json:"steps"`
	Passed bool    `json:"passed"`
	Stars  int     `json:"stars"`
	Medal  string  `json:"medal,omitempty"`
	Best   float64 `json:"best,omitempty"` // s: the shortest drive of a course; 0: none yet

	Last string `json:"last,omitempty"` // of the answer that was judged last
}

// Hint is the next hint that can be opened, and how many tries must come before; nil: all are open.
func (l *Lesson) Hint(r Reached) (next *Hint, tries int) {
	if r.Opened >= len(l.Hints) {
		return nil, 0
	}
	next = &l.Hints[r.Opened]
	return next, max(0, next.After-r.Tries)
}

// Progress is a file with what a learner has reached, by the lessons' hashes. It is read anew for each change, so that
// a window and a terminal can work on it side by side.
type Progress struct {
	path    string
	broken  bool // what stands there is no progress: it is kept beside when something is written
	lessons map[string]Reached
}

// progressFile is the file.
type progressFile struct {
	Version int                `json:"version"`
	Lessons map[string]Reached `json:"lessons"` // by hash
}

const progressVersion = 1

// ProgressPath is where the file is: chalkfield/lessons.json in the user's configuration folder.
func ProgressPath() (string, error) {
	folder, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(folder, "chalkfield", "lessons.json"), nil
}

// OpenProgress reads the file. One that is not there is nothing reached yet. The error of one that cannot be read is
// for telling: the progress begins anew, and the file is kept beside it.
func OpenProgress(path string) (*Progress, error) {
	p := &Progress{path: path, lessons: map[string]Reached{}}
	return p, p.read()
}

func (p *Progress) read() error {
	data, err := atomicfile.Read(p.path, atomicfile.Window)
	if errors.Is(err, fs.ErrNotExist) {
		p.broken = false
		return nil
	}
	file := progressFile{}
	if err == nil {
		err = json.Unmarshal(data, &file)
	}
	if err == nil && file.Version != progressVersion {
		err = fmt.Errorf("its version is %d, this program knows %d", file.Version, progressVersion)
	}
	if p.broken = err != nil; p.broken {
		return fmt.Errorf("%s: what was reached in lessons cannot be read, and is counted anew; the file is kept as %s: %w",
			p.path, filepath.Base(p.beside()), atomicfile.Cause(err))
	}
	if p.lessons = file.Lessons; p.lessons == nil {
		p.lessons = map[string]Reached{}
	}
	return nil
}

// beside is a free name for a file that cannot be read.
func (p *Progress) beside() string { return free(p.path, ".broken", "") }

// free is a name between stem and ending that nothing has yet.
func free(stem, add, ending string) string {
	for n := 1; ; n++ {
		path := stem + add + ending
		if n > 1 {
			path = fmt.Sprintf("%s%s_%d%s", stem, add, n, ending)
		}
		if _, err := os.Lstat(path); err != nil { // not there, or nobody can look: then nothing is written either
			return path
		}
	}
}

// Of is what was reached in a lesson.
func (p *Progress) Of(l *Lesson) Reached {
	r := p.lessons[l.Hash]
	r.Name, r.Steps = l.Name, slices.Clone(r.Steps)
	for len(r.Steps) < len(l.Steps) {
		r.Steps = append(r.Steps, false)
	}
	r.Steps = r.Steps[:len(l.Steps)]
	return r
}

// change changes what was reached in a lesson, and writes it.
func (p *Progress) change(l *Lesson, to func(*Reached)) error {
	return p.rewrite(func() {
		r := p.Of(l)
		to(&r)
		p.lessons[l.Hash] = r
	})
}

func (p *Progress) rewrite(change func()) error {
	if !p.broken {
		_ = p.read() // what it says was told when it was opened, or is new: then the file is kept beside
	}
	change()
	if err := os.MkdirAll(filepath.Dir(p.path), 0o755); err != nil {
		return p.unkept(err)
	}
	if p.broken {
		if err := os.Rename(p.path, p.beside()); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return p.unkept(err)
		}
		p.broken = false
	}
	data, err := json.MarshalIndent(progressFile{progressVersion, p.lessons}, "", "  ")
	if err != nil {
		return p.unkept(err)
	}
	if err := atomicfile.Write(p.path, func(w io.Writer) error {
		_, err := w.Write(append(data, '\n'))
		return err
	}); err != nil {
		return p.unkept(err)
	}
	return nil
}

func (p *Progress) unkept(err error) error {
	return fmt.Errorf("%s: what was reached is not kept: %w", p.path, atomicfile.Cause(err))
}

// Judged keeps what an answer came to. One that is another than the last, and than what the learner began with, and
// does not pass, is a try.
func (p *Progress) Judged(l *Lesson, a Answer, m *Marks, steps []bool) error {
	return p.change(l, func(r *Reached) {
		print := a.print()
		if !m.Passed && (print == "" || print != r.Last && print != l.begins()) {
			r.Tries++
		}
		r.Last = print
		r.take(m, steps)
	})
}

// Drove keeps what a drive came to: a try as of any answer, and its time where it is the best.
func (p *Progress) Drove(l *Lesson, d Driven, m *Marks, steps []bool) (best bool, err error) {
	err = p.change(l, func(r *Reached) {
		r.take(m, steps)
		if !m.Passed {
			r.Tries++
		} else if best = r.Best == 0 || d.Seconds < r.Best; best {
			r.Best, r.Medal = d.Seconds, d.Medal
		}
	})
	return best, err
}

// take takes what is reached for good.
func (r *Reached) take(m *Marks, steps []bool) {
	for i := range r.Steps {
		r.Steps[i] = r.Steps[i] || steps[i]
	}
	r.Passed, r.Stars = r.Passed || m.Passed, max(r.Stars, m.Stars)
}

// OpenHint opens the next hint.
func (p *Progress) OpenHint(l *Lesson) error {
	return p.change(l, func(r *Reached) { r.Opened = min(r.Opened+1, len(l.Hints)) })
}

// Again begins a lesson anew: its steps, tries and hints. That it was passed stays, with its stars and the best drive.
func (p *Progress) Again(l *Lesson) error {
	return p.change(l, func(r *Reached) {
		*r = Reached{Name: r.Name, Steps: make([]bool, len(l.Steps)), Passed: r.Passed, Stars: r.Stars, Medal: r.Medal,
			Best: r.Best}
	})
}

// Forget forgets what was reached in some lessons.
func (p *Progress) Forget(lessons ...*Lesson) error {
	return p.rewrite(func() {
		for _, l := range lessons {
			delete(p.lessons, l.Hash)
		}
	})
}

// Next is the first lesson that is not passed, after those that are to come before it; nil: all are.
func (p *Progress) Next(lessons []*Lesson) *Lesson {
	waits := func(l *Lesson) bool {
		return slices.ContainsFunc(lessons, func(other *Lesson) bool {
			return slices.Contains(l.After, other.Name) && !p.Of(other).Passed
		})
	}
	var first *Lesson
	for _, l := range lessons {
		if p.Of(l).Passed {
			continue
		}
		if !waits(l) {
			return l
		}
		first = cmp.Or(first, l)
	}
	return first
}
