package scripting

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
)

// drive plays a driver function, its body on line 1, while buttons go down and up: presses[button] lists from-to ticks.
func driven(t *testing.T, body string, seconds float64, presses map[string][][2]int) *stage {
	t.Helper()
	s := stageOf(t, load(t, map[string]string{"routine.lua": "return routine { driver = function(bot, pad) " + body +
		"\nend }"}), Env{})
	s.pad = func(tick int) PadState {
		state := PadState{LeftX: 0.1, LeftY: 0.2, RightX: -0.3, RightY: -0.4}
		for _, button := range Buttons {
			for _, span := range presses[button] {
				if span[0] <= tick && tick < span[1] {
					state.Buttons = append(state.Buttons, button)
				}
			}
		}
		slices.Sort(state.Buttons)
		return state
	}
	s.play(Driver, seconds)
	return s
}

func TestThePadIsRead(t *testing.T) {
	s := driven(t, `
    note(pad.left_x .. " " .. pad.left_y .. " " .. pad.right_x .. " " .. pad.right_y .. " " .. pad:axis("left_y"))
    for i = 0, 5 do
      local line = i
      if pad:held("a") then line = line .. " held" end
      if pad:pressed("a") then line = line .. " pressed" end
      if pad:released("a") then line = line .. " released" end
      note(line)
      wait()
    end`, 1, map[string][][2]int{"a": {{2, 4}}})
	want := []string{"0.1 0.2 -0.3 -0.4 0.2", "0", "1", "2 held pressed", "3 held", "4 released", "5"}
	if !slices.Equal(s.notes(), want) || s.failure() != "" {
		t.Errorf("noted %q\nwant  %q %s", s.notes(), want, s.failure())
	}
}

// A macro runs beside the driver's loop; a press while it runs is ignored.
func TestMacrosRunWhileDrivingGoesOn(t *testing.T) {
	s := driven(t, `
    pad:bind("a", function(bot) note(string.format("macro %.2f", clock()))
      bot.intake:run(5) wait(0.1) bot.intake:run(0) end)
    pad:bind("b", function(bot) note("first") end)
    pad:bind("b", function(bot) note("second") end)
    while true do bot.drive:tank(pad.left_y, pad.left_y) wait() end`, 0.5,
		map[string][][2]int{"a": {{5, 6}, {8, 9}, {30, 40}}, "b": {{20, 21}}})
	if want := []string{"macro 0.05", "second", "macro 0.30"}; !slices.Equal(s.notes(), want) || s.failure() != "" {
		t.Errorf("noted %q, want %q %s", s.notes(), want, s.failure())
	}
	if s.robot.left < 2.3 || s.robot.left > 2.5 {
		t.Errorf("the driver's loop gives %g V", s.robot.left)
	}
	var keys, tasks []string
	for _, e := range s.events {
		switch e.Kind {
		case record.PressedKey:
			keys = append(keys, fmt.Sprintf("%s %.2f", e.What, e.T))
		case record.TaskStart:
			tasks = append(tasks, fmt.Sprintf("%s%s %d line %d", e.What, e.Macro, e.Task, e.Line))
		}
	}
	if want := []string{"a 0.05", "a 0.08", "b 0.20", "a 0.30"}; !slices.Equal(keys, want) {
		t.Errorf("pressed %q, want %q", keys, want)
	}
	if want := []string{"driver 0 line 1", "macroa 1 line 2", "macrob 1 line 5", "macroa 1 line 2"}; !slices.Equal(tasks,
		want) {
		t.Errorf("tasks %q, want %q", tasks, want)
	}
}

// A driver's loop commands the trains in every tick: at rest its sticks must not end what a macro drives, moved they
// do.
func TestSticksAtRestLeaveAMacrosMotionAlone(t *testing.T) {
	for _, c := range []struct{ loop, want string }{
		{"bot.drive:tank(0, 0)", "arrived"},
		{"bot.drive:arcade(0, 0)", "arrived"},
		{"bot.drive:tank(0.1, 0)", "cancelled"},
		{"if clock() > 0.2 then bot.drive:arcade(0, 0.1) end", "cancelled"},
		{"bot.drive:stop()", "cancelled"},
		{"bot.drive:volts(0, 0)", "cancelled"},
	} {
		s := driven(t, `pad:bind("a", function(bot) note(bot.drive:ahead(300).why) end)
while true do `+c.loop+` wait() end`, 3,
			map[string][][2]int{"a": {{5, 6}}})
		if !slices.Equal(s.notes(), []string{c.want}) || s.failure() != "" {
			t.Errorf("%s: noted %q, want %q %s", c.loop, s.notes(), c.want, s.failure())
		}
	}
	s := driven(t, "bot.drive:rate(300, 0) wait(0.2) bot.drive:tank(0, 0) wait(0.5)", 1, nil) // one's own motion ends
	if s.robot.left != 0 || s.failure() != "" {
		t.Errorf("the trains get %g V after sticks at rest %s", s.robot.left, s.failure())
	}
}

// Macros live on when the driver's function has returned: all of driving may be macros.
func TestMacrosOutliveTheDriverFunction(t *testing.T) {
	s := stageOf(t, load(t, map[string]string{"routine.lua": `return routine { driver = function(bot, pad) ` +
		`pad:bind("x", function(bot) bot.clamp:shut() note("shut") end) end }`}), Env{})
	s.Begin(Driver)
	for i := range 50 {
		if i > 20 {
			s.SetPad(PadState{Buttons: []string{"x"}})
		}
		s.once()
	}
	if !slices.Equal(s.notes(), []string{"shut"}) || s.Done() {
		t.Errorf("noted %q, done %v", s.notes(), s.Done())
	}
}

func TestPadMistakesAreNamed(t *testing.T) {
	for body, want := range map[string]string{
		`pad:held("A")`:     `pad:held: there is no button "A": write "a"`,
		`pad:axis("left")`:  `pad:axis: there is no axis "left"`,
		`return pad.left_z`: `the pad has no "left_z": write "left_x"`,
		`pad.left_x = 1`:    `the pad cannot be changed`,
		`pad:bind("a", 5)`:  `pad:bind: the macro must be a function, not a number`,
		`pad:bind("a", function() error("in the macro") end) wait(1)`: `routine.lua:1: in the macro`,
		`pad:bind("a", function() while true do end end) wait(1)`:     `more than 200000 steps`,
	} {
		s := driven(t, body, 0.2, map[string][][2]int{"a": {{5, 6}}})
		if !strings.Contains(s.failure(), want) {
			t.Errorf("%s\n got %q\nwant %q", body, s.failure(), want)
		}
	}
}

// The press that starts a driver phase is down before the driver's function could bind anything to it.
func TestAButtonDownAsThePhaseBeginsRunsItsMacroOnce(t *testing.T) {
	body := `
    pad:bind("a", function() note(string.format("macro %.2f", clock())) end)
    wait(0.1)
    pad:bind("b", function() note("late") end)
    wait(1)`
	s := driven(t, body, 0.5, map[string][][2]int{"a": {{0, 3}, {30, 31}}, "b": {{0, 20}}})
	if want := []string{"macro 0.00", "macro 0.30"}; !slices.Equal(s.notes(), want) || s.failure() != "" {
		t.Errorf("noted %q, want %q %s", s.notes(), want, s.failure())
	}
}
