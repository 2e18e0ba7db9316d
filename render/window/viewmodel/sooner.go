package viewmodel

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"sync/atomic"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/pool"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/scripting/literal"
)

// Sooner is a number of the routine with another in its place, or a motion with an option more, with which the routine
// ends sooner.
type Sooner struct {
	Line, Nth int     // of the numbers of the line, or of its motions, from 1
	Option    string  // that the motion gets; "": it is a number
	Old, New  string  // the number, or what stands between the motion's brackets
	Share     float64 // of the old number, or the option's value
	Saves     float64 // s
	Points    float64 // more than now, on average of the seeds that it was weighed in
	Worse     int     // of these, in which the points are fewer
	Stale     bool    // found before another number was written
}

// Search looks for them: one number at a time, a few values of each.
type Search struct {
	Found []Sooner // in the order in which they were found
	Ended bool
	stop  context.CancelFunc
	have  atomic.Int64
	due   int
	of    basis
	text  string // that is tried
	seen  string // another, in which what was found has been looked for
	done  chan searched

	mean, opened float64 // points on average of the seeds: now, and as the routine was opened; NaN: not known

	tried  map[Spot]bool          // tried since the search began that was not given up
	latest atomic.Pointer[looked] // what is known so far
}

// looked is what a search knows at a moment. Nothing of it changes any more.
type looked struct {
	found        []Sooner
	tried        map[Spot]bool
	mean, opened float64
}

// basis is what a search holds for, beside the routine's text.
type basis struct {
	chosen   string // seed, sides and files
	arranged Arrangement
	opened   *Run
}

func (d *Model) basis() basis {
	chosen := fmt.Sprint(d.Chosen(), d.Session())
	if f, m := d.Setup.Field, d.Machine(); f != nil && m != nil {
		chosen += f.SHA256 + m.SHA256
	}
	return basis{chosen, d.arranged, d.first}
}

type searched struct {
	found []Sooner
	err   error
}

const (
	leastSaved = 0.02 // s
	soonerRuns = 3    // seeds in which the points must hold
	weighRuns  = 20   // seeds in which what holds there is weighed
)

// SoonerSeeds are those in which what is found is weighed.
func (d *Model) SoonerSeeds() string {
	if d.Setup.Nominal {
		return "the run without chance"
	}
	return fmt.Sprintf("seeds %d to %d", d.Setup.Seed, d.Setup.Seed+weighRuns-1)
}

// Costs reports whether it loses points on average.
func (s Sooner) Costs() bool { return s.Points < 0 }

// SoonerPoints are the points on average of the seeds that a search weighs in, and in brackets by how much they are
// more than as the routine was opened; "": not known yet.
func (d *Model) SoonerPoints() string {
	s := d.Search()
	if s == nil || math.IsNaN(s.mean) || d.SearchIsOld() {
		return ""
	}
	since := ""
	if !math.IsNaN(s.opened) && s.opened != s.mean {
		since = fmt.Sprintf(" (%+.2f)", s.mean-s.opened)
	}
	return fmt.Sprintf("%s: %.2f points%s", capital(d.SoonerSeeds()), s.mean, since)
}

// SoonerWords say what a number does to the points.
func (d *Model) SoonerWords(one Sooner) string {
	in := "In " + d.SoonerSeeds()
	switch {
	case one.Points == 0 && one.Worse == 0:
		return in + " as many points."
	case d.Setup.Nominal:
		return fmt.Sprintf("%s %+g points.", in, one.Points)
	case one.Worse == 0:
		return fmt.Sprintf("%s %+.2f points on average, never fewer.", in, one.Points)
	}
	return fmt.Sprintf("%s %+.2f points on average, fewer in %d of them.", in, one.Points, one.Worse)
}

// Follows reports whether a search is of the same file, seed and arrangement as another after it.
func (s *Search) Follows(next *Search) bool {
	return s.of.chosen == next.of.chosen && s.of.opened == next.of.opened
}

// Search is the last search that was begun; nil: none, or what it was for is not chosen any more. What the routine has
// no more is not among what it found.
func (d *Model) Search() *Search {
	if s := d.search; s != nil {
		if now := d.basis(); s.of.chosen != now.chosen || !s.of.arranged.same(now.arranged) {
			d.StopSearch()
			d.search = nil
		}
	}
	if s := d.search; s != nil && s.text != d.file("").Text && s.seen != d.file("").Text {
		s.seen = d.file("").Text
		s.Found = stale(s.Found, func(o Sooner) bool {
			_, err := o.from(s.seen)
			return err == nil
		})
	}
	return d.search
}

// stale are those that are kept of what was found before another number was written.
func stale(found []Sooner, keep func(Sooner) bool) []Sooner {
	var list []Sooner
	for _, o := range found {
		if keep(o) {
			o.Stale = true
			list = append(list, o)
		}
	}
	return list
}

// Progress is how much of it is done, 0 to 1.
func (s *Search) Progress() float64 { return float64(s.have.Load()) / math.Max(float64(s.due), 1) }

// Spot is where something is tried: at a number of a line, or as an option of one of its motions.
type Spot struct {
	Line, Nth int
	Option    string
}

func (s Sooner) Spot() Spot { return Spot{s.Line, s.Nth, s.Option} }

// Words tell of the change.
func (s Sooner) Words() string {
	if s.Option != "" {
		return fmt.Sprintf("line %d: %s = %g added", s.Line, s.Option, s.Share)
	}
	return fmt.Sprintf("line %d: %s → %s", s.Line, s.Old, s.New)
}

// turnable is a number of the text that is tried, or an option.
type turnable struct {
	literal.Number
	Spot
	text   string
	feeds  int     // 1: it is that of a param(), which lines elsewhere use; -1: an option
	option *option // nil: it is a number
}

// with is the number with another value; false: it is the same then.
func (t turnable) with(share float64) (Sooner, string, bool) {
	if t.option != nil {
		one, text := t.option.with(t.Spot, t.text, share)
		return one, text, true
	}
	next := t.Near(t.Value() * share)
	return Sooner{Line: t.Spot.Line, Nth: t.Nth, Old: t.Text, New: next.Text, Share: share},
		t.text[:t.From] + next.Text + t.text[t.To:], next.Text != t.Text
}

// turnables are the numbers of lines that ran, and options of their motions; not the numbers of the start, which the
// field allows or not.
func (d *Model) turnables() []turnable {
	text := d.main().Text
	starts := literal.Tables(text, startName)
	lines := d.linesOf(d.main())
	var list []turnable
	ran := func(line int) bool { return lines == nil || len(lines.Line(line).Spans) > 0 }
	line, nth := 0, 0
	for _, n := range literal.Numbers(text) {
		if !n.Turns() {
			continue
		}
		if nth++; n.Line != line {
			line, nth = n.Line, 1
		}
		inStart := func(v literal.Value) bool { return v.From <= n.From && n.To <= v.To }
		if n.Value() != 0 && !slices.ContainsFunc(starts, inStart) && ran(line) {
			list = append(list, d.turnable(n, nth, text))
		}
	}
	return append(list, optionsOf(text, ran)...)
}

// turnable is a number, which is tried with no more volts than the battery has.
func (d *Model) turnable(n literal.Number, nth int, text string) turnable {
	t := turnable{Number: n, Spot: Spot{n.Line, nth, ""}, text: text}
	before := text[:n.From]
	if m := d.Machine(); m != nil && (strings.HasSuffix(before, ":run(") || strings.HasSuffix(before, ":volts(")) {
		t.High = math.Min(t.High, m.Battery.Open)
	}
	if strings.Contains(before[strings.LastIndexByte(before, '\n')+1:], "param(") {
		t.feeds = 1
	}
	return t
}

// SearchIsOld reports whether the last search is of another text than the routine has now.
func (d *Model) SearchIsOld() bool { return d.search != nil && d.search.text != d.file("").Text }

// BeginSearch begins to look for numbers with which the routine ends sooner.
func (d *Model) BeginSearch() error {
	_, busy := d.Busy()
	switch {
	case d.Driving():
		return errors.New("not while somebody drives")
	case !d.CanAdd() || busy || d.trial != nil:
		return errors.New("the text shown is not what ran")
	case math.IsNaN(ended(d.Now)):
		return errors.New("the routine does not end within its time")
	}
	d.StopSearch()
	ctx, stop := context.WithCancel(context.Background())
	setup, list := d.arranged.Apply(d.Setup), d.turnables()
	s := &Search{stop: stop, due: len(list), done: make(chan searched, 1), text: d.main().Text, of: d.basis(),
		mean: math.NaN(), opened: math.NaN()}
	if was := d.Search(); was != nil { // they hold until they are tried again, which is first
		s.Found, s.tried, s.opened = stale(was.Found, func(Sooner) bool { return true }), was.tried, was.opened
	}
	var opened *scripting.Program // nil: what is tried, or known
	if first := d.first; first != nil && first != d.Now && math.IsNaN(s.opened) && len(first.Setup.Entrants) > 0 {
		opened = first.Setup.Entrants[0].Routine
	}
	list = slices.DeleteFunc(list, func(t turnable) bool { return s.tried[t.Spot] && t.in(s.Found) < 0 })
	s.have.Store(int64(s.due - len(list)))
	slices.SortStableFunc(list, func(a, b turnable) int {
		return cmp.Or(cmp.Compare(s.saved(b), s.saved(a)), cmp.Compare(b.feeds, a.feeds),
			cmp.Compare(d.LineRuns(b.Spot.Line).Took, d.LineRuns(a.Spot.Line).Took))
	})
	d.search = s
	was := looked{s.Found, s.tried, s.mean, s.opened}
	go func() {
		var out searched
		r := guarded(ctx, func(ctx context.Context, _ func(float64)) result {
			out.found, out.err = s.look(ctx, setup, list, opened, was)
			return result{}
		}, nil)
		out.err = cmp.Or(out.err, r.err)
		s.done <- out
		if d.job.tell != nil {
			d.job.tell()
		}
	}()
	return nil
}

// saved is what a number saves by what is known.
func (s *Search) saved(t turnable) float64 {
	if i := t.in(s.Found); i >= 0 {
		return s.Found[i].Saves
	}
	return 0
}

// in is where a number stands in a list, -1 if it does not.
func (t turnable) in(list []Sooner) int {
	return slices.IndexFunc(list, func(o Sooner) bool { return o.Spot() == t.Spot })
}

// look tries the numbers, and keeps the best value of each. Those found before keep their places.
func (s *Search) look(ctx context.Context, setup rehearse.Setup, list []turnable, opened *scripting.Program,
	was looked) (found []Sooner, err error) {
	found = slices.Clone(was.found)
	tried := map[Spot]bool{}
	maps.Copy(tried, was.tried)
	now, err := outcomesOf(ctx, setup)
	if err != nil {
		return nil, err
	}
	mean, first := meanOf(now), was.opened
	switch {
	case opened != nil:
		then, err := outcomesOf(ctx, withRoutine(setup, opened))
		if err != nil {
			return nil, err
		}
		first = meanOf(then)
	case math.IsNaN(first):
		first = mean
	}
	tell := func() { s.latest.Store(&looked{slices.Clone(found), maps.Clone(tried), mean, first}) }
	tell()
	err = pool.Each(ctx, upTo(len(list)), max(pool.Cores()-1, 1), func(ctx context.Context, i int) (Sooner, error) {
		return list[i].proved(ctx, setup, now)
	}, func(done []pool.Done[Sooner]) error {
		for _, one := range done {
			at, saves := list[one.Index].in(found), one.Result.Saves > 0
			tried[list[one.Index].Spot] = true
			switch {
			case at >= 0 && saves:
				found[at] = one.Result
			case at >= 0:
				found = slices.Delete(found, at, at+1)
			case saves:
				found = append(found, one.Result)
			}
		}
		tell()
		s.have.Add(int64(len(done)))
		return nil
	})
	return found, err
}

// upTo are the whole numbers from 0 to below n.
func upTo(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

// nearer are the parts of a change that are tried where the whole of it loses points.
var nearer = []float64{0.4, 0.16}

// proved is the best value of a number, weighed. Where it loses points on average, one nearer to the old is taken if
// that loses none.
func (t turnable) proved(ctx context.Context, setup rehearse.Setup, now []outcome) (Sooner, error) {
	if t.option != nil {
		return t.provedOption(ctx, setup, now)
	}
	best, err := t.best(ctx, setup, now)
	if err != nil || best.Saves <= 0 {
		return best, err
	}
	if best, err = t.weigh(ctx, setup, now, best); err != nil || !best.Costs() {
		return best, err
	}
	for _, part := range nearer {
		one, lost, err := t.try(ctx, setup, now, 1+(best.Share-1)*part)
		switch {
		case err != nil || one.Saves <= 0 && !lost: // what is nearer still saves less
			return best, err
		case lost:
			continue
		}
		if one, err = t.weigh(ctx, setup, now, one); err != nil || !one.Costs() {
			return one, err
		}
	}
	return best, nil
}

// weigh tells how the points are in all the seeds. A routine that fails has none.
func (t turnable) weigh(ctx context.Context, setup rehearse.Setup, now []outcome, one Sooner) (Sooner, error) {
	_, text, _ := t.with(one.Share)
	program, err := setup.Entrants[0].Routine.WithText("", text)
	if err != nil {
		return one, err
	}
	setup = withRoutine(setup, program)
	sum := 0.0
	for i, was := range now {
		o, err := outcomeOf(ctx, setup, uint64(i), math.Inf(1))
		if err != nil {
			return one, err
		}
		if sum += o.points - was.points; o.points < was.points {
			one.Worse++
		}
	}
	one.Points = sum / float64(len(now))
	return one, nil
}

// withRoutine is a set-up in which the robot under test has another routine.
func withRoutine(setup rehearse.Setup, program *scripting.Program) rehearse.Setup {
	setup.Entrants = slices.Clone(setup.Entrants)
	setup.Entrants[0].Routine = program
	return setup
}

// best is the best value of a number: smaller and larger ones are tried, farther off where they save time, and nearer
// where they lose points. Saves 0: none is better.
func (t turnable) best(ctx context.Context, setup rehearse.Setup, now []outcome) (Sooner, error) {
	var best Sooner
	for _, way := range [][]float64{{0.8, 0.5, 0.25}, {1.25, 1.6, 2.5}} {
		for i, share := range way {
			one, lost, err := t.try(ctx, setup, now, share)
			if err == nil && i == 0 && lost {
				one, _, err = t.try(ctx, setup, now, 1+(share-1)/2.5)
			}
			if err != nil {
				return best, err
			}
			if one.Saves <= best.Saves+leastSaved/2 {
				break
			}
			if best = one; lost {
				break
			}
		}
	}
	return best, nil
}

// try rehearses with a share of the number. What is no better has Saves 0; lost tells that it loses points, or cannot
// be rehearsed.
func (t turnable) try(ctx context.Context, setup rehearse.Setup, now []outcome, share float64) (s Sooner, lost bool,
	err error) {
	one, text, other := t.with(share)
	if !other {
		return Sooner{}, false, nil
	}
	program, err := setup.Entrants[0].Routine.WithText("", text)
	if err != nil {
		return Sooner{}, true, nil
	}
	setup = withRoutine(setup, program)
	for i, was := range now[:min(soonerRuns, len(now))] {
		latest := math.Inf(1)
		if i == 0 {
			latest = was.end
		}
		o, err := outcomeOf(ctx, setup, uint64(i), latest)
		switch {
		case ctx.Err() != nil:
			return Sooner{}, false, ctx.Err()
		case errors.Is(err, errLater), i == 0 && was.end-o.end < leastSaved:
			return Sooner{}, false, nil
		case err != nil, math.IsNaN(o.end), o.points < was.points:
			return Sooner{}, true, nil
		case i == 0:
			one.Saves = was.end - o.end
		}
	}
	return one, false, nil
}

// outcome is when a routine ends, s, and what its side has then.
type outcome struct{ end, points float64 }

// outcomesOf are those of all the seeds in which a search weighs.
func outcomesOf(ctx context.Context, setup rehearse.Setup) ([]outcome, error) {
	seeds := weighRuns
	if setup.Nominal {
		seeds = 1
	}
	list := make([]outcome, seeds)
	err := pool.Each(ctx, upTo(seeds), max(pool.Cores()-1, 1), func(ctx context.Context, i int) (outcome, error) {
		return outcomeOf(ctx, setup, uint64(i), math.Inf(1))
	}, func(done []pool.Done[outcome]) error {
		for _, one := range done {
			list[one.Index] = one.Result
		}
		return nil
	})
	return list, err
}

func meanOf(list []outcome) float64 {
	sum := 0.0
	for _, o := range list {
		sum += o.points
	}
	return sum / float64(len(list))
}

// errLater ends a rehearsal whose routine is at work for longer than was asked.
var errLater = errors.New("it ends later")

// outcomeOf rehearses, as long as the routine may end by a time.
func outcomeOf(ctx context.Context, setup rehearse.Setup, more uint64, latest float64) (outcome, error) {
	setup.Seed += more
	rec, err := rehearse.RunWatched(ctx, setup, func(r *rehearse.Rehearsal) error {
		samples := r.Record().Samples
		if r.Now() > latest && len(samples) > 0 && samples[len(samples)-1].Robots[0].Doing != record.Idle {
			return errLater
		}
		return nil
	})
	if err != nil {
		return outcome{}, err
	}
	run := NewRun(setup, rec, Source{})
	if len(run.Failures(0)) > 0 {
		return outcome{end: math.NaN()}, nil
	}
	return outcome{ended(run), points(run, rec.Header.Robots[0].Side)}, nil
}

// pollSearch takes what was found. It reports whether that is news.
func (d *Model) pollSearch() bool {
	s := d.search
	if s == nil || s.Ended {
		return false
	}
	news := false
	if latest := s.latest.Load(); latest != nil {
		s.opened = latest.opened
		if s.tried = latest.tried; s.text == d.file("").Text {
			news = !slices.Equal(latest.found, s.Found) || s.mean != latest.mean
			s.Found, s.mean = latest.found, latest.mean
		}
	}
	select {
	case out := <-d.search.done:
		if s.Ended = true; s.text == d.file("").Text {
			s.Found = out.found
		}
		if out.err == nil {
			s.tried = nil
		}
		switch {
		case errors.Is(out.err, context.Canceled):
			if len(s.Found) == 0 {
				d.search = nil
			}
		case out.err != nil:
			d.Warn("Not tried: " + FaultOf(out.err).Short() + ".")
		}
		return true
	default:
		return news
	}
}

// StopSearch gives the search under way up. It reports whether there was one.
func (d *Model) StopSearch() bool {
	if d.search == nil || d.search.Ended {
		return false
	}
	d.search.stop()
	return true
}

// from is where a text has what the change is of.
func (s Sooner) from(text string) (int, error) {
	from, old := 0, ""
	if s.Option != "" {
		call, err := motionIn(text, s.Line, s.Nth)
		if err != nil {
			return 0, err
		}
		var to int
		from, to = between(call)
		old = text[from:to]
	} else {
		n, err := literal.Nth(text, s.Line, s.Nth)
		if err != nil {
			return 0, err
		}
		from, old = n.From, n.Text
	}
	if old != s.Old {
		return 0, fmt.Errorf("line %d has %s there by now, not %s", s.Line, old, s.Old)
	}
	return from, nil
}

// HoldSooner takes a place that was found in hand, with what is to be tried there: Keep writes it.
func (d *Model) HoldSooner(s Sooner) error {
	d.ShowFile("")
	from, err := s.from(d.Source().Text)
	if err == nil {
		err = d.Hold(from, from+len(s.Old))
	}
	if err != nil {
		return err
	}
	left := stale(d.search.Found, func(o Sooner) bool { return o.Spot() != s.Spot() })
	d.StopSearch() // it is of the text before
	tried := maps.Clone(d.search.tried)
	delete(tried, s.Spot()) // it may be turned farther, or put back
	d.search = &Search{Found: left, Ended: true, tried: tried, stop: func() {}, of: d.search.of, mean: math.NaN(),
		opened: d.search.opened}
	d.Try(s.New)
	return nil
}

// LineText is a line of the routine's own text without its blanks.
func (d *Model) LineText(line int) string {
	if lines := d.main().Lines; line >= 1 && line <= len(lines) {
		return strings.TrimSpace(lines[line-1])
	}
	return ""
}
