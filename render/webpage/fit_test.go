package webpage

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// aFit is what a fit may find, with hostile names.
func aFit() *fit.Result {
	number := func(x float64) *float64 { return &x }
	r := &fit.Result{Robot: hostile, Rounds: 7, Seconds: 41.5,
		Logs: []fit.Source{{Name: "ramp.csv", SHA256: "1a2b3c4d5e6f", Seconds: 20},
			{Name: hostile, SHA256: "ff", Seconds: 21}},
		Parameters: []fit.Parameter{
			{Key: "chassis.mass", Unit: "kg", Before: 6.2, After: 6.2, State: fit.Held, Why: "you weighed it"},
			{Key: "drive.drag", Unit: "N m", Before: 0.03, After: 0.0412, Low: 0.0388, High: 0.0437, State: fit.Fitted,
				Settings: []fit.Setting{{Path: "drive.drag", Value: 0.0412, Unit: "N m"}}},
			{Key: "wheels.radius left", Before: 1, After: 1.02, Low: 1.01, High: 1.03, State: fit.Fitted,
				Settings: []fit.Setting{{Path: "wheels[0].radius", Value: 0.0459, Unit: "m"}}},
			{Key: "motors[0].stall_current", Unit: "A", Before: 4, After: 4.2, State: fit.Derived},
			{Key: "wheels.along", Before: 0.9, After: 0.9, State: fit.Untold, Why: "no drive slips"},
		},
		Unclear: []fit.Unclear{{Keys: []string{"chassis.mass", "motors.stall_torque"},
			Why: "a heavier robot with stronger motors would drive the same", Cure: "drive hard_start"}},
		Findings: []string{"Your left side is 3 % weaker than the right one."},
		Warnings: []string{"what is left between measured and predicted is not noise in step_brake.csv"},
	}
	for _, what := range []string{"ramp forwards", "step back", "spin left"} {
		d := fit.Drive{Log: hostile, What: what, From: 0.4, To: 5.2, Way: 1.234,
			Before: fit.Errors{Speed: 0.081, End: number(0.041), Heading: number(0.05)},
			After:  fit.Errors{Speed: 0.019, End: number(0.006), Heading: number(0.004)}}
		if what != "spin left" {
			d.HeldOut = &fit.Errors{Speed: 0.023, End: number(0.0072), Heading: nil}
		} else {
			d.Before.Speed = math.Inf(1)
		}
		for _, name := range []string{"left speed", "right speed", "heading"} {
			t := fit.Trace{Name: name, Unit: "m/s", Noise: 0.008}
			if name == "heading" {
				t.Unit, t.Noise = "rad", 0.001
			}
			for k := range 240 {
				x := 0.4 + 0.02*float64(k)
				v := 0.7 * math.Sin(x)
				t.Time, t.Before = append(t.Time, x), append(t.Before, 1.08*v)
				t.Logged, t.After = append(t.Logged, v+0.01*math.Sin(91*x)), append(t.After, v)
			}
			t.Logged[50] = math.NaN()
			d.Traces = append(d.Traces, t)
		}
		r.Drives = append(r.Drives, d)
	}
	return r
}

func fitPage(t *testing.T) []byte {
	t.Helper()
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	r, file := aFit(), &report.NewFile{File: &fit.File{Changes: []fit.Edit{{Path: hostile}}}, Before: spec,
		Path: "fitted.toml"}
	if err := WriteFit(&out, report.Fit(units.Metric, r, file), r); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestThePageOfAFitDrawsEveryDriveForADeskAndAPhone(t *testing.T) {
	page := string(fitPage(t))
	for words, times := range map[string]int{"ramp forwards: measured and predicted": 2, ">left speed, mm/s<": 6,
		">heading, deg<": 6, ">measured minus predicted<": 18, "drive by drive": 1, ">predicted with the new file": 0,
		"predicted with the new file": 1, `<i class="range"`: 2} {
		if got := strings.Count(page, words); got != times {
			t.Errorf("%q stands there %d times, not %d", words, got, times)
		}
	}
}
