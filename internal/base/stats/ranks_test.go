package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
)

func TestRanksShareTheMeanAmongEqualValues(t *testing.T) {
	got := Ranks([]float64{30, 10, 20, 10, 10, 40, 30})
	if want := []float64{5.5, 2, 4, 2, 2, 7, 5.5}; !slices.Equal(got, want) {
		t.Errorf("ranks %v, want %v", got, want)
	}
}

// Ten people's IQ and hours of television a week: rho = -29/165, p = 0.627188 by the t form (the worked example of the
// encyclopedia article on Spearman's coefficient, from memory).
func TestSpearmanGivesTheWorkedExample(t *testing.T) {
	iq := []float64{106, 100, 86, 101, 99, 103, 97, 113, 112, 110}
	hours := []float64{7, 27, 2, 50, 28, 29, 20, 12, 6, 17}
	rho, p := Spearman(iq, hours)
	near(t, "rho", rho, -29.0/165, 1e-12)
	near(t, "p", p, 0.627188, 5e-7)
}

// Critical values of |rho|, two-sided 5 % (Zar, Biostatistical Analysis, table of Spearman's rho, from memory): 0.648
// for n = 10, 0.447 for 20, 0.362 for 30, 0.279 for 50. The t form is an approximation to the table's exact values: its
// p at the critical value must lie close to 5 %.
func TestSpearmanAgreesWithTheTableOfCriticalValues(t *testing.T) {
	for _, c := range []struct {
		n   float64
		rho float64
	}{{10, 0.648}, {20, 0.447}, {30, 0.362}, {50, 0.279}} {
		x, y := seriesOfRho(int(c.n), c.rho)
		rho, p := Spearman(x, y)
		near(t, "rho of the made series", rho, c.rho, 0.02)
		near(t, "p at the critical value", p, 0.05, 0.015)
	}
}

// seriesOfRho swaps neighbours at random until rho has fallen to the wanted value.
func seriesOfRho(n int, want float64) (x, y []float64) {
	stream := rand.New(rand.NewPCG(3, uint64(n)))
	for i := range n {
		x, y = append(x, float64(i)), append(y, float64(i))
	}
	for stat.Correlation(x, y, nil) > want {
		i := stream.IntN(n - 1)
		y[i], y[i+1] = y[i+1], y[i]
	}
	return x, y
}

// On series without ties rho = 1 - 6 sum d^2 / (n (n^2-1)), the textbook form; with ties it is Pearson's r of the
// ranks.
func TestSpearmanEqualsTheTextbookForm(t *testing.T) {
	stream := rand.New(rand.NewPCG(9, 9))
	for n := 3; n < 40; n++ {
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i] = stream.NormFloat64(), stream.NormFloat64()
		}
		rx, ry, sum := Ranks(x), Ranks(y), 0.0
		for i := range rx {
			sum += (rx[i] - ry[i]) * (rx[i] - ry[i])
		}
		rho, p := Spearman(x, y)
		m := float64(n)
		near(t, "rho", rho, 1-6*sum/(m*(m*m-1)), 1e-9)
		if p < 0 || p > 1 {
			t.Errorf("p = %g", p)
		}
	}
}

func TestSpearmanOfSeriesThatSayNothing(t *testing.T) {
	for _, c := range [][2][]float64{{nil, nil}, {{1, 2}, {2, 1}}, {{1, 2, 3}, {5, 5, 5}}} {
		if rho, p := Spearman(c[0], c[1]); rho != 0 || p != 1 {
			t.Errorf("%v: rho %g, p %g, want 0 and 1", c, rho, p)
		}
	}
	if rho, p := Spearman([]float64{1, 2, 3, 4}, []float64{10, 20, 30, 40}); rho != 1 || p != 0 {
		t.Errorf("a perfect order: rho %g, p %g", rho, p)
	}
}

// Of tests on pure noise, about 5 % fall below 0.05.
func TestSpearmanRaisesAlarmAsOftenAsItSays(t *testing.T) {
	const rounds, n = 4000, 60
	stream, alarms := rand.New(rand.NewPCG(4, 4)), 0
	x, y := make([]float64, n), make([]float64, n)
	for range rounds {
		for i := range x {
			x[i], y[i] = stream.NormFloat64(), math.Floor(4*stream.Float64()) // scores are few whole numbers
		}
		if _, p := Spearman(x, y); p < 0.05 {
			alarms++
		}
	}
	near(t, "share of alarms", float64(alarms)/rounds, 0.05, 4*math.Sqrt(0.05*0.95/rounds))
}

// The numbers by hand: 0.005 x 4, 0.01 x 3, 0.03 x 2, then 0.04 x 1 raised to what stands before it.
func TestHolmGivesTheHandComputedValues(t *testing.T) {
	got := Holm([]float64{0.01, 0.04, 0.03, 0.005})
	for i, want := range []float64{0.03, 0.06, 0.06, 0.02} {
		near(t, "adjusted p", got[i], want, 1e-12)
	}
}
