package picture

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene/paint"
)

// driven is a drive whose signals are so large, with noise and gaps.
func driven(large float64) *fit.Drive {
	d := &fit.Drive{Log: "ramp.csv", What: "ramp forwards", From: 3.98, To: 9}
	for _, unit := range []string{"m/s", "rad", "rad/s", "V", "m", "A", ""} {
		t := fit.Trace{Name: "left speed", Unit: unit, Noise: 0.01 * large}
		for k := range 252 {
			x := 3.98 + 0.02*float64(k)
			t.Time, t.Logged = append(t.Time, x), append(t.Logged, large*math.Sin(x))
			t.Before, t.After = append(t.Before, 1.1*large*math.Sin(x)), append(t.After, large*math.Sin(x+0.01))
		}
		t.Logged[3], t.Logged[60] = math.NaN(), math.NaN()
		d.Traces = append(d.Traces, t)
	}
	return d
}

// Whatever the size of the signals, no words lie over others or are cut, and a plot has two numbers beside it at least.
func TestThePictureOfADriveHasRoomForItsWords(t *testing.T) {
	for _, large := range []float64{0, 0.37, 1e-6, 0.003, 0.74, 1, 2.4, 19, 1234} {
		for _, width := range []float64{960, 400} {
			d := FitDrive(units.Metric, driven(large), width)
			var r paint.Recorder
			d.Draw(&r)
			page := paint.Box{Right: d.Width, Bottom: d.Height}
			numbers := 0
			for i, a := range r.Texts {
				if strings.Trim(a.Words, "-0123456789.e") == "" {
					numbers++
				}
				if !a.Box().Within(page) || strings.HasSuffix(a.Words, "…") {
					t.Errorf("%g, %g wide: %q is cut", large, width, a.Words)
				}
				for _, b := range r.Texts[:i] {
					if a.Box().Grown(-1.5).Meets(b.Box().Grown(-1.5)) {
						t.Errorf("%g, %g wide: %q lies over %q", large, width, a.Words, b.Words)
					}
				}
			}
			if numbers < 5*7 {
				t.Errorf("%g, %g wide: %d numbers beside 7 signals", large, width, numbers)
			}
		}
	}
}
