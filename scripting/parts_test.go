package scripting

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Each method of each mechanism reaches the machine as its command.
func TestMechanismsAreCommanded(t *testing.T) {
	for body, want := range map[string]doneCommand{
		`bot.intake:run(11)`:     {0, robot.Command{Verb: robot.Volts, Value: 11}},
		`bot.intake:stop()`:      {0, robot.Command{Verb: robot.Volts}},
		`bot.conveyor:run(-6)`:   {1, robot.Command{Verb: robot.Volts, Value: -6}},
		`bot.conveyor:stop()`:    {1, robot.Command{Verb: robot.Volts}},
		`bot.conveyor:hold()`:    {1, robot.Command{Verb: robot.Hold}},
		`bot.clamp:shut()`:       {2, robot.Command{Verb: robot.Shut}},
		`bot.clamp:open()`:       {2, robot.Command{Verb: robot.Open}},
		`bot.claw:out()`:         {4, robot.Command{Verb: robot.Deploy}},
		`bot.claw:back()`:        {4, robot.Command{Verb: robot.Stow}},
		`bot.claw:grab()`:        {4, robot.Command{Verb: robot.Shut}},
		`bot.claw:drop()`:        {4, robot.Command{Verb: robot.Open}},
		`bot.claw:place()`:       {4, robot.Command{Verb: robot.Place}},
		`bot.claw:give()`:        {4, robot.Command{Verb: robot.Give}},
		`bot.lift:to("rack")`:    {5, robot.Command{Verb: robot.Target, Value: 1.2}},
		`bot.lift:to(90)`:        {5, robot.Command{Verb: robot.Target, Value: 90 * deg}},
		`bot.lift:volts(3)`:      {5, robot.Command{Verb: robot.Volts, Value: 3}},
		`bot.lift:stop()`:        {5, robot.Command{Verb: robot.Volts}},
		`bot.lift:hold()`:        {5, robot.Command{Verb: robot.Hold}},
		`bot.mast:to("high")`:    {6, robot.Command{Verb: robot.Target, Value: 0.5}},
		`bot.mast:to(250)`:       {6, robot.Command{Verb: robot.Target, Value: 0.25}},
		`bot.gate:open()`:        {7, robot.Command{Verb: robot.Open}},
		`bot.gate:shut()`:        {7, robot.Command{Verb: robot.Shut}},
		`bot.lift:reach("rack")`: {5, robot.Command{Verb: robot.Target, Value: 1.2}},
	} {
		s := rehearse(t, body)
		if !slices.Equal(s.robot.done, []doneCommand{want}) || s.failure() != "" {
			t.Errorf("%s: told %v, want %v %s", body, s.robot.done, want, s.failure())
		}
	}
}

func TestMechanismsTellTheirState(t *testing.T) {
	s := stageOf(t, load(t, auto(`
    local function say(...)
      local line = "" for i = 1, select("#", ...) do line = line .. tostring((select(i, ...))) .. " " end note(line)
    end
    say(bot.intake:speed(), bot.intake:amps(), bot.intake:heat(), bot.intake:stalled())
    say(bot.conveyor:count(), bot.conveyor:holding(), bot.conveyor:jammed(), bot.conveyor:moving(),
      bot.conveyor:speed(), bot.conveyor:amps())
    say(bot.clamp:holding(), bot.clamp:is_shut(), bot.clamp:moving())
    say(bot.scorer:scored(), bot.scorer:jammed())
    say(bot.claw:holding(), bot.claw:is_out(), bot.claw:is_shut(), bot.claw:moving(), bot.claw:count())
    say(string.format("%.0f", bot.lift:angle()), bot.lift:moving(), bot.lift:stalled(), bot.lift:amps(),
      bot.lift:at("rack"), bot.lift:at("down"), bot.lift:at(), bot.lift:at(0))
    say(bot.mast:height(), bot.mast:at("high"))
    say(bot.gate:is_open(), bot.gate:moving(), bot.gate:thrown(), bot.gate:jammed())`)), Env{})
	s.robot.status = []robot.Status{
		{Value: 0.8, Amps: 2, Heat: 0.5, Stalled: true}, {Count: 3, Holding: true, Jammed: true, Moving: true, Value: 0.5,
			Amps: 1.5}, {Holding: true, Shut: true},
		{Scored: 4, Jammed: true}, {Holding: true, Out: true, Shut: true, Count: 1}, {Value: 1.2, Target: 1.2, Amps: 3},
		{Value: 0.25, Target: 0.5}, {Out: true, Count: 2, Jammed: true},
	}
	s.play(Auto, 1)
	want := []string{"800 2 0.5 true ", "3 true true true 500 1.5 ", "true true false ", "4 true ",
		"true true true false 1 ", "69 false false 3 true false true false ", "250 true ",
		"true false 2 true "}
	if !slices.Equal(s.notes(), want) || s.failure() != "" {
		t.Errorf("noted %q\nwant  %q %s", s.notes(), want, s.failure())
	}
}

// Of a lift only what its form answers is listed.
func TestOnlyCallsThatAreAnsweredAreListed(t *testing.T) {
	var forms []string
	for _, c := range Calls(&robot.Robot{Parts: fakeParts}) {
		forms = append(forms, c.Form)
	}
	for form, want := range map[string]bool{"bot.lift:angle()": true, "bot.lift:height()": false,
		"bot.mast:height()": true, "bot.mast:angle()": false, "bot.mast:amps()": true, "bot.clamp:moving()": true} {
		if slices.Contains(forms, form) != want {
			t.Errorf("%s listed: %v, want %v, in %q", form, !want, want, forms)
		}
	}
}

func TestSensorsReadInLuasUnits(t *testing.T) {
	noted(t, `
    local s = bot.sense
    note(s.left_wheel:mm() .. " " .. s.along:read() .. " " .. s.front:mm() .. " " .. s.mast_height:angle())
    note(string.format("%.3f %.3f", s.gyro:heading(), s.tilt:angle()))
    note(tostring(s.chute:sees()) .. s.chute:read() .. tostring(s.edge:pressed()) .. s.edge:read())`,
		"250 500 750 300", "57.296 28.648", "true1false0")
}

// An optical sensor that tells: kind and side, nil for none.
func TestAnOpticalSensorTellsKindAndSide(t *testing.T) {
	for _, c := range []struct {
		reading float64
		side    string
		twins   [2]string
		want    string
	}{{1, "ochre", [2]string{}, "core ochre"}, {1, "", [2]string{}, "core nil"}, {0, "", [2]string{}, "nil nil"},
		{1, "ochre", [2]string{"ochre", "teal"}, "core teal"}, {1, "", [2]string{"ochre", "teal"}, "core nil"}} {
		s := stageOf(t, load(t, auto(`
      note(tostring(bot.sense.eye:kind()) .. " " .. tostring(bot.sense.eye:side()))`)), Env{Twins: c.twins})
		s.robot.readings[8], s.robot.side = c.reading, c.side
		s.play(Auto, 1)
		if got := s.notes(); !slices.Equal(got, []string{c.want}) || s.failure() != "" {
			t.Errorf("%+v: noted %q %s", c, got, s.failure())
		}
	}
}

// What a mark sensor sees is in the routine's units and coordinates, nearest first; in a mirror bearings change sides
// as headings do.
func TestAMarkSensorTellsRangeAndBearing(t *testing.T) {
	p := load(t, auto(`
    note(bot.sense.tape:share() .. " " .. bot.sense.camera:count())
    for _, m in ipairs(bot.sense.camera:seen()) do
      note(string.format("%s %.0f %.1f (%.0f, %.0f)", m.name, m.range, m.bearing, m.x, m.y))
    end
    local range, bearing = bot.sense.camera:see("far post")
    note(string.format("%.0f %.1f", range, bearing))
    note(tostring(bot.sense.camera:see("hidden post")))`))
	marks := []Mark{{"far post", geom.Vec{X: 3}}, {"hidden post", geom.Vec{X: 1}}, {"near post", geom.Vec{X: 2, Y: 1}}}
	for kind, want := range map[geom.SymmetryKind][]string{
		geom.NoSymmetry: {"0.25 2", "near post 1000 -10.0 (2000, 1000)", "far post 2000 30.0 (3000, 0)", "2000 30.0",
			"nil"},
		geom.MirrorX: {"0.25 2", "near post 1000 10.0 (2000, 1000)", "far post 2000 -30.0 (3000, 0)", "2000 -30.0",
			"nil"},
	} {
		s := stageOf(t, p, Env{Marks: marks, Frame: geom.Symmetry{Kind: kind}})
		s.robot.sights = []robot.Sight{{Range: 2, Bearing: 30 * deg}, {}, {Range: 1, Bearing: -10 * deg}}
		s.play(Auto, 1)
		if !slices.Equal(s.notes(), want) || s.failure() != "" {
			t.Errorf("kind %d: noted %q\nwant  %q %s", kind, s.notes(), want, s.failure())
		}
	}
	for call, wants := range map[string]string{`see("far pots")`: `the field has no mark "far pots": write "far post"`,
		"see()": "the mark's name must be a text, not nil"} {
		s := stageOf(t, load(t, auto("bot.sense.camera:"+call)), Env{Marks: marks})
		s.play(Auto, 1)
		if !strings.Contains(s.failure(), wants) {
			t.Errorf("%s: %s, want %s", call, s.failure(), wants)
		}
	}
	s := stageOf(t, load(t, auto(`bot.sense.camera:see("post")`)), Env{})
	s.play(Auto, 1)
	if !strings.Contains(s.failure(), "the field has no marks: write [[marks]] into its file") {
		t.Error(s.failure())
	}
}

// reach waits until the lift is there; to does not.
func TestReachWaitsForTheLift(t *testing.T) {
	noted(t, `
    bot.lift:to("rack")
    note(clock())
    local r = bot.lift:reach("rack")
    note(r.why .. string.format(" %.2f", clock()) .. " " .. tostring(math.abs(r.left) < 0.1))
    r = bot.lift:reach("down", 0.1)
    note(r.why .. string.format(" %.2f", r.took) .. " " .. tostring(r.ok) .. " " .. tostring(r.left < -40))
    task(function() wait(0.1) bot.lift:to("rack") end)
    note(bot.lift:reach("down").why)`,
		"0", "arrived 0.40 true", "timeout 0.10 false true", "cancelled")
}

func TestReachTellsOfAStall(t *testing.T) {
	s := stageOf(t, load(t, auto(`note(bot.lift:reach("rack").why)`)), Env{})
	s.robot.status[5].Stalled = true
	s.play(Auto, 1)
	if !slices.Equal(s.notes(), []string{"stalled"}) {
		t.Errorf("noted %q", s.notes())
	}
}

func TestControllersWork(t *testing.T) {
	noted(t, `
    local c = pid{p = 2, i = 1, d = 0.5, low = -10, high = 10}
    note(string.format("%.3f", c:update(3, 1)))
    local p, i, d = c:terms()
    note(string.format("%g %g %g", p, i, d))
    wait(0.1)
    note(string.format("%.3f", c:update(3, 2)))
    note(string.format("%.3f", c:update(30, 2, 0.01)))
    c:reset()
    note(string.format("%.3f", c:update(1, 1, 0.01)))
    local f = profile{distance = 2000, speed = 1200, accel = 2500}
    note(string.format("%.6f", f:seconds()))
    note(string.format("%.1f %.1f %.1f", f:at(0.2)))
    local s = slew{rise = 10}
    note(string.format("%.2f %.2f", s:update(5, 0.1), s:value()))
    s = slew{rise = 10, fall = 100, start = 5}
    note(string.format("%.2f", s:update(0, 0.1)))`,
		"4.020", "4 0.02 0", "-2.880", "10.000", "0.000",
		"2.146667", // trapezoid: d/v + v/a (Lynch & Park 9.2)
		"50.0 500.0 2500.0", "1.00 1.00", "0.00")
}

func TestPartsMustNotHideTheBotsOwnNames(t *testing.T) {
	p := load(t, auto(``))
	_, err := p.NewHost(&renamed{fake: newFake(), name: "drive"}, Env{})
	if err == nil || err.Error() != `routine.lua: the robot calls a mechanism "drive", which is taken in a routine `+
		`(drive, sense, where, here, battery, air): give it another name in the robot file` {
		t.Errorf("got %v", err)
	}
}

// renamed is a fake whose intake has another name.
type renamed struct {
	*fake
	name string
}

func (r *renamed) Parts() []robot.Part { return []robot.Part{{Name: r.name, Kind: "intake"}} }
