package study

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/search"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/wording"
	"chalkfield/scripting"
	"chalkfield/scripting/literal"
)

// Seeds of a tune, beside those of the search, which are the first from the study's own.
const (
	finalSeeds = 100_000   // the best of the search are held against each other
	freshSeeds = 1_000_000 // winner, runner-up and today's values are told of
	movedSeeds = 10_000_000
)

// Vary is a freedom to search, with limits if it is to have other than the routine's.
type Vary struct {
	Name     string
	Min, Max float64
	Limited  bool
}

// Want is what a tune is to find.
type Want struct {
	For     string
	Needs   []string
	Vary    []Vary            // none: all that the routine leaves open and no parameter fixes
	Open    []scripting.Param // what the routine asks for in a rehearsal, beside what its text says in plain words
	Nominal bool              // draw nothing: one rehearsal of each candidate
	Confirm int
}

// Tune is a search under way. It is gone on with by going through it again: what its journal has is not rehearsed
// again.
type Tune struct {
	Header  results.Header
	Subject *results.Subject
	Goal    *results.Goal
	told    int // rehearsals that the end takes, at most, and once more after each move
	// of these settling has so many at most; it ends when that many are made in all
	settling, settleTo int
	Planned            int // rehearsals at most, unless something better shows beside the winner
	run                Runner
	setup              rehearse.Setup
	jobs               int // given out so far
	journal            *results.Journal
	workers            int
	tell               func(results.Progress)
	known              map[string]*contender
	found              results.Found
	now                results.Progress
}

// NewTune prepares a search. o.Count is its budget in rehearsals.
func NewTune(ctx context.Context, run Runner, c Candidate, w Want, o Options) (*Tune, error) {
	s, err := prepare(ctx, run, results.Tune, []Candidate{c}, o)
	if err != nil {
		return nil, err
	}
	t := &Tune{Header: s.Header, run: run, setup: s.points[0], known: map[string]*contender{}}
	t.setup.Nominal, t.setup.Sparse = w.Nominal, true
	freedoms, err := freedomsOf(t.setup, &s.Header.Variants[0], w)
	if err != nil {
		return nil, err
	}
	nominal := c.Setup
	nominal.Nominal, nominal.Seed = true, o.Seed
	plan, err := run(ctx, nominal)
	if err != nil {
		return nil, err
	}
	t.Subject = results.NewSubject(plan, c.Setup.Field.Floor, named(c.Setup.Entrants[own].Routine))
	if t.Goal, err = t.Subject.NewGoal(w.For, w.Needs); err != nil {
		return nil, err
	}
	t.Header.Nominal, t.Header.Variants[0].Drawn = w.Nominal, nil
	t.Header.Search = &results.Search{For: w.For, Needs: w.Needs, Reads: t.Goal.Reads, Freedoms: freedoms, Budget: o.Count,
		Confirm: w.Confirm}
	t.plan()
	return t, results.Possible(t.Header.Count, 1)
}

// plan says how many rehearsals each part of the study has.
func (t *Tune) plan() {
	s := t.Header.Search
	points := 0
	for i := range s.Freedoms {
		points += s.Freedoms[i].MostNear()
	}
	tried := fewFirst
	if t.Header.Nominal {
		s.Each, s.Confirm, s.Around, tried = 1, 1, 1, 1
	} else {
		for s.Each = fewestEach; s.Each < mostEach && s.Each*perEach <= s.Budget; s.Each *= 2 {
		}
		s.Around = min(s.Confirm, mostAround, max(s.Budget/(points+1), stats.FewestPairs(points)))
	}
	t.settling = len(s.Freedoms) * (2*s.Around + 4*tried)
	t.told = 3*s.Confirm + (points+1)*s.Around + t.settling
	t.Planned = s.Budget + t.told
	t.Header.Count = max(t.Planned, min(t.Planned+mostMoves*(moving(s)+t.told), mostInAll*s.Budget))
}

// Outlook says how many rehearsals there will be.
func (t *Tune) Outlook() string {
	s := t.Header.Search
	text := fmt.Sprintf("%d rehearsals to search (-n), then up to %d more: %d to confirm with fresh seeds, %d about the "+
		"best", s.Budget, t.told, 3*s.Confirm, t.told-3*s.Confirm)
	if t.Header.Count > t.Planned {
		text += fmt.Sprintf("; if something better shows there it goes on, to %d in all at most", t.Header.Count)
	}
	return text
}

const (
	fewestEach = 4
	mostEach   = 32
	perEach    = 30 // candidates at least that a budget is for, with all that each may have
	mostAround = 40
	mostInAll  = 5 // times its budget a study has where it goes on from something better
)

// Confirms is how many rehearsals with fresh seeds are usual for a budget: so that three times as many are three fifths
// of it, but as many as can show something.
func Confirms(budget int) int { return min(max(budget/5, fewestConfirmed), usuallyConfirmed) }

const (
	fewestConfirmed  = 8
	usuallyConfirmed = 200
)

// OpenIn lists what the routine of the robot under test leaves open in a nominal rehearsal.
func OpenIn(ctx context.Context, s rehearse.Setup) (list []scripting.Param, err error) {
	s.Nominal, s.Sparse = true, true
	_, err = rehearse.RunWatched(ctx, s, func(r *rehearse.Rehearsal) error {
		list = r.Params()
		return nil
	})
	return list, err
}

// freedomsOf lists what is varied.
func freedomsOf(setup rehearse.Setup, v *results.Variant, w Want) ([]results.Freedom, error) {
	var known []scripting.Param
	if routine := setup.Entrants[own].Routine; routine != nil {
		known = slices.Clone(routine.Params)
	}
	for _, p := range w.Open {
		if !slices.ContainsFunc(known, func(q scripting.Param) bool { return q.Name == p.Name }) {
			known = append(known, p)
		}
	}
	var list []results.Freedom
	add := func(p scripting.Param) {
		today, fixed := setup.Params[p.Name]
		if !fixed {
			today = p.Default
		}
		if p.Min < p.Max {
			list = append(list, results.FreedomOf(p, today))
		}
	}
	for _, p := range known {
		if _, fixed := setup.Params[p.Name]; !fixed && len(w.Vary) == 0 {
			add(p)
		}
	}
	for _, one := range w.Vary {
		p, err := varied(one, known)
		if err != nil {
			return nil, err
		}
		add(p)
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s leaves nothing open: write param(), choice(), order() or whether() where it may vary, as "+
			"`chalkfield guide routine` tells", v.Name)
	}
	return list, nil
}

// varied is a freedom that is asked for by its name.
func varied(one Vary, known []scripting.Param) (p scripting.Param, err error) {
	at := slices.IndexFunc(known, func(q scripting.Param) bool { return q.Name == one.Name })
	if at < 0 {
		names := make([]string, len(known))
		for i, q := range known {
			names[i] = q.Name
		}
		return p, fmt.Errorf("--vary %s: the routine has no param(%q), choice or the like: %s", one.Name, one.Name,
			wording.Instead(one.Name, names))
	}
	switch p = known[at]; {
	case !one.Limited:
		return p, nil
	case p.Kind != "":
		return p, fmt.Errorf("--vary %s: it is no number, so it has no limits: write --vary %s alone", one.Name, one.Name)
	case one.Min < p.Min || one.Max > p.Max:
		return p, fmt.Errorf("--vary %s=%g..%g goes beyond the limits of param(%q), %g to %g: widen them in the routine",
			one.Name, one.Min, one.Max, one.Name, p.Min, p.Max)
	case p.Default < one.Min || p.Default > one.Max:
		return p, fmt.Errorf("--vary %s=%g..%g leaves out today's value %g: write limits about it", one.Name, one.Min,
			one.Max, p.Default)
	}
	p.Min, p.Max = one.Min, one.Max
	return p, nil
}

// named are the results that a routine's texts name.
func named(routine *scripting.Program) (list []record.Signal) {
	if routine == nil {
		return nil
	}
	for _, file := range slices.Sorted(maps.Keys(routine.Texts)) {
		text := routine.Texts[file]
		plain := func(v literal.Value) string {
			word := text[v.From:v.To]
			if len(word) < 2 || word[0] != '"' && word[0] != '\'' || word[len(word)-1] != word[0] {
				return ""
			}
			return word[1 : len(word)-1]
		}
		for _, c := range literal.Calls(text) {
			if c.Of != "" || c.Name != "result" || len(c.Args) < 2 || plain(c.Args[0]) == "" {
				continue
			}
			one := record.Signal{Name: plain(c.Args[0])}
			if len(c.Args) > 2 {
				one.Unit = plain(c.Args[2])
			}
			list = append(list, one)
		}
	}
	return list
}

// errSpent ends a search whose budget is used up.
var errSpent = errors.New("the budget is used up")

// Run searches, holds the best against each other, looks about the winner, and tells winner, runner-up and today's
// values apart with fresh seeds. An interrupt (ctx) leaves what is done in the journal; the error is then ctx's.
func (t *Tune) Run(ctx context.Context, journal *results.Journal, workers int,
	tell func(results.Progress)) (results.Found, error) {
	t.journal, t.workers, t.tell, t.now.Done = journal, workers, tell, journal.File().Have()
	t.now.Planned = t.Planned
	err := t.begin(ctx)
	if err == nil {
		err = t.conclude(ctx)
	}
	if err == nil {
		journal.End()
	}
	return t.found, err
}

// space is where the search goes: numbers, choices (a whether is one of two) and orders.
func (t *Tune) space() (space search.Space) {
	for _, f := range t.Header.Search.Freedoms {
		switch f.Kind {
		case "":
			space.Numbers++
		case scripting.Order:
			space.Orders = append(space.Orders, len(f.Options))
		default:
			space.Choices = append(space.Choices, int(f.Max-f.Min)+1)
		}
	}
	return space
}

// point is where values lie, and values are what the freedoms have at a point.
func (t *Tune) point(values []float64) (p search.Point) {
	for i, f := range t.Header.Search.Freedoms {
		switch f.Kind {
		case "":
			p.Numbers = append(p.Numbers, f.Share(values[i]))
		case scripting.Order:
			p.Orders = append(p.Orders, scripting.OrderAt(int(values[i])-1, len(f.Options)))
		default:
			p.Choices = append(p.Choices, int(values[i]-f.Min))
		}
	}
	return p
}

func (t *Tune) values(p search.Point) []float64 {
	values := make([]float64, len(t.Header.Search.Freedoms))
	for i := range t.Header.Search.Freedoms {
		switch f := &t.Header.Search.Freedoms[i]; f.Kind {
		case "":
			values[i], p.Numbers = f.Number(p.Numbers[0]), p.Numbers[1:]
		case scripting.Order:
			values[i], p.Orders = float64(scripting.PlaceOf(p.Orders[0])+1), p.Orders[1:]
		default:
			values[i], p.Choices = f.Min+float64(p.Choices[0]), p.Choices[1:]
		}
	}
	return values
}

// rehearsal is a rehearsal of a candidate with a seed.
type rehearsal struct {
	of   *contender
	seed uint64
}

// rehearse does what the journal does not have, in jobs of their own.
func (t *Tune) rehearse(ctx context.Context, list []rehearsal) error {
	file, first := t.journal.File(), t.jobs
	t.jobs += len(list)
	var todo []int
	for i := range list {
		if file.Results[first+i] == nil {
			todo = append(todo, first+i)
		}
	}
	work := func(ctx context.Context, job int) (results.Result, error) {
		return t.one(ctx, list[job-first].of.values, list[job-first].seed)
	}
	if err := pool.Each(ctx, todo, t.workers, work, func(batch []pool.Done[results.Result]) error {
		t.now.Done += len(batch)
		t.tell(t.now)
		return t.journal.Add(batch)
	}); err != nil {
		return err
	}
	for i, r := range list {
		got := file.Results[first+i]
		if got.Seed != r.seed || !slices.Equal(got.Tried, r.of.values) {
			return fmt.Errorf("rehearsal %d of the file is of another search: remove the file or name another with --out",
				first+i)
		}
		r.of.runs[r.seed] = got
	}
	return nil
}

// one rehearses values of the freedoms.
func (t *Tune) one(ctx context.Context, values []float64, seed uint64) (results.Result, error) {
	s := t.setup
	s.Seed, s.Params = seed, maps.Clone(s.Params)
	if s.Params == nil {
		s.Params = map[string]float64{}
	}
	freedoms := t.Header.Search.Freedoms
	for i, f := range freedoms {
		s.Params[f.Name] = values[i]
	}
	r, err := t.run(ctx, s)
	if ctx.Err() != nil {
		return results.Result{}, ctx.Err()
	}
	out := results.Result{Seed: seed, Tried: values, Asked: make([]bool, len(freedoms))}
	if err != nil { // a start on top of a goal, say: these values do not do
		h := &t.Header
		out.Total, out.Count, out.Points = make([]float64, len(h.Sides)), make([]float64, len(h.Rules)),
			make([]float64, len(h.Rules))
		out.Reads, out.Done, out.Last = make([]float64, len(t.Goal.Reads)), results.Never, results.Never
		out.Errors = []results.Error{{File: h.Variants[0].Robots[own].Routine.Name, Text: err.Error()}}
		return out, nil
	}
	kept := results.Of(r, own)
	out.Total, out.Count, out.Points, out.Winner, out.Done, out.Last = kept.Total, kept.Count, kept.Points, kept.Winner,
		kept.Done, kept.Last
	out.Pose, out.Belief, out.Errors, out.Path = kept.Pose, kept.Belief, kept.Errors, kept.Path
	if !t.drawnOnPage(seed) {
		out.Path = nil
	}
	out.Reads, out.Lacks = t.Subject.Read(t.Goal.Reads, r)
	for i, f := range freedoms {
		out.Asked[i] = slices.ContainsFunc(r.Header.Params, func(n record.Number) bool { return n.Name == f.Name })
	}
	return out, nil
}

// pathsKept is of how many fresh seeds the paths are kept.
const pathsKept = 100

func (t *Tune) drawnOnPage(seed uint64) bool {
	first := t.found.Fresh
	return t.Header.Nominal || first > 0 && seed >= first && seed < first+pathsKept
}
