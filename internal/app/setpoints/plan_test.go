package setpoints

import (
	"bytes"
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// planned is the table of an embedded routine, or of a text for the hauler on Core Haul.
func planned(t *testing.T, routine, text string, period float64) *Table {
	t.Helper()
	setup := setupOf(t, routine, text)
	plan, err := NewPlan(setup, period)
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.RunWatched(context.Background(), setup, plan.Watch)
	if err != nil {
		t.Fatal(err)
	}
	table, err := plan.Table(rec)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func setupOf(t *testing.T, routine, text string) rehearse.Setup {
	t.Helper()
	home, of := "core_haul", "hauler"
	program, err := scripting.LoadTexts("own.lua", map[string]string{"own.lua": text})
	if text == "" {
		home, of = assets.RoutineHome(routine)
		program, err = scripting.LoadFS(assets.Routines, routine+".lua")
	}
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.OpenEmbedded(home)
	if err != nil {
		t.Fatal(err)
	}
	spec, err := robot.Find(of)
	if err != nil {
		t.Fatal(err)
	}
	return rehearse.Setup{Field: field, Nominal: true, Seed: 1,
		Entrants: []rehearse.Entrant{{Robot: spec, Routine: program}}}
}

// A table is read back from CSV and JSON as it was written, and written again in the same bytes. Two rehearsals give
// the same bytes.
func TestATableIsReadBack(t *testing.T) {
	for _, name := range assets.RoutineNames() {
		table := planned(t, name, "", UsualPeriod)
		again := planned(t, name, "", UsualPeriod)
		for form, write := range map[string]func(*Table, *bytes.Buffer) error{
			".csv":  func(t *Table, w *bytes.Buffer) error { return t.WriteCSV(w) },
			".json": func(t *Table, w *bytes.Buffer) error { return t.WriteJSON(w) },
			".h":    func(t *Table, w *bytes.Buffer) error { return t.WriteHeader(w, "plan.h") },
		} {
			var first, second, third bytes.Buffer
			if err := write(table, &first); err != nil {
				t.Fatal(err)
			}
			if made, is := OriginOf(first.Bytes()); !is || !made.Same(table.Made) {
				t.Errorf("%s%s: it came from %+v", name, form, made)
			}
			if err := write(again, &second); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
				t.Errorf("%s%s: two rehearsals give two files, %v", name, form, err)
			}
			if form == ".h" {
				continue
			}
			read, err := Parse(form == ".json", first.Bytes())
			if err != nil || !reflect.DeepEqual(read, table) {
				t.Fatalf("%s%s is not read back as it was: %v", name, form, err)
			}
			if err := write(read, &third); err != nil || !bytes.Equal(first.Bytes(), third.Bytes()) {
				t.Errorf("%s%s is written again in other bytes, %v", name, form, err)
			}
		}
	}
}

// The columns agree with each other by what is known of a base with two sides: its speeds are those by which its pose
// changes, v = dx cos + dy sin (Lynch & Park, Modern Robotics, 2017, 13.3), its wheels have v - w b/2 and v + w b/2,
// and its volts are those of the model, V = kS sign(v) + kV v + kA dv/dt (feed-forward of a permanent-magnet motor;
// common practice). The accelerations are those by which the table's own speeds change.
func TestTheColumnsAgree(t *testing.T) {
	table := planned(t, "core_haul_demo", "", 0.01)
	compared := 0
	for i := 1; i+1 < len(table.Rows); i++ {
		before, r, after := &table.Rows[i-1], &table.Rows[i], &table.Rows[i+1]
		follows := before.Mode == Follow && r.Mode == Follow && after.Mode == Follow
		if !follows || before.Step != r.Step || after.Step != r.Step || r.Step == 0 {
			continue
		}
		compared++
		law := table.Steps[r.Step].Law
		dt := after.Time - before.Time
		ahead := geom.Unit(r.Heading * deg)
		v := ((after.X-before.X)*ahead.X + (after.Y-before.Y)*ahead.Y) / dt
		w := (after.Heading - before.Heading) / dt
		if math.Abs(v-r.Speed) > 25 || math.Abs(w-r.Turning) > 15 { // between two nodes of a plan speeds have kinks
			t.Errorf("%.2f s: moves by %.1f mm/s and %.1f deg/s, and says %.1f and %.1f", r.Time, v, w, r.Speed, r.Turning)
		}
		half := r.Turning * deg * law.Track / 2 * 1000
		if math.Abs(r.Speed-half-r.LeftSpeed) > 0.02 || math.Abs(r.Speed+half-r.RightSpeed) > 0.02 {
			t.Errorf("%.2f s: wheels at %.2f and %.2f mm/s", r.Time, r.LeftSpeed, r.RightSpeed)
		}
		accel := (after.Speed - before.Speed) / 1000 / dt
		if turns := math.Abs(r.Turning) > 1; turns || math.Abs(r.Speed) < 30 || math.Abs(accel) < 1e-3 {
			continue
		}
		want := math.Copysign(law.KS, r.Speed) + law.KV*r.Speed/1000 + law.KA*accel
		step := law.KA * math.Abs((after.Speed-r.Speed)-(r.Speed-before.Speed)) / 1000 / (dt / 2)
		if off := math.Abs((r.LeftVolts+r.RightVolts)/2 - want); off > 0.25+step {
			t.Errorf("%.2f s: %.2f V, the model says %.2f V", r.Time, (r.LeftVolts+r.RightVolts)/2, want)
		}
	}
	if compared < 300 {
		t.Errorf("%d rows compared", compared)
	}
}

// Commands stand in the row in which they are due, waits with the line of their condition, volts without a motion with
// the way that the robot went.
func TestWhatARoutineDoesBesideMotions(t *testing.T) {
	table := planned(t, "", `return routine { side = "ochre", start = {x = 600, y = 450, heading = 0},
auto = function(bot)
  bot.intake:run(11)
  bot.drive:rest("coast")
  wait(0.1)
  bot.intake:run(11)
  bot.lift:to("rack")
  await(function()
    return clock() > 0.3 end)
  bot.drive:volts(2, 4)
  while bot.where().x < 700 do
    wait()
  end
  bot.drive:stop()
  bot.here(710, 470, 10)
  bot.intake:stop()
  bot.lift:reach("floor", 1)
end }`, UsualPeriod)
	var said []string
	waits, drove := map[int]bool{}, 0
	for i := range table.Rows {
		r := &table.Rows[i]
		if len(r.Do) > 0 {
			said = append(said, doText(r.Do))
		}
		waits[r.Waits] = true
		if r.Mode == Follow {
			drove++
			if r.Step != 0 || r.LeftVolts != 2 || r.RightVolts != 4 {
				t.Errorf("%.2f s: %+v", r.Time, r)
			}
		}
	}
	if got, want := strings.Join(said, " | "), "intake.run 11; drive.rest coast | lift.to 55 | here 710 470 10; "+
		"intake.stop; lift.to -25"; got != want {
		t.Errorf("it is told %q, want %q", got, want)
	}
	if drove < 10 || !reflect.DeepEqual(waits, map[int]bool{0: true, 8: true, 11: true, 17: true}) {
		t.Errorf("%d rows drive, waits at lines %v", drove, waits)
	}
}

// A routine that fails, that has no autonomous phase, or whose table would be of no use, is refused in words.
func TestRefusedPlans(t *testing.T) {
	for want, text := range map[string]string{
		"no setpoints are written of a routine that fails": `return routine { start = {x = 600, y = 450, heading = 0},
			auto = function(bot) wait(0.1) error("no") end }`,
		"there is no autonomous routine": `return routine { start = {x = 600, y = 450, heading = 0},
			driver = function(bot, pad) end }`,
	} {
		setup := setupOf(t, "", text)
		plan, err := NewPlan(setup, UsualPeriod)
		if err == nil {
			rec, wrong := rehearse.RunWatched(context.Background(), setup, plan.Watch)
			if wrong != nil {
				t.Fatal(wrong)
			}
			_, err = plan.Table(rec)
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	for _, period := range []float64{0.015, 0, 0.6, 1e-9} {
		if _, err := NewPlan(setupOf(t, "core_haul_demo", ""), period); err == nil {
			t.Errorf("a period of %v s is taken", period)
		}
	}
}
