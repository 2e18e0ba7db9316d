package stats

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"chalkfield/internal/base/property"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// measured is a problem with y = model(b, x) at each x, from a start.
func measured(x, y []float64, model func(b []float64, x float64) float64, start ...float64) Problem {
	p := Problem{Series: []int{len(x)}}
	for j, value := range start {
		p.Parameters = append(p.Parameters, Parameter{Name: string(rune('a' + j)), Start: value})
	}
	p.Residuals = func(b, r []float64) error {
		for i := range x {
			r[i] = y[i] - model(b, x[i])
		}
		return nil
	}
	return p
}

func mustFit(t testing.TB, p Problem) Estimate {
	t.Helper()
	got, err := Fit(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func line(b []float64, x float64) float64 { return b[0] + b[1]*x }

func steps(n int, width float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(i) * width
	}
	return x
}

// Of a linear problem the optimum is known: the QR solution, and s^2 (J^T J)^-1 by Cholesky's decomposition.
func TestFitOfALinearProblemIsTheQRSolution(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(1, 6).Draw(t, "columns")
		rows := columns + rapid.IntRange(2, 30).Draw(t, "rows")
		stream := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		design, y := mat.NewDense(rows, columns, nil), make([]float64, rows)
		p := Problem{Series: []int{rows}}
		for j := range columns {
			unit := math.Pow(10, rapid.Float64Range(-4, 4).Draw(t, "unit"))
			for i := range rows {
				design.Set(i, j, unit*stream.NormFloat64())
			}
			p.Parameters = append(p.Parameters, Parameter{Start: stream.NormFloat64() / unit})
		}
		for i := range y {
			y[i] = 10 * stream.NormFloat64()
		}
		p.Residuals = func(b, r []float64) error {
			mat.NewVecDense(rows, r).MulVec(design, mat.NewVecDense(columns, b))
			for i := range r {
				r[i] = y[i] - r[i]
			}
			return nil
		}
		want, err := Linear(design, y)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Fit(context.Background(), p)
		if err != nil || got.End != Converged {
			t.Fatalf("%v: %v", got.End, err)
		}
		var gram mat.SymDense
		var factor mat.Cholesky
		gram.SymOuterK(1, design.T())
		if !factor.Factorize(&gram) {
			t.Skip("columns too alike")
		}
		if err := factor.InverseTo(&gram); err != nil {
			t.Skip("columns too alike")
		}
		squares := 0.0
		for _, r := range got.Residuals {
			squares += r * r
		}
		for j := range want {
			sd := math.Sqrt(squares / float64(rows-columns) * gram.At(j, j))
			if math.Abs(got.Values[j]-want[j]) > 1e-5*sd || math.Abs(got.StandardErrors[j]-sd) > 1e-6*sd {
				t.Errorf("b%d = %g +- %g, want %g +- %g", j, got.Values[j], got.StandardErrors[j], want[j], sd)
			}
		}
	})
}

func TestLinearTellsWhatItCannotSolve(t *testing.T) {
	for _, c := range []struct {
		design *mat.Dense
		y      []float64
		want   string
	}{
		{mat.NewDense(1, 2, []float64{1, 2}), []float64{1}, "1 measurements in 1 rows for 2 unknowns"},
		{mat.NewDense(3, 1, []float64{1, 2, 3}), []float64{1, 2}, "2 measurements in 3 rows"},
		{mat.NewDense(3, 2, []float64{1, 2, 2, 4, 3, 6}), []float64{1, 2, 3}, "cannot tell the 2 unknowns apart"},
		{mat.NewDense(2, 1, []float64{1, 2}), []float64{1, math.NaN()}, "not a finite number"},
	} {
		if got, err := Linear(c.design, c.y); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, %v; want an error with %q", got, err, c.want)
		}
	}
}

// A fifth of the values is off by up to 60 times the noise, all to one side. With Tukey's loss the errors stay as large
// as the remaining four fifths would leave them (times 2, for its efficiency and chance, over 40 draws), with Huber's
// they are bounded (its bias under such a share is about 0.3 of the noise: Huber 1964, table 1, from memory; 0.6
// allowed); with squares they are far off.
func TestOutliersHardlyMoveARobustFit(t *testing.T) {
	const noise, n, draws = 0.1, 200, 40
	truth, x := []float64{2, 0.7}, steps(n, 0.02)
	decay := func(b []float64, x float64) float64 { return b[0] * math.Exp(-b[1]*x) }
	stream := rand.New(rand.NewPCG(7, 8))
	worst, clean := map[Loss]float64{}, 0.0
	for range draws {
		y := make([]float64, n)
		for i := range y {
			y[i] = decay(truth, x[i]) + noise*stream.NormFloat64()
		}
		without := mustFit(t, measured(x, y, decay, 1, 1))
		clean += square(without.Values[0]-truth[0]) / draws
		for i := range y {
			if stream.Float64() < 0.2 {
				y[i] += 60 * noise * stream.Float64()
			}
		}
		for _, loss := range []Loss{LeastSquares, Huber, Tukey} {
			p := measured(x, y, decay, 1, 1)
			p.Loss = loss
			got := mustFit(t, p)
			worst[loss] += square(got.Values[0]-truth[0]) / draws
		}
	}
	rms := func(loss Loss) float64 { return math.Sqrt(worst[loss]) }
	t.Logf("error of the first parameter, rms: without outliers %.4f; squares %.4f, Huber %.4f, Tukey %.4f",
		math.Sqrt(clean), rms(LeastSquares), rms(Huber), rms(Tukey))
	near(t, "Tukey", rms(Tukey), 0, 2*math.Sqrt(clean/0.8))
	near(t, "Huber", rms(Huber), 0, 0.6*noise+2*math.Sqrt(clean/0.8))
	if rms(LeastSquares) < 3*rms(Huber) {
		t.Error("the outliers are too small to test anything")
	}
}

// With normal noise robust losses cost 5 % of efficiency (Holland & Welsch, 1977) and their standard errors say so.
func TestARobustFitKnowsItsError(t *testing.T) {
	const n, draws = 100, 400
	x, stream := steps(n, 0.1), rand.New(rand.NewPCG(9, 10))
	spread, said := map[Loss]float64{}, map[Loss]float64{}
	for range draws {
		y := make([]float64, n)
		for i := range y {
			y[i] = 1 + 2*x[i] + stream.NormFloat64()
		}
		for _, loss := range []Loss{LeastSquares, Huber, Tukey} {
			p := measured(x, y, line, 0, 0)
			p.Loss = loss
			got := mustFit(t, p)
			spread[loss] += square(got.Values[1]-2) / draws
			said[loss] += square(got.StandardErrors[1]) / draws
		}
	}
	for _, loss := range []Loss{LeastSquares, Huber, Tukey} {
		near(t, "said over real variance", said[loss]/spread[loss], 1, 4*math.Sqrt(2./draws))
		near(t, "variance against squares", spread[loss]/spread[LeastSquares], 1/0.95, 0.09)
	}
}

// What is large is judged against its own series: one that is 50 times as noisy keeps its weight.
func TestANoisySeriesIsNotAnOutlier(t *testing.T) {
	const n = 300
	x, stream := steps(2*n, 0.01), rand.New(rand.NewPCG(19, 20))
	y := make([]float64, 2*n)
	for i := range y {
		y[i] = 1 + x[i] + stream.NormFloat64()
		if i >= n {
			y[i] += 49 * stream.NormFloat64()
		}
	}
	p := measured(x, y, line, 0, 0)
	p.Series, p.Loss = []int{n, n}, Tukey
	weights := mustFit(t, p).Weights
	near(t, "mean weight of the noisy", Describe(weights[n:]).Mean, Describe(weights[:n]).Mean, 0.03)
}

// A prior and n measurements of a mean: the posterior is known in closed form (Gelman et al., Bayesian Data Analysis,
// ch. 2.5). Without data on it, a parameter is the prior.
func TestAPriorWeighsAsItsDeviationSays(t *testing.T) {
	stream := rand.New(rand.NewPCG(11, 12))
	x, y := steps(30, 1), make([]float64, 30)
	for i := range y {
		y[i] = 5 + 3*stream.NormFloat64()
	}
	p := measured(x, y, func(b []float64, _ float64) float64 { return b[0] }, 0, 1)
	p.Parameters[0].Prior, p.Parameters[0].PriorSD = 4, 0.5
	p.Parameters[1].Prior, p.Parameters[1].PriorSD = 7, 0.25
	got := mustFit(t, p)
	mean, squares := Describe(y).Mean, 0.0
	for _, v := range y {
		squares += square(v - got.Values[0])
	}
	variance := squares / 28
	precision := 30/variance + 4
	near(t, "posterior mean", got.Values[0], (mean*30/variance+4*4)/precision, 1e-6)
	near(t, "posterior deviation", got.StandardErrors[0], 1/math.Sqrt(precision), 1e-6)
	near(t, "unmeasured", got.Values[1], 7, 1e-6)
	near(t, "its deviation", got.StandardErrors[1], 0.25, 1e-6)
	near(t, "its deviation, corrected", got.Corrected[1], 0.25, 1e-6)
	if len(got.Tradeoffs) != 1 || !slices.Equal(got.Tradeoffs[0].Parameters, []int{1}) {
		t.Errorf("the data say nothing of b, prior or not: %v", got.Tradeoffs)
	}
}

// At a bound too the slope is found by differences from inside: its standard error is the line's, from the residuals
// that the bound leaves.
func TestAFitStaysInsideItsBounds(t *testing.T) {
	x := steps(50, 0.1)
	y, spread := make([]float64, len(x)), 0.0
	for i := range y {
		y[i] = 3 + 2*x[i]
		spread += square(x[i] - 2.45)
	}
	for _, c := range []struct{ low, high, start, want float64 }{
		{0, 1.5, 1, 1.5}, {0, 1.5, 0, 1.5}, {2.5, 9, 5, 2.5}, {2.5, 9, 2.5, 2.5}, {2, 9, 2, 2}, {1, 9, 1, 2}, {1, 2, 2, 2},
	} {
		p := measured(x, y, line, 1, c.start)
		p.Parameters[1].Low, p.Parameters[1].High = c.low, c.high
		p.Residuals = func(b, r []float64) error {
			if b[1] < c.low || b[1] > c.high {
				t.Errorf("tried %g, outside %g to %g", b[1], c.low, c.high)
			}
			for i := range x {
				r[i] = y[i] - line(b, x[i])
			}
			return nil
		}
		got := mustFit(t, p)
		near(t, "slope", got.Values[1], c.want, 1e-6)
		near(t, "level", got.Values[0], 3+(2-c.want)*2.45, 1e-6) // the mean of what the slope leaves
		near(t, "error of the slope", got.StandardErrors[1], got.SD/math.Sqrt(spread), 1e-6*got.SD)
		if got.End != Converged {
			t.Errorf("%+v: %v", c, got.End)
		}
	}
}

// BoxBOD's first start throws the rate to where nothing depends on it; a sensible range keeps it.
func TestBoundsKeepAFitFromRunningAway(t *testing.T) {
	d := readDataset(t, "testdata/nist/BoxBOD.dat")
	p := d.problem(0)
	p.Parameters[1].Low, p.Parameters[1].High = 0, 2
	got := mustFit(t, p)
	if digits(got.Values, d.values) < 6 {
		t.Errorf("%v: %v", got.End, got.Values)
	}
}

func TestAFitIsTheSameOnAnyNumberOfGoroutines(t *testing.T) {
	p := readDataset(t, "testdata/nist/Gauss1.dat").problem(0)
	want := mustFit(t, p)
	p.Map = func(n int, job func(int) error) error {
		errs := make([]error, n)
		var group sync.WaitGroup
		for i := range n {
			group.Go(func() { errs[i] = job(i) })
		}
		group.Wait()
		return errors.Join(errs...)
	}
	if got := mustFit(t, p); !reflect.DeepEqual(got, want) {
		t.Errorf("%v, one after the other %v", got, want)
	}
}

func TestAFitSaysWhyItEnded(t *testing.T) {
	x := steps(40, 0.1)
	y := make([]float64, len(x))
	for i := range y {
		y[i] = 1 + x[i]*x[i]
	}
	p := measured(x, y, line, 0, 0)
	rounds := 0
	p.Progress = func(round int, sd float64, values []float64) {
		if round != rounds || !(sd > 0) || len(values) != 2 {
			t.Errorf("round %d after %d: %g, %v", round, rounds, sd, values)
		}
		rounds++
	}
	if got := mustFit(t, p); got.End != Converged || rounds != got.Rounds+1 {
		t.Errorf("%v after %d rounds, %d told", got.End, got.Rounds, rounds)
	}
	p.Progress = nil

	jumping := p
	jumping.Residuals = func(b, r []float64) error {
		err := p.Residuals(b, r)
		if b[0] != 0 && b[1] != 0 { // a step, not a difference
			r[0] += 1000
		}
		return err
	}
	if got := mustFit(t, jumping); got.End != NoProgress || got.Rounds != 0 {
		t.Errorf("where all steps jump: %v after %d rounds", got.End, got.Rounds)
	}

	short := readDataset(t, "testdata/nist/MGH09.dat").problem(0)
	short.MaxRounds = 3
	if got := mustFit(t, short); got.End != TooManyRounds || got.Rounds != 3 || got.StandardErrors == nil {
		t.Errorf("%v after %d", got.End, got.Rounds)
	}

	ctx, cancel := context.WithCancelCause(context.Background())
	enough := errors.New("enough")
	short.Progress = func(round int, _ float64, _ []float64) {
		if round == 2 {
			cancel(enough)
		}
	}
	got, err := Fit(ctx, short)
	if got.End != Cancelled || !errors.Is(err, enough) || len(got.Values) != 4 || got.StandardErrors != nil {
		t.Errorf("%v, %v: %v", got.End, err, got.Values)
	}
}

func TestWhatCannotBeFittedIsAnError(t *testing.T) {
	sound := func() Problem { return measured(steps(5, 1), []float64{0, 3, 4, 5, 9}, line, 0, 1) }
	for want, spoil := range map[string]func(*Problem){
		"a parameter and more residuals: it has 2 and 2": func(p *Problem) { p.Series = []int{2} },
		"it has 0 and 5":           func(p *Problem) { p.Parameters = nil },
		"a: nothing lies between":  func(p *Problem) { p.Parameters[0].Low = 2; p.Parameters[0].High = 1 },
		"b: the start 1 lies out":  func(p *Problem) { p.Parameters[1].Low = 2; p.Parameters[1].High = 3 },
		"a: the start NaN lies":    func(p *Problem) { p.Parameters[0].Start = math.NaN() },
		"a: the start +Inf lies":   func(p *Problem) { p.Parameters[0].Start = math.Inf(1) },
		"b: a step or a prior's":   func(p *Problem) { p.Parameters[1].PriorSD = -1 },
		"residual 3 is NaN at the": func(p *Problem) { p.Residuals = after(0, p.Residuals, nil) },
		"residual 2 is 1e+200 at ": func(p *Problem) { p.Residuals = huge },
		"too large or too small":   func(p *Problem) { p.Residuals = tiny },
		"beside a = 0, residual 3": func(p *Problem) { p.Residuals = after(1, p.Residuals, nil) },
		"off it came":              func(p *Problem) { p.Residuals = after(6, p.Residuals, errors.New("off it came")) },
	} {
		p := sound()
		spoil(&p)
		got, err := Fit(context.Background(), p)
		if err == nil || got.StandardErrors != nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, %v; want an error with %q", got.End, err, want)
		}
	}
}

// Whatever the residuals are, a fit ends: with an error, or inside its bounds, no worse than at its start and with
// errors that are numbers.
func TestAFitOfAnythingEnds(t *testing.T) {
	terms := []func(x float64) float64{
		math.Sin, math.Exp, math.Sqrt, math.Floor, math.Log, math.Cbrt, square,
		func(x float64) float64 { return x }, func(float64) float64 { return 3 },
	}
	drawn, fitted := 0, 0
	property.Check(t, func(t *rapid.T) {
		columns, rows := rapid.IntRange(1, 5).Draw(t, "columns"), rapid.IntRange(6, 20).Draw(t, "rows")
		stream := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		p := Problem{Series: []int{rows}, Loss: Loss(rapid.IntRange(0, 2).Draw(t, "loss")), MaxRounds: 20}
		known := false
		for range columns {
			one := Parameter{Start: rapid.Float64Range(0.01, 3).Draw(t, "start")}
			if rapid.Bool().Draw(t, "bounded") {
				one.Low, one.High = one.Start-rapid.Float64Range(0, 1).Draw(t, "low"), one.Start+stream.Float64()
			}
			if rapid.Bool().Draw(t, "known") {
				one.Prior, one.PriorSD = stream.NormFloat64(), rapid.Float64Range(0, 2).Draw(t, "deviation")
				known = true
			}
			p.Parameters = append(p.Parameters, one)
		}
		size := math.Pow(10, rapid.Float64Range(-160, 90).Draw(t, "size"))
		level, shape, kinds := make([]float64, rows), make([]float64, rows*columns), make([]int, rows*columns)
		for i := range shape {
			level[i/columns], shape[i] = size*stream.NormFloat64(), size*stream.NormFloat64()
			kinds[i] = rapid.IntRange(0, len(terms)-1).Draw(t, "kind")
		}
		p.Residuals = func(b, r []float64) error {
			copy(r, level)
			for i := range shape {
				r[i/columns] += shape[i] * terms[kinds[i]](b[i%columns])
			}
			return nil
		}
		first := math.NaN()
		p.Progress = func(round int, sd float64, _ []float64) {
			if round == 0 {
				first = sd
			}
		}
		drawn++
		got, err := Fit(context.Background(), p)
		if err != nil {
			return
		}
		fitted++
		if p.Loss == LeastSquares && !known && !(got.SD <= first) {
			t.Errorf("from %g to %g", first, got.SD)
		}
		for j, one := range p.Parameters {
			low, high := one.bounds()
			if !(got.Values[j] >= low && got.Values[j] <= high) || !(got.StandardErrors[j] >= 0) || !(got.Corrected[j] >= 0) {
				t.Errorf("%+v: %g +- %g, %g", one, got.Values[j], got.StandardErrors[j], got.Corrected[j])
			}
		}
	})
	if fitted < drawn/2 {
		t.Errorf("%d of %d could be fitted: the draws test errors only", fitted, drawn)
	}
	t.Logf("%d of %d could be fitted", fitted, drawn)
}

func huge(_, r []float64) error { r[2] = 1e200; return nil }

func tiny(b, r []float64) error { r[2], r[3] = 1e-310*b[0], 1e-310; return nil }

// after spoils all calls but the first: with the error, or with a residual that is not a number.
func after(calls int, residuals func(b, r []float64) error, err error) func(b, r []float64) error {
	return func(b, r []float64) error {
		calls--
		if calls >= 0 {
			return residuals(b, r)
		}
		residuals(b, r)
		r[3] = math.NaN()
		return err
	}
}
