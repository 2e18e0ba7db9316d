package stats

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Hyndman & Fan's type 7 on 1..10: 3.25, 5.5, 7.75 at the quarters (the default of the R language; from memory).
func TestQuantileIsType7(t *testing.T) {
	x := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	for _, c := range []struct{ p, want float64 }{{0, 1}, {0.25, 3.25}, {0.5, 5.5}, {0.75, 7.75}, {1, 10}} {
		near(t, "quantile", Quantile(x, c.p), c.want, 1e-12)
	}
}

func TestDescribe(t *testing.T) {
	d := Describe([]float64{4, 2, 8, 6})
	if d.N != 4 || d.Mean != 5 || d.Least != 2 || d.Most != 8 || d.Median != 5 {
		t.Errorf("%+v", d)
	}
	near(t, "sd", d.SD, 2.581988897, 1e-9) // sqrt(20/3)
	if (Describe(nil) != Distribution{}) || Describe([]float64{7}).SD != 0 {
		t.Error("no numbers give zeros, one number no spread")
	}
}

func TestHistogramCountsEachNumberOnceInItsBin(t *testing.T) {
	stream := rand.New(rand.NewPCG(7, 7))
	for range 200 {
		x := make([]float64, 1+stream.IntN(50))
		for i := range x {
			x[i] = float64(stream.IntN(60) - 20)
		}
		bins, counted := Histogram(x, 1), 0
		for i, b := range bins {
			counted += b.Count
			in := 0
			for _, v := range x {
				if v >= b.From && v < b.To {
					in++
				}
			}
			if in != b.Count {
				t.Fatalf("bin %v of %v holds %d", b, x, in)
			}
			if i > 0 && b.From != bins[i-1].To {
				t.Fatalf("a gap before bin %v", b)
			}
		}
		if counted != len(x) || len(bins) > maxBins+2 {
			t.Fatalf("%d of %d numbers counted in %d bins", counted, len(x), len(bins))
		}
	}
}

func TestHistogramOfWholeScoresHasABinAPoint(t *testing.T) {
	got := Histogram([]float64{3, 3, 5}, 1)
	if want := []Bin{{3, 4, 2}, {4, 5, 0}, {5, 6, 1}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}
