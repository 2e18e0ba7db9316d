package fit

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"chalkfield/sim/robot"
)

// trueTo is an estimation at a robot's own file, of logs of it, with what it does.
func trueTo(t testing.TB, r *robot.Robot, late float64, logs ...Input) (*estimation, map[int]*motion) {
	drives, all, err := gather(logs)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := rowsOf(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	e, err := newEstimation(r, drives, all, rows, Options{})
	if err != nil {
		t.Fatal(err)
	}
	e.active, e.numbers = nil, nil
	e.spec = clone(r)
	e.spec.Drive.Latency = late
	done, err := e.predict(context.Background(), e.file(), e.order)
	if err != nil {
		t.Fatal(err)
	}
	return e, done
}

// A place in the first row and one in the last, as a tape says them, are the way of all drives of the log together; the
// log's reader finds nothing odd about them.
func TestATapeMeasuresAllDrivesOfALog(t *testing.T) {
	k := drawn(t, "hauler", 0)
	table := tableOf(t, k.text(t, shortDrives, 13, 1))
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm,heading deg,x mm,y mm\n")
	for i, row := range table.rows {
		fmt.Fprintf(&out, "%.2f,%g,%g,%g,%g,%g,", row[0], row[1], row[2], row[3], row[4], row[5])
		if i == 0 || i == len(table.rows)-1 {
			fmt.Fprintf(&out, "%g,%g\n", row[6]+1000, row[7]+500)
		} else {
			out.WriteString(",\n")
		}
	}
	e, done := trueTo(t, k.real, 0.02+k.real.Drive.Latency, readLog(t, out.String()))
	if len(e.tapes) != 1 || len(e.tapes[0].drives) < 4 || len(e.all[0].odd) > 0 {
		t.Fatalf("%d tapes, odd: %q", len(e.tapes), e.all[0].odd)
	}
	residuals := make([]float64, e.n)
	e.tapes[0].compare(done, residuals)
	for _, r := range residuals[e.tapes[0].at:][:2] {
		if math.Abs(r) > 2 {
			t.Errorf("the tape's end is %.1f of its errors off", r)
		}
	}
}

// Encoders and gyro that are 10 ms late, while the battery is read at once, are told apart from motors that are late,
// to half a tick.
func TestALateEncoderIsToldByTheBattery(t *testing.T) {
	for _, sensors := range []float64{0, 0.01} {
		r := ideal(t, "hauler", func(r *robot.Robot) {
			r.Drive.Latency = 0.0263
			for i := range r.Sensors {
				switch s := &r.Sensors[i]; {
				case s.Encoder != nil:
					s.Encoder.Latency = sensors
				case s.Inertial != nil:
					s.Inertial.Latency = sensors
				}
			}
		})
		e, done := trueTo(t, r, 0.0263+sensors, own(t, r, shortDrives, 13, "short", 1))
		list, err := e.battery(context.Background(), done)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(e.sooner-sensors) > halfTick || math.Abs(list[1].After/r.Battery.Resistance-1) > 0.03 {
			t.Errorf("sensors %g s late: found %g s, resistance %g, the truth is %g", sensors, e.sooner, list[1].After,
				r.Battery.Resistance)
		}
	}
}
