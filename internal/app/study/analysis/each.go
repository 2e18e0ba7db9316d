package analysis

import (
	"slices"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
)

// Each is what the rehearsals of one variant of a comparison tell by themselves.
type Each struct {
	Groups []Group
	Steps  []Step
	Bins   []stats.Bin // of the score; the same bins for every variant
}

// EachOf reads one variant, in the pairs of which both halves are done.
func EachOf(f *results.File, variant int) Each {
	h := &f.Header
	v := &h.Variants[variant]
	list := Pairs(f)[variant]
	return Each{Groups: groups(h, v, list), Steps: steps(v, list), Bins: scoreBins(f)[variant]}
}

// Evenly chooses at most so many of a list.
func Evenly[T any](list []T, most int) []T {
	if len(list) <= most {
		return list
	}
	out := make([]T, most)
	for i := range out {
		out[i] = list[i*len(list)/most]
	}
	return out
}

// Pairs lists the rehearsals of a and of b whose both halves are done.
func Pairs(f *results.File) [2][]*results.Result {
	a, b := pairs(f)
	return [2][]*results.Result{a, b}
}

// scoreBins cuts the scores of both variants into the same bins.
func scoreBins(f *results.File) [][]stats.Bin {
	scores := make([][]float64, 2)
	for k, list := range Pairs(f) {
		scores[k] = each(list, func(r *results.Result) float64 { return r.Own(f.Header.Variants[k].Side) })
	}
	return jointBins(scores)
}

// jointBins cuts several lists of scores into bins that all share.
func jointBins(scores [][]float64) [][]stats.Bin {
	all := slices.Concat(scores...)
	joint := stats.Histogram(all, finest(all))
	out := make([][]stats.Bin, len(scores))
	for k := range out {
		out[k] = countedInto(joint, scores[k])
	}
	return out
}
