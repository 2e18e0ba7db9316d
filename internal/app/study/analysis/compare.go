package analysis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/units"
)

// Compare is what pairs of rehearsals with the same seeds tell of two variants.
type Compare struct {
	A       string  `json:"a"`
	B       string  `json:"b"`
	Field   string  `json:"field"`
	Session string  `json:"session"`
	Seed    uint64  `json:"seed"`
	Count   int     `json:"count"`
	Pairs   int     `json:"pairs"` // done
	Need    float64 `json:"need"`
	GoodA   Share   `json:"good_a"`
	GoodB   Share   `json:"good_b"`
	Goal    *Diff   `json:"goal,omitempty"`           // of what --for says, as it is told
	Lowered bool    `json:"less_is_better,omitempty"` // of the goal
	Score   Diff    `json:"score"`
	Last    Diff    `json:"last_piece"` // s: when the last piece was scored, in pairs where both scored
	Done    Diff    `json:"done"`       // s, in pairs where both routines came to their end
	Rules   []Diff  `json:"rules"`      // points per rule, p corrected for their number
	Seeds   []Pair  `json:"seeds"`      // the pairs that differ most

	PlanFailsA string    `json:"plan_fails_a,omitempty"` // the error with which the nominal rehearsal of a ends
	PlanFailsB string    `json:"plan_fails_b,omitempty"`
	ErrorsA    []Failure `json:"errors_a,omitempty"`
	ErrorsB    []Failure `json:"errors_b,omitempty"`
	Notes      []string  `json:"notes,omitempty"` // what must be said first, a sentence each
}

// Diff is b minus a over pairs.
type Diff struct {
	What     string         `json:"what"`
	Pairs    int            `json:"pairs"`
	A        float64        `json:"a"` // means
	B        float64        `json:"b"`
	Mean     float64        `json:"mean"`
	Interval stats.Interval `json:"interval"` // 95 %, Student's t of paired differences
	P        float64        `json:"p"`        // sign flips
	Higher   int            `json:"higher"`   // pairs in which b is higher
	Lower    int            `json:"lower"`
	Real     bool           `json:"real"` // the interval keeps off 0 and p is below 0.05
	Sentence string         `json:"sentence"`
}

// Pair is one seed's two rehearsals.
type Pair struct {
	Seed  uint64  `json:"seed"`
	A     float64 `json:"a"`
	B     float64 `json:"b"`
	OpenA string  `json:"open_a"`
	OpenB string  `json:"open_b"`
}

// OfCompare reads a study that compares. It needs two pairs.
func OfCompare(f *results.File) (Compare, error) {
	h := &f.Header
	a, b := pairs(f)
	if len(a) < 2 {
		return Compare{}, fmt.Errorf("a comparison needs two pairs at least: %s done", units.Counted(len(a), "pair"))
	}
	va, vb := &h.Variants[0], &h.Variants[1]
	c := Compare{
		A: va.Name, B: vb.Name, Field: h.Field.Called(), Session: h.Session, Seed: h.Seed, Count: h.Count, Pairs: len(a),
		Need:       h.Need,
		GoodA:      count(a, func(r *results.Result) bool { return h.Good(va, r) }),
		GoodB:      count(b, func(r *results.Result) bool { return h.Good(vb, r) }),
		PlanFailsA: planFails(va), PlanFailsB: planFails(vb), Notes: notes(f),
		ErrorsA: failures(resultsOf(f, 0), func(r *results.Result) string { return Open(va, r.Seed) }),
		ErrorsB: failures(resultsOf(f, 1), func(r *results.Result) string { return Open(vb, r.Seed) }),
	}
	scoreA := each(a, func(r *results.Result) float64 { return r.Own(va.Side) })
	scoreB := each(b, func(r *results.Result) float64 { return r.Own(vb.Side) })
	c.Score = difference("score", scoreA, scoreB, h.Seed)
	c.Last = timeDifference("last piece scored", a, b, func(r *results.Result) float64 { return r.Last }, h.Seed)
	c.Done = timeDifference("routine's end", a, b, func(r *results.Result) float64 { return r.Done }, h.Seed)
	c.Rules = ruleDifferences(h, a, b)
	var w terms
	if c.Goal, w = goalDifference(h, a, b); c.Goal != nil {
		_, goal, _ := h.Goal()
		c.Lowered = goal.Lowered() != ""
		c.say(c.Goal, w)
	}
	c.say(&c.Score, terms{"score", "points", "more", "fewer", ""})
	c.say(&c.Last, terms{"time", "s", "later", "sooner", "both scored"})
	c.say(&c.Done, terms{"time", "s", "later", "sooner", "both routines came to their end"})
	for i := range c.Rules {
		c.say(&c.Rules[i], terms{"points", "points", "more", "fewer", ""})
	}
	c.Seeds = apart(h, a, scoreA, scoreB)
	return c, nil
}

// pairs lists the rehearsals of a and b whose both halves are done.
func pairs(f *results.File) (a, b []*results.Result) {
	for job := 0; job+1 < len(f.Results); job += 2 {
		if f.Results[job] != nil && f.Results[job+1] != nil {
			a, b = append(a, f.Results[job]), append(b, f.Results[job+1])
		}
	}
	return a, b
}

// flips is the number of the stream that draws sign flips, beside the seed.
const flips = 0x666c697073

func difference(what string, a, b []float64, seed uint64) Diff {
	d := Diff{What: what, Pairs: len(a), A: stats.Describe(a).Mean, B: stats.Describe(b).Mean, P: 1}
	if len(a) < 2 {
		return d
	}
	change := make([]float64, len(a))
	for i := range a {
		change[i] = b[i] - a[i]
		switch {
		case change[i] > 0:
			d.Higher++
		case change[i] < 0:
			d.Lower++
		}
	}
	d.Mean, d.Interval = stats.PairedMean(change, stats.Level)
	d.P = stats.SignFlip(change, rand.New(rand.NewPCG(seed, flips)))
	d.judge()
	return d
}

func (d *Diff) judge() {
	d.Real = d.P < 1-stats.Level && (d.Interval.Low > 0 || d.Interval.High < 0)
}

// timeDifference keeps to the pairs in which the thing happened in both.
func timeDifference(what string, a, b []*results.Result, when func(*results.Result) float64, seed uint64) Diff {
	var x, y []float64
	for i := range a {
		if s, t := when(a[i]), when(b[i]); s != results.Never && t != results.Never {
			x, y = append(x, s), append(y, t)
		}
	}
	return difference(what, x, y, seed)
}

func ruleDifferences(h *results.Header, a, b []*results.Result) []Diff {
	var out []Diff
	var p []float64
	for i, rule := range h.Rules {
		points := func(r *results.Result) float64 { return r.Points[i] }
		d := difference(rule, each(a, points), each(b, points), h.Seed)
		if d.A == 0 && d.B == 0 && d.Higher+d.Lower == 0 {
			continue
		}
		out, p = append(out, d), append(p, d.P)
	}
	for i, corrected := range stats.Holm(p) {
		out[i].P = corrected
		out[i].judge()
	}
	return out
}

// terms is how a kind of difference is told: what it is a difference of, its unit, and in which pairs there is one if
// not in all.
type terms struct{ of, unit, more, less, where string }

// say puts a difference into one plain sentence.
func (c *Compare) say(d *Diff, w terms) {
	word, sign := w.more, 1.0
	if d.Mean < 0 {
		word, sign = w.less, -1
	}
	amount := strings.TrimSpace(short(sign*d.Mean) + " " + w.unit)
	low, high := sign*d.Interval.Low, sign*d.Interval.High
	range95 := fmt.Sprintf("(95 %%: %s to %s)", short(math.Min(low, high)), short(math.Max(low, high)))
	some := ""
	if d.Pairs < c.Pairs {
		some = fmt.Sprintf(", in the %d of %d pairs in which %s", d.Pairs, c.Pairs, w.where)
	}
	switch least := stats.FewestPairs(1); {
	case d.Pairs < 2 && some != "":
		d.Sentence = fmt.Sprintf("%s in %d of %d pairs: too few to compare", w.where, d.Pairs, c.Pairs)
	case d.Pairs < 2:
		d.Sentence = "too few pairs to say anything"
	case d.Higher+d.Lower == 0 && some != "":
		d.Sentence = "the same " + w.of + some
	case d.Higher+d.Lower == 0:
		d.Sentence = fmt.Sprintf("the same %s in all %d pairs", w.of, d.Pairs)
	case d.Pairs < least:
		d.Sentence = fmt.Sprintf("%d pairs can show nothing, %d at least are needed: %s %s for %s%s", d.Pairs, least,
			amount, word, c.B, some)
	case d.Real:
		d.Sentence = fmt.Sprintf("%s: %s %s %s%s: real", c.B, amount, word, range95, some)
	default:
		d.Sentence = fmt.Sprintf("no difference that %d pairs could show: %s %s for %s %s%s", d.Pairs, amount, word, c.B,
			range95, some)
	}
}

func short(x float64) string { return fmt.Sprintf("%.2f", x+0) }

const pairsListed = 3

// apart lists the pairs that differ most, in either direction.
func apart(h *results.Header, a []*results.Result, x, y []float64) []Pair {
	order := make([]float64, len(x))
	for i := range x {
		order[i] = math.Abs(y[i] - x[i])
	}
	var out []Pair
	for range pairsListed {
		best := -1
		for i := range order {
			if order[i] > 0 && (best < 0 || order[i] > order[best]) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		seed := a[best].Seed
		out = append(out, Pair{Seed: seed, A: x[best], B: y[best], OpenA: Open(&h.Variants[0], seed),
			OpenB: Open(&h.Variants[1], seed)})
		order[best] = 0
	}
	return out
}

// PairBins is the histogram of the differences in score, b minus a.
func PairBins(f *results.File) []stats.Bin {
	a, b := pairs(f)
	change := make([]float64, len(a))
	for i := range a {
		change[i] = b[i].Own(f.Header.Variants[1].Side) - a[i].Own(f.Header.Variants[0].Side)
	}
	return stats.Histogram(change, finest(change))
}
