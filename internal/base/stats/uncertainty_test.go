package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"chalkfield/internal/base/property"

	"gonum.org/v1/gonum/mat"
)

// autoregressive is noise of unit variance of which each value keeps a share of the last.
func autoregressive(n int, keeps float64, stream *rand.Rand) []float64 {
	x := make([]float64, n)
	x[0] = stream.NormFloat64()
	for t := 1; t < n; t++ {
		x[t] = keeps*x[t-1] + math.Sqrt(1-keeps*keeps)*stream.NormFloat64()
	}
	return x
}

// Residuals that are alike in time: intervals by the corrected errors cover about as often as they say, and those that
// take residuals to be independent do not. A decay of three parameters in two series.
func TestCorrectedIntervalsCoverUnderCorrelatedResiduals(t *testing.T) {
	const n, series = 400, 2
	draws := property.Cases(100, 300)
	truth := []float64{2, 0.8, 0.5}
	model := func(b []float64, x float64) float64 { return b[0]*math.Exp(-b[1]*x) + b[2] }
	x := slices.Concat(steps(n, 0.015), steps(n, 0.015))
	for _, keeps := range []float64{0, 0.8} {
		stream := rand.New(rand.NewPCG(13, uint64(100*keeps)))
		var plain, corrected [3]float64
		for range draws {
			y := make([]float64, 0, len(x))
			for range series {
				y = append(y, autoregressive(n, keeps, stream)...)
			}
			for i := range y {
				y[i] = model(truth, x[i]) + 0.1*y[i]
			}
			p := measured(x, y, model, 1, 1, 1)
			p.Series = []int{n, n}
			got := mustFit(t, p)
			for j := range truth {
				off := math.Abs(got.Values[j] - truth[j])
				if off < 1.96*got.StandardErrors[j] {
					plain[j] += 1 / float64(draws)
				}
				if off < 1.96*got.Corrected[j] {
					corrected[j] += 1 / float64(draws)
				}
			}
		}
		t.Logf("neighbours alike by %.2f: plain intervals cover %.3f, corrected %.3f", keeps, plain, corrected)
		for j := range truth {
			near(t, "corrected coverage", corrected[j], 0.95, 0.045)
			if keeps >= 0.5 && plain[j] > 0.85 {
				t.Errorf("plain intervals cover %g too: nothing to correct", plain[j])
			}
		}
	}
}

// The variance of the sum of n values of an autoregression is n (1+a)/(1-a) for long series (Hamilton, Time Series
// Analysis, ch. 7.2, from memory). That of sums of four neighbours of white noise is 16 n, and the window's error for
// them follows from its weights: after their likeness of 3/4 is taken out, the lags 1 to 4 have the covariances 0.1875,
// 0.125, 0.0625 and -0.75 and the sum of all is 1, of which a window over 21 lags takes 2/22 of the lag times the
// covariance.
func TestTheLongRunVarianceIsTheClosedForm(t *testing.T) {
	const n = 200000
	for _, keeps := range []float64{-0.5, 0, 0.5, 0.9} {
		sum := mat.NewSymDense(1, nil)
		addLongRun(sum, mat.NewDense(n, 1, autoregressive(n, keeps, rand.New(rand.NewPCG(15, 16)))))
		want := (1 + keeps) / (1 - keeps)
		near(t, "variance", sum.At(0, 0)/n, want, 0.05*want)
	}
	steps, moving := autoregressive(n, 0, rand.New(rand.NewPCG(21, 22))), make([]float64, n)
	for t := 3; t < n; t++ {
		moving[t] = steps[t] + steps[t-1] + steps[t-2] + steps[t-3]
	}
	sum := mat.NewSymDense(1, nil)
	addLongRun(sum, mat.NewDense(n, 1, moving))
	near(t, "variance of sums of four", sum.At(0, 0)/n, 16*(1+2.375*2/22), 0.03*16)
}
