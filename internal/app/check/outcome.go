package check

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

// State of a judged case.
type State string

const (
	Held  State = "held"
	Short State = "short" // it fell short of what is expected
	Wrong State = "wrong" // it could not be judged: its input is wrong
)

// Outcome is what a run found, in the order of files and cases.
type Outcome struct {
	Cases []Judged `json:"cases"`
	Held  int      `json:"held"`
	Short int      `json:"short"`
	Wrong int      `json:"wrong"`
}

// Judged is one case.
type Judged struct {
	File       string      `json:"file"`
	Case       string      `json:"case"` // "": none of the file's cases, or of the folder's files, could be judged
	State      State       `json:"state"`
	Facts      string      `json:"facts"` // what was found, in brief
	Shortfalls []Shortfall `json:"shortfalls,omitempty"`
	Error      string      `json:"error,omitempty"`
	Open       string      `json:"open"` // the command that shows it
	Notes      []string    `json:"notes,omitempty"`
	Rehearsals int         `json:"rehearsals"`
	HeldBy     int         `json:"held_by"` // of the rehearsals
	Marks      []Mark      `json:"-"`
	Missed     Wish        `json:"-"` // of trials that fell short: what was missed most often
	Needed     int         `json:"-"` // of trials: so many rehearsals must hold
}

// Mark is one expectation of a judged case, held or not.
type Mark struct {
	Wish
	Missed int        // rehearsals that missed it
	Short  *Shortfall // of the first that did
}

// marks are those of a case's expectations.
func marks(verdicts []verdict) []Mark {
	list := make([]Mark, len(verdicts[0].wishes))
	for i, wish := range verdicts[0].wishes {
		list[i].Wish = wish
		for k := range verdicts {
			s := verdicts[k].missing(wish)
			if s == nil {
				continue
			}
			if list[i].Missed++; list[i].Short == nil {
				list[i].Short = s
			}
		}
	}
	return list
}

// Add adds a case that was judged.
func (o *Outcome) Add(j Judged) {
	o.Cases = append(o.Cases, j)
	switch j.State {
	case Held:
		o.Held++
	case Short:
		o.Short++
	case Wrong:
		o.Wrong++
	}
}

// fold makes one case's judgement of the verdicts on its rehearsals.
func fold(first *job, verdicts []verdict, accept bool) Judged {
	s, c := first.subject, first.of
	j := Judged{File: filepath.ToSlash(s.file.Path), Case: c.Name, State: Held, Rehearsals: len(verdicts),
		Open: open(s, c, c.Seed)}
	for _, v := range verdicts {
		if v.err != nil {
			j.State, j.Error, j.Rehearsals = Wrong, v.err.Error(), 0
			return j
		}
		if len(v.short) == 0 {
			j.HeldBy++
		}
	}
	j.Marks = marks(verdicts)
	if c.Trials > 0 {
		j.foldTrials(s, c, verdicts)
		return j
	}
	v := verdicts[0]
	j.Facts = units.Counted(v.score, "point")
	j.Shortfalls = v.short
	if v.golden != nil && accept {
		j.accept(c, v)
	}
	if len(j.Shortfalls) > 0 && j.State == Held {
		j.State = Short
	}
	if !accept {
		j.adviseAccepting(v.fresh)
	}
	return j
}

// adviseAccepting says how a change that is wanted becomes the golden record.
func (j *Judged) adviseAccepting(fresh bool) {
	if !slices.ContainsFunc(j.Shortfalls, func(s Shortfall) bool { return s.golden }) {
		return
	}
	if fresh {
		j.Notes = append(j.Notes, "make the golden record with `chalkfield check --accept`, after a look at the rehearsal")
		return
	}
	j.Notes = append(j.Notes, "if it is better so, `chalkfield check --accept` writes the golden record anew")
}

// foldTrials judges the share of rehearsals that held by the lower end of its Wilson interval.
func (j *Judged) foldTrials(s *subject, c *Case, verdicts []verdict) {
	ci := stats.Wilson(j.HeldBy, len(verdicts), stats.Level)
	share := float64(j.HeldBy) / float64(len(verdicts))
	j.Facts = fmt.Sprintf("%d of %d held: %.1f %%, at least %.1f %%", j.HeldBy, len(verdicts), 100*share, 100*ci.Low)
	for j.Needed < len(verdicts) && stats.Wilson(j.Needed, len(verdicts), stats.Level).Low < c.Share {
		j.Needed++
	}
	if ci.Low >= c.Share {
		return
	}
	j.State = Short
	fall := Shortfall{Expected: fmt.Sprintf("holds in at least %g %% of rehearsals (lower end of the 95 %% "+
		"Wilson interval)", 100*c.Share)}
	fall.Happened = fmt.Sprintf("in %d of %d, %.1f %%, lower end %.1f %%", j.HeldBy, len(verdicts), 100*share, 100*ci.Low)
	seed := c.Seed
	if m := mostMissed(verdicts); m.times > 0 {
		seed += uint64(m.nth)
		fall.T, fall.File, fall.Line, fall.Ended = m.one.T, m.one.File, m.one.Line, m.one.Ended
		j.Missed = m.wish
		fall.Happened += fmt.Sprintf("; %s; seed %d: %s", m, seed, m.one.Happened)
	}
	j.Open = open(s, c, seed)
	j.Shortfalls = []Shortfall{fall}
}

// accept writes the golden record anew and notes what that changes.
func (j *Judged) accept(c *Case, v verdict) {
	if err := atomicfile.Write(c.Golden, func(w io.Writer) error {
		return v.golden.write(atomicfile.Within(w, atomicfile.Golden, 0, "take a shorter session"))
	}); err != nil {
		j.State, j.Error = Wrong, err.Error()
		return
	}
	var rest []Shortfall
	for _, s := range v.short {
		if s.golden {
			happened, _, _ := strings.Cut(s.Happened, rewrite) // that is done now
			j.Notes = append(j.Notes, fmt.Sprintf("accepted into %s: %s, %s", c.Golden, happened, s.Place()))
		} else {
			rest = append(rest, s)
		}
	}
	j.Shortfalls = rest
	switch {
	case v.fresh:
		j.Notes = append(j.Notes, fmt.Sprintf("wrote %s, the first one", c.Golden))
	case len(j.Notes) == 0:
		j.Notes = append(j.Notes, fmt.Sprintf("wrote %s: nothing beyond the tolerances changed", c.Golden))
	}
}

// open is the command that shows a case's rehearsal.
func open(s *subject, c *Case, seed uint64) string {
	command := strings.TrimSpace("chalkfield open " + s.replay)
	if c.Nominal {
		command += " --nominal"
	} else {
		command += fmt.Sprintf(" --seed %d", seed)
	}
	return command + c.Follows.flags()
}

// Files counts the files and folders none of whose cases could be judged.
func (o *Outcome) Files() int {
	n := 0
	for i := range o.Cases {
		if o.Cases[i].Case == "" {
			n++
		}
	}
	return n
}

// Unjudged is "2 cases and 1 file".
func (o *Outcome) Unjudged() string {
	files := o.Files()
	switch cases := o.Wrong - files; {
	case files == 0:
		return units.Counted(cases, "case")
	case cases == 0:
		return units.Counted(files, "file")
	default:
		return units.Counted(cases, "case") + " and " + units.Counted(files, "file")
	}
}
