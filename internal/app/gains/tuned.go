package gains

import (
	"cmp"
	"context"
	"math"

	"chalkfield/internal/base/portable"

	"gonum.org/v1/gonum/optimize"
)

// tries is how many gains a search may try.
const tries = 60

// Tuned searches the gains with the least time-weighted error (ITAE: Graham & Lathrop, The synthesis of optimum
// transient response, Trans. AIEE 72, 1953) with a full battery and with a low one and a load, that do not overshoot by
// more than a little, and do not ring with twice the gain and motors a tick later. It is Nelder and Mead's simplex over
// the logarithms of the gains, from those that are given on. It is false where it finds none that settle.
func (b *Bench) Tuned(ctx context.Context, l Loop, from Values) (Values, bool, error) {
	gains := l.Gains(b.Robot)
	var turned []Gain
	for _, g := range gains {
		if g.Word != "hold" {
			turned = append(turned, g)
		}
	}
	start := make([]float64, len(turned))
	for i, g := range turned {
		if start[i] = portable.Log(g.Value(from)); math.IsInf(start[i], 0) {
			start[i] = portable.Log(g.usual(from.P))
		}
	}
	at := func(x []float64) Values {
		v := from
		for i, g := range turned {
			v = g.With(v, math.Min(g.Most, portable.Exp(x[i])))
		}
		return v
	}
	var failed error
	cost := func(x []float64) float64 {
		value, err := b.cost(ctx, l, at(x))
		if err != nil {
			failed = err
		}
		return value
	}
	found, err := optimize.Minimize(optimize.Problem{Func: cost}, start,
		&optimize.Settings{FuncEvaluations: tries, Concurrent: 1}, &optimize.NelderMead{SimplexSize: 0.7})
	if err = cmp.Or(failed, err); err != nil {
		return from, false, err
	}
	return at(found.X), found.F < unsettled, nil
}

// usual is where a search begins with a gain that is 0: small beside P.
func (g *Gain) usual(p float64) float64 {
	if g.Unit == "" { // a share
		return 0.05
	}
	return 0.02 * p
}

// unsettled is the cost of gains with which a loop does not settle, and more than that of any with which it does.
const unsettled = 1e6

// cost is what gains are the worse by.
func (b *Bench) cost(ctx context.Context, l Loop, v Values) (float64, error) {
	sum := 0.0
	for _, in := range []Case{Cases[0], Cases[3]} {
		c, err := b.Step(ctx, l, v, in)
		if err != nil {
			return unsettled, err
		}
		f := Of(c)
		if f.Verdict != Settles {
			return unsettled, nil
		}
		sum += itae(c) + float64(over*math.Max(0, *f.Overshoot-overshoot))
	}
	c, err := b.Step(ctx, l, v.times(margin), Case{late: tick})
	if err != nil {
		return unsettled, err
	}
	if Of(c).Verdict == Rings {
		sum += ringsNear
	}
	return sum, nil
}

// What a search holds gains to: common practice, no source.
const (
	margin    = 2    // times the gain, and a tick later too, a loop must not ring
	overshoot = 0.05 // beyond which the error counts
	over      = 10.0 // s^2: so much for each share of the step more
	ringsNear = 1e3
)

// itae is the integral of the time and the size of the error, for a step of 1, s^2.
func itae(c *Curve) float64 {
	sum := 0.0
	for i, t := range c.T {
		sum += float64(t * math.Abs(c.Wanted[i]-c.Is[i]) * tick)
	}
	return sum / math.Abs(c.Wanted[0])
}
