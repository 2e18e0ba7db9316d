package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// wavy is y = model + noise at points that show all of a curve.
func wavy(model func(b []float64, x float64) float64, truth []float64, start ...float64) Problem {
	stream, x := rand.New(rand.NewPCG(17, 18)), steps(120, 0.05)
	y := make([]float64, len(x))
	for i := range y {
		y[i] = model(truth, x[i]) + 0.01*stream.NormFloat64()
	}
	return measured(x, y, model, start...)
}

func TestAProductsFactorsAreNamed(t *testing.T) {
	got := mustFit(t, wavy(func(b []float64, x float64) float64 { return b[0]*b[1]*math.Sin(x) + b[2] },
		[]float64{2, 3, 1}, 1, 4, 0))
	if len(got.Tradeoffs) != 1 {
		t.Fatalf("%+v", got.Tradeoffs)
	}
	one := got.Tradeoffs[0]
	if !slices.Equal(one.Parameters, []int{0, 1}) || !math.IsInf(one.Index, 1) {
		t.Errorf("%+v", one)
	}
	near(t, "a up by 1 %", one.Direction[0]/got.Values[0], 0.01, 1e-9)
	near(t, "b down by as much", one.Direction[1]/got.Values[1], -0.01, 1e-6)
	near(t, "their product", got.Values[0]*got.Values[1], 6, 0.02)
	if !math.IsInf(got.StandardErrors[0], 1) || !math.IsInf(got.Corrected[1], 1) || !(got.StandardErrors[2] < 0.01) {
		t.Errorf("errors %v, %v", got.StandardErrors, got.Corrected)
	}
	near(t, "their errors' correlation", got.Correlation[0][1], -1, 1e-6)
}

// Two products at once, whose weak directions any singular vectors mix, and a parameter without effect.
func TestEveryTradeoffIsNamedByItself(t *testing.T) {
	got := mustFit(t, wavy(func(b []float64, x float64) float64 { return b[0]*b[1]*math.Sin(x) + b[2]/b[3]*x },
		[]float64{2, 3, 1, 2, 0}, 1, 4, 1, 1, 0))
	var named [][]int
	for _, one := range got.Tradeoffs {
		named = append(named, one.Parameters)
		if len(one.Direction) == 2 {
			same := one.Direction[0] / got.Values[one.Parameters[0]] / (one.Direction[1] / got.Values[one.Parameters[1]])
			near(t, "share for share", math.Abs(same), 1, 1e-5)
		}
	}
	slices.SortFunc(named, slices.Compare)
	if len(named) != 3 || !slices.Equal(named[0], []int{0, 1}) || !slices.Equal(named[1], []int{2, 3}) ||
		!slices.Equal(named[2], []int{4}) {
		t.Errorf("%v", named)
	}
}

// diagonal is a system with the given singular values and directions.
func diagonal(sigma []float64, v [][]float64) (*fitter, *system) {
	p := len(sigma)
	s := &system{r: mat.NewDense(p, p, nil), lengths: slices.Repeat([]float64{1}, p)}
	for i := range p {
		s.r.SetRow(i, v[i])
		s.directions = append(s.directions, direction{sigma: sigma[i], v: v[i], seen: sigma[i] > 0})
	}
	s.r.Mul(mat.NewDiagDense(p, sigma), s.r)
	return &fitter{values: slices.Repeat([]float64{1}, p)}, s
}

// The directions a-b and c-d, both unseen, come mixed out of a decomposition.
func TestMixedDirectionsAreTakenApart(t *testing.T) {
	cos, sin := math.Sqrt(0.5)*math.Cos(0.6), math.Sqrt(0.5)*math.Sin(0.6)
	half := math.Sqrt(0.5)
	f, s := diagonal([]float64{1, 1, 0, 0}, [][]float64{
		{half, half, 0, 0}, {0, 0, half, half}, {cos, -cos, sin, -sin}, {sin, -sin, -cos, cos},
	})
	got := f.tradeoffs(s)
	slices.SortFunc(got, func(a, b Tradeoff) int { return slices.Compare(a.Parameters, b.Parameters) })
	if len(got) != 2 || !slices.Equal(got[0].Parameters, []int{0, 1}) || !slices.Equal(got[1].Parameters, []int{2, 3}) {
		t.Errorf("%+v", got)
	}
}

// The third parameter has a share of 0.2 in the one weak direction, but owes most of its variance to the next, which is
// not called weak: Belsley, Kuh & Welsch's variance decomposition leaves it out.
func TestAParameterIsNamedForItsVariance(t *testing.T) {
	rest, small := math.Sqrt(0.48), 0.2
	weak := []float64{rest, -rest, small}
	next := []float64{-small / 2 / rest * math.Sqrt(0.96), small / 2 / rest * math.Sqrt(0.96), math.Sqrt(0.96)}
	f, s := diagonal([]float64{1, 1. / 29, 1. / 31}, [][]float64{{math.Sqrt(0.5), math.Sqrt(0.5), 0}, next, weak})
	if got := f.tradeoffs(s); len(got) != 1 || !slices.Equal(got[0].Parameters, []int{0, 1}) {
		t.Errorf("%+v", got)
	}
}

// Belsley, Kuh & Welsch's index of two columns of length 1 with the cosine c between them is sqrt((1+c)/(1-c)).
func TestAWeakDirectionHasItsConditionIndex(t *testing.T) {
	rates := func(b []float64, x float64) float64 { return b[0]*x + b[1]*x*(1+0.02*math.Sin(3*x)) }
	got := mustFit(t, wavy(rates, []float64{1, 2}, 0, 0))
	var aa, ab, bb float64
	for _, x := range steps(120, 0.05) {
		a, b := x, x*(1+0.02*math.Sin(3*x))
		aa, ab, bb = aa+a*a, ab+a*b, bb+b*b
	}
	c := ab / math.Sqrt(aa*bb)
	if len(got.Tradeoffs) != 1 || !slices.Equal(got.Tradeoffs[0].Parameters, []int{0, 1}) {
		t.Fatalf("%+v", got.Tradeoffs)
	}
	want := math.Sqrt((1 + c) / (1 - c))
	near(t, "index", got.Tradeoffs[0].Index, want, 1e-6*want)
	near(t, "direction", got.Tradeoffs[0].Direction[1], -got.Tradeoffs[0].Direction[0], 0.01*0.01)
}

func TestParametersThatTheDataTellApartAreNoTradeoff(t *testing.T) {
	got := mustFit(t, wavy(func(b []float64, x float64) float64 { return b[0]*math.Sin(x) + b[1]*math.Cos(2*x) + b[2] },
		[]float64{2, 3, 1}, 1, 4, 0))
	if got.Tradeoffs != nil {
		t.Errorf("%+v", got.Tradeoffs)
	}
}
