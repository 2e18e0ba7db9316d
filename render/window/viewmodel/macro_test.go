package viewmodel

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"chalkfield/scripting"
)

func TestTheMacrosOfATextAreNamed(t *testing.T) {
	const text = `local function pair(bot) bot.intake:run(1) end
return routine {driver = function(bot, pad)
  pad:bind("a", pair)                        -- not needed
  pad:bind('b', function(bot)                -- let the sled go
    bot.clamp:open(1, 2)
  end)
  pad:bind("x", function(bot) bot.intake:run(11) bot.conveyor:hold() end)
  -- pad:bind("y", pair)
  for _, name in ipairs{"l1"} do pad:bind(name, pair) end
  pad:bind("z", pair) pad:bind("y", macros.all) pad:bind("l1",`
	var got []string
	for _, b := range bindings(text) {
		got = append(got, fmt.Sprintf("%s %d %s", b.button, b.line, b.called(text)))
	}
	want := []string{"a 3 pair", "b 4 let the sled go", "x 7 intake:run(11) conveyor:hold()", "y 10 macros.all"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// In a drive the macros are those that the driver's function has bound, with the name that the text gives them.
func TestADriveKnowsTheMacroOfEachButton(t *testing.T) {
	d, disk := opened(t)
	disk.routine = strings.Replace(text(300), "while true do", `
    pad:bind("y", function(bot) note("y") end) pad:bind("a", function(bot) wait(0.5) end) -- waits
    for _, name in ipairs{"l1"} do pad:bind(name, function() end) end while true do`, 1)
	d.Reload()
	finish(t, d)
	if d.Macros() != nil {
		t.Error("there are macros though nobody drives")
	}
	driveFor(t, d, 3, scripting.PadState{Buttons: []string{"a"}})
	var got []string
	for _, m := range d.Macros() {
		got = append(got, fmt.Sprintf("%s %s %v", m.Button, m.Name, m.Runs))
		if m.Line == 0 {
			t.Errorf("%s has no line", m.Button)
		}
	}
	want := []string{"a waits true", "y waits false", "l1 " + d.Text.Name + ":"}
	if len(got) != 3 || got[0] != want[0] || got[1] != want[1] || !strings.HasPrefix(got[2], want[2]) {
		t.Errorf("got %q, want %q", got, want)
	}
}
