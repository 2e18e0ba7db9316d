package sensing

import (
	"fmt"
	"math"
	"testing"

	"chalkfield/sim/robot"
)

const (
	tick = 0.01
	deg  = math.Pi / 180
)

func TestAnIdealSensorReadsTheTruth(t *testing.T) {
	c := NewChannel(robot.Timing{}, robot.Quality{}, 0, tick, Stream(1, "ideal"))
	for i := range 100 {
		truth := math.Sin(float64(i))
		if c.Sample(truth); c.Reading() != truth {
			t.Fatalf("tick %d: %v, want %v", i, c.Reading(), truth)
		}
	}
}

// A ramp x = t tells when a reading was taken: the reading is that time.
func TestRateAndLatencyDelayTheReading(t *testing.T) {
	tests := []struct {
		name          string
		rate, latency float64
		at, want      float64 // s
	}{
		{"every tick", 0, 0, 0.50, 0.50},
		{"20 Hz holds its last sample", 20, 0, 0.54, 0.50},
		{"20 Hz takes the next", 20, 0, 0.55, 0.55},
		{"faster than the tick", 1000, 0, 0.37, 0.37},
		{"30 Hz is sampled at the first tick after", 30, 0, 0.11, 0.10},
		{"latency of three ticks", 0, 0.03, 0.50, 0.47},
		{"latency between ticks arrives at the next", 0, 0.025, 0.50, 0.47},
		{"20 Hz and 60 ms", 20, 0.06, 0.50, 0.40},
		{"on before the start", 0, 0.2, 0.19, 0},
	}
	for _, test := range tests {
		c := NewChannel(robot.Timing{Rate: test.rate, Latency: test.latency}, robot.Quality{}, 0, tick, nil)
		const offset = 7 // the ramp starts away from the zero of a sensor that has read nothing
		for i := 0; float64(i)*tick <= test.at+1e-9; i++ {
			c.Sample(offset + float64(i)*tick)
		}
		if got := c.Reading() - offset; math.Abs(got-test.want) > 1e-9 {
			t.Errorf("%s: at %.2f s it reads that of %.4f, want %.4f", test.name, test.at, got, test.want)
		}
	}
}

func TestScaleAndResolution(t *testing.T) {
	tests := []struct {
		scale, drawn, resolution, truth, want float64
	}{
		{0.02, 0, 0, 10, 10.2},
		{0.02, -0.01, 0, 10, 10.098},
		{0, 0, 0.25, 1.1, 1},
		{0, 0, 0.25, -1.2, -1.25},
	}
	for _, test := range tests {
		c := NewChannel(robot.Timing{}, robot.Quality{Scale: test.scale, Resolution: test.resolution}, test.drawn, tick, nil)
		if c.Sample(test.truth); math.Abs(c.Reading()-test.want) > 1e-12 {
			t.Errorf("%+v: %v", test, c.Reading())
		}
	}
}

// The sample standard deviation of n normal draws has a relative standard error of 1/sqrt(2n); five of them is the
// bound.
func TestNoiseHasItsStandardDeviation(t *testing.T) {
	const n, sigma = 20000, 0.004
	c := NewChannel(robot.Timing{}, robot.Quality{Noise: sigma}, 0, tick, Stream(3, "distance"))
	var sum, squares float64
	for range n {
		c.Sample(1)
		sum += c.Reading() - 1
		squares += (c.Reading() - 1) * (c.Reading() - 1)
	}
	if got := math.Sqrt(squares / n); math.Abs(got/sigma-1) > 5/math.Sqrt(2*n) {
		t.Errorf("standard deviation %.6f, want %.6f", got, sigma)
	}
	if mean := sum / n; math.Abs(mean) > 5*sigma/math.Sqrt(n) {
		t.Errorf("mean error %.6f", mean)
	}
}

func TestALostReadingKeepsTheLastOne(t *testing.T) {
	const n, lost = 20000, 0.3
	c := NewChannel(robot.Timing{Dropout: lost}, robot.Quality{}, 0, tick, Stream(3, "distance"))
	kept, last := 0, 0.0
	for i := 1; i <= n; i++ {
		c.Sample(float64(i))
		switch c.Reading() {
		case float64(i):
		case last:
			kept++
		default:
			t.Fatalf("reading %v is neither new nor the last", c.Reading())
		}
		last = c.Reading()
	}
	if got := float64(kept) / n; math.Abs(got-lost) > 5*math.Sqrt(lost*(1-lost)/n) {
		t.Errorf("share lost %.4f, want %.2f", got, lost)
	}
}

// IEEE Std 952 Annex C (from memory): sigma_theta = N sqrt(t). N 0.3 deg/sqrt(h): 0.038730 deg at 60 s; and half of
// that at a quarter of the time. 3000 gyros: relative standard error 1/sqrt(2 n) = 1.3 %, five of them is the bound.
func TestGyroWhiteNoiseGrowsWithTheRootOfTime(t *testing.T) {
	const gyros = 3000
	spec := &robot.InertialSensor{Walk: 0.3 * deg / 60}
	var at15, at60 float64
	for i := range gyros {
		g := NewGyro(spec, 0, Stream(uint64(i), "inertial"))
		for k := 1; k <= 6000; k++ {
			drift := g.Step(tick)
			switch k {
			case 1500:
				at15 += drift * drift
			case 6000:
				at60 += drift * drift
			}
		}
	}
	for _, row := range []struct{ got, want float64 }{{at60, 0.038730}, {at15, 0.038730 / 2}} {
		if sigma := math.Sqrt(row.got/gyros) / deg; math.Abs(sigma/row.want-1) > 5/math.Sqrt(2*gyros) {
			t.Errorf("sigma %.6f deg, want %.6f", sigma, row.want)
		}
	}
}

// IEEE Std 952 (from memory): Allan deviation N/sqrt(tau) of an angle random walk, K sqrt(tau/3) of a rate random walk.
// The estimate's own spread is about 1/sqrt(2 m) for m independent clusters (bound: five of them). The angle is made in
// steps of dt, which lowers the rate random walk's variance by order (dt/tau)^2: nothing here.
func TestAllanDeviationOfTheGyro(t *testing.T) {
	const n, K = 0.002, 0.0005 // rad/sqrt(s), rad/s/sqrt(s)
	const total = 400000
	for _, test := range []struct {
		name string
		spec *robot.InertialSensor
		want func(tau float64) float64
	}{
		{"angle random walk", &robot.InertialSensor{Walk: n}, func(tau float64) float64 { return n / math.Sqrt(tau) }},
		{"rate random walk", &robot.InertialSensor{BiasWalk: K}, func(tau float64) float64 { return K * math.Sqrt(tau/3) }},
	} {
		g := NewGyro(test.spec, 0, Stream(11, test.name))
		angle := make([]float64, total)
		for i := 1; i < total; i++ {
			angle[i] = g.Step(tick)
		}
		for _, cluster := range []int{50, 200, 800} {
			tau := float64(cluster) * tick
			got, clusters := allan(angle, cluster), float64(total/cluster)
			if want := test.want(tau); math.Abs(got/want-1) > 5/math.Sqrt(2*clusters) {
				t.Errorf("%s, tau %.1f s: %.6g, want %.6g", test.name, tau, got, want)
			}
		}
	}
}

// allan is the deviation from angles: sqrt(<(theta(t+2 tau) - 2 theta(t+tau) + theta(t))^2> / (2 tau^2)), overlapping.
func allan(angle []float64, cluster int) float64 {
	tau, sum, n := float64(cluster)*tick, 0.0, 0
	for i := 0; i+2*cluster < len(angle); i++ {
		d := angle[i+2*cluster] - 2*angle[i+cluster] + angle[i]
		sum += d * d
		n++
	}
	return math.Sqrt(sum / float64(n) / (2 * tau * tau))
}

func TestWithoutChanceOnlyTheBiasDrifts(t *testing.T) {
	g := NewGyro(&robot.InertialSensor{Walk: 1, BiasWalk: 1, Bias: 0.01}, 0.005, nil)
	var drift float64
	for range 100 {
		drift = g.Step(tick)
	}
	if math.Abs(drift-0.015) > 1e-12 {
		t.Errorf("drift %v after 1 s, want 0.015", drift)
	}
}

func BenchmarkSample(b *testing.B) {
	for _, latency := range []float64{0, 0.05} {
		b.Run(fmt.Sprintf("latency %v", latency), func(b *testing.B) {
			b.ReportAllocs()
			c := NewChannel(robot.Timing{Latency: latency}, robot.Quality{Noise: 0.01, Resolution: 0.001}, 0, tick,
				Stream(1, "x"))
			for b.Loop() {
				c.Sample(1)
			}
		})
	}
}
