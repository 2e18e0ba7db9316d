package fit

import (
	"context"
	"math"
	"strconv"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// table is a log's text as numbers.
type table struct {
	header []string
	rows   [][]float64
}

func tableOf(t testing.TB, text string) *table {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	out := &table{header: strings.Split(lines[0], ",")}
	for _, line := range lines[1:] {
		var row []float64
		for _, cell := range strings.Split(line, ",") {
			x, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, x)
		}
		out.rows = append(out.rows, row)
	}
	return out
}

func (t *table) text() string {
	var out strings.Builder
	out.WriteString(strings.Join(t.header, ","))
	for _, row := range t.rows {
		out.WriteByte('\n')
		for i, x := range row {
			if i > 0 {
				out.WriteByte(',')
			}
			out.WriteString(strconv.FormatFloat(x, 'f', 5, 64))
		}
	}
	return out.String()
}

// column makes a column another, row by row from the table as it was.
func (t *table) column(name, becomes string, value func(rows [][]float64, i, k int) float64) {
	for k, header := range t.header {
		if header != name {
			continue
		}
		t.header[k] = becomes
		column := make([]float64, len(t.rows))
		for i := range t.rows {
			column[i] = value(t.rows, i, k)
		}
		for i, x := range column {
			t.rows[i][k] = x
		}
	}
}

// Whatever a log has of the base's motion tells the motors' torque and speed; with amps the stall current too.
func TestALogMayHaveOtherColumns(t *testing.T) {
	const battery = 8
	share := func(rows [][]float64, i, k int) float64 {
		return 100 * rows[i][k] / rows[min(i+1, len(rows)-1)][battery]
	}
	rate := func(rows [][]float64, i, k int) float64 {
		a, b := rows[max(i-1, 0)], rows[min(i+1, len(rows)-1)]
		return (b[k] - a[k]) / (b[0] - a[0])
	}
	speeds := func(t *table) {
		t.column("left travel mm", "left speed mm/s", rate)
		t.column("right travel mm", "right speed mm/s", rate)
		t.column("heading deg", "turning deg/s", rate)
	}
	forms := map[string]struct {
		amps   bool
		change func(*table)
		blurs  bool // the change does, so that what is left over is no noise
	}{
		"amps": {amps: true, change: func(*table) {}},
		"duty": {change: func(t *table) {
			t.column("left V", "left %", share)
			t.column("right V", "right %", share)
		}},
		"speeds":         {change: speeds, blurs: true},
		"amps and rates": {amps: true, change: speeds, blurs: true},
	}
	for _, name := range []string{"duty", "amps and rates", "amps", "speeds"}[:property.Cases(2, len(forms))] {
		c := forms[name]
		t.Run(name, func(t *testing.T) {
			k := drawn(t, "hauler", 0)
			k.file, k.amps = clone(k.real), c.amps
			motor := driveMotor(k.file)
			motor.StallTorque *= 1.1
			motor.FreeSpeed *= 1.05
			motor.StallCurrent *= 1.3
			list := tableOf(t, k.text(t, shortDrives, 13, 1))
			c.change(list)
			got, err := Fit(context.Background(), k.file, []Input{readLog(t, list.text())}, Options{Hold: []string{
				"chassis.mass", "chassis.inertia", "motors[0].free_current", "drive.drag", "drive.viscous", "drive.creep",
				"drive.left_push", "wheels.along", "wheels.across", "wheels.radius", "track", "wheels.static", "drive.slew",
				"drive.dead_band", "drive.backlash"}})
			if err != nil {
				t.Fatal(err)
			}
			truths := k.truths(t)
			for _, key := range []string{"motors[0].stall_torque", "motors[0].free_speed", "motors[0].stall_current"} {
				p := value(t, got, key)
				t.Logf("%s %g [%g %g] %s, the truth is %g", key, p.After, p.Low, p.High, p.State, truths[key])
				if off := math.Abs(p.After/truths[key] - 1); (off > 0.02 || p.State != Fitted) &&
					(c.amps || key != "motors[0].stall_current") {
					t.Errorf("%s: %g [%g %g] %s, the truth is %g", key, p.After, p.Low, p.High, p.State, truths[key])
				}
			}
			for _, d := range got.Drives {
				if d.After.Speed > 0.03 {
					t.Errorf("%s: speed off by %.3f", d.What, d.After.Speed)
				}
			}
			if len(got.Warnings) > 0 && !c.blurs {
				t.Errorf("warnings %q", got.Warnings)
			}
		})
	}
}
