package alongside

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// rehearsal of an embedded routine with a robot file.
func rehearsal(t testing.TB, routine string, spec *robot.Robot, seed uint64) *record.Record {
	t.Helper()
	program, err := scripting.LoadFS(assets.Routines, routine+".lua")
	if err != nil {
		t.Fatal(err)
	}
	return rehearsed(t, program, spec, seed)
}

func rehearsed(t testing.TB, program *scripting.Program, spec *robot.Robot, seed uint64) *record.Record {
	t.Helper()
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Seed: seed, Nominal: seed == 0,
		Entrants: []rehearse.Entrant{{Robot: spec, Routine: program}}})
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

func hauler(t testing.TB, changes ...string) *robot.Robot {
	t.Helper()
	source, err := robot.EmbeddedSource("hauler")
	if err != nil {
		t.Fatal(err)
	}
	text := string(source)
	for i := 0; i < len(changes); i += 2 {
		if !strings.Contains(text, changes[i]) {
			t.Fatalf("the hauler has no %q", changes[i])
		}
		text = strings.Replace(text, changes[i], changes[i+1], 1)
	}
	spec, err := robot.Parse("robot.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return spec
}

func logged(t *testing.T, rec *record.Record, spec *robot.Robot) string {
	t.Helper()
	var out strings.Builder
	if err := logfile.WriteSimulated(&out, rec, spec); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func read(t *testing.T, text string) *logfile.Log {
	t.Helper()
	l, err := logfile.Read("run.csv", strings.NewReader(text), logfile.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// change gives a table another header and other rows.
type change func(header []string, rows [][]float64) ([]string, [][]float64)

// rewritten changes a log's table.
func rewritten(t *testing.T, text string, change change) string {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if strings.HasPrefix(lines[0], "#") {
		lines = lines[1:]
	}
	header := strings.Split(strings.ReplaceAll(lines[0], ", ", ","), ",")
	var rows [][]float64
	for _, line := range lines[1:] {
		var row []float64
		for _, cell := range strings.Split(strings.ReplaceAll(line, ", ", ","), ",") {
			x, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, x)
		}
		rows = append(rows, row)
	}
	header, rows = change(header, rows)
	var out strings.Builder
	out.WriteString(strings.Join(header, ","))
	for _, row := range rows {
		cells := make([]string, len(row))
		for i, x := range row {
			cells[i] = strconv.FormatFloat(x, 'f', -1, 64)
		}
		out.WriteString("\n" + strings.Join(cells, ","))
	}
	return out.String()
}

// only keeps some columns.
func only(names ...string) change {
	return func(header []string, rows [][]float64) ([]string, [][]float64) {
		out := make([][]float64, len(rows))
		for _, name := range names {
			for i, row := range rows {
				out[i] = append(out[i], row[slices.Index(header, name)])
			}
		}
		return names, out
	}
}

// later sets the clock and puts so many seconds of a robot that stands before the first row.
func later(clock, stand float64) change {
	return func(header []string, rows [][]float64) ([]string, [][]float64) {
		var out [][]float64
		for t := 0.0; t < stand; t += 0.02 {
			row := slices.Clone(rows[0])
			row[0] = clock + t
			out = append(out, row)
		}
		for _, row := range rows {
			row = slices.Clone(row)
			row[0] += clock + stand
			out = append(out, row)
		}
		return header, out
	}
}

// places is a log of where the robot was: its true pose, moved by a function of time.
func places(rec *record.Record, moved func(t float64) (x, y, turned float64)) string {
	var out strings.Builder
	out.WriteString("time s,x mm,y mm,heading deg\n")
	for _, s := range rec.Samples {
		at := s.Robots[0].True
		x, y, turned := moved(s.T)
		fmt.Fprintf(&out, "%.2f,%.4f,%.4f,%.5f\n", s.T+100, 1000*(at[0]+x), 1000*(at[1]+y), (at[2]+turned)*180/math.Pi)
	}
	return out.String()
}

func lay(t *testing.T, rec *record.Record, spec *robot.Robot, text string) *Pair {
	t.Helper()
	p, err := Lay(rec, spec, read(t, text), Options{Limits: Usual})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A robot with weaker motors plays the real one. Whatever its log has of motion, and wherever its clock begins, the
// moment at which the routine began is found to a sample, and the log of the very rehearsal lies on it: within what is
// lost where speeds are known 50 times a second only.
func TestTheClocksAreSet(t *testing.T) {
	plain, weak := hauler(t), hauler(t, "480 rpm", "360 rpm")
	const clock, stand = 1234567.8, 7.013
	for _, routine := range []string{"core_haul_demo", "core_haul_sled"} {
		mine, theirs := rehearsal(t, routine, plain, 0), rehearsal(t, routine, weak, 0)
		for _, names := range [][]string{
			{"time s", "left travel mm", "right travel mm"},
			{"time s", "left travel mm", "right travel mm", "heading deg"},
			{"time s", "left travel mm", "right travel mm", "left V", "right V", "battery V"},
		} {
			for _, real := range []*record.Record{mine, theirs} {
				spec := plain
				if real == theirs {
					spec = weak
				}
				p := lay(t, mine, plain, rewritten(t, rewritten(t, logged(t, real, spec), only(names...)), later(clock, stand)))
				if off := p.At - clock - stand; math.Abs(off) > 0.02 || p.Correlation < 0.75 || len(p.Others) > 0 {
					t.Errorf("%s, %v: off by %.4f s, correlation %.3f, others %v", routine, names, off, p.Correlation, p.Others)
				}
				far := p.Farthest.Place
				if same := real == mine; same && (p.Departs != nil || far > 0.015) || !same && far < 0.03 {
					t.Errorf("%s, %v: departs %+v, farthest %+v", routine, names, p.Departs, p.Farthest)
				}
				if p.Against != DeadReckoning || p.From != 0 || p.To < 19.9 {
					t.Errorf("%s: compared with the %s from %g to %g s", routine, p.Against, p.From, p.To)
				}
			}
		}
	}
}

// A log has the volts that a controller was told, not those that the motors got later.
func TestALateControllerMovesNoClock(t *testing.T) {
	spec := hauler(t, "[drive]\n", "[drive]\nlatency = \"25 ms\"\n")
	for _, routine := range []string{"core_haul_demo", "core_haul_sled"} {
		rec := rehearsal(t, routine, spec, 0)
		p := lay(t, rec, spec, logged(t, rec, spec))
		if math.Abs(p.At) > 0.005 || p.Farthest.Place > 0.003 || p.Departs != nil {
			t.Errorf("%s: at %.4f s, farthest %+v, departs %+v", routine, p.At, p.Farthest, p.Departs)
		}
		for _, s := range p.Signals {
			if strings.HasSuffix(s.Name, " volts") && s.RMS > 0.05 {
				t.Errorf("%s: %s off by %.3f V rms", routine, s.Name, s.RMS)
			}
		}
	}
}

// A program makes travel of the wheels' turns with one radius for both sides, or with that of log.toml. The log of a
// robot with unequal wheels lies on its own rehearsal all the same, with and without a heading, and not on that of a
// file whose wheels are alike.
func TestUnequalWheelsShow(t *testing.T) {
	alike, unlike := hauler(t), hauler(t)
	for i := range unlike.Wheels {
		unlike.Wheels[i].Radius *= 1 + 0.02*(float64(unlike.Wheels[i].Train)-0.5)
	}
	program, err := scripting.LoadTexts("x.lua", map[string]string{"x.lua": `return routine {
  start = {x = 600, y = 900, heading = 0}, auto = function(bot)
    wait(0.5); bot.drive:volts(5, 5); wait(1.4); bot.drive:stop(); wait(0.5); bot.drive:volts(-5, -5); wait(1)
    bot.drive:stop()
  end }`})
	if err != nil {
		t.Fatal(err)
	}
	rec := rehearsed(t, program, unlike, 0)
	text := logged(t, rec, unlike)
	for _, names := range [][]string{
		{"time s", "left travel mm", "right travel mm", "heading deg"}, {"time s", "left travel mm", "right travel mm"},
	} {
		log := read(t, rewritten(t, text, only(names...)))
		for _, wheel := range []float64{0, 0.06} {
			log.Wheel = wheel
			for _, side := range logfile.Travel {
				for i := range log.Column(side).Values {
					log.Column(side).Values[i] *= cmp.Or(wheel, unlike.MeanRadius()) / unlike.MeanRadius()
				}
			}
			p, err := Lay(rec, unlike, log, Options{Limits: Usual})
			if err != nil || math.Abs(p.At) > 0.005 || p.Farthest.Place > 0.015 {
				t.Errorf("%v, wheels of %g m: %v, at %.4f s, farthest %+v", names, wheel, err, p.At, p.Farthest)
			}
		}
	}
	p := lay(t, rehearsed(t, program, alike, 0), alike, text)
	if p.Farthest.Left < 0.005 || *p.Turned.Heading < 0.02 {
		t.Errorf("wheels unlike by 2 %%: farthest %+v, turned %.4f", p.Farthest, *p.Turned.Heading)
	}
}

// A log of places is compared with the true pose. One that goes ahead by 100 mm/s from 5 s on has left the rehearsal by
// 50 mm half a second later.
func TestWhereALogDeparts(t *testing.T) {
	spec := hauler(t)
	rec := rehearsal(t, "core_haul_sled", spec, 0)
	p := lay(t, rec, spec, places(rec, func(t float64) (x, y, turned float64) {
		if t == 3 {
			return 1, 1, 1 // a single wrong row is no departure
		}
		return 0.1 * max(0, t-5), 0, -0.001
	}))
	d := p.Departs
	if p.Against != TruePose || d == nil || math.Abs(d.T-5.5) > 0.025 || d.Place < 0.05 || d.Place > 0.054 {
		t.Fatalf("compared with the %s: %+v", p.Against, d)
	}
	file, line, _ := rec.Driving(0, d.T)
	if d.File != file || d.Stand.Line != line || line == 0 || math.Abs(d.Begun-5.1) > 0.025 {
		t.Errorf("departs at %s:%d, begun at %g", d.File, d.Stand.Line, d.Begun)
	}
	if math.Abs(p.At-100) > 0.005 || math.Abs(p.End.Place-0.1*(p.End.T-5)) > 1e-3 {
		t.Errorf("at %g s, end %+v, farthest %+v", p.At, p.End, p.Farthest)
	}
	heading := rec.Samples[int(math.Round(p.End.T/0.02))].Robots[0].True[2]
	if ahead := math.Cos(heading) * p.End.Place; math.Abs(p.End.Ahead-ahead) > 1e-3 {
		t.Errorf("%g m ahead, want %g", p.End.Ahead, ahead)
	}
}

// An odometry of its own begins at 0, 0 with its x axis ahead.
func TestPlacesMayCountFromTheStart(t *testing.T) {
	spec := hauler(t)
	rec := rehearsal(t, "core_haul_sled", spec, 0)
	start := rec.Samples[0].Robots[0].True.Geom()
	var out strings.Builder
	out.WriteString("time s,x m,y m,heading rad\n")
	for _, s := range rec.Samples {
		seen := start.Relative(s.Robots[0].True.Geom())
		fmt.Fprintf(&out, "%.2f,%.5f,%.5f,%.5f\n", s.T, seen.X, seen.Y, seen.Heading)
	}
	p := lay(t, rec, spec, out.String())
	if p.Departs != nil || p.Farthest.Place > 5e-3 || len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "begin at 0") {
		t.Errorf("departs %+v, farthest %+v, notes %q", p.Departs, p.Farthest, p.Notes)
	}
}

// A log of several runs fits in several places, a part of a run in one. Across a gap way and heading count on; the sum
// of speeds does not.
func TestPartsAndRepeats(t *testing.T) {
	spec := hauler(t)
	rec := rehearsal(t, "core_haul_sled", spec, 0)
	text := rewritten(t, logged(t, rec, spec), only("time s", "left travel mm", "right travel mm", "heading deg"))
	twice := rewritten(t, text, func(header []string, rows [][]float64) ([]string, [][]float64) {
		last := rows[len(rows)-1]
		for _, row := range rows[:len(rows):len(rows)] {
			rows = append(rows, []float64{row[0] + last[0] + 5, row[1] + last[1], row[2] + last[2], row[3] + last[3]})
		}
		return header, rows
	})
	if p := lay(t, rec, spec, twice); len(p.Others) != 1 || math.Abs(math.Abs(p.Others[0]-p.At)-24.96) > 0.2 {
		t.Errorf("at %g and %v", p.At, p.Others)
	}
	rows := func(keep func(t float64) bool) change {
		return func(header []string, rows [][]float64) ([]string, [][]float64) {
			return header, slices.DeleteFunc(slices.Clone(rows), func(row []float64) bool { return !keep(row[0]) })
		}
	}
	p := lay(t, rec, spec, rewritten(t, text, rows(func(t float64) bool { return t >= 2 && t <= 8 })))
	near := func(x, y float64) bool { return math.Abs(x-y) < 0.05 }
	if !near(p.At, 0) || p.Departs != nil || !near(p.From, 2) || !near(p.To, 8) || len(p.Notes) != 1 {
		t.Errorf("a part: at %g, from %g to %g, %+v, %q", p.At, p.From, p.To, p.Departs, p.Notes)
	}
	gap := rows(func(t float64) bool { return t < 3 || t > 3.5 })
	p = lay(t, rec, spec, rewritten(t, text, gap))
	if p.Departs != nil || p.Farthest.Place > 0.03 || p.To < 19.9 || len(p.Notes) > 0 {
		t.Errorf("travel with a gap: farthest %+v, to %g s, %q", p.Farthest, p.To, p.Notes)
	}
	speeds := rewritten(t, rewritten(t, text, func(_ []string, rows [][]float64) ([]string, [][]float64) {
		var out [][]float64
		for i := range rows[1:] {
			row := []float64{rows[i][0] + 0.01}
			for k := 1; k < 4; k++ {
				row = append(row, (rows[i+1][k]-rows[i][k])/0.02)
			}
			out = append(out, row)
		}
		return []string{"time s", "left speed mm/s", "right speed mm/s", "turning deg/s"}, out
	}), gap)
	p = lay(t, rec, spec, speeds)
	if p.Departs != nil || !near(p.To, 3) || len(p.Notes) != 1 || p.Columns != "speed of both sides, turning" {
		t.Errorf("speeds with a gap: to %g s, %+v, %q, %s", p.To, p.Departs, p.Notes, p.Columns)
	}
}

// What does not fit is refused.
func TestWhatIsRefused(t *testing.T) {
	spec := hauler(t)
	rec := rehearsal(t, "core_haul_demo", spec, 0)
	other := logged(t, rehearsal(t, "core_haul_sled", spec, 0), spec)
	stands := rehearsal(t, "core_haul_demo", spec, 0)
	for i := range stands.Samples {
		stands.Samples[i].Robots[0].Wheels, stands.Samples[i].Robots[0].Velocity = [2]float64{}, [3]float64{}
	}
	late := 1000.0
	for _, c := range []struct {
		what, text string
		rec        *record.Record
		at         *float64
		want       string
	}{
		{"another routine", other, rec, nil, "run.csv: nowhere in it does the robot move as in the rehearsal (speeds and " +
			"turning rates correlate by 0."},
		{"no columns of motion", rewritten(t, other, only("time s", "left V", "right V", "heading deg")), rec, nil,
			"run.csv: its columns do not tell how the robot moved: it takes x and y, or travel or speed of both sides"},
		{"a time outside", other, rec, &late,
			"run.csv: it has nothing at the time of the rehearsal, which is from 1000 s to 1020 s"},
		{"a rehearsal that stands", other, stands, nil, "run.csv: the robot of the rehearsal stands still"},
		{"hours", "time s,left travel mm,right travel mm\n0,0,0\n9000,1,1\n18000,2,2\n27000,3,3\n", rec, nil,
			"run.csv: it has 7.5 hours, of which at most 4 are searched"},
	} {
		_, err := Lay(c.rec, spec, read(t, c.text), Options{At: c.at, Limits: Usual})
		if err == nil || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%s: %v, want %s", c.what, err, c.want)
		}
	}
}

// A replay commands what the log has: its volts, or those that its speeds take.
func TestALogIsAReplay(t *testing.T) {
	spec := hauler(t)
	rec := rehearsal(t, "core_haul_sled", spec, 0)
	text := logged(t, rec, spec)
	motion := []string{"time s", "left travel mm", "right travel mm", "heading deg"}
	for _, c := range []struct {
		names []string
		most  float64 // V rms: those of a steady speed are not what accelerating takes, which is 2.6 V rms here
	}{{append(motion[:4:4], "left V", "right V"), 0.05}, {motion, 1.5}} {
		r, err := lay(t, rec, spec, rewritten(t, text, only(c.names...))).Replay(spec)
		if err != nil {
			t.Fatal(err)
		}
		off, n := 0.0, 0.0
		for i, s := range r.Samples {
			for side, volts := range s.Robots[0].Volts {
				off += math.Pow(volts-rec.Samples[i].Robots[0].Volts[side], 2)
				n++
			}
		}
		if rms := math.Sqrt(off / n); rms > c.most || len(r.Samples) < 990 {
			t.Errorf("%v: volts off by %.2f V rms in %d samples", c.names, rms, len(r.Samples))
		}
	}
	_, err := lay(t, rec, spec, rewritten(t, places(rec, func(float64) (x, y, turned float64) { return }),
		only("time s", "x mm", "y mm"))).Replay(spec)
	if err == nil || !strings.Contains(err.Error(), "takes the heading too") {
		t.Errorf("x and y alone: %v", err)
	}
}
