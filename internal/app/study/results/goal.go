package results

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/formula"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"

	"gonum.org/v1/gonum/stat"
)

// The words that make one number of many rehearsals.
const (
	overMean    = "mean"
	overSD      = "sd"      // with n-1
	overShare   = "share"   // of those in which a condition holds
	overWorst   = "worst"   // mean of the lowest scores, a share of all
	overLowest  = "lowest"  // the same of anything
	overHighest = "highest" // mean of the highest
)

var overs = []formula.Over{
	{Name: overMean}, {Name: overSD}, {Name: overShare, Of: formula.Truth},
	{Name: overWorst, Share: true, Usual: "score"}, {Name: overLowest, Share: true}, {Name: overHighest, Share: true},
}

// Goal is what a study wants of its rehearsals: as much as possible of a number, within limits. What stands outside of
// mean(), share() and the like is the mean over the rehearsals.
type Goal struct {
	Text   string
	Unit   string // SI, of what it comes to
	Reads  []Reading
	moment bool
	wanted *formula.Formula
	limits []*formula.Formula
}

// NewGoal reads a goal and its limits. Errors name the flag, what is wrong, and at which character.
func (s *Subject) NewGoal(wanted string, limits []string) (*Goal, error) {
	g := &Goal{Text: wanted}
	words := s.vocabulary()
	var err error
	if g.wanted, err = formula.ParseOver(wanted, formula.Number, words, overs); err != nil {
		return nil, misread("--for", wanted, err)
	}
	g.Unit = g.wanted.Unit
	for _, text := range limits {
		limit, err := formula.ParseOver(text, formula.Truth, words, overs)
		if err != nil {
			return nil, misread("--need", text, err)
		}
		g.limits = append(g.limits, limit)
	}
	s.reads(g, g.wanted)
	g.moment = g.Unit == "s" && !slices.ContainsFunc(g.Reads, func(r Reading) bool {
		return r.Unit == "s" && r.Measure != "time" && r.Measure != "done"
	})
	for _, limit := range g.limits {
		s.reads(g, limit)
	}
	if len(g.wanted.Terms) == 0 {
		return nil, fmt.Errorf("--for %q reads nothing of a rehearsal, so all would be alike: write, for example, score",
			wanted)
	}
	return g, nil
}

// misread tells of an error in a formula by its place.
func misread(flag, text string, err error) error {
	at := 0
	if wrong, is := err.(*formula.Error); is {
		at = len([]rune(text[:min(wrong.At, len(text))])) + 1
	}
	return fmt.Errorf("%s %q, character %d: %w", flag, text, at, err)
}

// reads notes what a formula reads of each rehearsal.
func (s *Subject) reads(g *Goal, f *formula.Formula) {
	for _, t := range f.Terms {
		if t.Inside != nil {
			s.reads(g, t.Inside)
		} else if r := s.reading(t); !slices.Contains(g.Reads, r) {
			g.Reads = append(g.Reads, r)
		}
	}
}

func (s *Subject) reading(t formula.Term) Reading {
	m := &Measures[slices.IndexFunc(Measures[:], func(m Measure) bool { return m.Name == t.Word })]
	r := Reading{Measure: m.Name, Text: t.Text, Unit: m.Unit}
	switch m.Of {
	case OfRule:
		r.Text = s.words.Rules[t.Of]
	case OfResult:
		r.Text, r.Unit = s.results[t.Of], s.units[t.Of]
	}
	return r
}

// Worth is what rehearsals come to.
type Worth struct {
	Failed float64 `json:"failed"` // share of the rehearsals that failed with an error or lack a result
	Short  float64 `json:"short"`  // how far the limits are from being met, in the SI units of each; 0: all are met
	Value  float64 `json:"value"`  // of what is wanted: the more, the better
}

// Better compares: first what fails less, then what is nearer to its limits, then the value.
func (w Worth) Better(than Worth) bool {
	switch {
	case w.Failed != than.Failed:
		return w.Failed < than.Failed
	case w.Short != than.Short:
		return w.Short < than.Short
	}
	return w.Value > than.Value
}

// Of is what rehearsals come to. rows are the readings of each.
func (s *Subject) Of(g *Goal, rows [][]float64, failed int) Worth {
	w := Worth{Failed: float64(failed) / float64(max(1, len(rows)+failed))}
	if len(rows) == 0 {
		return w
	}
	e := evaluation{s, g, rows, formula.Runner{}}
	w.Value = e.run.Number(g.wanted, e.overAll(g.wanted))
	for _, limit := range g.limits {
		w.Short += e.run.Gap(limit, e.overAll(limit))
	}
	return w
}

// Worth is what rehearsals of a search come to.
func (s *Subject) Worth(g *Goal, list []*Result) Worth {
	rows := soundRows(list)
	return s.Of(g, rows, len(list)-len(rows))
}

// OfAll is the value that rehearsals come to, those that failed counted as what they read.
func (s *Subject) OfAll(g *Goal, list []*Result) float64 {
	var rows [][]float64
	for _, r := range list {
		rows = append(rows, r.Reads)
	}
	return s.Of(g, rows, 0).Value
}

// Misses says of each limit that rehearsals do not meet what it comes to: "belief_error < 40 mm (it comes to 52.0 mm)".
func (s *Subject) Misses(in units.System, g *Goal, list []*Result) []string {
	_, out := s.Limits(in, g, list)
	return out
}

// Limits are those that rehearsals meet and those that they miss, each with what it comes to.
func (s *Subject) Limits(in units.System, g *Goal, list []*Result) (met, missed []string) {
	e := evaluation{Subject: s, goal: g, rows: soundRows(list)}
	if len(e.rows) == 0 {
		return nil, nil
	}
	for _, limit := range g.limits {
		values := e.overAll(limit)
		words := limit.Text
		if x, is := e.run.Left(limit, values); is {
			words += " (it comes to " + Shown(in, x, limit.Unit) + ")"
		}
		if e.run.Holds(limit, values) {
			met = append(met, words)
		} else {
			missed = append(missed, words)
		}
	}
	return met, missed
}

// Alike reports whether rehearsals leave a goal and its limits nothing to go by: all come to the same.
func (s *Subject) Alike(g *Goal, list []*Result) bool {
	e := evaluation{Subject: s, goal: g, rows: soundRows(list)}
	if len(e.rows) == 0 || len(e.rows) < len(list) {
		return false
	}
	for _, f := range append([]*formula.Formula{g.wanted}, g.limits...) {
		for _, x := range e.ofEach(f) {
			if slices.Min(x) != slices.Max(x) {
				return false
			}
		}
	}
	return true
}

// Plain reports whether a goal is a mean or the like, so that its value is that of its rehearsals one by one.
func (g *Goal) Plain() bool {
	return !slices.ContainsFunc(g.wanted.Terms, func(t formula.Term) bool {
		return t.Inside != nil && t.Word != overMean && t.Word != overShare
	})
}

// Lowered is what a goal wants as little of as possible, "" for one that wants as much as possible: a goal -done is
// told as done.
func (g *Goal) Lowered() string { return g.wanted.Negated }

// AMoment reports whether a goal is a time at which something happens: it is sooner or later, not more or less.
func (g *Goal) AMoment() bool { return g.moment }

func soundRows(list []*Result) (rows [][]float64) {
	for _, r := range list {
		if r.Sound() {
			rows = append(rows, r.Reads)
		}
	}
	return rows
}

// Sound reports whether a rehearsal of a search has all that its goal reads, and no error.
func (r *Result) Sound() bool { return r.Failed() == nil && r.Lacks == "" }

// Alike reports whether two rehearsals came to the same for the goal and its limits.
func (r *Result) Alike(other *Result) bool {
	return slices.Equal(r.Reads, other.Reads) && r.Sound() == other.Sound()
}

// evaluation works a goal out over rehearsals.
type evaluation struct {
	*Subject
	goal *Goal
	rows [][]float64
	run  formula.Runner
}

// overAll are the values of a formula's terms over all rehearsals.
func (e *evaluation) overAll(f *formula.Formula) []float64 {
	values := make([]float64, len(f.Terms))
	for k, x := range e.ofEach(f) {
		values[k] = folded(f.Terms[k], x)
	}
	return values
}

// ofEach are a formula's terms in each rehearsal.
func (e *evaluation) ofEach(f *formula.Formula) [][]float64 {
	out := make([][]float64, len(f.Terms))
	for k, t := range f.Terms {
		out[k] = make([]float64, len(e.rows))
		for i, row := range e.rows {
			out[k][i] = e.each(t, row)
		}
	}
	return out
}

// Pseudo are the pseudo-values of the goal in each of some sound rehearsals: n times the goal of all minus n-1 times
// that of all others (J. W. Tukey, Ann. Math. Stat. 29 (1958) 614, from memory). For a mean that is what the rehearsal
// itself comes to.
func (s *Subject) Pseudo(g *Goal, list []*Result) []float64 {
	e := evaluation{Subject: s, goal: g}
	for _, r := range list {
		e.rows = append(e.rows, r.Reads)
	}
	out, n := make([]float64, len(list)), float64(len(list))
	if len(list) == 0 {
		return out
	}
	all, of := e.run.Number(g.wanted, e.overAll(g.wanted)), e.ofEach(g.wanted)
	values, rest := make([]float64, len(of)), make([]float64, 0, len(list))
	for i := range list {
		if out[i] = all; len(list) == 1 {
			break
		}
		for k, x := range of {
			rest = append(append(rest[:0], x[:i]...), x[i+1:]...)
			values[k] = folded(g.wanted.Terms[k], rest)
		}
		out[i] = float64(n*all) - float64((n-1)*e.run.Number(g.wanted, values))
	}
	return out
}

// each is what a term, or what is inside of it, comes to in one rehearsal.
func (e *evaluation) each(t formula.Term, row []float64) float64 {
	if t.Inside == nil {
		return row[slices.Index(e.goal.Reads, e.reading(t))]
	}
	values := make([]float64, len(t.Inside.Terms))
	for i, inner := range t.Inside.Terms {
		values[i] = e.each(inner, row)
	}
	if t.Word != overShare {
		return e.run.Number(t.Inside, values)
	}
	if e.run.Holds(t.Inside, values) {
		return 1
	}
	return 0
}

// folded makes one number of many.
func folded(t formula.Term, x []float64) float64 {
	switch t.Word {
	case overSD:
		return stats.Describe(x).SD
	case overWorst, overLowest, overHighest:
		slices.Sort(x)
		if t.Word == overHighest {
			slices.Reverse(x)
		}
		x = x[:max(1, int(math.Ceil(t.Portion*float64(len(x))-1e-9)))]
	}
	return stat.Mean(x, nil)
}

// Shown is a value of the goal for people.
func (g *Goal) Shown(in units.System, value float64) string { return Shown(in, value, g.Unit) }

// Shown is a value of a quantity, or a plain number.
func Shown(in units.System, value float64, si string) string {
	switch si {
	case "":
		return fmt.Sprintf("%.4g", value+0)
	case "m":
		return in.Sprintf("%.1f mm", value)
	case "s":
		return fmt.Sprintf("%.2f s", value)
	}
	return in.Retold(units.Text(value, si))
}
