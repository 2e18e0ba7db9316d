package scripting

import (
	"slices"
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// kinds are the kinds and texts of the events, for comparing.
func (s *stage) story() []string {
	list := []string{}
	for _, e := range s.events {
		list = append(list, string(e.Kind)+" "+e.What)
	}
	return list
}

// The routine of DESIGN section 6, on the fake robot.
func TestTheDesignsExampleRuns(t *testing.T) {
	s := rehearse(t, `
    local turn = param("turn_gain", 0.11, 0.02, 0.4)
    bot.intake:run(11)
    local r = bot.drive:ahead(720, {speed = 900})
    if not r.ok then note("short by " .. r.left) end
    task(function() await(function() return bot.sense.chute:sees() end, 1.5); bot.conveyor:hold() end)
    bot.drive:trace({{900, 1200}, {1500, 1500}, {2100, 1400}}, {speed = 1400})
    bot.clamp:shut()
    bot.lift:to("rack")`)
	want := []string{"task auto", "motion ahead", string(record.MotionEnd) + " ahead", "motion trace", "task task",
		"task end task", string(record.MotionEnd) + " trace", "task end auto"}
	if !slices.Equal(s.story(), want) {
		t.Errorf("got %q, want %q", s.story(), want)
	}
	commands := []doneCommand{{0, robot.Command{Verb: robot.Volts, Value: 11}}, {1, robot.Command{Verb: robot.Hold}},
		{2, robot.Command{Verb: robot.Shut}}, {5, robot.Command{Verb: robot.Target, Value: 1.2}}}
	if !slices.Equal(s.robot.done, commands) {
		t.Errorf("the mechanisms were told %v, want %v", s.robot.done, commands)
	}
	if end := s.robot.pose; end.X < 2.09 || end.X > 2.11 || end.Y < 1.39 || end.Y > 1.41 {
		t.Errorf("the robot ends at %v, want near (2.1, 1.4)", end)
	}
	if e := s.events[1]; e.File != "routine.lua" || e.Line != 4 || e.Kind != record.MotionStart {
		t.Errorf("the first motion is stamped %s:%d", e.File, e.Line)
	}
}
