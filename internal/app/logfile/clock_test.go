package logfile

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// timed is a log whose rows come at given times; the side goes a metre a second.
func timed(header string, times ...float64) string {
	text := header + ",left V,left travel m\n"
	for _, t := range times {
		text += fmt.Sprintf("%.9g,5,%.9g\n", t, t)
	}
	return text
}

func every(step float64, n int) []float64 {
	times := make([]float64, n)
	for i := range times {
		times[i] = float64(i) * step
	}
	return times
}

func TestTheClockIsDescribed(t *testing.T) {
	uneven := []float64{0, 0.018, 0.041, 0.06, 0.079, 0.102, 0.12}
	for _, c := range []struct {
		name, text  string
		rate        float64
		least, most float64
		gaps        string
		suspicious  string
	}{
		{"even", timed("time s", every(0.02, 50)...), 50, 0.02, 0.02, "[]", ""},
		{"in milliseconds", timed("time ms", every(20, 50)...), 50, 0.02, 0.02, "[]", ""},
		{"uneven", timed("time s", uneven...), 50, 0.018, 0.023, "[]", ""},
		{"a gap", timed("time s", append(every(0.02, 30), 0.98, 1, 1.02)...), 50, 0.02, 0.02, "[{0.58 0.4 32}]", ""},
		{"rows that are missing, no gap", timed("time s", append(every(0.02, 30), 0.64, 0.66)...), 50, 0.02, 0.06, "[]", ""},
		{"a clock that was set", timed("time s", append(every(0.02, 30), 1e6, 1e6+0.02, 1e6+0.04)...), 50, 0.02, 0.02,
			"[{0.58 999999.42 32}]", "the clock jumps by 999999.42 s at line 32: it was set"},
		{"milliseconds called seconds", timed("time s", every(20, 50)...), 0.05, 20, 20, "[]",
			`the rows are 20 s apart: if the time is in milliseconds, call its column "time ms" (--columns "time ms=time s")`},
		{"seconds called milliseconds", timed("time ms", every(0.02, 50)...), 50000, 2e-5, 2e-5, "[]",
			`the rows are 20 us apart: if the time is in seconds, call its column "time s"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := described(t, c.text)
			if math.Abs(d.Rate/c.rate-1) > 0.06 || math.Abs(d.Clock.Least-c.least) > 1e-6 ||
				math.Abs(d.Clock.Most-c.most) > 1e-6 {
				t.Errorf("%g Hz, %g to %g s; want %g Hz, %g to %g s", d.Rate, d.Clock.Least, d.Clock.Most, c.rate, c.least, c.most)
			}
			if got := fmt.Sprint(d.Clock.Gaps); got != c.gaps {
				t.Errorf("gaps %s, want %s", got, c.gaps)
			}
			if got := strings.Join(d.Suspicious, "\n"); !strings.HasPrefix(got, c.suspicious) ||
				c.suspicious == "" && got != "" {
				t.Errorf("suspicious %q, want %q", got, c.suspicious)
			}
		})
	}
}

// A sensor that is read in every fifth row has a fifth of the rate, and its way between is a straight line.
func TestRatesMayBeMixed(t *testing.T) {
	text := "time s,left travel mm,right travel mm,heading deg\n"
	for i := range 200 {
		slow := ""
		if i%5 == 0 {
			slow = fmt.Sprintf("%.2f", float64(i)*0.1)
		}
		text += fmt.Sprintf("%.2f,%d,%d,%s\n", float64(i)*0.02, 10*i, 12*i, slow)
	}
	d := described(t, text)
	if c := d.Columns[2]; c.Filled != 40 || math.Abs(c.Rate-10) > 1e-6 || c.Step != 0.5 {
		t.Errorf("%+v, want 40 values at 10 Hz", c)
	}
	l := read(t, text, Settings{})
	for i, turn := range l.onGrid().turn[:195] {
		if want := 5 * math.Pi / 180; !(math.Abs(turn-want) < 1e-9) {
			t.Fatalf("cell %d turns at %g rad/s, want %g", i, turn, want)
		}
	}
}

// Nothing is computed across a gap: the robot may have been carried.
func TestAGapPartsDrives(t *testing.T) {
	text := "time s,left travel mm,right travel mm\n"
	for i := range 200 {
		at, x := float64(i)*0.02, 10*i
		if i >= 100 {
			at, x = at+5, x+4000
		}
		text += fmt.Sprintf("%.2f,%d,%d\n", at, x, x)
	}
	d := described(t, text)
	if len(d.Drives) != 2 || math.Abs(*d.Drives[0].Way-0.96) > 0.04 || math.Abs(*d.Drives[1].Way-0.96) > 0.04 {
		t.Errorf("%d drives: %+v", len(d.Drives), d.Drives)
	}
	if *d.Drives[0].Speed != 0.5 {
		t.Errorf("%g m/s, want 0.5", *d.Drives[0].Speed)
	}
}
