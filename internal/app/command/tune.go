package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
)

type tuneCommand struct {
	inputs
	For     string         `help:"What to have as much of as possible. Default: score." default:"score" placeholder:"GOAL"`
	Need    []string       `help:"A limit that must be kept, as in \"belief_error < 40 mm\". May be repeated." sep:"none" placeholder:"LIMIT"`
	Vary    []string       `help:"Vary only this freedom of the routine, within limits if given. May be repeated. Default: all that no --param fixes." sep:"none" placeholder:"NAME[=FROM..TO]"`
	Count   *int           `help:"Rehearsals to search with; what follows is in proportion. Default: 2000." short:"n" placeholder:"N"`
	Time    *time.Duration `help:"Instead of -n: about how long it may take on this machine, as in 10m." placeholder:"TIME"`
	Confirm *int           `help:"Rehearsals with fresh seeds of the winner, the runner-up and today's values each. Default: a fifth of -n, 200 at most." placeholder:"N"`
	Write   bool           `help:"If the winner is better, write its values into the routine's file as new defaults, nothing else."`
	Out     string         `help:"Keep the rehearsals in this file as they come (JSON Lines). Without it an interrupted search is kept beside you as ROUTINE.tune." placeholder:"FILE"`
	Resume  bool           `help:"Go on with the search in --out."`
	Shard   string         `help:"Not possible: each step of a search depends on all before." hidden:""`
	Workers int            `help:"Cores to use. Default: all." placeholder:"N"`
	JSON    bool           `help:"Print what was found as JSON." name:"json"`
	Report  string         `help:"Write a report that a browser shows (.html), in one file." placeholder:"FILE"`
}

// Help is shown under the flags.
func (tuneCommand) Help() string {
	var measures strings.Builder
	for _, m := range results.Measures {
		name := m.Name
		if m.Of != results.OfNothing {
			name += map[results.Naming]string{results.OfRule: "(core in sled)", results.OfEvent: "(scored sled)",
				results.OfResult: "(gap)"}[m.Of]
		}
		fmt.Fprintf(&measures, "  %-22s %s\n", name, m.Says)
	}
	return `Searches what a routine leaves open (param, choice, order, whether) for the values that bring most of a goal,
holds the best against each other, and tells winner, runner-up and today's values apart with seeds that nothing was
picked by. "No better than before" is a result.

A goal is a formula. It reads of each rehearsal
` + measures.String() + `and makes one number of many by mean(x), sd(x), share(condition), lowest(10%, x), highest(10%, x), or
worst(10%) of the score. What stands outside of these is the mean. Quantities have units: 40 mm, 5 s, 90 deg.

-n is the search alone. After it come the rehearsals that confirm it (three times --confirm) and those about the best,
together about as many as -n again, though not fewer than can show something; if something better shows there, the
search goes on, up to five times -n in all. How many there are is said before it begins.

Interrupted (Ctrl-C), it goes on with --resume and finds what it would have found. It cannot be spread over machines
with --shard: each step depends on all before. The same seed gives the same search on any number of cores.

Examples:
  chalkfield tune mine.lua
  chalkfield tune mine.lua --for "-time(scored sled)" --need "share(score >= 10) >= 90%"
  chalkfield tune mine.lua --for "mean(score) - 0.5*sd(score)" --vary turn_gain --vary speed=400..900 -n 4000
  chalkfield tune mine.lua --for "worst(10%)" --time 10m --report tune.html --write`
}

// Run searches and tells what was found.
func (c tuneCommand) Run(ctx context.Context, s streams) error {
	if err := c.check(); err != nil {
		return err
	}
	candidate, err := c.candidate()
	if err != nil {
		return err
	}
	want, err := c.want()
	if err != nil {
		return err
	}
	if want.Open, err = study.OpenIn(ctx, candidate.Setup); err != nil {
		return err
	}
	count, err := c.budget(ctx, candidate, want)
	if err != nil {
		return err
	}
	if want.Confirm = study.Confirms(count); c.Confirm != nil {
		want.Confirm = *c.Confirm
	}
	one, err := study.NewTune(ctx, careful, candidate, want,
		study.Options{Count: count, Seed: c.Seed, Shard: results.Whole})
	if err != nil {
		return err
	}
	if c.Write {
		if err := c.mayWrite(candidate.Setup.Entrants[0].Routine, one.Header.Search); err != nil {
			return err
		}
	}
	file, found, err := c.search(ctx, s, one)
	if err != nil {
		return err
	}
	told := analysis.OfTune(file, one.Subject, one.Goal, found)
	what := report.Tune(s.units, &file.Header, told)
	if c.Report != "" {
		if err := writeReport(c.Report, what, file, candidate.Setup.Field); err != nil {
			return err
		}
	}
	if err := s.tell(what, c.JSON); err != nil || !c.Write {
		return err
	}
	return c.write(s, candidate.Setup.Entrants[0].Routine, one.Header.Search, told)
}

// check refuses flags that cannot be, before anything is rehearsed.
func (c *tuneCommand) check() error {
	switch {
	case c.Shard != "":
		return errors.New("--shard: a search cannot be spread over machines, because each step depends on all before; run " +
			"it on one with more cores, or run several with another --seed and `chalkfield compare` their winners")
	case c.Count != nil && c.Time != nil:
		return errors.New("-n and --time are both given: the time says how many rehearsals there are; leave one out")
	case c.Count != nil && *c.Count < 1:
		return fmt.Errorf("-n %d: write 1 or more", *c.Count)
	case c.Confirm != nil && *c.Confirm < 1:
		return fmt.Errorf("--confirm %d: write 1 or more", *c.Confirm)
	case c.Time != nil && *c.Time <= 0:
		return fmt.Errorf("--time %s: write how long it may take, as in 10m", *c.Time)
	case c.Workers < 0:
		return fmt.Errorf("--workers %d: write 1 or more", c.Workers)
	case c.Write && !strings.HasSuffix(c.Routine, ".lua"):
		return errors.New("--write: name a routine file (.lua) of your own; an embedded routine or a program is not written")
	}
	if c.Workers == 0 {
		c.Workers = pool.Cores()
	}
	if err := pageFile.mayBe(c.Report); err != nil {
		return err
	}
	if err := foldersExist(c.Report, c.Out); err != nil {
		return err
	}
	return c.refuseOverwriting(c.Out, c.Report)
}

// want reads what is to be found.
func (c *tuneCommand) want() (study.Want, error) {
	w := study.Want{For: c.For, Needs: c.Need, Nominal: c.Nominal}
	for _, text := range c.Vary {
		name, limits, limited := strings.Cut(text, "=")
		v := study.Vary{Name: name, Limited: limited}
		if slices.ContainsFunc(w.Vary, func(o study.Vary) bool { return o.Name == name }) {
			return w, fmt.Errorf("--vary %s is given twice: leave one out", name)
		}
		if _, fixed := c.Param[name]; fixed {
			return w, fmt.Errorf("--vary %s and --param %s: a value that is given is not varied; leave one out", name, name)
		}
		if limited {
			from, to, _ := strings.Cut(limits, "..")
			var wrong [2]error
			v.Min, wrong[0] = strconv.ParseFloat(strings.TrimSpace(from), 64)
			v.Max, wrong[1] = strconv.ParseFloat(strings.TrimSpace(to), 64)
			if wrong[0] == nil && wrong[1] == nil && v.Min > v.Max {
				return w, fmt.Errorf("--vary %s: the limits are turned round, write --vary %s=%s..%s", text, name,
					strings.TrimSpace(to), strings.TrimSpace(from))
			}
			if wrong[0] != nil || wrong[1] != nil || !(v.Min < v.Max) || math.IsInf(v.Max-v.Min, 0) {
				return w, fmt.Errorf("--vary %s: write its limits as in --vary %s=0.1..0.4", text, name)
			}
		}
		w.Vary = append(w.Vary, v)
	}
	return w, nil
}

// budget is how many rehearsals there are to search with. A time is turned into them by the time that some take here; a
// search that is gone on with keeps its own.
func (c *tuneCommand) budget(ctx context.Context, candidate study.Candidate, w study.Want) (int, error) {
	switch {
	case c.Count != nil:
		return *c.Count, nil
	case c.Time == nil:
		return usualBudget, nil
	}
	if old, err := results.Read(c.Out); c.Resume && err == nil && old.Header.Search != nil {
		return old.Header.Search.Budget, nil
	}
	tries, setup := 2*c.Workers, candidate.Setup
	setup.Nominal, setup.Sparse = w.Nominal, true
	begun := time.Now()
	err := pool.Each(ctx, make([]int, tries), c.Workers, func(ctx context.Context, _ int) (int, error) {
		_, err := careful(ctx, setup)
		return 0, err
	}, func([]pool.Done[int]) error { return nil })
	if err != nil {
		return 0, err
	}
	each := time.Since(begun).Seconds() / float64(tries)
	count := int(c.Time.Seconds() / max(each, 1e-4) * searchShare)
	return min(max(count, fewestSearched), mostSearched), nil
}

// Of the time so much is the search's, with at least and at most so many rehearsals; without a time, the usual.
const (
	searchShare    = 0.4
	usualBudget    = 2000
	fewestSearched = 100
	mostSearched   = 500_000
)

// search goes through the search, and keeps what an interrupt leaves.
func (c *tuneCommand) search(ctx context.Context, s streams, one *study.Tune) (*results.File, results.Found, error) {
	flags := studyFlags{Out: c.Out, Resume: c.Resume, Workers: c.Workers}
	if path := flags.path(&one.Header, 1); c.Resume && !taken(path) {
		return nil, results.Found{}, fmt.Errorf("--resume: there is no file %s to go on with: name the one that the "+
			"interrupted search was kept in with --out, or leave --resume out to begin anew", path)
	}
	journal, err := flags.journal(s, &one.Header)
	if err != nil {
		return nil, results.Found{}, err
	}
	ease(one.Header.Jobs())
	fmt.Fprintf(s.err, "chalkfield: %s\n", one.Outlook())
	bar := progress(s.err, one.Planned)
	aim := analysis.AimOf(one.Goal)
	found, running := one.Run(ctx, journal, c.Workers, func(p results.Progress) {
		bar.doing = fmt.Sprintf("%s, best %s", p.Doing, aim.Value(s.units, p.Worth.Value))
		bar.total = max(bar.total, p.Planned)
		bar.add(p.Done - bar.done)
	})
	bar.clear()
	if err := journal.Close(); err != nil {
		return nil, found, err
	}
	var defect *pool.Defect
	switch {
	case errors.As(running, &defect):
		panic(defect.Error())
	case errors.Is(running, context.Canceled):
		return nil, found, flags.keep(s, journal)
	}
	return journal.File(), found, running
}

// written are the routine's files with values as their defaults; those that are today's are left alone.
func (c tuneCommand) written(routine *scripting.Program, s *results.Search,
	values []float64) (map[string]string, error) {
	texts := maps.Clone(routine.Texts)
	for i := range s.Freedoms {
		if f := &s.Freedoms[i]; values[i] != f.Today {
			name, from, to, with, err := defaultIn(texts, f.Param(values[i]))
			if err != nil {
				return nil, err
			}
			texts[name] = texts[name][:from] + with + texts[name][to:]
		}
	}
	return texts, nil
}

// mayWrite names all that --write could not write, before anything is searched.
func (c tuneCommand) mayWrite(routine *scripting.Program, s *results.Search) error {
	var others, wrong []string
	for _, f := range s.Freedoms {
		p := f.Param(f.Today)
		if _, _, _, _, err := defaultIn(routine.Texts, p); err != nil {
			wrong = append(wrong, "\n  "+err.Error())
			continue
		}
		others = append(others, "--vary "+wording.Quoted(f.Name))
	}
	switch {
	case len(wrong) == 0:
		return nil
	case len(others) == 0:
		return fmt.Errorf("--write cannot write what this search would vary:%s\nor search without --write",
			strings.Join(wrong, ""))
	}
	return fmt.Errorf("--write cannot write all that this search would vary:%s\nor search without --write, or only with "+
		"%s", strings.Join(wrong, ""), strings.Join(others, " "))
}

// defaultIn is how one of a routine's files comes to have a value as its default.
func defaultIn(texts map[string]string, p scripting.Param) (name string, from, to int, with string, err error) {
	var wrong error
	for _, name := range slices.Sorted(maps.Keys(texts)) {
		if from, to, with, err = p.DefaultIn(texts[name]); err == nil {
			return name, from, to, with, nil
		}
		if !errors.Is(err, scripting.ErrNoCall) {
			err = fmt.Errorf("%s, %w", name, err)
		}
		if wrong == nil || errors.Is(wrong, scripting.ErrNoCall) {
			wrong = err
		}
	}
	return "", 0, 0, "", wrong
}

// write puts the winner's values into the routine's files.
func (c *tuneCommand) write(s streams, routine *scripting.Program, search *results.Search, told analysis.Tune) error {
	if !told.Is {
		fmt.Fprintln(s.err, "chalkfield: nothing was written, because the winner is not shown to be better")
		return nil
	}
	texts, err := c.written(routine, search, told.Winner.Values)
	if err != nil {
		return err
	}
	now, err := scripting.Load(c.Routine)
	if err != nil {
		return err
	}
	if now.SHA256 != routine.SHA256 {
		return fmt.Errorf("%s has changed since the search began: nothing was written; give the values by hand: %s",
			c.Routine, told.Winner.Flags)
	}
	for _, name := range slices.Sorted(maps.Keys(texts)) {
		if texts[name] == routine.Texts[name] {
			continue
		}
		path := filepath.Join(filepath.Dir(c.Routine), filepath.FromSlash(name))
		stands, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		mark := strings.TrimSuffix(string(stands), routine.Texts[name]) // of the byte order that some editors put there
		if err := atomicfile.Write(path, func(w io.Writer) error {
			_, err := io.WriteString(w, mark+texts[name])
			return err
		}); err != nil {
			return err
		}
		fmt.Fprintf(s.err, "chalkfield: the winner's values are written into %s\n", path)
	}
	return nil
}
