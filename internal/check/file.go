// Package check holds what a team expects of its routines, and judges rehearsals by it: check files, golden records, and
// results for people, programs and CI servers.
package check

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"chalkfield/internal/study/stats"
	"chalkfield/internal/tomlfile"
	"chalkfield/internal/units"
	"chalkfield/internal/wholefile"
)

// Suffix of a check file's name.
const Suffix = ".check.toml"

// File is a validated check file, or the fault for which there is none.
type File struct {
	Path    string
	Title   string
	Subject Subject
	Cases   []Case
	Reads   []string // every file that judging its cases reads, whether it is there yet or not
	Fault   error    // why none of its cases can be judged; Path may then be a folder

	positions *tomlfile.Positions // for errors that show only once more is known
}

// Subject is what is rehearsed. Names are as the file has them; where a file of that name stands beside the check file,
// they lead there.
type Subject struct {
	Routine, Robot, Field string
	Session, Side         string
	Partner               string
	Opponents             []string
	Pad                   string
	Params                map[string]float64
}

// Case is one expectation or several about one rehearsal, or about the share of many.
type Case struct {
	Name    string
	Seed    uint64
	Nominal bool
	Trials  int     // 0: one rehearsal
	Share   float64 // of trials: the lower end of the Wilson interval must reach it
	Expect  Expectations
	Golden  string // path, "" for none
	Within  Tolerances
	Fault   error // why it cannot be judged
}

// checkFile is the file as TOML has it.
type checkFile struct {
	Title     string             `toml:"title"`
	Routine   string             `toml:"routine" need:"'mine.lua'"`
	Robot     string             `toml:"robot"`
	Field     string             `toml:"field"`
	Session   string             `toml:"session"`
	Side      string             `toml:"side"`
	Partner   string             `toml:"partner"`
	Opponents []string           `toml:"opponents"`
	Pad       string             `toml:"pad"`
	Params    map[string]float64 `toml:"params"`
	Cases     []caseFile         `toml:"cases" need:"[{ name = 'as planned', nominal = true, score_at_least = 10 }]"`
}

type caseFile struct {
	Name    string  `toml:"name" need:"'as planned'"`
	Seed    int64   `toml:"seed" default:"1"`
	Nominal bool    `toml:"nominal"`
	Trials  int     `toml:"trials"`
	Share   float64 `toml:"share"`

	ScoreAtLeast  *float64           `toml:"score_at_least"`
	ScoreAtMost   *float64           `toml:"score_at_most"`
	Ahead         bool               `toml:"ahead"`
	CountAtLeast  map[string]float64 `toml:"count_at_least"`
	PointsAtLeast map[string]float64 `toml:"points_at_least"`
	DoneBefore    *units.Time        `toml:"done_before"`
	Events        []eventFile        `toml:"events"`
	Order         []string           `toml:"order"`
	End           *endFile           `toml:"end"`
	Belief        *units.Length      `toml:"belief_within"`
	BeliefHeading *units.Angle       `toml:"belief_heading_within"`
	NeverTouches  []string           `toml:"never_touches"`
	NoFoul        bool               `toml:"no_foul"`
	NoStall       bool               `toml:"no_stall"`
	Battery       *units.Voltage     `toml:"battery_at_least"`
	Air           *airFile           `toml:"air_at_least"`
	Golden        string             `toml:"golden"`
	GoldenWithin  withinFile         `toml:"golden_within"`
}

type eventFile struct {
	Event   string      `toml:"event" need:"'clamped middle sled'"`
	Before  *units.Time `toml:"before"`
	After   *units.Time `toml:"after"`
	AtLeast *int        `toml:"at_least"`
	AtMost  *int        `toml:"at_most"`
}

type endFile struct {
	At            *[2]units.Length `toml:"at"`
	Within        units.Length     `toml:"within" default:"50 mm"`
	Heading       *units.Angle     `toml:"heading"`
	WithinHeading units.Angle      `toml:"within_heading" default:"5 deg"`
}

type withinFile struct {
	Place   units.Length `toml:"place" default:"1 mm"`
	Heading units.Angle  `toml:"heading" default:"0.1 deg"`
	Time    units.Time   `toml:"time" default:"20 ms"`
	Score   float64      `toml:"score" default:"0"`
}

// Load reads and validates a check file.
func Load(path string) (*File, error) {
	data, err := tomlfile.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, wholefile.Cause(err))
	}
	return Parse(path, data)
}

// Parse reads a check file from bytes; name is its path. What is wrong in one case is that case's Fault.
func Parse(name string, data []byte) (*File, error) {
	var file checkFile
	at, faults, err := tomlfile.DecodeApart(name, data, &file, "cases")
	if err != nil {
		return nil, err
	}
	out := &File{Path: name, Title: file.Title, positions: at, Subject: Subject{
		Routine: file.Routine, Robot: file.Robot, Field: file.Field, Session: file.Session, Side: file.Side,
		Partner: file.Partner, Opponents: file.Opponents, Pad: file.Pad, Params: file.Params,
	}}
	if len(file.Cases) == 0 {
		at.Errorf("cases", "there is no case: write [[cases]] with name and what is expected")
	}
	for i := range file.Cases {
		path := fmt.Sprintf("cases[%d]", i)
		c := Case{Name: at.Text(path + ".name"), Golden: goldenPath(filepath.Dir(name), at.Text(path+".golden"))}
		if faults[i] == nil {
			c = file.Cases[i].convert(at, path, filepath.Dir(name))
		}
		if c.Name != "" && slices.ContainsFunc(out.Cases, func(d Case) bool { return d.Name == c.Name }) {
			at.Errorf(path+".name", "%q is the name of another case too: give each its own", c.Name)
		}
		out.Cases = append(out.Cases, c)
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

func goldenPath(dir, name string) string {
	if name == "" {
		return ""
	}
	return from(dir, name)
}

const mostTrials = 100_000

// convert validates a case and gives it in SI units.
func (c *caseFile) convert(at *tomlfile.Positions, path, dir string) Case {
	out := Case{
		Name: c.Name, Seed: uint64(c.Seed), Nominal: c.Nominal, Trials: c.Trials, Share: c.Share, Expect: c.expectations(at, path),
		Within: Tolerances{Place: float64(c.GoldenWithin.Place), Heading: float64(c.GoldenWithin.Heading), Time: float64(c.GoldenWithin.Time), Score: c.GoldenWithin.Score},
	}
	out.Golden = goldenPath(dir, c.Golden)
	if c.Golden == "" && at.Has(path+".golden_within") {
		at.Errorf(path+".golden_within", "there is no golden record to be within: write golden = \"plan.golden.jsonl\" too")
	}
	if c.Name == "" {
		at.Errorf(path+".name", "a case needs a name")
	}
	if c.Seed < 0 {
		at.Errorf(path+".seed", "must be 0 or more")
	}
	c.validateTrials(at, path)
	if out.Expect.none() && c.Golden == "" {
		at.Errorf(path, "the case %q expects nothing: write, for example, score_at_least = 10", c.Name)
	}
	for _, t := range []struct {
		key   string
		value float64
	}{{"place", out.Within.Place}, {"heading", out.Within.Heading}, {"time", out.Within.Time}, {"score", out.Within.Score}} {
		if t.value < 0 || math.IsNaN(t.value) {
			at.Errorf(path+".golden_within."+t.key, "must be 0 or more")
		}
	}
	return out
}

func (c *caseFile) validateTrials(at *tomlfile.Positions, path string) {
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
		at.Errorf(path+".share", "trials need the share that must hold what the case expects, between 0 and 1: write share = 0.9 (100 %% cannot be shown by any number of trials)")
	case stats.Wilson(c.Trials, c.Trials, stats.Level).Low < c.Share:
		at.Errorf(path+".trials", "%d trials cannot show a share of %g even if all of them hold: write trials = %d or more", c.Trials, c.Share, fewest(c.Share))
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
