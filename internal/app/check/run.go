package check

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Loader reads what a subject names. replay is the arguments of `chalkfield open` that bring it up, without seed.
type Loader func(Subject) (setup rehearse.Setup, replay string, err error)

// Options of a run.
type Options struct {
	Rehearse study.Runner
	Load     Loader
	Workers  int
	Only     string // cases whose "file: name" has this in it
	Accept   bool   // write goldens anew
	In       units.System
	Progress func(done, of int)
}

// subject is a loaded file: what its cases share.
type subject struct {
	file   *File
	setup  rehearse.Setup
	replay string
	plan   results.Result // the nominal rehearsal
	words  *words
	err    error
}

// job is one rehearsal of a case.
type job struct {
	subject *subject
	of      *Case
	nth     int
}

// verdict is what is kept of a rehearsal.
type verdict struct {
	wishes []Wish
	short  []Shortfall
	cause  string  // trials: its first departure from the plan, where that says why
	score  float64 // of the own side
	golden *golden
	fresh  bool // there is no golden record yet
	err    error
}

// Run rehearses and judges every case. An error is the user's interrupt or our own fault; everything else is in the
// outcome.
func Run(ctx context.Context, files []*File, o Options) (*Outcome, error) {
	out := &Outcome{}
	subjects, jobs := o.choose(files)
	total, done := len(subjects)+len(jobs), 0
	tick := func(n int) {
		if done += n; o.Progress != nil {
			o.Progress(done, total)
		}
	}
	err := pool.Each(ctx, upTo(len(subjects)), o.Workers, func(ctx context.Context, i int) (bool, error) {
		return true, subjects[i].prepare(ctx, o)
	}, func(batch []pool.Done[bool]) error { tick(len(batch)); return nil })
	if err != nil {
		return nil, err
	}
	verdicts := make([]verdict, len(jobs))
	err = pool.Each(ctx, upTo(len(jobs)), o.Workers, func(ctx context.Context, i int) (verdict, error) {
		return jobs[i].rehearse(ctx, o)
	}, func(batch []pool.Done[verdict]) error {
		tick(len(batch))
		for _, d := range batch {
			verdicts[d.Index] = d.Result
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	i := 0
	for _, f := range files {
		if f.Fault != nil {
			out.Add(Judged{File: filepath.ToSlash(f.Path), State: Wrong, Error: f.Fault.Error()})
		}
		for i < len(jobs) && jobs[i].subject.file == f {
			n := jobs[i].of.rehearsals()
			out.Add(fold(&jobs[i], verdicts[i:i+n], o.Accept))
			i += n
		}
	}
	return out, nil
}

func upTo(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

func (c *Case) rehearsals() int { return max(1, c.Trials) }

// title is what --only and --list name a case by.
func title(f *File, c *Case) string { return filepath.ToSlash(f.Path) + ": " + c.Name }

// chosen are the cases that --only leaves; a file with a fault has none.
func (f *File) chosen(only string) []*Case {
	var list []*Case
	for i := range f.Cases {
		if c := &f.Cases[i]; f.Fault == nil && strings.Contains(title(f, c), only) {
			list = append(list, c)
		}
	}
	return list
}

// List names the cases that --only leaves.
func List(files []*File, only string) []string {
	names := []string{}
	for _, f := range files {
		for _, c := range f.chosen(only) {
			names = append(names, title(f, c))
		}
	}
	return names
}

// choose lists the subjects that have a case left, and the rehearsals of their cases.
func (o Options) choose(files []*File) (subjects []*subject, jobs []job) {
	for _, f := range files {
		chosen := f.chosen(o.Only)
		if len(chosen) == 0 {
			continue
		}
		s := &subject{file: f}
		subjects = append(subjects, s)
		for _, c := range chosen {
			for k := range c.rehearsals() {
				jobs = append(jobs, job{s, c, k})
			}
		}
	}
	return subjects, jobs
}

// prepare loads a subject, rehearses it nominally for the plan, and checks that its cases name what there is.
func (s *subject) prepare(ctx context.Context, o Options) error {
	s.setup, s.replay, s.err = o.Load(s.file.Subject.beside(filepath.Dir(s.file.Path)))
	if s.err != nil {
		return nil
	}
	nominal := s.setup
	nominal.Nominal, nominal.Seed = true, 1
	plan, err := s.rehearse(ctx, o, nominal)
	if err != nil || s.err != nil {
		return err
	}
	if s.err = s.twice(ctx, o, nominal, plan); s.err != nil {
		return ctx.Err()
	}
	s.plan, s.words = results.Of(plan, own), wordsOf(plan, s.setup.Field.Floor)
	s.words.in = o.In
	at := s.file.positions
	for i := range s.file.Cases {
		path, expected := fmt.Sprintf("cases[%d]", i), &s.file.Cases[i].Expectations
		s.words.meaning(at, path, expected, plan)
		if expected.Follows != nil {
			expected.Follows.read(at, path+".follows_log", s.setup.Entrants[own].Robot)
		}
	}
	for i, fault := range at.Apart("cases") { // jobs are counted already: the case keeps its trials
		s.file.Cases[i].Fault = fault
	}
	return nil
}

// twice rehearses once more where a program commands a robot: what it does must depend on what it is told alone.
func (s *subject) twice(ctx context.Context, o Options, nominal rehearse.Setup, plan *record.Record) error {
	for _, robot := range plan.Header.Robots {
		if !robot.Outside {
			continue
		}
		again, err := o.Rehearse(ctx, nominal)
		if err != nil {
			return err
		}
		first, err := plan.Fingerprint()
		second, err2 := again.Fingerprint()
		if err := cmp.Or(err, err2); err != nil || first == second {
			return err
		}
		return fmt.Errorf("%s does not do the same twice in the same rehearsal: the two part at %.2f s; does it draw random "+
			"numbers of its own, look at the clock, or keep something from the rehearsal before?", robot.Routine.Name,
			partingOf(plan, again))
	}
	return nil
}

// partingOf is when two records of one rehearsal first differ, in seconds.
func partingOf(a, b *record.Record) float64 {
	last := 0.0
	for i := range min(len(a.Samples), len(b.Samples)) {
		if last = a.Samples[i].T; !reflect.DeepEqual(a.Samples[i], b.Samples[i]) {
			break
		}
	}
	for i := range min(len(a.Events), len(b.Events)) {
		if !reflect.DeepEqual(a.Events[i], b.Events[i]) {
			return min(last, a.Events[i].T, b.Events[i].T)
		}
	}
	return last
}

// rehearse sorts errors: an interrupt ends the run, anything else is about the input.
func (s *subject) rehearse(ctx context.Context, o Options, setup rehearse.Setup) (*record.Record, error) {
	r, err := o.Rehearse(ctx, setup)
	if err != nil && ctx.Err() != nil {
		return nil, err
	}
	s.err = err
	return r, nil
}

// rehearse does one rehearsal of a case and judges it.
func (w *job) rehearse(ctx context.Context, o Options) (verdict, error) {
	s, c := w.subject, w.of
	if err := cmp.Or(c.Fault, s.err); err != nil {
		return verdict{err: err}, nil
	}
	setup := s.setup
	setup.Seed, setup.Nominal = c.Seed+uint64(w.nth), c.Nominal
	r, err := o.Rehearse(ctx, setup)
	if err != nil {
		if ctx.Err() != nil {
			return verdict{}, err
		}
		return verdict{err: err}, nil
	}
	v := verdict{score: r.Sheet.Total[r.Header.Robots[own].Side]}
	plan := &s.plan
	if c.Nominal {
		plan = nil
	}
	j := judge(r, s.words, &c.Expectations, plan)
	v.wishes, v.short = j.wishes, j.short
	if c.Trials > 0 && len(v.short) > 0 {
		last := r.Samples[len(r.Samples)-1].T
		if d := results.Blame(s.plan, results.Of(r, own), s.words.Rules, last); !d.Nothing() {
			v.cause = o.In.Retold(d.Words)
		}
	}
	if c.Golden != "" {
		v.golden = goldenOf(r)
		against, fresh := c.againstGolden(r, s.words)
		v.fresh, v.wishes = fresh, append(v.wishes, against.wishes...)
		if !fresh || !o.Accept {
			v.short = append(v.short, against.short...)
		}
	}
	return v, nil
}

// againstGolden holds a record against the golden one; fresh when there is none.
func (c *Case) againstGolden(r *record.Record, w *words) (j *judgement, fresh bool) {
	j = &judgement{record: r, words: w, result: results.Of(r, own)}
	j.wish("golden", "the golden record in %s", c.Golden)
	data, err := atomicfile.Read(c.Golden, atomicfile.Golden)
	var g *golden
	if err == nil {
		g, err = readGolden(c.Golden, data)
	} else if fresh = errors.Is(err, fs.ErrNotExist); fresh {
		err = errors.New("there is none yet")
	} else {
		err = atomicfile.Cause(err)
	}
	if err != nil {
		j.fallAtEnd("a golden record in "+c.Golden, err.Error())
	} else {
		j.departures(g, c.Within)
	}
	for i := range j.short {
		j.short[i].golden = true
	}
	return j, fresh
}

// from is a path as the file in dir has it.
func from(dir, name string) string {
	name = filepath.FromSlash(name)
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(dir, name)
}

// beside leads names to files beside the check file, where there are any.
func (s Subject) beside(dir string) Subject {
	for _, name := range []*string{&s.Routine, &s.Robot, &s.Field, &s.Partner, &s.Pad} {
		*name = beside(dir, *name)
	}
	opponents := make([]string, len(s.Opponents))
	for i, name := range s.Opponents {
		opponents[i] = beside(dir, name)
	}
	s.Opponents, s.Folder = opponents, dir
	return s
}

// beside is a name as a path from the check file's folder: always for what looks like a file, and for what is there.
func beside(dir, name string) string {
	if name == "" || filepath.IsAbs(name) {
		return name
	}
	path := from(dir, name)
	if _, err := os.Stat(path); err == nil || filepath.Ext(name) != "" {
		return path
	}
	return name
}
