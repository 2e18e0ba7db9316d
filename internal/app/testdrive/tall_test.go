package testdrive

import (
	"context"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// tall is an embedded robot whose centre of mass is so far up, m.
func tall(t *testing.T, name string, height float64) *Plan {
	t.Helper()
	spec, err := robot.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	spec.Chassis.CentreHeight = height
	p, err := Make(context.Background(), spec, Room{2.4, 1.6})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// rehearsed is the record of a written routine on the written field, with the robot as its file has it.
func (p *Plan) rehearsed(t *testing.T, routine string) *record.Record {
	t.Helper()
	program, err := scripting.LoadTexts("x.lua", map[string]string{"x.lua": routine})
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.Parse("field.toml", []byte(p.FieldFile()))
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: field, Nominal: true,
		Entrants: []rehearse.Entrant{{Robot: p.Robot, Routine: program}}})
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// tippings are the events of a routine's rehearsal.
func tippings(t *testing.T, p *Plan, routine string) (found []string) {
	t.Helper()
	rec := p.rehearsed(t, routine)
	for _, e := range rec.Events {
		if e.Kind == record.Tips {
			found = append(found, e.Brief(units.Metric))
		}
	}
	return found
}

// No drive that is written tips a tall robot, neither the file's nor one of those that go farthest; the drives of a low
// one would. What tips it at any size is left out, and told.
func TestNoDriveTipsATallRobot(t *testing.T) {
	plans, err := planned()
	if err != nil {
		t.Fatal(err)
	}
	low, high := plans[len(plans)-property.Cases(1, len(rooms))], tall(t, "hauler", 0.32)
	tips := func(d Drive) bool { return tippings(t, high, d.Routine()) != nil }
	if !slices.ContainsFunc(low.Drives, tips) {
		t.Fatal("the drives of a low robot do not tip a tall one, so this tells nothing")
	}
	for _, d := range high.Drives {
		if got := tippings(t, high, d.Routine()); got != nil {
			t.Errorf("%s: %q", d.Name, got)
		}
		ready, err := stage(&d)
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range corners()[:property.Cases(2, len(corners()))] { // the first are the strongest, on the best grip
			if got, err := ready.play(context.Background(), high.Robot, u, -1); err != nil || got.tips != "" {
				t.Errorf("%s, %+v: %s, %v", d.Name, u, got.tips, err)
			}
		}
	}
	const why = "hard_start: even its smallest table tips a rehearsed robot (tips "
	if len(high.Left) != 1 || !strings.HasPrefix(high.Left[0], why) ||
		!strings.Contains(high.Tipping(), "Tipping was looked at: with the centre of mass 320 mm up") {
		t.Errorf("left out %q; %s", high.Left, high.Tipping())
	}
	if high.Has("hard_start") || !high.Has("ramp") || high.First() != "ramp" {
		t.Errorf("left out %q, first %s", high.Left, high.First())
	}
	if said := low.Tipping(); len(low.Left) != 0 || !strings.Contains(said, "`hard_start` may be what tips it") {
		t.Errorf("%s, left out %q", said, low.Left)
	}
}

// Where even the ramps tip the robot, none of the drives that are left out is the one to begin with, and a height of
// nothing is no height.
func TestARobotThatTipsAtOnce(t *testing.T) {
	p := tall(t, "hauler", 0.7)
	if p.Has("ramp") || p.First() != "stand" || !strings.HasPrefix(p.Left[0], "ramp: ") {
		t.Errorf("begins with %s; left out %q", p.First(), p.Left)
	}
	if said := (&Plan{Robot: &robot.Robot{}}).Tipping(); !strings.Contains(said, "Tipping was not looked at") {
		t.Error(said)
	}
}

// The routine names the robot that it is made for, whatever its title has in it.
func TestTheRoutineNamesItsRobot(t *testing.T) {
	for title, want := range map[string]string{
		"Tall Tom":                    "slow ramps ahead and back, for Tall Tom",
		"Tall\n\"T\\o\u200bm\"\x00\t": `slow ramps ahead and back, for Tall "T\om"`,
	} {
		d := Drive{Robot: &robot.Robot{Title: title}, Name: "ramp", Title: "slow ramps ahead and back", Table: *baseTable()}
		p, err := scripting.LoadTexts("x.lua", map[string]string{"x.lua": d.Routine()})
		if err != nil || p.Title != want {
			t.Errorf("%q: %+v, %v", title, p, err)
		}
	}
}
