package lesson

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"chalkfield/internal/app/check"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// reader reads one lesson, and gathers what is wrong with it.
type reader struct {
	*Lesson
	at     *tomlfile.Positions
	faults []error
}

func (r *reader) fault(format string, args ...any) {
	r.faults = append(r.faults, fmt.Errorf(format, args...))
}

// Read reads the lesson of a folder; home is what errors call it. Everything that is wrong is told at once.
func Read(fsys fs.FS, home string) (*Lesson, error) {
	files, err := readFolder(fsys, home)
	if err != nil {
		return nil, err
	}
	if !files.has(About) {
		return nil, fmt.Errorf("%s: there is no such file: `chalkfield new my_lesson --lesson` writes a lesson to start from",
			files.path(About))
	}
	l := &Lesson{Name: path.Base(home), Home: home, files: files, Hash: files.hash()}
	r := &reader{Lesson: l}
	if r.at, err = tomlfile.Decode(files.path(About), []byte(files.files[About]), l); err != nil {
		return nil, err
	}
	r.texts()
	r.hints()
	cases := r.passCheck()
	r.kind()
	for i := range l.Steps {
		r.step(fmt.Sprintf("steps[%d]", i), &l.Steps[i])
	}
	r.tries(cases)
	if err := errors.Join(append([]error{r.at.Err()}, r.faults...)...); err != nil {
		return nil, err
	}
	return l, nil
}

// passCheck reads pass.check.toml, and what it names. It gives the names of its cases.
func (r *reader) passCheck() (names []string) {
	file, there := r.files.files[r.checkFile()]
	if !there {
		r.fault("%s: there is no such file: write a check file with routine = %q and the marks as [[cases]]",
			r.files.path(r.checkFile()), r.Start())
		return nil
	}
	f, err := check.Parse(r.files.path(r.checkFile()), []byte(file))
	if err == nil {
		err = f.Faults()
	}
	if err == nil {
		r.subject = f.Subject
		r.setup, err = r.prepare(f)
	}
	if err != nil {
		r.faults = append(r.faults, err)
		return nil
	}
	for _, c := range f.Cases {
		names = append(names, c.Name)
	}
	if r.Kind == Check { // its cases are the learner's; what is judged is what they say of routines
		return nil
	}
	for i, name := range r.Stars {
		r.at.Index(fmt.Sprintf("stars[%d]", i), "case of "+passFile, name, names)
	}
	if len(r.Stars) > mostOwnStars {
		r.at.Errorf("stars", "a lesson has a star for passing and at most %d more", mostOwnStars)
	}
	if !slices.ContainsFunc(names, func(name string) bool { return !slices.Contains(r.Stars, name) }) {
		r.at.Errorf("stars", "all cases are stars, so everything passes: leave one out that is needed to pass")
	}
	return names
}

const mostOwnStars = 2 // beside the one for passing

// checkFile is where field, robot and the other robots stand.
func (l *Lesson) checkFile() string {
	if l.Kind == Check {
		return l.Start()
	}
	return passFile
}

// kind checks what only one kind of lesson has.
func (r *reader) kind() {
	for _, own := range []struct {
		key   string
		kind  Kind
		given bool
	}{{"course", Drive, r.Course != nil}, {"judged", Check, r.Judged != nil}} {
		switch {
		case own.given && r.Kind != own.kind:
			r.at.Errorf(own.key, "[%s] is for kind = %q", own.key, own.kind)
		case !own.given && r.Kind == own.kind:
			r.at.Errorf("kind", "a lesson of this kind has [%s]: write it, see `chalkfield guide lessons`", own.key)
		}
	}
	if r.Course != nil {
		r.course()
	}
	if r.Judged != nil && r.Kind == Check {
		for i, name := range append([]string{r.Judged.Holds}, r.Judged.FallsShort...) {
			key := "judged.holds"
			if i > 0 {
				key = fmt.Sprintf("judged.falls_short[%d]", i-1)
			}
			r.needs(key, name)
		}
	}
	for _, name := range []string{r.Start(), r.Solution()} {
		if !r.files.has(name) {
			r.fault("%s: there is no such file: write it", r.files.path(name))
		}
	}
}

// course checks that a drive can come to an end.
func (r *reader) course() {
	c := r.Course
	if c.Finish != nil {
		c.Finish.Validate(r.at, "course.finish")
	}
	if len(c.Gates) == 0 && c.Finish == nil {
		r.at.Errorf("course", "the drive has no end: write gates, finish or both")
	}
	for i, g := range c.Gates {
		if g.From == g.To {
			r.at.Errorf(fmt.Sprintf("course.gates[%d]", i), "both ends are one place: write two")
		}
	}
	if m := c.Medals; m.Clay <= m.Chalk || m.Chalk <= m.Quartz {
		r.at.Errorf("course.medals", "clay takes longer than chalk, and chalk longer than quartz")
	}
}

// step checks what a step shows and expects, as far as it can be said without a run.
func (r *reader) step(path string, s *Step) {
	if s.Picture != "" && s.Picture != "end" {
		if t, _, err := units.Parse("s", s.Picture); err != nil || t < 0 {
			r.at.Errorf(path+".picture", "%q is no time of the run: write \"2.5 s\", or \"end\"", s.Picture)
		}
	}
	if s.Done == nil {
		return
	}
	s.Done.Validate(r.at, path+".done")
	if s.Done.Follows != nil {
		r.at.Errorf(path+".done.follows_log", "a lesson has no log: leave it out")
	}
}

// tries checks the hints against the cases, and that their wrong answers are there.
func (r *reader) tries(cases []string) {
	last := 0
	for i := range r.Hints {
		h, path := &r.Hints[i], fmt.Sprintf("hints[%d]", i)
		if h.After < last {
			r.at.Errorf(path+".after", "hints open one after the other: write %d or more", last)
		}
		last = h.After
		r.needs(path+".wrong", h.Wrong)
		if r.Kind == Check {
			r.at.Index(path+".fails", "file that [judged] names", h.Fails,
				append([]string{r.Judged.holds()}, r.Judged.short()...))
			continue
		}
		if h.Missing == "" {
			r.at.Errorf(path+".missing", "write the key of the expectation that falls short, such as missing = \"end\"")
		} else {
			r.at.Index(path+".missing", "key of an expectation", h.Missing, check.Keys())
		}
		if cases != nil {
			r.at.Index(path+".fails", "case of "+passFile, h.Fails, cases)
		}
	}
}

// needs notes a file that is named and not there.
func (r *reader) needs(key, name string) {
	if name != "" && !r.files.has(name) {
		r.at.Errorf(key, "there is no file %s in %s: %s", name, r.Home, wording.Instead(name, r.alike(name)))
	}
}

// alike are the files of the same kind.
func (r *reader) alike(name string) (list []string) {
	for file := range r.files.files {
		if strings.HasSuffix(file, r.suffix()) || path.Ext(file) == path.Ext(name) {
			list = append(list, file)
		}
	}
	slices.Sort(list)
	return list
}

// suffix is how the names of answers end.
func (l *Lesson) suffix() string {
	switch l.Kind {
	case Drive:
		return ".csv"
	case Check:
		return check.Suffix
	}
	return ".lua"
}

// Start is the file that the learner begins with. Of a course it is the routine that is driven.
func (l *Lesson) Start() string {
	if l.Kind == Check {
		return "start" + check.Suffix
	}
	return "start.lua"
}

// Solution is the file of an answer that passes.
func (l *Lesson) Solution() string { return "solution" + l.suffix() }

func (j *Judged) holds() string {
	if j == nil {
		return ""
	}
	return j.Holds
}

func (j *Judged) short() []string {
	if j == nil {
		return nil
	}
	return j.FallsShort
}
