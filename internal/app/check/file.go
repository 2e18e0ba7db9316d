// Package check holds what a team expects of its routines, and judges rehearsals by it: check files, golden records,
// and results for people, programs and CI servers.
package check

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
)

// Suffix of a check file's name.
const Suffix = ".check.toml"

// File is a validated check file, or the fault for which there is none. It and the structs below are the tables of the
// file as tomlfile decodes them.
type File struct {
	Path  string
	Title string `toml:"title"`
	Subject
	Cases []Case   `toml:"cases" need:"[{ name = 'as planned', nominal = true, score_at_least = 10 }]"`
	Reads []string // every file that judging its cases reads, whether it is there yet or not
	Fault error    // why none of its cases can be judged; Path may then be a folder

	positions *tomlfile.Positions // for errors that show only once more is known
}

// Subject is what is rehearsed. Names are as the file has them; where a file of that name stands beside the check file,
// they lead there.
type Subject struct {
	Routine   string                    `toml:"routine"`
	Program   string                    `toml:"program"` // the command, instead of a routine
	Folder    string                    // in which the program runs
	Robot     string                    `toml:"robot"`
	Field     string                    `toml:"field"`
	Session   string                    `toml:"session"`
	Side      string                    `toml:"side"`
	Partner   string                    `toml:"partner"`
	Opponents []string                  `toml:"opponents"`
	Pad       string                    `toml:"pad"`
	Params    map[string]tomlfile.Plain `toml:"params"`
}

// Case is one expectation or several about one rehearsal, or about the share of many.
type Case struct {
	Name    string  `toml:"name" need:"'as planned'"`
	Seed    uint64  `toml:"seed" default:"1"`
	Nominal bool    `toml:"nominal"`
	Trials  int     `toml:"trials"` // 0: one rehearsal
	Share   float64 `toml:"share"`  // of trials: the lower end of the Wilson interval must reach it
	Expectations
	Golden string     `toml:"golden"` // path, "" for none
	Within Tolerances `toml:"golden_within"`
	Fault  error      // why it cannot be judged
}

// Load reads and validates a check file.
func Load(path string) (*File, error) {
	if ext := filepath.Ext(path); ext != ".toml" {
		return nil, fmt.Errorf("%s: a check file's name ends in %s: name one, or a folder in which they are", path, Suffix)
	}
	data, err := tomlfile.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
	}
	return Parse(path, data)
}

// Parse reads a check file from bytes; name is its path. What is wrong in one case is that case's Fault.
func Parse(name string, data []byte) (*File, error) {
	out := &File{Path: name}
	at, faults, err := tomlfile.DecodeApart(name, data, out, "cases")
	if err != nil {
		return nil, err
	}
	out.positions = at
	out.Subject.validate(at)
	if len(out.Cases) == 0 {
		at.Errorf("cases", "there is no case: write [[cases]] with name and what is expected")
	}
	for i := range out.Cases {
		c, path := &out.Cases[i], fmt.Sprintf("cases[%d]", i)
		if faults[i] == nil {
			c.validate(at, path)
		}
		if c.Follows != nil {
			c.Follows.validate(at, path+".follows_log", filepath.Dir(name))
		}
		c.Name, c.Golden = at.Text(path+".name"), goldenPath(filepath.Dir(name), at.Text(path+".golden"))
		if c.Name != "" && slices.ContainsFunc(out.Cases[:i], func(d Case) bool { return d.Name == c.Name }) {
			at.Errorf(path+".name", "%q is the name of another case too: give each its own", c.Name)
		}
	}
	out.blame(faults)
	out.blame(at.Apart("cases"))
	return out, at.Err()
}

// blame leaves of cases with a fault their name and what --junit must not overwrite.
func (f *File) blame(faults map[int]error) {
	for i, fault := range faults {
		c := &f.Cases[i]
		*c = Case{Name: cmp.Or(c.Name, fmt.Sprintf("case %d", i+1)), Golden: c.Golden, Fault: cmp.Or(c.Fault, fault)}
	}
}

// Faults is all that is wrong in the file, nil for nothing.
func (f *File) Faults() error {
	all := []error{f.Fault}
	for i := range f.Cases {
		all = append(all, f.Cases[i].Fault)
	}
	return errors.Join(all...)
}

// validate sees to it that one thing commands the robot.
func (s *Subject) validate(at *tomlfile.Positions) {
	switch {
	case s.Routine != "" && s.Program != "":
		at.Errorf("program", "the robot has one master: leave out routine, or program")
	case s.Routine == "" && s.Program == "" && wording.Nearest("routine", at.Keys("")) == "":
		at.Errorf("routine", "the key \"routine\" is missing: write, for example, routine = \"mine.lua\"")
	}
}

func goldenPath(dir, name string) string {
	if name == "" {
		return ""
	}
	return from(dir, name)
}

const mostTrials = 100_000

func (c *Case) validate(at *tomlfile.Positions, path string) {
	c.expectations(at, path)
	if c.Golden == "" && at.Has(path+".golden_within") {
		at.Errorf(path+".golden_within", "there is no golden record to be within: write golden = \"plan.golden.jsonl\" too")
	}
	if c.Name == "" {
		at.Errorf(path+".name", "a case needs a name")
	}
	c.validateTrials(at, path)
	if c.none() && c.Golden == "" {
		at.Errorf(path, "the case %q expects nothing: write, for example, score_at_least = 10", c.Name)
	}
	for _, t := range []struct {
		key   string
		value float64
	}{{"place", c.Within.Place}, {"heading", c.Within.Heading}, {"time", c.Within.Time}, {"score", c.Within.Score}} {
		if t.value < 0 {
			at.Errorf(path+".golden_within."+t.key, "must be 0 or more")
		}
	}
}

func (c *Case) validateTrials(at *tomlfile.Positions, path string) {
	switch {
	case c.Trials < 0 || c.Trials > mostTrials:
		at.Errorf(path+".trials", "must be from 1 to %d", mostTrials)
	case c.Trials == 0 && at.Has(path+".share"):
		at.Errorf(path+".share", "a share needs trials: write trials = 200")
	case c.Trials == 0:
	case c.Nominal:
		at.Errorf(path+".nominal", "trials draw from the spread, nominal draws nothing: leave out one of them")
	case c.Golden != "":
		at.Errorf(path+".golden", "a golden record is of one rehearsal: make it a case of its own, without trials")
	case !(c.Share > 0 && c.Share < 1):
		at.Errorf(path+".share", "trials need the share that must hold what the case expects, between 0 and 1: write share "+
			"= 0.9 (100 %% cannot be shown by any number of trials)")
	case stats.Wilson(c.Trials, c.Trials, stats.Level).Low < c.Share:
		at.Errorf(path+".trials", "%d trials cannot show a share of %g even if all of them hold: write trials = %d or more",
			c.Trials, c.Share, fewest(c.Share))
	}
}

// fewest is how many trials, all of them holding, show a share.
func fewest(share float64) int {
	n := 1
	for stats.Wilson(n, n, stats.Level).Low < share && n < mostTrials {
		n++
	}
	return n
}

// Wrong is an error at a key of the file, for a reader who needs more of it than it must have.
func (f *File) Wrong(key, format string, args ...any) error {
	f.positions.Errorf(key, format, args...)
	return f.positions.Err()
}
