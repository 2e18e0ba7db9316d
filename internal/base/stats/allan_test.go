package stats

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The thousand-point test set of NIST SP 1065 (Riley, Handbook of Frequency Stability Analysis, 2008), ch. 12.4: rates
// n[i+1] = 16807 n[i] mod 2147483647 from 1234567890, over 2147483647, and their overlapping deviations. All from
// memory; that the numbers agree to their seven digits says that the memory is right.
func TestAllanGivesTheHandbooksThousandPoints(t *testing.T) {
	angle, state := []float64{0}, 1234567890
	for i := range 1000 {
		angle = append(angle, angle[i]+float64(state)/2147483647)
		state = 16807 * state % 2147483647
	}
	for _, c := range []struct {
		m    int
		want float64
	}{{1, 2.922319e-01}, {10, 9.159953e-02}, {100, 3.241343e-02}} {
		near(t, "deviation", allanAt(angle, 1, c.m).Deviation, c.want, 5.1e-7*c.want)
	}
}

// Closed forms of IEEE Std 952 Annex C (from memory): white noise of the rate N/sqrt(T), a random walk of the rate K
// sqrt(T/3), a steady drift of the rate R T/sqrt(2), noise of the angle sqrt(3) Q/T.
func TestAllanFollowsTheClosedForms(t *testing.T) {
	const interval, n = 0.01, 1 << 18
	stream := rand.New(rand.NewPCG(3, 4))
	var white, walk, ramp, grain []float64
	var a, b, rate float64
	for i := range n {
		a += 0.02 * math.Sqrt(interval) * stream.NormFloat64()
		rate += 0.003 * math.Sqrt(interval) * stream.NormFloat64()
		b += rate * interval
		time := float64(i) * interval
		white, walk, ramp = append(white, a), append(walk, b), append(ramp, 0.004*time*time/2)
		grain = append(grain, 0.05*stream.NormFloat64())
	}
	for _, c := range []struct {
		name  string
		angle []float64
		want  func(span float64) float64
		from  int // the walk's steps and its integral differ at the shortest spans
	}{
		{"white noise", white, func(t float64) float64 { return 0.02 / math.Sqrt(t) }, 0},
		{"random walk", walk, func(t float64) float64 { return 0.003 * math.Sqrt(t/3) }, 3},
		{"steady drift", ramp, func(t float64) float64 { return 0.004 * t / math.Sqrt2 }, 0},
		{"noise of the angle", grain, func(t float64) float64 { return 0.05 * math.Sqrt(3) / t }, 0},
	} {
		for _, p := range AllanDeviation(c.angle, interval)[c.from:] {
			spans := n * interval / p.Span // independent ones: sigma is known to 1/sqrt(spans) or so
			if spans < 100 {
				break
			}
			near(t, c.name, p.Deviation, c.want(p.Span), c.want(p.Span)*(0.01+3/math.Sqrt(spans)))
		}
	}
}

// Gyros as the simulator has them, with a constant bias, rounded to their resolution, half an hour standing still: what
// is read from them is right on the average of 40, and each alone as exactly as so long a time can tell.
func TestAGyrosNoiseIsReadFromItsAllanDeviation(t *testing.T) {
	const interval, n, gyros = 0.02, 30 * 60 * 50, 40
	truth := GyroNoise{Grain: 0.01 / math.Sqrt(12), Walk: 0.005, Drift: 0.0004}
	stream := rand.New(rand.NewPCG(5, 6))
	var grain, walk, drift []float64
	for range gyros {
		angle, at, bias := make([]float64, n), 0.0, 0.03
		for i := range angle {
			angle[i] = math.Round(at/0.01) * 0.01
			at += bias*interval + truth.Walk*math.Sqrt(interval)*stream.NormFloat64()
			bias += truth.Drift * math.Sqrt(interval) * stream.NormFloat64()
		}
		got, err := ReadAllan(AllanDeviation(angle, interval))
		if err != nil {
			t.Fatal(err)
		}
		grain = append(grain, got.Grain/truth.Grain)
		walk = append(walk, got.Walk/truth.Walk)
		drift = append(drift, got.Drift/truth.Drift)
	}
	for _, c := range []struct {
		name     string
		share    []float64 // of the truth
		bias, sd float64
	}{{"grain", grain, 0.02, 0.07}, {"walk", walk, 0.02, 0.05}, {"drift", drift, 0.1, 0.25}} {
		d := Describe(c.share)
		t.Logf("%s: %.3f of the truth, +- %.3f", c.name, d.Mean, d.SD)
		near(t, c.name, d.Mean, 1, c.bias)
		near(t, "scatter of "+c.name, d.SD, 0, c.sd)
	}
}

func TestAllanWithoutEnoughToReadIsAnError(t *testing.T) {
	steady := make([]float64, 1000)
	for i := range steady {
		steady[i] = float64(i)
	}
	for name, angle := range map[string][]float64{
		"short": {1, 2, 1, 3}, "resting": make([]float64, 1000), "steady": steady,
	} {
		if got, err := ReadAllan(AllanDeviation(angle, 0.02)); err == nil {
			t.Errorf("%s: %+v", name, got)
		}
	}
}
