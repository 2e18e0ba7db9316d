package rehearse

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// trial rehearses a routine's body on Core Haul with the hauler, tuned.
func trial(t *testing.T, heading int, body string, tune func(*robot.Robot)) *record.Record {
	t.Helper()
	source := fmt.Sprintf("return routine { start = {x = 600, y = 450, heading = %d}, auto = function(bot)\n%s\nend }",
		heading, body)
	program, err1 := scripting.LoadFS(fstest.MapFS{"routine.lua": {Data: []byte(source)}}, "routine.lua")
	robot, err2 := robot.OpenEmbedded("hauler")
	field, err3 := fields.Find("core_haul")
	if err1 != nil || err2 != nil || err3 != nil {
		t.Fatal(err1, err2, err3)
	}
	tune(robot)
	entrants := []Entrant{{Robot: robot, Routine: program}}
	rec, err := Run(context.Background(), Setup{Field: field, Nominal: true, Entrants: entrants})
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// said lists the texts of a kind of event of which a part is.
func said(r *record.Record, kind record.Kind, part string) string {
	var texts []string
	for _, e := range r.Events {
		if e.Kind == kind && strings.Contains(e.What+" "+e.Sentence(units.Metric), part) {
			texts = append(texts, e.Sentence(units.Metric))
		}
	}
	return strings.Join(texts, "\n")
}

// A core of 70 mm radius: whether the world lets it off a conveyor, and into a mouth, is what the warning says.
func TestTheWorldAgreesWithTheWarnings(t *testing.T) {
	for _, mm := range []float64{-20, 0, 30, 50, 62, 75, 90} { // from the hull; at 65 to 70 contacts decide
		at := func(r *robot.Robot) float64 { return r.Chassis.Length/2 + mm/1000 }
		back := trial(t, 180, "bot.conveyor:run(-10) wait(2)", func(r *robot.Robot) {
			part(r, "conveyor").Conveyor.Exit.X = at(r)
		})
		warned, stuck := said(back, record.Warning, "run backwards"), said(back, record.Jammed, "no room to leave")
		if (warned != "") != (stuck != "") {
			t.Errorf("exit %.0f mm from the hull: warned %q, jammed %q", mm, warned, stuck)
		}
		ahead := trial(t, 0, "bot.intake:run(11) bot.drive:ahead(250, {timeout = 3})", func(r *robot.Robot) {
			part(r, "intake").Intake.Mouth = geom.Rect(geom.Vec{X: 0.1, Y: -0.12}, geom.Vec{X: at(r), Y: 0.12})
		})
		warned, caught := said(ahead, record.Warning, "into its mouth"), said(ahead, record.Pickup, "by intake")
		if (warned != "") == (caught != "") {
			t.Errorf("mouth up to %.0f mm from the hull: warned %q, caught %q", mm, warned, caught)
		}
	}
}

// A drive whose motors are said to be too weak stands; one that needs a little less sets off.
func TestTheWorldAgreesOnWhatTheMotorsTurn(t *testing.T) {
	for _, c := range []struct {
		name   string
		tune   func(*robot.Robot)
		factor float64 // of the drag that they can just not set off
		weak   bool
	}{
		{"less drag", func(*robot.Robot) {}, 0.95, false},
		{"more drag", func(*robot.Robot) {}, 1.02, true},
		{"less drag at a current limit", func(r *robot.Robot) { r.Motors[r.Drive.Motor].Limit = 1.5 }, 0.95, false},
		{"more drag at a current limit", func(r *robot.Robot) { r.Motors[r.Drive.Motor].Limit = 1.5 }, 1.02, true},
	} {
		moved := 0.0
		rec := trial(t, 0, "bot.drive:volts(12.6, 12.6) wait(2)", func(r *robot.Robot) {
			c.tune(r)
			needs, gives := r.SetsOff()
			r.Drive.Drag = c.factor * (r.Drive.Drag + (gives-needs)/r.Drive.Breakaway)
		})
		for _, s := range rec.Samples {
			moved = s.Robots[0].True[0] - 0.6
		}
		if weak := said(rec, record.Warning, "cannot turn its wheels") != ""; weak != c.weak || (moved < 0.01) != c.weak {
			t.Errorf("%s: warned %v, moved %.3f m", c.name, weak, moved)
		}
	}
}

func part(r *robot.Robot, name string) *robot.Part {
	for i := range r.Parts {
		if r.Parts[i].Name == name {
			return &r.Parts[i]
		}
	}
	panic("no part " + name)
}

// A robot is warned of at the beginning, a call at its line and once, in both frames, and never for what has an effect.
func TestCallsAreWarnedOfOnce(t *testing.T) {
	rec := trial(t, 0, `for i = 1, 3 do bot.intake:run(24) end
bot.conveyor:run(-12)
bot.drive:visit(4300, 450, {timeout = 0.1})
bot.drive:visit(4100, 450, {timeout = 0.1})
bot.drive:dock(600, -10, 90, {timeout = 0.1})
bot.drive:trace({{700, 500}, {900, 3100}}, {timeout = 0.1})
bot.drive:face({9000, 0}, {timeout = 0.1})
bot.drive:volts(13, 13)
bot.lift:volts(-20)`, func(*robot.Robot) {})
	var got []string
	for _, e := range rec.Events {
		if e.Kind == record.Warning {
			got = append(got, fmt.Sprintf("%d %s", e.Line-1, e.Text))
		}
	}
	want := []string{
		"1 bot.intake:run: 24 V are more than the charged battery has",
		"3 bot.drive:visit: (4300, 450) is off the field",
		"5 bot.drive:dock: (600, -10) is off the field",
		"6 bot.drive:trace: (900, 3100) is off the field",
		"8 bot.drive:volts: 13 V are more than the charged battery has",
		"9 bot.lift:volts: 20 V are more than the charged battery has",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("warned of\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// No embedded routine is warned of, whichever phase it plays.
func TestEmbeddedRoutinesAreWarnedOfNothing(t *testing.T) {
	for _, name := range assets.RoutineNames() {
		program, err := scripting.LoadFS(assets.Routines, name+".lua")
		fieldName, robotName := assets.RoutineHome(name)
		field, err1 := fields.Find(fieldName)
		robot, err2 := robot.OpenEmbedded(robotName)
		if err != nil || err1 != nil || err2 != nil {
			t.Fatal(err, err1, err2)
		}
		for _, side := range field.Sides {
			entrants := []Entrant{{Robot: robot, Routine: program, Side: side.Name}}
			rec, err := Run(context.Background(), Setup{Field: field, Nominal: true, Entrants: entrants})
			if err != nil {
				t.Fatal(err)
			}
			if text := said(rec, record.Warning, ""); text != "" || len(rec.Samples) < 100 {
				t.Errorf("%s for %s: %s", name, side.Name, text)
			}
		}
	}
}
