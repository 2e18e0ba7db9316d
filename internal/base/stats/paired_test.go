package stats

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Extra hours of sleep of ten patients under two drugs, Student, Biometrika 6 (1908): difference 1.58 h, 95 % 0.700 to
// 2.460 (interval as every statistics package prints it for this data set; from memory).
func TestPairedMeanGivesStudentsSleepData(t *testing.T) {
	mean, ci := PairedMean([]float64{1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4}, 0.95)
	near(t, "mean", mean, 1.58, 1e-12)
	near(t, "low", ci.Low, 0.7001142, 1e-6)
	near(t, "high", ci.High, 2.4598858, 1e-6)
}

// Darwin's fifteen pairs of maize plants, in eighths of an inch. Fisher, The Design of Experiments (1935) 21, counted
// that 863 of the 32768 sign patterns reach the sum 314 on one side (from memory).
func TestSignFlipGivesFishersCountOnDarwinsMaize(t *testing.T) {
	maize := []float64{49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48}
	near(t, "p", SignFlip(maize, nil), 2*863.0/32768, 1e-12)
}

func TestSignFlipBySamplingAgreesWithTheExactCount(t *testing.T) {
	stream := rand.New(rand.NewPCG(5, 5))
	for range 5 {
		d := make([]float64, exactFlips)
		for i := range d {
			d[i] = math.Round(3*stream.NormFloat64() + 1)
		}
		var moved []float64
		sum := 0.0
		for _, x := range d {
			if x != 0 {
				moved = append(moved, x)
				sum += x
			}
		}
		exact := SignFlip(d, nil)
		drawn := someFlips(moved, math.Abs(sum)-1e-9, stream)
		near(t, "drawn p", drawn, exact, 4*math.Sqrt(exact*(1-exact)/drawnFlips)+1e-4)
	}
}

func TestSignFlipAtItsEnds(t *testing.T) {
	if p := SignFlip([]float64{0, 0, 0}, nil); p != 1 {
		t.Errorf("no difference: p = %g, want 1", p)
	}
	if p := SignFlip([]float64{2, 2, 2, 2, 2}, nil); p != 2.0/32 {
		t.Errorf("five equal differences: p = %g, want 2/32", p)
	}
	many := make([]float64, 400)
	for i := range many {
		many[i] = 1
	}
	if p := SignFlip(many, rand.New(rand.NewPCG(1, 1))); p != math.Ldexp(1, -399) {
		t.Errorf("400 equal differences: p = %g, want 2/2^400: only all signs alike go as far", p)
	}
	many[7] = -0.001 // now more flips than those two go as far: they are drawn
	if p := SignFlip(many, rand.New(rand.NewPCG(1, 1))); p != 1.0/(drawnFlips+1) {
		t.Errorf("400 differences: p = %g, want the least that can be drawn", p)
	}
}

// The least p of n pairs is 2^(1-n): with one pair fewer than FewestPairs says no test can come out, with that many one
// can.
func TestFewestPairsIsWhereATestCanComeOut(t *testing.T) {
	for _, c := range []struct{ tests, want int }{{1, 6}, {2, 7}, {4, 8}, {12, 9}, {9999, 19}} {
		got := FewestPairs(c.tests)
		if got != c.want {
			t.Errorf("%d tests: %d pairs, want %d", c.tests, got, c.want)
		}
		for _, n := range []int{got - 1, got} {
			d := make([]float64, n)
			for i := range d {
				d[i] = 1
			}
			p := make([]float64, c.tests)
			p[0] = SignFlip(d, nil)
			for i := range p[1:] {
				p[i+1] = 1
			}
			if out := Holm(p)[0] < 1-Level; out != (n == got) {
				t.Errorf("%d tests of %d pairs: p = %g", c.tests, n, Holm(p)[0])
			}
		}
	}
}

// Intervals of the mean of skewed whole scores must hold the true mean nearly as often as they say: this is the
// assumption that compare rests on.
func TestPairedMeanCoversTheTrueMeanOfSkewedScores(t *testing.T) {
	const rounds, n = 4000, 100
	stream, covered := rand.New(rand.NewPCG(6, 6)), 0
	d := make([]float64, n)
	for range rounds {
		for i := range d {
			d[i] = 0
			if stream.Float64() < 0.2 {
				d[i] = 6
			}
			if stream.Float64() < 0.1 {
				d[i] -= 2
			}
		}
		if _, ci := PairedMean(d, 0.95); ci.Low <= 1.0 && 1.0 <= ci.High { // 0.2 x 6 - 0.1 x 2
			covered++
		}
	}
	near(t, "coverage", float64(covered)/rounds, 0.95, 0.02)
}

func TestPairedMeanOfOneDifferenceKnowsNoSpread(t *testing.T) {
	mean, ci := PairedMean([]float64{3}, 0.95)
	if mean != 3 || !math.IsInf(ci.Low, -1) || !math.IsInf(ci.High, 1) {
		t.Errorf("mean %g, interval %v", mean, ci)
	}
}
