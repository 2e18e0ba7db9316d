package logfile

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// resting is a log of ten seconds at rest: a heading that drifts by 6 deg a minute, with noise, and volts in steps.
func restingLog(volts func(i int) float64) string {
	random := rand.New(rand.NewPCG(1, 2))
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm,heading deg\n")
	for i := range 500 {
		v := volts(i)
		fmt.Fprintf(&out, "%.2f,%.3f,%.3f,0,0,%.4f\n", float64(i)*0.02, v, v, 0.1*float64(i)*0.02+0.2*random.NormFloat64())
	}
	return out.String()
}

// Noise and drift are told of a robot that stands.
func TestNoiseAndDriftAtRestAreTold(t *testing.T) {
	d := Describe(read(t, restingLog(func(int) float64 { return 0 }), Settings{}))
	if d.AtRest == nil || len(d.AtRest.Columns) != 3 {
		t.Fatalf("%+v", d.AtRest)
	}
	h := d.AtRest.Columns[2]
	if h.Header != "heading deg" || h.Noise < 0.18 || h.Noise > 0.22 || h.Drift < 5 || h.Drift > 7 {
		t.Errorf("%+v: 0.2 deg of noise and 6 deg a minute are meant", h)
	}
}

// Volts that were rounded to tenths are named; a program that gives few round ones is not.
func TestRoundedVoltsAreNamed(t *testing.T) {
	for _, c := range []struct {
		what  string
		volts func(i int) float64
		want  bool
	}{
		{"tenths", func(i int) float64 { return float64(i/20) / 10 }, true},
		{"hundredths", func(i int) float64 { return float64(i/2) / 100 }, false},
		{"whole volts that a program gives", func(i int) float64 { return float64(2 * (i / 100)) }, false},
	} {
		d := Describe(read(t, restingLog(c.volts), Settings{}))
		if got := strings.Contains(strings.Join(d.Suspicious, "\n"), "only multiples of 0.1 V"); got != c.want {
			t.Errorf("%s: %v, %q", c.what, got, d.Suspicious)
		}
	}
}
