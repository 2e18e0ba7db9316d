package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"chalkfield/internal/study/part"
	"chalkfield/internal/study/stats"
	"chalkfield/internal/study/trial"
)

// Sweep is what rehearsals over a grid of one or two quantities tell.
type Sweep struct {
	Name    string      `json:"name"`
	Field   string      `json:"field"`
	Session string      `json:"session"`
	Seed    uint64      `json:"seed"`
	Count   int         `json:"count"` // rehearsals a point asked for
	Have    int         `json:"have"`  // rehearsals done in all
	Nominal bool        `json:"nominal"`
	Need    float64     `json:"need"`
	Axes    []part.Axis `json:"axes"`
	Points  []Point     `json:"points"` // the last axis varies fastest
	Best    int         `json:"best"`   // index of the point with the greatest mean score
	Alike   []int       `json:"alike"`  // points that are not shown to be worse than the best
	Caution string      `json:"caution"`
}

// Point is one point of the grid.
type Point struct {
	At    []int              `json:"at"`    // index on each axis
	Label string             `json:"label"` // "turn_gain = 0.11, chassis.mass = 6 kg"
	Score stats.Distribution `json:"score"` // N 0: nothing done here yet
	Good  Share              `json:"good"`  // own score at least Need
	Last  stats.Distribution `json:"last"`  // s: time of the last point, where there was one
	Worse float64            `json:"worse"` // mean by which it is below the best, over shared seeds
	P     float64            `json:"p"`     // of that, corrected for the number of points
	seeds map[uint64]float64 // score by seed
}

// OfSweep reads a sweep. It needs at least one result.
func OfSweep(f *part.File) (Sweep, error) {
	h := &f.Header
	v := &h.Variants[0]
	s := Sweep{
		Name: v.Name, Field: titleOf(h.Field), Session: h.Session, Seed: h.Seed, Count: h.Count, Have: f.Have(), Nominal: h.Nominal,
		Need: h.Need, Axes: h.Axes, Points: make([]Point, h.Points()),
	}
	if s.Have == 0 {
		return Sweep{}, fmt.Errorf("no rehearsal is done yet: there is nothing to tell")
	}
	for i := range s.Points {
		s.Points[i] = point(f, v, i)
	}
	s.findBest()
	s.compareWithBest()
	if !h.Nominal && len(s.Points) > 1 {
		s.Caution = "The best of many points looks better than it is: it was picked for it. Confirm it with `chalkfield compare` and another --seed."
	}
	return s, nil
}

func point(f *part.File, v *part.Variant, i int) Point {
	h := &f.Header
	p := Point{At: h.Grid(i), seeds: map[uint64]float64{}}
	words := make([]string, len(h.Axes))
	for k, a := range h.Axes {
		words[k] = a.Name + " = " + a.Labels[p.At[k]]
	}
	p.Label = strings.Join(words, ", ")
	var list []*trial.Result
	var last []float64
	for job := i; job < len(f.Results); job += h.Points() {
		r := f.Results[job]
		if r == nil {
			continue
		}
		list = append(list, r)
		p.seeds[r.Seed] = r.Own(v.Side)
		if r.Last != trial.Never {
			last = append(last, r.Last)
		}
	}
	p.Score = stats.Describe(each(list, func(r *trial.Result) float64 { return r.Own(v.Side) }))
	p.Good = count(list, func(r *trial.Result) bool { return r.Own(v.Side) >= h.Need })
	p.Last = stats.Describe(last)
	return p
}

// findBest takes the greatest mean score; of equal ones the greater share of good, then the earlier last point, then the
// first.
func (s *Sweep) findBest() {
	s.Best = -1
	for i := range s.Points {
		if s.Points[i].Score.N > 0 && (s.Best < 0 || s.Points[i].better(&s.Points[s.Best])) {
			s.Best = i
		}
	}
}

func (p *Point) better(q *Point) bool {
	switch {
	case p.Score.Mean != q.Score.Mean:
		return p.Score.Mean > q.Score.Mean
	case p.Good.Portion() != q.Good.Portion():
		return p.Good.Portion() > q.Good.Portion()
	case p.Last.N > 0 && q.Last.N > 0 && p.Last.Mean != q.Last.Mean:
		return p.Last.Mean < q.Last.Mean
	}
	return false
}

// compareWithBest tests each point against the best, pair by pair of seeds, and lists those that are not shown to be worse.
// A nominal sweep has nothing to test: only equal scores are alike there.
func (s *Sweep) compareWithBest() {
	best := &s.Points[s.Best]
	p := make([]float64, len(s.Points))
	for i := range s.Points {
		change := s.change(best, &s.Points[i])
		if len(change) > 0 {
			s.Points[i].Worse = -stats.Describe(change).Mean + 0
		}
		p[i] = stats.SignFlip(change, rand.New(rand.NewPCG(s.Seed, flips+uint64(i)+1)))
	}
	for i, corrected := range stats.Holm(p) {
		s.Points[i].P = corrected
		alike := corrected >= 1-stats.Level
		if s.Nominal {
			alike = s.Points[i].Worse == 0
		}
		if alike && s.Points[i].Score.N > 0 {
			s.Alike = append(s.Alike, i)
		}
	}
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
