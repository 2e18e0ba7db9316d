package logfile

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// testDrives are a routine's: a ramp, steps both ways, a spin and an arc, with stand-stills between them.
const testDrives = `return routine { start = {x = 700, y = 1200, heading = 0}, auto = function(bot)
  local function give(left, right, seconds)
    bot.drive:volts(left, right); wait(seconds); bot.drive:volts(0, 0); wait(1.2)
  end
  wait(1.5)
  for i = 1, 100 do local v = i * 0.04; bot.drive:volts(v, v); wait(0.02) end
  bot.drive:volts(0, 0); wait(1.2)
  give(-5, -5, 0.9)
  give(5, 5, 0.7)
  give(-4, 4, 0.8)
  give(4, -4, 0.8)
  give(6, 4, 0.8)
end }`

// simulated is the record of the test drives.
var simulated = sync.OnceValues(func() (*record.Record, error) {
	field, err := fields.OpenEmbedded("practice_yard")
	if err != nil {
		return nil, err
	}
	hauler, err := robot.OpenEmbedded("hauler")
	if err != nil {
		return nil, err
	}
	program, err := scripting.LoadFS(fstest.MapFS{"drives.lua": {Data: []byte(testDrives)}}, "drives.lua")
	if err != nil {
		return nil, err
	}
	return rehearse.Run(context.Background(), rehearse.Setup{Field: field, Nominal: true, Seed: 1,
		Entrants: []rehearse.Entrant{{Robot: hauler, Routine: program}}})
})

// reading is a column of a simulated log.
type reading struct {
	name   string
	step   float64 // that it is rounded to, in the file's unit
	noise  float64 // standard deviation
	signal []float64
}

// trace takes a signal out of the record.
func trace(rec *record.Record, of func(record.RobotSample) float64) []float64 {
	out := make([]float64, len(rec.Samples))
	for i, s := range rec.Samples {
		out[i] = of(s.Robots[0])
	}
	return out
}

// readings are those of the test drives.
func readings(t testing.TB, late int) []reading {
	rec, err := simulated()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range rec.Events {
		if e.Kind == record.Failure || e.Kind == record.Contact {
			t.Fatalf("the test drives: %s", e.Sentence(units.Metric))
		}
	}
	return readingsOf(rec, late)
}

// readingsOf are what a robot program would log: in each row the volts that it gives from then on, late samples before
// the motors get them, and what its sensors say.
func readingsOf(rec *record.Record, late int) []reading {
	side := func(i int) []float64 {
		way, before := 0.0, 0.0
		return trace(rec, func(s record.RobotSample) float64 {
			way += (before + s.Wheels[i]) / 2 * record.SamplePeriod * 1000
			before = s.Wheels[i]
			return way
		})
	}
	given := func(i int) []float64 {
		applied := trace(rec, func(s record.RobotSample) float64 { return s.Volts[i] })
		ahead := late + 1 // a record's volts are those until the sample, a log's those from its row on
		return append(slices.Clone(applied[ahead:]), make([]float64, ahead)...)
	}
	return []reading{
		{"left V", 0.01, 0, given(0)}, {"right V", 0.01, 0, given(1)},
		{"left travel mm", 0.5, 0, side(0)}, {"right travel mm", 0.5, 0, side(1)},
		{"heading deg", 0.1, 0.05, trace(rec, func(s record.RobotSample) float64 {
			return math.Mod(s.True[2]*180/math.Pi+540, 360) - 180
		})},
		{"battery V", 0.05, 0.02, trace(rec, func(s record.RobotSample) float64 { return s.Battery })},
		{"x mm", 1, 1, trace(rec, func(s record.RobotSample) float64 { return s.True[0] * 1000 })},
		{"y mm", 1, 1, trace(rec, func(s record.RobotSample) float64 { return s.True[1] * 1000 })},
	}
}

// written is a log of readings in some notation.
func written(list []reading, separator, decimal string) string {
	noise := rand.New(rand.NewPCG(1, 2))
	var out strings.Builder
	names := []string{"time s"}
	for _, r := range list {
		names = append(names, r.name)
	}
	fmt.Fprintln(&out, strings.Join(names, separator))
	for i := range list[0].signal {
		row := []string{fmt.Sprintf("%.2f", float64(i)*record.SamplePeriod)}
		for _, r := range list {
			x := math.Round((r.signal[i]+r.noise*noise.NormFloat64())/r.step) * r.step
			row = append(row, fmt.Sprintf("%.6g", x))
		}
		fmt.Fprintln(&out, strings.ReplaceAll(strings.Join(row, "\x00"), ".", decimal))
	}
	return strings.ReplaceAll(out.String(), "\x00", separator)
}

func described(t testing.TB, text string) Description {
	t.Helper()
	l, err := Read("run.csv", strings.NewReader(text), Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return Describe(l)
}

// delayed are the readings with what the sensors say so many seconds later: the log is of a robot whose sensors are
// late.
func delayed(list []reading, by float64) []reading {
	out := slices.Clone(list)
	back := by / record.SamplePeriod
	whole := int(math.Floor(back))
	for i, r := range out {
		if strings.HasSuffix(r.name, " V") {
			continue
		}
		out[i].signal = make([]float64, len(r.signal))
		for k := range r.signal {
			a, b := r.signal[max(0, k-whole)], r.signal[max(0, k-whole-1)]
			out[i].signal[k] = a + (b-a)*(back-float64(whole))
		}
	}
	return out
}

// A log of the simulator's, whose volts are 20 ms early and whose sensors are late, noisy and coarse, is described as
// it was made: rates, steps, latency within 3 ms, each drive.
func TestASimulatedLogIsDescribed(t *testing.T) {
	for _, late := range []float64{0, 0.007, 0.013, 0.04} {
		d := described(t, written(delayed(readings(t, 1), late), ",", "."))
		if d.Latency == nil || math.Abs(d.Latency.Seconds-0.02-late) > 0.003 {
			t.Errorf("%g s and 0.02 s late: found %+v %s", late, d.Latency, d.Why)
		}
	}
	d := described(t, written(readings(t, 1), ",", "."))
	if d.Rate != 50 || d.Rows != 751 || d.Seconds != 15 || len(d.Suspicious) > 0 {
		t.Errorf("%+v", d)
	}
	steps := map[string]float64{"left V": 0.04, "left travel mm": 0.5, "heading deg": 0.1, "battery V": 0.05, "x mm": 1}
	for _, c := range d.Columns {
		if want := steps[c.Header]; want != 0 && c.Step != want || c.Rate != 50 || c.Filled != 751 {
			t.Errorf("%+v, want a step of %g", c, want)
		}
	}
	checkTestDrives(t, d)
	checkDrive(t, d.Drives, readings(t, 1))
}

func checkTestDrives(t *testing.T, d Description) {
	t.Helper()
	var what []string
	for _, drive := range d.Drives {
		if drive.What != "stand-still" {
			what = append(what, drive.What)
		}
	}
	want := []string{"ramp forwards", "step backwards", "step forwards", "spin left, step", "spin right, step",
		"arc right forwards, step"}
	if !slices.Equal(what, want) {
		t.Errorf("drives\n%s\nwant\n%s", strings.Join(what, "\n"), strings.Join(want, "\n"))
	}
}

// Encoders whose readings are noisy while the robot stands make no drives: not of a stand-still, and not between
// others; with volts or without.
func TestNoiseAtRestIsNoDrive(t *testing.T) {
	for _, c := range []struct{ step, noise float64 }{{0.5, 0}, {0.5, 0.3}, {0.1, 0.3}, {0.5, 1}, {2, 0.5}} {
		list := readings(t, 1)
		for i, r := range list {
			if strings.HasSuffix(r.name, "travel mm") {
				list[i].step, list[i].noise = c.step, c.noise
			}
		}
		checkTestDrives(t, described(t, written(list, ",", ".")))
		for i := range list {
			list[i].signal = make([]float64, 1000)
		}
		for _, without := range []string{"", " V"} {
			still := slices.DeleteFunc(slices.Clone(list), func(r reading) bool {
				return without != "" && strings.HasSuffix(r.name, without)
			})
			d := described(t, written(still, ",", "."))
			if len(d.Drives) != 1 || d.Drives[0].What != "stand-still" {
				t.Errorf("%+v, without %q: %+v", c, without, d.Drives)
			}
		}
	}
}

// checkDrive holds the spin to the left to the record.
func checkDrive(tb *testing.T, drives []Drive, list []reading) {
	i := slices.IndexFunc(drives, func(d Drive) bool { return d.What == "spin left, step" })
	if i < 0 {
		return
	}
	d := drives[i]
	at := func(t float64) float64 {
		return column(tb, list, "heading deg").signal[int(math.Round(t/record.SamplePeriod))] * math.Pi / 180
	}
	if turn := at(d.To) - at(d.From); math.Abs(*d.Turn-turn) > 0.01 || math.Abs(d.From-8.68) > 0.07 || *d.Top != 4 {
		tb.Errorf("%+v, and the record has %g rad", d, turn)
	}
}

// What the routines of this program do, with their contacts and pieces, is nothing suspicious.
func TestNoEmbeddedRoutineIsSuspicious(t *testing.T) {
	for _, name := range assets.RoutineNames() {
		home, machine := assets.RoutineHome(name)
		field, err := fields.OpenEmbedded(home)
		if err != nil {
			t.Fatal(err)
		}
		base, err := robot.OpenEmbedded(machine)
		if err != nil {
			t.Fatal(err)
		}
		program, err := scripting.LoadFS(assets.Routines, name+".lua")
		if err != nil {
			t.Fatal(err)
		}
		rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Seed: 1,
			Entrants: []rehearse.Entrant{{Robot: base, Routine: program}}})
		if err != nil {
			t.Fatal(err)
		}
		d := described(t, written(readingsOf(rec, 1), ";", ","))
		t.Log(name, d.Latency, d.Why, len(d.Drives))
		if len(d.Suspicious) > 0 {
			t.Errorf("%s: %s", name, strings.Join(d.Suspicious, "\n"))
		}
	}
}
