package lesson

import (
	"errors"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/check"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// prepare reads what the lesson's check names: everything that a rehearsal needs but the answer.
func (r *reader) prepare(f *check.File) (s rehearse.Setup, err error) {
	if err := r.foreign(f); err != nil {
		return s, err
	}
	home, usual := assets.RoutineHome("")
	if s.Field, err = named(r.files, "field.toml", f.Field, home, fields.Parse, fields.OpenEmbedded); err != nil {
		return s, wrong(f, "field", err)
	}
	own, err := named(r.files, "robot.toml", f.Robot, usual, robot.Parse, robot.OpenEmbedded)
	if err != nil {
		return s, wrong(f, "robot", err)
	}
	if _, err := s.Field.SessionNamed(f.Session); err != nil {
		return s, wrong(f, "session", err)
	}
	s.Session = f.Session
	first := rehearse.Entrant{Robot: own, Side: f.Side}
	if f.Pad != "" {
		if first.Pad, err = r.files.pad(f.Pad); err != nil {
			return s, err
		}
	}
	s.Entrants = []rehearse.Entrant{first}
	return s, r.others(f, &s)
}

// foreign refuses what a check file may have and a lesson's may not.
func (r *reader) foreign(f *check.File) error {
	if r.Kind != Check && f.Routine != r.Start() {
		return f.Wrong("routine", "an answer takes the place of the routine: write routine = %q", r.Start())
	}
	for key, given := range map[string]bool{"program": f.Program != "", "params": len(f.Params) > 0} {
		if given {
			return f.Wrong(key, "a lesson is about a routine alone: leave %s out", key)
		}
	}
	for i := range f.Cases {
		if r.Kind == Drive && f.Cases[i].Trials > 0 {
			return f.Wrong(fmt.Sprintf("cases[%d].trials", i), "a drive is one: leave trials and share out")
		}
		if f.Cases[i].Golden != "" {
			return f.Wrong(fmt.Sprintf("cases[%d].golden", i), "a lesson has no golden record: leave it out")
		}
		if f.Cases[i].Follows != nil {
			return f.Wrong(fmt.Sprintf("cases[%d].follows_log", i), "a lesson has no log: leave it out")
		}
	}
	return nil
}

// wrong places an error at a key of the check file, unless it has its own place.
func wrong(f *check.File, key string, err error) error {
	if missing := (*missingFile)(nil); errors.As(err, &missing) || !strings.Contains(err.Error(), ".toml:") {
		return f.Wrong(key, "%v", err)
	}
	return err
}

type missingFile struct{ name, home string }

func (e *missingFile) Error() string {
	return fmt.Sprintf("there is no file %s in %s: write it, or name an embedded one", e.name, e.home)
}

// named is a field or robot by its name in a check file: a file of the folder, else an embedded one; of the folder too
// where no name is given.
func named[T any](f folder, beside, name, usual string, parse func(string, []byte) (T, error),
	open func(string) (T, error)) (T, error) {
	if name == "" && f.has(beside) {
		name = beside
	}
	if name == "" {
		name = usual
	}
	if filepath.Ext(name) == "" {
		return open(name)
	}
	if !f.has(name) {
		var none T
		return none, &missingFile{name, f.home}
	}
	return parse(f.path(name), []byte(f.files[name]))
}

// others adds the partner and the opponents, routines of the folder on a robot like the learner's.
func (r *reader) others(f *check.File, s *rehearse.Setup) error {
	side, err := rehearse.SideOf(s.Field, s.Entrants[0])
	if err != nil {
		return wrong(f, "side", err)
	}
	add := func(key, name string, side int) error {
		if path.Ext(name) != ".lua" || !r.files.has(name) {
			return f.Wrong(key, "another robot's routine stands in the lesson's folder: there is no %s", name)
		}
		routine, err := r.files.routine(name)
		s.Entrants = append(s.Entrants, rehearse.Entrant{Robot: s.Entrants[0].Robot, Routine: routine,
			Side: s.Field.Sides[side].Name})
		return err
	}
	if f.Partner != "" {
		if err := add("partner", f.Partner, side); err != nil {
			return err
		}
	}
	for i, name := range f.Opponents {
		if len(s.Field.Sides) < 2 {
			return f.Wrong("opponents", "the field has only one side: leave them out")
		}
		if err := add(fmt.Sprintf("opponents[%d]", i), name, s.Field.OtherSide(side)); err != nil {
			return err
		}
	}
	return nil
}

// pad reads a drive of the folder.
func (f folder) pad(name string) (rehearse.Pad, error) {
	if !f.has(name) {
		return nil, &missingFile{name, f.home}
	}
	return readPad(f.path(name), strings.NewReader(f.files[name]))
}

// readPad reads a drive; a nil script would be a pad that is not nil.
func readPad(name string, in io.Reader) (rehearse.Pad, error) {
	pad, err := rehearse.ReadInputScript(name, in)
	if err != nil {
		return nil, err
	}
	return pad, nil
}

// Setup is everything that the run which is shown is made of, with an answer.
func (l *Lesson) Setup(a Answer) rehearse.Setup {
	s := l.setup
	s.Seed, s.Nominal = l.Seed, l.Nominal
	s.Entrants = slices.Clone(s.Entrants)
	s.Entrants[0].Routine = a.Routine
	if a.Pad != nil {
		s.Entrants[0].Pad = a.Pad
	}
	return s
}

// Answer is what a learner made of a lesson.
type Answer struct {
	Routine *scripting.Program // what drives; of a Check, what is shown
	Pad     rehearse.Pad       // of a Drive
	Check   string             // of a Check: the file's text
	Name    string             // of its file, as errors have it
}

// answer is one of the lesson's own.
func (l *Lesson) answer(name string) (a Answer, err error) {
	a.Name = l.files.path(name)
	switch l.Kind {
	case Drive:
		if a.Pad, err = l.files.pad(name); err != nil {
			return a, err
		}
		name = l.Start()
	case Check:
		a.Check, name = l.files.files[name], l.Judged.Holds
	}
	a.Routine, err = l.files.routine(name)
	return a, err
}
