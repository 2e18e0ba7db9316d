package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"chalkfield/sim/robot"
)

// An inertial sensor's scale may be below 0, and its interval lies about it; that of an amount ends at 0. Half of a 95
// % interval is 1.96 standard errors (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2, for many readings).
func TestIntervalsEndAtNothingWhereTheirValuesDo(t *testing.T) {
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	drag := amount("drive.drag", "N m", 1, 1, func(r *robot.Robot) *float64 { return &r.Drive.Drag })
	for name, c := range map[string]struct {
		row                        *row
		number, error, after, from float64
	}{
		"a scale below 0":  {turnedRows(spec)[0], -0.003, 1e-4, -0.003, -0.003196},
		"a scale about 0":  {turnedRows(spec)[0], 0.0001, 1e-4, 0.0001, -0.000096},
		"a drag about 0":   {drag, 0.01 - spec.Drive.Drag, 0.01, 0.01, 0},
		"a drag well over": {drag, 0.1 - spec.Drive.Drag, 0.01, 0.1, 0.0804},
	} {
		e := &estimation{spec: spec, active: []*row{c.row}, numbers: []float64{c.number}}
		from, to, _ := e.interval(c.row.shown[0], c.after, []int{0}, mat.NewSymDense(1, []float64{c.error * c.error}))
		if math.Abs(from-c.from) > 1e-3*c.error || math.Abs(to-c.after-1.96*c.error) > 1e-3*c.error {
			t.Errorf("%s: [%g %g], want from %g", name, from, to, c.from)
		}
	}
}
