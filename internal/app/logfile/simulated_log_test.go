package logfile

import (
	"context"
	"math"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// played rehearses a routine's body on the practice yard with the hauler changed, and gives the robot too.
func played(
	t *testing.T, auto string, change func(*robot.Robot), chance rehearse.Setup,
) (*record.Record, *robot.Robot) {
	field, err := fields.OpenEmbedded("practice_yard")
	if err != nil {
		t.Fatal(err)
	}
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	change(spec)
	program, err := scripting.LoadTexts("roll.lua", map[string]string{"roll.lua": `return routine {
  start = {x = 700, y = 1200, heading = 0}, auto = function(bot) ` + auto + ` end }`})
	if err != nil {
		t.Fatal(err)
	}
	chance.Field, chance.Entrants = field, []rehearse.Entrant{{Robot: spec, Routine: program}}
	rec, err := rehearse.Run(context.Background(), chance)
	if err != nil {
		t.Fatal(err)
	}
	return rec, spec
}

// rolling is a drive of the hauler that brakes, coasts and lifts, with a seed: its sensors drift and are coarse.
func rolling(t *testing.T) (*record.Record, *robot.Robot) {
	return played(t, `
    wait(1); bot.drive:volts(5, 4); bot.lift:volts(3); wait(0.8); bot.drive:rest("coast")
    bot.drive:volts(0, 0); bot.lift:volts(0); wait(2); bot.drive:volts(-4, -4); wait(0.6); bot.drive:stop()`,
		func(*robot.Robot) {}, rehearse.Setup{Seed: 3})
}

// A robot whose motors are late logs what its program told them, so that the log has the latency.
func TestASimulatedLogHasTheLatency(t *testing.T) {
	var late [2]float64
	for i, latency := range []float64{0, 0.06} {
		rec, spec := played(t, `
    wait(1); bot.drive:volts(5, 5); wait(0.8); bot.drive:volts(0, 0); wait(1); bot.drive:volts(-5, -5); wait(0.8)
    bot.drive:stop(); wait(1)`, func(r *robot.Robot) { r.Drive.Latency = latency }, rehearse.Setup{Nominal: true})
		var text strings.Builder
		if err := WriteSimulated(&text, rec, spec); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(text.String(), "\n1.00, 5, 5,") {
			t.Errorf("latency %g: no 5 V at 1 s:\n%.900s", latency, text.String())
		}
		log, err := Read("x.csv", strings.NewReader(text.String()), Settings{})
		if err != nil {
			t.Fatal(err)
		}
		said := Describe(log)
		if said.Latency == nil {
			t.Fatalf("latency %g: none found, %s", latency, said.Why)
		}
		late[i] = said.Latency.Seconds
	}
	if found := late[1] - late[0]; math.Abs(found-0.06) > 0.005 {
		t.Errorf("60 ms more of latency are found as %.1f ms", found*1000)
	}
}

// A simulated log is read back: it has the sensors' readings, not the truth, and the volts that were given.
func TestASimulatedLogIsReadBack(t *testing.T) {
	rec, hauler := rolling(t)
	var out strings.Builder
	if err := WriteSimulated(&out, rec, hauler); err != nil {
		t.Fatal(err)
	}
	l, err := Read("roll.csv", strings.NewReader(out.String()), Settings{})
	if err != nil {
		t.Fatalf("%v\n%.600s", err, out.String())
	}
	if len(l.Time) != len(rec.Samples)-1 || len(l.Unused) > 0 {
		t.Fatalf("%d rows of %d samples, unused %q", len(l.Time), len(rec.Samples), l.Unused)
	}
	lift := -1
	for i, part := range hauler.Parts {
		if part.Lift != nil {
			lift = i
		}
	}
	column := func(name, si string) []float64 {
		c := l.Column(Quantity{name, si})
		if c == nil {
			t.Fatalf("no column %s", name)
		}
		return c.Values
	}
	given := map[float64]int{}
	left, travel, heading := column("left", "V"), column("left travel", "m"), column("heading", "rad")
	lifted, angle := column("lift", "V"), column("lift", "rad")
	off := 0.0
	for i := range l.Time {
		now := rec.Samples[i].Robots[0]
		given[left[i]]++
		off = math.Max(off, math.Abs(heading[i]-now.True[2]))
		for k, s := range hauler.Sensors {
			switch {
			case s.Name == "left_encoder" && math.Abs(travel[i]-now.Sensors[k]) > 1e-6,
				s.Name == "inertial" && math.Abs(heading[i]-now.Sensors[k]) > 1e-5,
				s.Name == "lift_angle" && math.Abs(angle[i]-now.Sensors[k]) > 1e-5:
				t.Fatalf("row %d: %s is not as the sensor reads", i, s.Name)
			}
		}
		if want := rec.Samples[i+1].Robots[0].Parts[lift].Volts; math.Abs(lifted[i]-want) > 0.001 {
			t.Fatalf("row %d: lift %g V, want %g", i, lifted[i], want)
		}
	}
	if len(given) != 3 || given[5] < 39 || given[5] > 41 || given[-4] < 29 || given[-4] > 31 {
		t.Errorf("left volts, each with its rows: %v, want 5 V for 0.8 s, -4 V for 0.6 s, else 0", given)
	}
	if off < 1e-4 {
		t.Errorf("the heading is within %g rad of the truth all the time: no sensor is so good", off)
	}
	if d := Describe(l); len(d.Suspicious) > 0 || d.Rate != 50 {
		t.Errorf("%+v", d)
	}
}

// Wheels of unequal size turn alike at the same volts off the floor's friction: the log's travel, made of turns with
// one radius, is then alike too, and the heading tells of the difference.
func TestASimulatedLogHasOneRadius(t *testing.T) {
	rec, spec := played(t, `wait(1); bot.drive:volts(5, 5); wait(1.5); bot.drive:stop(); wait(0.5)`,
		func(r *robot.Robot) {
			for i := range r.Wheels {
				r.Wheels[i].Radius *= 1 + 0.02*(float64(r.Wheels[i].Train)-0.5)
			}
		}, rehearse.Setup{Nominal: true})
	var text strings.Builder
	if err := WriteSimulated(&text, rec, spec); err != nil {
		t.Fatal(err)
	}
	log, err := Read("x.csv", strings.NewReader(text.String()), Settings{})
	if err != nil {
		t.Fatal(err)
	}
	var end, rolled [2]float64
	for side := range 2 {
		travel := log.Column(Travel[side]).Values
		end[side] = travel[len(travel)-1]
		for _, s := range rec.Samples {
			rolled[side] += s.Robots[0].Wheels[side] * record.SamplePeriod / spec.Radius(robot.Train(side)) * spec.MeanRadius()
		}
		if math.Abs(end[side]-rolled[side]) > 0.003 {
			t.Errorf("%v travel of %.4f m, and its turns with the mean radius come to %.4f m", robot.Train(side), end[side],
				rolled[side])
		}
	}
}

// A robot without sensors logs its volts, and no column twice.
func TestASimulatedLogHasNoColumnTwice(t *testing.T) {
	spec := &robot.Robot{Parts: []robot.Part{{Name: "left", Lift: &robot.Lift{}}, {Name: "arm", Lift: &robot.Lift{}}},
		Sensors: []robot.Sensor{{Rotation: &robot.RotationSensor{On: 1}}, {Bumper: &robot.BumperSensor{}},
			{Rotation: &robot.RotationSensor{On: 1}}}}
	var headers []string
	for _, s := range signalsOf(spec) {
		headers = append(headers, s.header)
	}
	if got, want := strings.Join(headers, "|"), "left V|right V|arm deg|battery V|arm V"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
