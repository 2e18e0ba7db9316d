package stats

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.8g, want %.8g within %g", what, got, want, within)
	}
}

// Computed from the formula of Wilson, JASA 22 (1927); 81/263 is tabled in Newcombe, Stat. Med. 17 (1998) 857
// (citation from memory).
func TestWilsonGivesThePublishedLimits(t *testing.T) {
	for _, c := range []struct {
		hits, n   int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {190, 200, 0.9104, 0.9726}, {0, 10, 0, 0.2775}} {
		got := Wilson(c.hits, c.n, 0.95)
		near(t, "low", got.Low, c.low, 5e-5)
		near(t, "high", got.High, c.high, 5e-5)
	}
}

func TestWilsonIsSymmetricAndInsideTheUnitRange(t *testing.T) {
	for n := 1; n <= 60; n++ {
		for hits := 0; hits <= n; hits++ {
			a, b := Wilson(hits, n, 0.95), Wilson(n-hits, n, 0.95)
			near(t, "mirrored low", a.Low, 1-b.High, 1e-12)
			share := float64(hits) / float64(n)
			if a.Low < 0 || a.High > 1 || a.Low > share || a.High < share {
				t.Fatalf("%d of %d: %v", hits, n, a)
			}
		}
	}
	if got := Wilson(0, 0, 0.95); got != (Interval{0, 1}) {
		t.Errorf("without a try: %v, want 0 to 1", got)
	}
}

// The interval must hold the true share about as often as it says. Simulated coverage against the coverage summed
// exactly from the binomial distribution, and both near 95 % on the average over shares (Brown, Cai & DasGupta,
// Statistical Science 16 (2001) 101: Wilson's mean coverage is close to nominal; from memory).
func TestWilsonCoversTheTrueShareAsOftenAsItSays(t *testing.T) {
	const n, draws = 50, 20000
	stream := rand.New(rand.NewPCG(1, 2))
	mean, shares := 0.0, []float64{0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.95}
	for _, p := range shares {
		exact := 0.0
		for k := 0; k <= n; k++ {
			if ci := Wilson(k, n, 0.95); ci.Low <= p && p <= ci.High {
				exact += distuv.Binomial{N: n, P: p}.Prob(float64(k))
			}
		}
		covered := 0
		for range draws {
			hits := 0
			for range n {
				if stream.Float64() < p {
					hits++
				}
			}
			if ci := Wilson(hits, n, 0.95); ci.Low <= p && p <= ci.High {
				covered++
			}
		}
		simulated := float64(covered) / draws
		near(t, "simulated coverage", simulated, exact, 4*math.Sqrt(exact*(1-exact)/draws)) // 4 standard errors
		if exact < 0.92 {
			t.Errorf("share %g: covered in %.3f only", p, exact)
		}
		mean += exact / float64(len(shares))
	}
	near(t, "mean coverage", mean, 0.95, 0.01)
}
