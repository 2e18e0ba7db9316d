package fit

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/stats"
	"chalkfield/sim/robot"
)

// hasKey tells whether a result has a parameter.
func hasKey(r *Result, key string) bool {
	return slices.ContainsFunc(r.Parameters, func(p Parameter) bool { return p.Key == key })
}

// standing is a log of two minutes at rest: a gyro's angle walks, deg/sqrt(s), as in IEEE Std 952, and the left
// encoder's readings scatter, mm.
func standing(walk, noise float64) string {
	const tick = 0.1 // mm
	random := rand.New(rand.NewPCG(4, 5))
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm,heading deg\n")
	angle := 0.0
	for i := range 6000 {
		fmt.Fprintf(&out, "%.2f,0,0,%.3f,0,%.4f\n", float64(i)*0.02, tick*math.Round(noise/tick*random.NormFloat64()), angle)
		angle += walk * math.Sqrt(0.02) * random.NormFloat64()
	}
	return out.String()
}

// A gyro's random walk is read from a stand-still, the spread of the starts from logs called repeat.
func TestNoiseAndSpreadAreRead(t *testing.T) {
	k, text := brief(t)
	lines := strings.Split(strings.TrimSpace(text), "\n")[:property.Cases(115, 225)] // the first drive ends after 2.3 s
	var logs []Input
	var xs, ys []float64
	random := rand.New(rand.NewPCG(6, 7))
	for n := range 5 {
		moved := []string{lines[0]}
		x, y := 20*random.NormFloat64(), 20*random.NormFloat64()
		xs, ys = append(xs, x), append(ys, y)
		for _, line := range lines[1:] {
			cells := strings.Split(line, ",")
			for i, by := range map[int]float64{6: x, 7: y} {
				var v float64
				fmt.Sscan(cells[i], &v)
				cells[i] = fmt.Sprintf("%.2f", v+by)
			}
			moved = append(moved, strings.Join(cells, ","))
		}
		name, all := fmt.Sprintf("repeat_%d.csv", n+1), strings.Join(moved, "\n")
		log, err := logfile.Read(name, strings.NewReader(all), logfile.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		logs = append(logs, Input{Log: log})
	}
	const walk, noise = 0.3, 0.3 // deg/sqrt(s), mm of the left encoder; the right one stands on a step
	logs = append(logs, readLog(t, standing(walk, noise)))
	got, err := Fit(context.Background(), k.file, logs, Options{Hold: []string{"chassis.mass", "drive.viscous",
		"drive.creep", "wheels.along", "wheels.radius", "track", "drive.drag"}})
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range k.file.Sensors {
		if s.Encoder != nil && s.Encoder.Train == robot.Left {
			p := value(t, got, fmt.Sprintf("sensors[%d].encoder.noise", i))
			if math.Abs(1000*p.After/noise-1) > 0.05 {
				t.Errorf("the left encoder has %g m of noise, the truth is %g mm", p.After, noise)
			}
		}
		if s.Encoder != nil && s.Encoder.Train == robot.Right && hasKey(got, fmt.Sprintf("sensors[%d].encoder.noise", i)) {
			t.Error("an encoder that rests on its step has noise")
		}
		if s.Inertial == nil {
			continue
		}
		p := value(t, got, fmt.Sprintf("sensors[%d].inertial.walk", i))
		if want := walk * math.Pi / 180; math.Abs(p.After/want-1) > 0.1 {
			t.Errorf("the gyro walks by %g rad/sqrt(s), the truth is %g", p.After, want)
		}
	}
	want := math.Hypot(stats.Describe(xs).SD, stats.Describe(ys).SD) / math.Sqrt2
	if p := value(t, got, "spread.start_at"); math.Abs(1000*p.After/want-1) > 0.05 {
		t.Errorf("starts scatter by %.1f mm, and were scattered by %.1f", 1000*p.After, want)
	}
}
