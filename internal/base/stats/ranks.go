package stats

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Ranks gives each value its rank from 1; equal values share the mean of their ranks.
func Ranks(x []float64) []float64 {
	type one struct {
		value float64
		at    int
	}
	// the values beside each other: a study of thousands ranks two columns for each quantity drawn
	order := make([]one, len(x))
	for i, value := range x {
		order[i] = one{value, i}
	}
	slices.SortFunc(order, func(a, b one) int { return cmp.Compare(a.value, b.value) })
	ranks := make([]float64, len(x))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && order[to].value == order[from].value {
			to++
		}
		for _, equal := range order[from:to] {
			ranks[equal.at] = float64(from+1+to) / 2
		}
		from = to
	}
	return ranks
}

// Spearman is the rank correlation rho of two equally long series and the two-sided p-value of "no relation".
//
//	rho = Pearson's r of the ranks, t = rho sqrt((n-2)/(1-rho^2)), Student's t with n-2 degrees of freedom
//
// Conover, Practical Nonparametric Statistics, ch. 5.4; the t form is Kendall & Stuart's (both from memory). The t form
// is an approximation: good from about 20 pairs. Fewer than 3 pairs, or a series without any variation, give 0 and 1.
func Spearman(x, y []float64) (rho, p float64) {
	n := float64(len(x))
	if len(x) < 3 {
		return 0, 1
	}
	rho = stat.Correlation(Ranks(x), Ranks(y), nil)
	if math.IsNaN(rho) {
		return 0, 1
	}
	rho = math.Max(-1, math.Min(1, rho))
	t := math.Abs(rho) * math.Sqrt((n-2)/(1-rho*rho)) // infinite for a perfect order: p is then 0
	return rho, 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 2}.Survival(t)
}

// Holm adjusts the p-values of many tests made at once, so that the chance of even one false alarm among them stays
// below the threshold they are then held against. Holm, Scand. J. Stat. 6 (1979) 65 (from memory).
func Holm(p []float64) []float64 {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	out, least := make([]float64, len(p)), 0.0
	for k, i := range order {
		least = math.Max(least, math.Min(1, p[i]*float64(len(p)-k)))
		out[i] = least
	}
	return out
}
