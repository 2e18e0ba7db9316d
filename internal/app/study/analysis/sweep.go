package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// Sweep is what rehearsals over a grid of one or two quantities tell.
type Sweep struct {
	Name    string         `json:"name"`
	Field   string         `json:"field"`
	Session string         `json:"session"`
	Seed    uint64         `json:"seed"`
	Count   int            `json:"count"` // rehearsals a point asked for
	Have    int            `json:"have"`  // rehearsals done in all
	Nominal bool           `json:"nominal"`
	Need    float64        `json:"need"`
	Axes    []results.Axis `json:"axes"`
	Points  []Point        `json:"points"` // the last axis varies fastest
	Best    int            `json:"best"`   // index of the point with the greatest mean score
	Alike   []int          `json:"alike"`  // points that are not shown to be worse than the best
	// rehearsals a point below which nothing can be shown; 0 where nothing is tested
	Fewest  int    `json:"fewest"`
	Told    bool   `json:"told"` // there are as many, or nothing is drawn
	Caution string `json:"caution"`

	For  string         `json:"for,omitempty"` // the goal that Score is of; "": the score
	Of   string         `json:"of,omitempty"`  // what the numbers are of, where not of the score: "-done, s"
	Over stats.Interval `json:"-"`             // what a picture's scale runs over at least, if given

	Slice  bool   `json:"-"` // one picture of several: low, the best marked; values of the axis are to scale, if given
	Ringed string `json:"-"` // what the best of a slice is
	Apart  bool   `json:"-"` // the values have nothing between them

	// the error with which the nominal rehearsal of the files as they are ends
	PlanFails string   `json:"plan_fails,omitempty"`
	Notes     []string `json:"notes,omitempty"` // what must be said first, a sentence each
}

// Point is one point of the grid.
type Point struct {
	At     []int              `json:"at"`    // index on each axis
	Label  string             `json:"label"` // "turn_gain = 0.11, chassis.mass = 6 kg"
	Done   int                `json:"rehearsals"`
	Score  stats.Distribution `json:"score"`   // of the sound ones, if there is a goal
	Lacks  int                `json:"lacking"` // rehearsals that failed or lack what the goal reads
	Good   Share              `json:"good"`    // own score at least Need, and the routine did not fail
	Last   stats.Distribution `json:"last"`    // s: when the last piece was scored, where one was
	Worse  float64            `json:"worse"`   // mean by which it is below the best, over shared seeds
	P      float64            `json:"p"`       // of that, corrected for the number of points
	Failed int                `json:"failed"`  // rehearsals in which the routine failed with an error
	Errors []Failure          `json:"errors,omitempty"`
	seeds  map[uint64]float64 // score by seed
}

// OfSweep reads a sweep. It needs at least one result.
func OfSweep(f *results.File) (Sweep, error) {
	h := &f.Header
	v := &h.Variants[0]
	s := Sweep{
		Name: v.Name, Field: h.Field.Called(), Session: h.Session, Seed: h.Seed, Count: h.Count, Have: f.Have(),
		Nominal: h.Nominal,
		Need:    h.Need, Axes: h.Axes, Points: make([]Point, h.Points()), PlanFails: planFails(v), Notes: notes(f),
	}
	if s.Have == 0 {
		return Sweep{}, fmt.Errorf("no rehearsal is done yet: there is nothing to tell")
	}
	for i := range s.Points {
		s.Points[i] = point(f, v, i)
	}
	s.measure(f)
	s.findBest()
	s.compareWithBest()
	if !h.Nominal && len(s.Points) > 1 {
		s.Caution = "The best of many points looks better than it is: it was picked for it. Confirm it with `chalkfield " +
			"compare` and another --seed."
	}
	return s, nil
}

// measure puts what a goal comes to in the place of the scores, if there is one, in the first unit of its quantity;
// rehearsals that failed or lack what it reads are left out.
func (s *Sweep) measure(f *results.File) {
	subject, goal, _ := f.Header.Goal() // a file's header is checked as it is read
	if goal == nil {
		return
	}
	s.For, s.Of = goal.Text, withUnit(goal.Text, goal.Unit)
	for i := range s.Points {
		p := &s.Points[i]
		good := sound(resultsOf(f, i))
		values := goalValues(subject, goal, good)
		p.Score, p.Lacks, p.seeds = stats.Describe(values), p.Done-len(good), map[uint64]float64{}
		for k, r := range good {
			p.seeds[r.Seed] = values[k]
		}
	}
}

// goalValues are the pseudo-values of a goal in the first unit of its quantity.
func goalValues(subject *results.Subject, goal *results.Goal, good []*results.Result) []float64 {
	values := subject.Pseudo(goal, good)
	for k := range values {
		values[k] = inFirst(values[k], goal.Unit)
	}
	return values
}

func point(f *results.File, v *results.Variant, i int) Point {
	h := &f.Header
	p := Point{At: h.Grid(i), seeds: map[uint64]float64{}}
	words := make([]string, len(h.Axes))
	for k, a := range h.Axes {
		words[k] = a.Name + " = " + a.Labels[p.At[k]]
	}
	p.Label = strings.Join(words, ", ")
	list := resultsOf(f, i)
	p.Done = len(list)
	var last []float64
	for _, r := range list {
		p.seeds[r.Seed] = r.Own(v.Side)
		if r.Last != results.Never {
			last = append(last, r.Last)
		}
	}
	p.Score = stats.Describe(each(list, func(r *results.Result) float64 { return r.Own(v.Side) }))
	p.Good = count(list, func(r *results.Result) bool { return h.Good(v, r) })
	p.Last = stats.Describe(last)
	p.Failed, p.Errors = count(list, failed).Hits, failures(list,
		func(r *results.Result) string { return openPoint(v, h.Axes, p.At, r.Seed) })
	return p
}

// findBest takes the greatest mean score, of a goal that of the points that lack it least; of equal ones the greater
// share of good, then the earlier last point, then the first.
func (s *Sweep) findBest() {
	s.Best = 0
	if !slices.ContainsFunc(s.Points, func(p Point) bool { return p.Score.N > 0 }) {
		return // no rehearsal has what the goal reads
	}
	s.Best = -1
	for i := range s.Points {
		if s.Points[i].Score.N > 0 && (s.Best < 0 || s.Points[i].better(&s.Points[s.Best])) {
			s.Best = i
		}
	}
}

func (p *Point) better(q *Point) bool {
	switch {
	case p.lacking() != q.lacking():
		return p.lacking() < q.lacking()
	case p.Score.Mean != q.Score.Mean:
		return p.Score.Mean > q.Score.Mean
	case p.Good.Portion() != q.Good.Portion():
		return p.Good.Portion() > q.Good.Portion()
	case p.Last.N > 0 && q.Last.N > 0 && p.Last.Mean != q.Last.Mean:
		return p.Last.Mean < q.Last.Mean
	}
	return false
}

func (p *Point) lacking() float64 { return float64(p.Lacks) / float64(max(1, p.Done)) }

// openPoint is the command that shows a rehearsal of a point again, where flags can say what its axes vary.
func openPoint(v *results.Variant, axes []results.Axis, at []int, seed uint64) string {
	words := ""
	for k, a := range axes {
		name, isParam := strings.CutPrefix(a.Name, "param:")
		if !isParam {
			return ""
		}
		words += " --param " + name + "=" + a.Labels[at[k]]
	}
	return Open(v, seed) + words
}

// compareWithBest tests each other point against the best, pair by pair of seeds, and lists those that are not shown to
// be worse. A nominal sweep has nothing to test: only equal scores are alike there. A point at which the routine fails
// is no choice, whatever it scores.
func (s *Sweep) compareWithBest() {
	best := &s.Points[s.Best]
	var others []int
	var p []float64
	pairs := 0
	for i := range s.Points {
		s.Points[i].P = 1
		if i == s.Best || s.Points[i].Score.N == 0 {
			continue
		}
		change := s.change(best, &s.Points[i])
		pairs = max(pairs, len(change))
		if len(change) > 0 {
			s.Points[i].Worse = -stats.Describe(change).Mean + 0
		}
		others, p = append(others, i), append(p, stats.SignFlip(change, rand.New(rand.NewPCG(s.Seed, flips+uint64(i)+1))))
	}
	if !s.Nominal && len(others) > 0 {
		s.Fewest = stats.FewestPairs(len(others))
	}
	s.Told = pairs >= s.Fewest
	s.Alike = []int{s.Best}
	for k, corrected := range stats.Holm(p) {
		i := others[k]
		s.Points[i].P = corrected
		alike := s.Told && corrected >= 1-stats.Level
		if s.Nominal {
			alike = s.Points[i].Worse == 0
		}
		if alike && s.Points[i].Failed == 0 && s.Points[i].lacking() <= best.lacking() {
			s.Alike = append(s.Alike, i)
		}
	}
	slices.Sort(s.Alike)
}

// change lists the differences in score of the seeds that both points have, in the order of the seeds.
func (s *Sweep) change(best, p *Point) []float64 {
	var out []float64
	for k := range s.Count {
		a, haveA := best.seeds[s.Seed+uint64(k)]
		b, haveB := p.seeds[s.Seed+uint64(k)]
		if haveA && haveB {
			out = append(out, b-a)
		}
	}
	return out
}

// HalfWidth is half the width of Student's 95 % interval of a mean; 0 for fewer than two numbers.
func HalfWidth(d stats.Distribution) float64 {
	if d.N < 2 {
		return 0
	}
	return stats.StudentQuantile(d.N-1, stats.Level) * d.SD / math.Sqrt(float64(d.N))
}

// NotWorse reports whether a point is among those that are not shown to be worse than the best.
func (s Sweep) NotWorse(i int) bool { return slices.Contains(s.Alike, i) }
