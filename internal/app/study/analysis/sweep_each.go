package analysis

import (
	"cmp"
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// Leave is the rehearsals of a sweep that were not good and first left the plan at the same thing.
type Leave struct {
	Words   string
	Text    string // of a routine error: the first one's
	Varies  bool   // others have another text
	Count   int
	Points  int // of the grid at which this happened
	Most    int // the point at which it happened most often, the first of them
	MostHad int // how often it happened there
	T       stats.Distribution
	Places  [][2]float64 // m; at most one a rehearsal
}

// Leaves sorts a sweep's rehearsals that were not good by where they first left the plan, most frequent first.
func Leaves(f *results.File) []Leave {
	var out []Leave
	var times [][]float64
	var counts [][]int // per leave and point
	index := map[string]int{}
	for job, r := range f.Results {
		if r == nil || r.Left == nil {
			continue
		}
		k, known := index[r.Left.Words]
		if !known {
			k = len(out)
			index[r.Left.Words] = k
			out, times, counts = append(out, Leave{Words: r.Left.Words, Text: r.Left.Text}), append(times, nil),
				append(counts, make([]int, f.Header.Points()))
		}
		out[k].Count++
		out[k].Varies = out[k].Varies || r.Left.Text != out[k].Text
		times[k] = append(times[k], r.Left.T)
		counts[k][f.Header.Point(job)]++
		if r.Left.At != nil {
			out[k].Places = append(out[k].Places, *r.Left.At)
		}
	}
	for k := range out {
		out[k].T = stats.Describe(times[k])
		out[k].spread(counts[k])
	}
	slices.SortStableFunc(out, func(a, b Leave) int { return cmp.Compare(b.Count, a.Count) })
	return out
}

// spread says over which points the rehearsals lie.
func (l *Leave) spread(perPoint []int) {
	for point, n := range perPoint {
		if n > 0 {
			l.Points++
		}
		if n > l.MostHad {
			l.Most, l.MostHad = point, n
		}
	}
}

// AlikeMeans says what is true of the points other than the best that are in Alike; "" when there are none.
func (s Sweep) AlikeMeans() string {
	switch {
	case len(s.Alike) < 2:
		return ""
	case s.Nominal:
		return "the same score"
	}
	return "not shown to be worse than the best"
}

// PointBins are the histograms of the score, or of the goal, at each point of a sweep, in bins that all share.
func PointBins(f *results.File) [][]stats.Bin {
	scores := make([][]float64, f.Header.Points())
	subject, goal, _ := f.Header.Goal()
	for i := range scores {
		if goal != nil {
			scores[i] = goalValues(subject, goal, sound(resultsOf(f, i)))
			continue
		}
		scores[i] = each(resultsOf(f, i), func(r *results.Result) float64 { return r.Own(f.Header.Variants[0].Side) })
	}
	return jointBins(scores)
}

// countedInto counts numbers into the edges of other bins.
func countedInto(edges []stats.Bin, x []float64) []stats.Bin {
	out := slices.Clone(edges)
	for i := range out {
		out[i].Count = 0
	}
	for _, v := range x {
		out[binOf(edges, v)].Count++
	}
	return out
}

// binOf is the last bin that begins at or below x, which is one of the numbers that the bins were made of.
func binOf(bins []stats.Bin, x float64) int {
	k, exact := slices.BinarySearchFunc(bins, x, func(b stats.Bin, x float64) int { return cmp.Compare(b.From, x) })
	if exact {
		return k
	}
	return max(k-1, 0)
}
