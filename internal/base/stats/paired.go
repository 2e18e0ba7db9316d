package stats

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// PairedMean is the mean of paired differences with Student's interval, mean +- t(n-1) s/sqrt(n). Student, Biometrika 6
// (1908) 1. Score differences are not normal; from about 30 pairs the mean of them nearly is (central limit theorem),
// and SignFlip, which assumes nothing of the kind, stands beside it. One difference alone says nothing of its spread:
// the interval is then infinite.
func PairedMean(d []float64, level float64) (mean float64, ci Interval) {
	n := float64(len(d))
	if len(d) < 2 {
		for _, x := range d {
			mean = x
		}
		return mean, Interval{math.Inf(-1), math.Inf(1)}
	}
	mean, sd := stat.MeanStdDev(d, nil)
	half := StudentQuantile(len(d)-1, level) * sd / math.Sqrt(n)
	return mean, Interval{mean - half, mean + half}
}

// StudentQuantile is t with P(|T| < t) = level for a number of degrees of freedom.
func StudentQuantile(freedom int, level float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile(0.5 + level/2)
}

const (
	exactFlips = 18    // differences other than 0 up to which every sign is tried: 2^18 sums
	drawnFlips = 20000 // else this many drawn at random: a p of 0.05 is then known to +- 0.003
)

// FewestPairs is the least number of pairs with which one of so many sign-flip tests can come out below 1 - Level: the
// least p of n pairs is 2^(1-n), when all differ to one side, and the first step of Holm's correction multiplies it by
// the number of tests.
func FewestPairs(tests int) int {
	for n := 1; ; n++ {
		if math.Ldexp(float64(tests), 1-n) < 1-Level {
			return n
		}
	}
}

// SignFlip is the two-sided p-value of "a and b are alike": the share of all ways to flip the differences' signs that
// give a sum at least as far from 0 as the real one. R. A. Fisher, The Design of Experiments (1935) 21 (from memory).
// With more than 18 differences other than 0 the flips are drawn from the stream, and the real one counts as one of
// them (Phipson & Smyth, Stat. Appl. Genet. Mol. Biol. 9 (2010) 39, from memory); unless all differ to one side, where
// the count is known.
func SignFlip(d []float64, stream *rand.Rand) float64 {
	var moved []float64
	sum, size := 0.0, 0.0
	for _, x := range d {
		if x != 0 {
			moved = append(moved, x)
			sum += x
			size += math.Abs(x)
		}
	}
	if len(moved) == 0 {
		return 1
	}
	least := math.Abs(sum) - 1e-9*size   // equal sums must count as equal however they were added up
	if math.Abs(sum) >= size-1e-9*size { // all of one sign: only that and its mirror image go as far
		return math.Ldexp(1, 1-len(moved))
	}
	if len(moved) <= exactFlips {
		return everyFlip(moved, sum, least)
	}
	return someFlips(moved, least, stream)
}

// everyFlip walks all signs in Gray code order, one flip a step.
func everyFlip(moved []float64, sum, least float64) float64 {
	signs, hits, total := make([]float64, len(moved)), 0, 1<<len(moved)
	for i := range signs {
		signs[i] = 1
	}
	for k := 1; ; k++ {
		if math.Abs(sum) >= least {
			hits++
		}
		if k == total {
			return float64(hits) / float64(total)
		}
		i := bits.TrailingZeros(uint(k))
		sum -= 2 * signs[i] * moved[i]
		signs[i] = -signs[i]
	}
}

func someFlips(moved []float64, least float64, stream *rand.Rand) float64 {
	hits := 1
	for range drawnFlips {
		sum, coins, left := 0.0, uint64(0), 0
		for _, x := range moved {
			if left == 0 {
				coins, left = stream.Uint64(), 64
			}
			sum += x * (1 - 2*float64(coins&1))
			coins, left = coins>>1, left-1
		}
		if math.Abs(sum) >= least {
			hits++
		}
	}
	return float64(hits) / (drawnFlips + 1)
}
