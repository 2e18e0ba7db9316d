package viewmodel

import (
	"strings"
	"testing"

	"chalkfield/scripting"
)

// driver is a routine with a driver function of these lines, which begin at line 6.
func driver(lines string) string {
	return "return routine {\n  title = \"test\",\n  start = {x = 600, y = 1000, heading = 0},\n  auto = function(bot) " +
		"wait(0.1) end,\n" +
		"  driver = function(bot, pad)\n" + lines + "\n  end,\n}\n"
}

const loop = "while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end"

// An error of the routine is told at once in a drive, at its line, and again when the drive is looked at.
func TestARoutinesErrorIsToldDuringADrive(t *testing.T) {
	for _, c := range []struct {
		name, routine string
		nominal       bool // without it the driver function begins after a drawn reaction time
		line          int
		notice, card  string
	}{
		{"a macro", driver("pad:bind(\"b\", function(bot) error(\"boom\") end)\n" + loop), true, 6,
			"mine.lua:6: boom", "The macro of button b failed at line 6 of mine.lua: boom"},
		{"the loop", driver("wait(0.05)\nerror(\"boom\")"), true, 7, "mine.lua:7: boom",
			"The driver function failed at line 7 of mine.lua: boom"},
		{"a task", driver("task(function() wait(0.05) error(\"boom\") end)\n" + loop), true, 6, "mine.lua:6: boom",
			"A task failed at line 6 of mine.lua: boom"},
		{"no wait, at once", driver("while true do local a = 1 end"), true, 6, "without a wait",
			"The driver function failed at line 6"},
		{"no wait, slow to react", driver("while true do local a = 1 end"), false, 6, "without a wait",
			"The driver function failed at line 6"},
	} {
		d, disk := opened(t)
		disk.routine = c.routine
		d.Reload()
		finish(t, d)
		d.Setup.Nominal, d.Setup.Seed = c.nominal, 1
		driveFor(t, d, 30, scripting.PadState{LeftY: 0.5, Buttons: []string{"b"}})
		told := func(when string) {
			if d.Fault == nil || d.Fault.Line != c.line || !d.Fault.In("mine.lua") || !d.Notice.Bad ||
				!strings.Contains(d.Notice.Text, c.notice) {
				t.Errorf("%s, %s: fault %+v, notice %+v", c.name, when, d.Fault, d.Notice)
			}
		}
		told("driving")
		if !d.Driving() || !strings.Contains(d.Notice.Text, "Esc ends the drive") {
			t.Errorf("%s: driving %v, notice %q", c.name, d.Driving(), d.Notice.Text)
		}
		d.EndDrive()
		told("afterwards")
		failed := d.Driven.Failures(0)
		if len(failed) != 1 || !strings.HasPrefix(FailureWords(failed[0]), c.card) {
			t.Errorf("%s: %+v", c.name, failed)
		}
		d.Rehearse()
		finish(t, d)
		if d.Fault != nil {
			t.Errorf("%s: the rehearsal of a sound autonomous phase has the drive's fault: %+v", c.name, d.Fault)
		}
		d.ShowDriven()
		told("looked at")
		disk.routine = "\n" + c.routine
		d.Read()
		d.ShowDriven()
		if d.Fault == nil || d.Fault.Line != 0 {
			t.Errorf("%s: the fault stands at a line of another text: %+v", c.name, d.Fault)
		}
	}
}

// A drive given up before its first move tells why nothing would have moved, and leaves no fault behind.
func TestAnErrorBeforeTheFirstMoveIsTold(t *testing.T) {
	d, disk := opened(t)
	disk.routine = driver("error(\"boom\")")
	d.Reload()
	finish(t, d)
	driveFor(t, d, 0, scripting.PadState{})
	if d.Fault == nil || d.Fault.Line != 6 || !d.Notice.Bad {
		t.Errorf("fault %+v, notice %+v", d.Fault, d.Notice)
	}
	if d.EndDrive() || d.Fault != nil || !d.Notice.Bad || !strings.Contains(d.Notice.Text, "boom") {
		t.Errorf("fault %+v, notice %+v", d.Fault, d.Notice)
	}
}

// Sticks that nothing reads are told of: a driver function without a loop is over at once.
func TestADriverFunctionThatEndsIsTold(t *testing.T) {
	for _, c := range []struct {
		lines string
		ends  bool
	}{{`pad:bind("b", function(bot) note("macro") end)`, true}, {loop, false}} {
		d, disk := opened(t)
		disk.routine = driver(c.lines)
		d.Reload()
		finish(t, d)
		driveFor(t, d, 5, ahead)
		if got := d.Notice.Bad && strings.Contains(d.Notice.Text, "come to its end"); got != c.ends || d.Fault != nil {
			t.Errorf("%s: told %v, notice %+v, fault %+v", c.lines, got, d.Notice, d.Fault)
		}
	}
}

// A drive chosen while another is under way keeps that one as the last drive.
func TestASecondDriveKeepsTheFirst(t *testing.T) {
	d, _ := opened(t)
	driveFor(t, d, 60, ahead)
	first := d.Now
	driveFor(t, d, 1, ahead)
	if d.Driven != first || first.Live || !d.Driving() || d.Now == first {
		t.Errorf("kept %v, live %v, driving %v", d.Driven == first, first.Live, d.Driving())
	}
}
