package stats

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Distribution describes a series of numbers.
type Distribution struct {
	N      int     `json:"n"`
	Mean   float64 `json:"mean"`
	SD     float64 `json:"sd"` // with n-1; 0 for one number
	Least  float64 `json:"least"`
	P5     float64 `json:"p5"`
	Q1     float64 `json:"q1"`
	Median float64 `json:"median"`
	Q3     float64 `json:"q3"`
	P95    float64 `json:"p95"`
	Most   float64 `json:"most"`
}

// Describe gives all zeros for no numbers.
func Describe(x []float64) Distribution {
	if len(x) == 0 {
		return Distribution{}
	}
	sorted := slices.Sorted(slices.Values(x))
	d := Distribution{
		N: len(x), Mean: stat.Mean(x, nil), Least: sorted[0], Most: sorted[len(sorted)-1],
		P5: Quantile(sorted, 0.05), Q1: Quantile(sorted, 0.25), Median: Quantile(sorted, 0.5), Q3: Quantile(sorted, 0.75),
		P95: Quantile(sorted, 0.95),
	}
	if len(x) > 1 {
		d.SD = stat.StdDev(x, nil)
	}
	return d
}

// Quantile of a sorted, not empty series, linear between the neighbours at (n-1) p: type 7 of Hyndman & Fan, The
// American Statistician 50 (1996) 361.
func Quantile(sorted []float64, p float64) float64 {
	at := p * float64(len(sorted)-1)
	below := int(math.Floor(at))
	above := min(below+1, len(sorted)-1)
	return sorted[below] + (at-float64(below))*(sorted[above]-sorted[below])
}

// Bin is a column of a histogram: how many numbers lie in [From, To), the last bin's To included.
type Bin struct {
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Count int     `json:"count"`
}

// maxBins is how many bins stay readable one below the other, most of them empty where scores come in steps.
const maxBins = 60

// Histogram cuts the range of x into bins whose width is 1, 2 or 5 times a power of ten (and no finer than the finest
// step given), so that their edges are numbers that a person would choose. Whole scores with finest 1 get a bin a
// point.
func Histogram(x []float64, finest float64) []Bin {
	if len(x) == 0 {
		return nil
	}
	low, high := slices.Min(x), slices.Max(x)
	width := roundWidth((high-low)/maxBins, finest)
	first := math.Floor(low / width)
	bins := make([]Bin, int(math.Floor(high/width)-first)+1)
	for i := range bins {
		bins[i] = Bin{From: (first + float64(i)) * width, To: (first + float64(i) + 1) * width}
	}
	for _, v := range x {
		bins[int(math.Floor(v/width)-first)].Count++
	}
	return bins
}

// roundWidth is the smallest of finest times 1, 2, 5, 10, 20, ... that is at least the width asked for.
func roundWidth(least, finest float64) float64 {
	for scale := finest; ; scale *= 10 {
		for _, step := range []float64{1, 2, 5} {
			if step*scale >= least {
				return step * scale
			}
		}
	}
}
