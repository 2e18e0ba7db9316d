package analysis

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// Tune is what a search for better values tells.
type Tune struct {
	Name       string    `json:"name"`
	Field      string    `json:"field"`
	Session    string    `json:"session"`
	Seed       uint64    `json:"seed"`
	Nominal    bool      `json:"nominal"`
	For        string    `json:"for"`
	Needs      []string  `json:"needs,omitempty"`
	Unit       string    `json:"unit,omitempty"` // SI, of the goal
	Budget     int       `json:"budget"`
	Have       int       `json:"rehearsals"` // made in all
	Candidates int       `json:"candidates"`
	Restarts   int       `json:"restarts"`
	Moves      int       `json:"moves"`   // how often it went on from something better beside the winner
	Fresh      uint64    `json:"fresh"`   // first of the seeds that all below is told of
	Confirm    int       `json:"confirm"` // rehearsals with fresh seeds of each of the three below
	Around     int       `json:"around"`  // at each point of the slices
	Freedoms   []Freedom `json:"freedoms"`

	Winner   Tried  `json:"winner"`
	RunnerUp *Tried `json:"runner_up,omitempty"`
	Today    Tried  `json:"today"`
	// fresh seeds, paired, of the goal; for what is no mean, of its pseudo-values
	Better   Diff  `json:"better"`                   // winner minus today's
	OverNext *Diff `json:"over_runner_up,omitempty"` // winner minus runner-up

	Is      bool   `json:"is_better"` // the winner is better than today's values, beyond chance
	Verdict string `json:"verdict"`

	Aim         Aim       `json:"-"`
	Plain       bool      `json:"-"`                      // the goal is a mean
	Alike       bool      `json:"all_alike,omitempty"`    // all rehearsals came to the same
	Keeps       []string  `json:"keeps,omitempty"`        // limits that the winner keeps, and what they come to
	Endless     int       `json:"endless,omitempty"`      // rehearsals in which the winner's routine does not end
	Misses      []string  `json:"misses,omitempty"`       // limits that the winner does not keep, and what they come to
	TodayMisses []string  `json:"today_misses,omitempty"` // the same of today's values
	TodayErrors []Failure `json:"today_errors,omitempty"`

	Progress  []results.Progress `json:"progress"`
	Failing   int                `json:"failing_candidates"`
	Errors    []Failure          `json:"errors,omitempty"`
	Lacking   string             `json:"lacking,omitempty"` // what the goal reads and some rehearsals did not give
	NeverRead []string           `json:"never_read,omitempty"`
}

// Freedom is what was varied, and how flat the goal is about the winner.
type Freedom struct {
	results.Freedom
	Winner  string  `json:"winner"`         // as people write it
	Reads   string  `json:"read,omitempty"` // of one that not all rehearsals read: when, "with home = yes"
	Now     string  `json:"now"`
	Points  []Slice `json:"slice"` // this freedom alone at other values, and the winner's own, in their order
	Matters Matter  `json:"matters"`
}

// Matter is whether a freedom makes a difference about the winner.
type Matter string

const (
	Matters    Matter = "matters"
	NotShown   Matter = "not shown to matter"
	DoesNot    Matter = "changes nothing"
	NotInquiry Matter = "not looked at"
	NotRead    Matter = "is not read here"
)

// Slice is a point of a slice.
type Slice struct {
	Value  float64            `json:"value"`
	Words  string             `json:"words"`
	Worth  results.Worth      `json:"worth"`
	Goal   stats.Distribution `json:"goal"`   // over the rehearsals; for what is no mean, its pseudo-values
	Change float64            `json:"change"` // of the goal against the winner, over the same seeds
	P      float64            `json:"p"`      // of that, corrected for the number of points
	Own    bool               `json:"winner,omitempty"`
}

// Tried is values with what they came to with fresh seeds.
type Tried struct {
	Values []float64     `json:"values"`
	Words  []string      `json:"words"`
	Flags  string        `json:"flags"` // that bring them up
	Worth  results.Worth `json:"worth"`
	All    float64       `json:"with_failed"` // value of the goal, rehearsals that failed counted too
	N      int           `json:"rehearsals"`
	Open   string        `json:"open"`
}

// tuning is a finished search that is being read.
type tuning struct {
	*results.File
	subject *results.Subject
	goal    *results.Goal
	by      map[string]map[uint64]*results.Result // by values and seed
	first   uint64                                // fresh seed
}

// OfTune reads a finished search.
func OfTune(f *results.File, subject *results.Subject, goal *results.Goal, found results.Found) Tune {
	h := &f.Header
	s, v := h.Search, &h.Variants[0]
	t := tuning{File: f, subject: subject, goal: goal, by: map[string]map[uint64]*results.Result{}, first: found.Fresh}
	list := allResults(f)
	for _, r := range list {
		key := fmt.Sprint(r.Tried)
		if t.by[key] == nil {
			t.by[key] = map[uint64]*results.Result{}
		}
		t.by[key][r.Seed] = r
	}
	out := Tune{Name: v.Name, Field: h.Field.Called(), Session: h.Session, Seed: h.Seed, Nominal: h.Nominal, For: s.For,
		Needs: s.Needs, Unit: goal.Unit, Budget: s.Budget, Have: len(list), Candidates: len(t.by),
		Restarts: found.Restarts, Moves: found.Moves, Fresh: found.Fresh, Confirm: s.Confirm, Around: s.Around,
		Progress: found.Progress, Winner: t.tried(found.Winner), Today: t.tried(s.Today())}
	today := t.runs(s.Today(), s.Confirm)
	won := t.runs(found.Winner, s.Confirm)
	out.Keeps, out.Misses = subject.Limits(units.Metric, goal, won)
	out.Endless = count(won, func(r *results.Result) bool { return r.Done == results.Never && r.Failed() == nil }).Hits
	out.TodayMisses = subject.Misses(units.Metric, goal, today)
	out.TodayErrors = failures(today, func(r *results.Result) string { return t.open(r.Tried, r.Seed) })
	out.Aim, out.Plain, out.Alike = AimOf(goal), goal.Plain(), subject.Alike(goal, list)
	out.Better = t.difference("winner against today's values", found.Winner, s.Today(), s.Confirm)
	if found.RunnerUp != nil {
		next := t.tried(found.RunnerUp)
		d := t.difference("winner against runner-up", found.Winner, found.RunnerUp, s.Confirm)
		out.RunnerUp, out.OverNext = &next, &d
	}
	out.Freedoms = t.slices(found.Winner)
	out.Errors = failures(list, func(r *results.Result) string { return t.open(r.Tried, r.Seed) })
	out.Failing, out.Lacking = t.unsound(list)
	for i := range s.Freedoms {
		if !slices.ContainsFunc(list, func(r *results.Result) bool { return r.Asked[i] }) {
			out.NeverRead = append(out.NeverRead, s.Freedoms[i].Name)
		}
	}
	out.readings(&t, list)
	out.judge()
	return out
}

func (t *tuning) open(values []float64, seed uint64) string {
	v := &t.Header.Variants[0]
	words := Open(v, seed) + " " + t.Header.Search.Flags(values, wording.Quoted)
	if t.Header.Nominal {
		words += " --nominal"
	}
	return words
}

// runs are the first so many rehearsals of values with fresh seeds.
func (t *tuning) runs(values []float64, count int) (list []*results.Result) {
	for k := range count {
		if r := t.by[fmt.Sprint(values)][t.first+uint64(k)]; r != nil {
			list = append(list, r)
		}
	}
	return list
}

func (t *tuning) tried(values []float64) Tried {
	runs := t.runs(values, t.Header.Search.Confirm)
	out := Tried{Values: values, Worth: t.subject.Worth(t.goal, runs), All: t.subject.OfAll(t.goal, runs), N: len(runs),
		Open: t.open(values, t.first), Flags: t.Header.Search.Flags(values, wording.Quoted)}
	for i := range values {
		out.Words = append(out.Words, t.Header.Search.Freedoms[i].Words(values[i]))
	}
	return out
}

// difference is a minus b of the goal.
func (t *tuning) difference(what string, a, b []float64, count int) Diff {
	return ofGoal(t.subject, t.goal, what, t.runs(a, count), t.runs(b, count), t.Header.Seed)
}

func (t *tuning) pseudo(list []*results.Result) []float64 { return t.subject.Pseudo(t.goal, list) }

// slices looks at each freedom alone about the winner.
func (t *tuning) slices(winner []float64) []Freedom {
	s := t.Header.Search
	out := make([]Freedom, len(s.Freedoms))
	for i, f := range s.Freedoms {
		out[i] = Freedom{Freedom: f, Winner: f.Words(winner[i]), Now: f.Words(f.Today), Matters: NotInquiry}
		own := t.subject.Worth(t.goal, t.runs(winner, s.Around))
		out[i].Points = []Slice{{Value: winner[i], Words: f.Words(winner[i]), Worth: own, P: 1, Own: true,
			Goal: stats.Describe(t.pseudo(sound(t.runs(winner, s.Around))))}}
	}
	var p []float64
	var of [][2]int // freedom and point
	same := make([]bool, len(out))
	for _, near := range s.Near(winner) {
		i := near.Freedom
		runs := t.runs(near.Values, s.Around)
		if len(runs) == 0 {
			continue
		}
		d := t.difference("", near.Values, winner, s.Around)
		f := &out[i]
		if len(f.Points) == 1 {
			same[i] = true
		}
		same[i] = same[i] && slices.EqualFunc(runs, t.runs(winner, s.Around), (*results.Result).Alike)
		of, p = append(of, [2]int{i, len(f.Points)}), append(p, d.P)
		f.Points = append(f.Points, Slice{Value: near.Values[i], Words: f.Words(near.Values[i]),
			Worth: t.subject.Worth(t.goal, runs), Goal: stats.Describe(t.pseudo(sound(runs))), Change: d.Mean, P: 1})
		if point := &f.Points[len(f.Points)-1]; d.Pairs < 2 {
			point.Change = point.Worth.Value - f.Points[0].Worth.Value
		}
	}
	for k, corrected := range stats.Holm(p) {
		f := &out[of[k][0]]
		point := &f.Points[of[k][1]]
		point.P = corrected
		own := f.Points[0].Worth
		differs := point.Worth != own && t.Header.Nominal || point.Worth.Failed != own.Failed ||
			(point.Worth.Short == 0) != (own.Short == 0)
		switch i := of[k][0]; {
		case corrected < 1-stats.Level || differs:
			f.Matters = Matters
		case f.Matters == NotInquiry && same[i]:
			f.Matters = DoesNot
		case f.Matters == NotInquiry:
			f.Matters = NotShown
		}
	}
	for i := range out {
		slices.SortStableFunc(out[i].Points, func(a, b Slice) int { return cmp.Compare(a.Value, b.Value) })
	}
	return out
}

func sound(list []*results.Result) []*results.Result {
	return slices.DeleteFunc(slices.Clone(list), func(r *results.Result) bool { return !r.Sound() })
}

// unsound counts the candidates that failed, and says what was lacking.
func (t *tuning) unsound(list []*results.Result) (failing int, lacking string) {
	seen := map[string]bool{}
	for _, r := range list {
		if r.Failed() != nil && !seen[fmt.Sprint(r.Tried)] {
			seen[fmt.Sprint(r.Tried)] = true
			failing++
		}
		if lacking == "" {
			lacking = r.Lacks
		}
	}
	return failing, lacking
}

// Unfinished lists the points beside the winner that are better than it, beyond chance: the search had not come to its
// end.
func (t *Tune) Unfinished() (list []string) {
	for i := range t.Freedoms {
		for _, p := range t.Freedoms[i].Points {
			own := t.Winner.Worth
			if p.P < 1-stats.Level && p.Change > 0 && p.Worth.Failed <= own.Failed && p.Worth.Short <= own.Short {
				list = append(list, t.Freedoms[i].Name+" = "+p.Words)
			}
		}
	}
	return list
}

// AtLimits lists the numbers of the winner that matter and lie at a limit of what was searched.
func (t *Tune) AtLimits() (list []string) {
	for i := range t.Freedoms {
		f := &t.Freedoms[i]
		share := f.Share(t.Winner.Values[i])
		if f.Kind == "" && f.Matters == Matters && (share < atLimit || share > 1-atLimit) {
			list = append(list, fmt.Sprintf("%s = %s lies at a limit of its search (%s to %s)", f.Name, f.Winner, f.Words(f.Min),
				f.Words(f.Max)))
		}
	}
	return list
}

// atLimit is the share of a number's way between its limits that is told as at one; our own choice, the distance of the
// nearest values that are tried about the winner.
const atLimit = 0.05

// SliceOf is a freedom's slice as a picture of a sweep shows it, and ProgressOf the best over the search.
func (t *Tune) SliceOf(i int) Sweep {
	f := &t.Freedoms[i]
	s := t.sweep(f.Name)
	s.Over, s.Apart, s.Ringed = t.range95(), f.Kind != "", "the "+t.Called()
	for k := range f.Points {
		p := &f.Points[k]
		s.Axes[0].Labels = append(s.Axes[0].Labels, p.Words)
		if !s.Apart {
			s.Axes[0].Values = append(s.Axes[0].Values, p.Value)
		}
		s.Points = append(s.Points, Point{At: []int{k}, Score: t.scaled(p.Goal), Failed: int(math.Ceil(p.Worth.Failed))})
		if p.Own {
			s.Best = k
		}
	}
	return s
}

// range95 is what all slices with their intervals run over, so that a flat one looks flat.
func (t *Tune) range95() stats.Interval {
	over := stats.Interval{Low: math.Inf(1), High: math.Inf(-1)}
	for i := range t.Freedoms {
		for k := range t.Freedoms[i].Points {
			if d := t.scaled(t.Freedoms[i].Points[k].Goal); d.N > 0 {
				over.Low, over.High = min(over.Low, d.Mean-HalfWidth(d)), max(over.High, d.Mean+HalfWidth(d))
			}
		}
	}
	return over
}

func (t *Tune) ProgressOf() Sweep {
	s := t.sweep("rehearsals of the search")
	s.Nominal = true // the seeds are those that it was picked by: an interval would tell nothing
	s.Ringed = "the best"
	for k, p := range t.Progress {
		s.Axes[0].Labels = append(s.Axes[0].Labels, fmt.Sprint(p.Done))
		s.Axes[0].Values = append(s.Axes[0].Values, float64(p.Done))
		point := Point{At: []int{k}, Failed: int(math.Ceil(p.Worth.Failed))}
		if p.Worth.Failed < 1 {
			point.Score = t.scaled(stats.Distribution{N: 1, Mean: p.Worth.Value})
		}
		s.Points, s.Best = append(s.Points, point), k
	}
	return s
}

func (t *Tune) sweep(across string) Sweep {
	return Sweep{Name: t.Name, Field: t.Field, Session: t.Session, Nominal: t.Nominal, Of: withUnit(t.Aim.Of, t.Unit),
		Slice: true,
		Axes:  []results.Axis{{Name: across}}}
}

// scaled is a distribution as it is told, in the first unit of the goal's quantity.
func (t *Tune) scaled(d stats.Distribution) stats.Distribution {
	d.Mean, d.SD = inFirst(t.Aim.told(d.Mean), t.Unit), inFirst(d.SD, t.Unit)
	return d
}
