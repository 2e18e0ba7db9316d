// Package study makes many rehearsals of one thing: trials over the spread, comparisons of two variants with the same
// seeds, sweeps over a grid. It spreads them over the cores, keeps what is done in a file that survives a kill, and
// leaves what they mean to its package analysis.
//
// Rehearsal k of a study draws from seed + k. So the parts of a study that is spread over machines are disjoint, and
// merged they are the study.
package study

import (
	"context"
	"fmt"
	"slices"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
)

// Runner rehearses once: rehearse.Run, or a stand-in in tests.
type Runner func(context.Context, rehearse.Setup) (*record.Record, error)

// Candidate is what is to be tried.
type Candidate struct {
	Name   string         // what the user calls it
	Replay string         // the arguments of `chalkfield open` that bring it up, without the seed
	Setup  rehearse.Setup // its seed and Nominal do not count
}

// Options are what all studies have in common.
type Options struct {
	Count int      // rehearsals of each candidate, or of each point of a sweep
	Seed  uint64   // of the first
	For   string   // the goal by which they are measured; "": the score
	Need  *float64 // points from which a rehearsal is good; nil: the nominal rehearsal's
	Shard results.Shard
	Ready func(points int) // if given: called as the points of a sweep are made ready, before any is rehearsed
}

// Study is ready to run.
type Study struct {
	Header results.Header
	run    Runner
	points []rehearse.Setup // per point; a sweep's are made when first needed
	slim   bool             // keep only what slimmed keeps

	subject *results.Subject // of the goal, if there is one
	goal    *results.Goal
}

// own is the index of the robot under test.
const own = 0

// Trials prepares rehearsals of one candidate over the spread. It rehearses once, nominally.
func Trials(ctx context.Context, run Runner, c Candidate, o Options) (*Study, error) {
	return prepare(ctx, run, results.Trials, []Candidate{c}, o)
}

// Compare prepares rehearsals of two candidates with the same seeds. It rehearses each once, nominally.
func Compare(ctx context.Context, run Runner, a, b Candidate, o Options) (*Study, error) {
	if a.Setup.Field.SHA256 != b.Setup.Field.SHA256 {
		return nil, fmt.Errorf("%s and %s are on different fields: scores compare only on one", a.Name, b.Name)
	}
	return prepare(ctx, run, results.Compare, []Candidate{a, b}, o)
}

// Sweep prepares rehearsals at every point of a grid. inputs are the candidate's, with the text of its files. Nominal:
// one rehearsal a point, nothing drawn.
func Sweep(ctx context.Context, run Runner, c Candidate, inputs Inputs, axes []Axis, nominal bool,
	o Options) (*Study, error) {
	if len(axes) < 1 || len(axes) > 2 {
		return nil, fmt.Errorf("a sweep has one or two axes, not %d", len(axes))
	}
	if nominal {
		o.Count = 1
	}
	if err := results.Possible(o.Count, Points(axes)); err != nil {
		return nil, err
	}
	s, err := prepare(ctx, run, results.Sweep, []Candidate{c}, o)
	if err != nil {
		return nil, err
	}
	if err := s.known(c.Setup, axes); err != nil {
		return nil, err
	}
	if err := checkAxes(inputs, axes, s.sides()); err != nil {
		return nil, err
	}
	s.slim, s.Header.Nominal, s.Header.Variants[0].Drawn = true, nominal, nil
	for _, a := range axes {
		s.Header.Axes = append(s.Header.Axes, results.Axis{Name: a.Name, Labels: a.Labels, Values: a.Values, Unit: a.Unit})
	}
	s.points = nil
	grid := newGrid(inputs, axes)
	for i := range s.Header.Points() {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		in, err := grid.At(s.Header.Grid(i))
		if err != nil {
			return nil, err
		}
		setup := c.Setup
		setup.Field, setup.Params, setup.Nominal = in.Field, in.Params, nominal
		setup.Entrants = slices.Clone(setup.Entrants)
		setup.Entrants[own].Robot = in.Robot
		if in.Routine != nil {
			setup.Entrants[own].Routine = in.Routine
		}
		s.points = append(s.points, setup)
		if o.Ready != nil {
			o.Ready(1)
		}
	}
	return s, nil
}

// sides lists the sides that have a robot.
func (s *Study) sides() []int {
	var list []int
	for _, r := range s.Header.Variants[0].Robots {
		list = append(list, r.Side)
	}
	return list
}

// known refuses an axis that varies a parameter which the routine does not have: every point would be the same.
func (s *Study) known(setup rehearse.Setup, axes []Axis) error {
	v := &s.Header.Variants[0]
	names := ParamNames(setup, v.Params)
	for i := range axes {
		a := &axes[i]
		if a.Target != Param {
			continue
		}
		if slices.Contains(names, a.Path) {
			if err := within(setup, a); err != nil {
				return err
			}
			continue
		}
		err := fmt.Errorf("%s: the routine has no param(%q): %s", a.Name, a.Path, wording.Instead(a.Path, names))
		if failed := v.Plan.Failed(); failed != nil {
			err = fmt.Errorf("%w; it may be asked for later, but the nominal rehearsal fails with an error: %s", err,
				failed.Text)
		}
		return err
	}
	return nil
}

// within reads the values of an axis as the routine takes them, and refuses what it refuses, as far as its text says.
func within(setup rehearse.Setup, a *Axis) error {
	p, known := ParamNamed(setup, a.Path)
	if !known {
		if a.words {
			return fmt.Errorf("%s: what %q stands for is not plain from the routine's text: write its place, from 1", a.Name,
				a.Labels[0])
		}
		return nil
	}
	for i, label := range a.Labels {
		value, err := p.Value(label)
		if err != nil {
			return fmt.Errorf("%s: %w", a.Name, err)
		}
		a.Values[i] = value
	}
	return nil
}

// ParamNamed is what a routine leaves open by a name, as far as its text says; of several routines the first's.
func ParamNamed(setup rehearse.Setup, name string) (scripting.Param, bool) {
	for _, e := range setup.Entrants {
		if e.Routine == nil {
			continue
		}
		for _, p := range e.Routine.Params {
			if p.Name == name {
				return p, true
			}
		}
	}
	return scripting.Param{Name: name}, false
}

// ParamNames lists the parameters that the routines have, each once: those asked for in a rehearsal, and those asked
// for outside of their functions.
func ParamNames(setup rehearse.Setup, asked []record.Number) []string {
	var names []string
	add := func(name string) {
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, p := range asked {
		add(p.Name)
	}
	for _, e := range setup.Entrants {
		if e.Routine == nil {
			continue
		}
		for _, p := range e.Routine.Params {
			add(p.Name)
		}
	}
	return names
}

func prepare(ctx context.Context, run Runner, kind results.Kind, candidates []Candidate, o Options) (*Study, error) {
	if err := results.Possible(o.Count, len(candidates)); err != nil {
		return nil, err
	}
	s := &Study{run: run, Header: results.Header{
		Format: results.Format, Version: results.Version, Program: rehearse.Program, Kind: kind, Count: o.Count,
		Seed: o.Seed, Shard: o.Shard,
	}}
	var plans []*record.Record
	for _, c := range candidates {
		c.Setup.Nominal, c.Setup.Seed = true, o.Seed
		plan, err := run(ctx, c.Setup)
		if err != nil {
			return nil, err
		}
		c.Setup.Nominal = false
		first, err := run(ctx, c.Setup) // tells what is drawn
		if err != nil {
			return nil, err
		}
		if err := s.add(c, plan, first.Header.Drawn); err != nil {
			return nil, err
		}
		s.points, plans = append(s.points, c.Setup), append(plans, plan)
	}
	if err := s.aim(o.For, candidates, plans); err != nil {
		return nil, err
	}
	v := &s.Header.Variants[0]
	s.Header.Need = v.Plan.Own(v.Side)
	if o.Need != nil {
		s.Header.Need = *o.Need
	}
	return s, nil
}

// aim reads the goal, which may name what any of the candidates gives.
func (s *Study) aim(goal string, candidates []Candidate, plans []*record.Record) (err error) {
	if goal == "" {
		return nil
	}
	var given []record.Signal
	for i, c := range candidates {
		given = append(append(given, results.Given(plans[i])...), named(c.Setup.Entrants[own].Routine)...)
	}
	s.subject = results.NewSubject(plans[0], candidates[0].Setup.Field.Floor, given)
	if s.goal, err = s.subject.NewGoal(goal, nil); err == nil {
		s.Header.Yardstick = &results.Yardstick{For: goal, Reads: s.goal.Reads}
	}
	return err
}

// add writes a candidate and its nominal rehearsal into the header.
func (s *Study) add(c Candidate, plan *record.Record, drawn []record.Number) error {
	fingerprint, err := plan.Fingerprint()
	if err != nil {
		return err
	}
	h := &s.Header
	h.Field, h.Session, h.Sides = plan.Header.Field, plan.Header.Session, plan.Sheet.Sides
	h.Rules, h.Seconds = nil, 0
	for _, row := range plan.Sheet.Rows {
		h.Rules = append(h.Rules, row.Rule)
	}
	for _, phase := range plan.Header.Phases {
		h.Seconds += phase.Seconds
	}
	h.Variants = append(h.Variants, results.Variant{
		Name: c.Name, Replay: c.Replay, Side: plan.Header.Robots[own].Side, Robots: plan.Header.Robots,
		Params: plan.Header.Params,
		Drawn:  namesOf(drawn), Plan: results.Of(plan, own), Fingerprint: fingerprint,
	})
	return nil
}

func namesOf(numbers []record.Number) []string {
	names := make([]string, len(numbers))
	for i, n := range numbers {
		names[i] = n.Name
	}
	return names
}

// Setup is the rehearsal of a job.
func (s *Study) Setup(job int) rehearse.Setup {
	setup := s.points[s.Header.Point(job)]
	setup.Seed = s.Header.SeedOf(job)
	return setup
}

// rehearse does one job.
func (s *Study) rehearse(ctx context.Context, job int) (results.Result, error) {
	setup := s.Setup(job)
	setup.Sparse = true // what results.Of reads
	r, err := s.run(ctx, setup)
	if err != nil {
		return results.Result{}, err
	}
	result := results.Of(r, own)
	if s.goal != nil {
		result.Reads, result.Lacks = s.subject.Read(s.goal.Reads, r)
	}
	if s.slim {
		s.slimmed(job, &result)
	}
	return result, nil
}

// slimmed leaves a sweep's result what its report shows: the path of each point's first rehearsal, and of those that
// were not good where they first left the plan. A grid may have very many rehearsals.
func (s *Study) slimmed(job int, r *results.Result) {
	h := &s.Header
	if v := h.Variant(job); !h.Good(v, r) {
		left := results.Blame(v.Plan, *r, h.Rules, h.Seconds)
		r.Left = &left
	}
	if job >= h.Points() {
		r.Path = nil
	}
	r.Did, r.Drawn = nil, nil
}

// Run does what the journal says is still to do. progress, if given, is called as jobs get done, with their number. An
// interrupt (ctx) leaves what is done in the journal; the error is then ctx's.
func (s *Study) Run(ctx context.Context, journal *results.Journal, workers int, progress func(done int)) error {
	return pool.Each(ctx, journal.Todo(), workers, s.rehearse, func(batch []pool.Done[results.Result]) error {
		if progress != nil {
			progress(len(batch))
		}
		return journal.Add(batch)
	})
}
