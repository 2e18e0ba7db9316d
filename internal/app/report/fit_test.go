package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// The terminal's text of a fit: what it says in words, each parameter, each drive with its errors before, after and
// held out; a dash for what is not known.
func TestAFitIsToldInATerminal(t *testing.T) {
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	end, turn := 0.041, 0.05
	before, heldOut := fit.Errors{Speed: 0.081, End: &end, Heading: &turn}, fit.Errors{Speed: 0.0234}
	r := &fit.Result{Robot: "Hauler\nof 2026", Seconds: 41.5, Logs: []fit.Source{{Name: "ramp.csv", SHA256: "1a2b"}},
		Parameters: []fit.Parameter{
			{Key: "chassis.mass", Unit: "kg", Before: 6.2, After: 6.2, State: fit.Held},
			{Key: "drive.drag", Unit: "N m", Before: 0.03, After: 0.0412, Low: 0.0388, High: 0.0437, State: fit.Fitted},
			{Key: "wheels.along", Before: 0.9, After: 0.9, State: fit.Untold, Why: "no drive slips"}},
		Drives: []fit.Drive{{Log: "ramp.csv", What: "ramp forwards", From: 1, To: 5.2, Way: 2, Before: before,
			After: fit.Errors{Speed: 0.0191}, HeldOut: &heldOut},
			{Log: "ramp.csv", What: "ramp back", From: 6, To: 7, Before: fit.Errors{Speed: math.NaN()}}},
		Unclear:  []fit.Unclear{{Keys: []string{"wheels.along"}, Why: "no drive slips", Cure: "drive hard_start"}},
		Findings: []string{"The left side is 3 % weaker."}, Warnings: []string{"What is left is not noise."}}
	var out strings.Builder
	d := Fit(units.Metric, r, &NewFile{Before: spec, Path: "new.toml", File: &fit.File{Changes: []fit.Edit{
		{Path: "drive.drag", Before: "0.03 N m", After: "0.0412 N m", Interval: "0.0388 and 0.0437 N m"},
		{Path: "wheels[0].at[1]", After: "164 mm"}, {Path: "wheels[1].at[1]", After: "164 mm"},
		{Path: "wheels[2].at[1]", Before: "166 mm", After: "164 mm"}}}})
	if err := d.Text(&out); err != nil {
		t.Fatal(err)
	}
	want := `Hauler of 2026 fitted to 1 log: 2 drives, 42 s of driving
What is left is not noise.

Over half the way of drives that the fit had not seen, the predicted speed is off by less than 2.3 %; by the file as it was, by 8.1 %.

In words
  The left side is 3 % weaker.

Parameters
  key            before   after        95 % between        change    what became of it
  chassis.mass            6.2 kg                                     held
  drive.drag     0.0300   0.0412 N m   0.0388 and 0.0437   +37.3 %   fitted
  wheels.along            0.9                                        not told by these logs: no drive slips

Drives: how far the prediction lies from what was measured: before / after / held out, which is by a fit to all other drives; ends are by x and y, or else by travel and heading
  log        drive                         way       speed %           end mm       end, % of the way   heading deg
  ramp.csv   ramp forwards, 1.0 to 5.2 s   2000 mm   8.1 / 1.9 / 2.3   41 / - / -   2.1 / - / -         2.9 / - / -
  ramp.csv   ramp back, 6.0 to 7.0 s       0 mm      - / 0.0 / -       -            -                   -
             half of the way is below                8.1 / 1.0 / 2.3   41 / - / -   2.1 / - / -         2.9 / - / -

What these logs do not tell
  wheels.along  no drive slips
                drive hard_start

Written into new.toml: before -> after
  drive.drag            0.03 N m  ->  0.0412 N m  95 % between 0.0388 and 0.0437 N m
  wheels[0 to 1].at[1]  left out  ->      164 mm
  wheels[2].at[1]         166 mm  ->      164 mm

Next
  rehearse with it: ` + "`chalkfield run mine.lua --robot new.toml`" + `
  see whether your routines still do what they must: ` + "`chalkfield check`" + `
  drive something else with the real robot, log it, and fit again: what was not seen counts

` + Model + "\n"
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

func TestAFitIsToldToMachines(t *testing.T) {
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	r := &fit.Result{Robot: "Hauler", Drives: []fit.Drive{{Before: fit.Errors{Speed: math.Inf(1)},
		Traces: []fit.Trace{{Logged: []float64{math.NaN()}}}}}}
	var out bytes.Buffer
	file := &fit.File{Changes: []fit.Edit{{Path: "drive.drag", Before: "0.03 N m", After: "0.041 N m"}}}
	if err := Fit(units.Metric, r, &NewFile{File: file, Before: spec, Path: "new.toml"}).JSON(&out); err != nil {
		t.Fatal(err)
	}
	var got struct {
		File    string
		Written bool
		Changes []map[string]string
		Drives  []map[string]any
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil ||
		got.File != "new.toml" || len(got.Drives) != 1 || !got.Written ||
		got.Changes[0]["path"] != "drive.drag" {
		t.Errorf("%v: %s", err, out.String())
	}
}

// Nine drives of hardly any way, with errors of nothing but noise, do not make a good fit useless; where no drive has
// any way, each counts alike.
func TestASummaryIsOfTheWay(t *testing.T) {
	for _, c := range []struct {
		way, phantom, want float64
	}{{0.4, 0.003, 0.03}, {0, 0, 1}, {0.02, 0.01, 1}} {
		drives := []fit.Drive{{SidesWay: c.way, HeldOut: &fit.Errors{Speed: 0.03}}}
		for range 9 {
			drives = append(drives, fit.Drive{SidesWay: c.phantom, HeldOut: &fit.Errors{Speed: 1}})
		}
		f := fitted{Result: &fit.Result{Drives: drives}}
		if _, got := f.medians(func(e fit.Errors) float64 { return e.Speed }); got != c.want {
			t.Errorf("%+v: %g", c, got)
		}
	}
}

// A fit is in doubt that predicts what it had not seen no better than the file did, or hardly at all; it is then told
// first, and written only if that is said.
func TestAFitInDoubtIsNotWritten(t *testing.T) {
	for _, c := range []struct {
		before, heldOut float64
		want            string
	}{{0.1, 0.02, ""}, {0.02, 0.02, "no better"}, {0.02, 0.03, "no better"}, {0.9, 0.51, "of no use"}, {0.9, 0.5, ""}} {
		d := fit.Drive{Before: fit.Errors{Speed: c.before}, HeldOut: &fit.Errors{Speed: c.heldOut}}
		doubt := Doubt(&fit.Result{Drives: []fit.Drive{d}})
		if (doubt == "") != (c.want == "") || !strings.Contains(doubt, c.want) {
			t.Errorf("%g, then %g: %q, want %q", c.before, c.heldOut, doubt, c.want)
		}
		file := NewFile{Path: "new.toml", Doubt: doubt, File: &fit.File{Changes: []fit.Edit{{Path: "drive.drag"}}}}
		if file.Written() != (c.want == "") {
			t.Errorf("%q: written %v", doubt, file.Written())
		}
		if file.Over = true; !file.Written() {
			t.Errorf("%q: not written although that is said", doubt)
		}
	}
}
