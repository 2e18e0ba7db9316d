package fit

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// A fit whose model is wrong still predicts the drives that it was not given, to 5 % of their speed, and says that what
// is left is not noise. The file is the hauler's, which is 13 to 19 % off.
func TestAWrongModelPredictsAndIsTold(t *testing.T) {
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	r, err := Fit(context.Background(), spec, otherLogs(t), Options{Hold: []string{"chassis.mass"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range r.Drives {
		switch {
		case d.HeldOut == nil:
			t.Errorf("%s, %s: was not left out", d.Log, d.What)
		case d.HeldOut.Speed > 0.05 || d.Before.Speed < 0.10:
			t.Errorf("%s, %s: held out %.1f %% rms of its speed (at most 5), %.1f with the file (at least 10)", d.Log, d.What,
				100*d.HeldOut.Speed, 100*d.Before.Speed)
		}
	}
	if said := strings.Join(r.Warnings, "\n"); !strings.Contains(said, "not noise") {
		t.Errorf("it warns of %q", said)
	}
	if testing.Verbose() {
		show(t, r)
	}
}

// otherLogs are logs of the other robot.
func otherLogs(t *testing.T) (list []Input) {
	drives := otherDrives()
	names := []string{"step", "spin_step", "arcs", "ramp", "spin_ramp", "hard_start"}
	for i, name := range names[:property.Cases(4, len(names))] {
		text := anOtherRobot().log(drives[name], uint64(i+1))
		log, err := logfile.Read(name+".csv", strings.NewReader(text), logfile.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, Input{Log: log, SHA256: fmt.Sprintf("%064d", i)})
	}
	return list
}

func show(t *testing.T, r *Result) {
	for _, p := range r.Parameters {
		t.Logf("%-28s %-8s %10.5g %10.5g  [%.5g %.5g] %s %s", p.Key, p.Unit, p.Before, p.After, p.Low, p.High, p.State, p.Why)
	}
	for _, d := range r.Drives {
		t.Logf("%-16s %-28s before %5.1f %%, after %4.1f %%, held out %4.1f %%", d.Log, d.What, 100*d.Before.Speed,
			100*d.After.Speed, 100*d.HeldOut.Speed)
	}
	t.Log(r.Warnings)
}
