package viewmodel

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
)

const withMacros = `-- Made by Ada: what it does is told here.
-- It does much.

local speed = 500
local function hop(bot)
  note("hop")
  bot.drive:ahead(300, {speed = speed})
  wait(0.2)
  bot.drive:face(90)
end
return routine {start = {x = 600, y = 1000, heading = 0}, driver = function(bot, pad)
  local count = 0
  pad:bind("a", hop)
  pad:bind("b", function(bot) note("told") end)
  pad:bind("x", function()
    bot.intake:run(5)
    wait(0.4)
    note("late")
  end)
  pad:bind("r2", function(bot) note("never") end)
  pad:bind("y", function(bot) while pad:held("y") do wait() end end)
  pad:bind("l1", function(bot) count = count + 1 end)
  while true do bot.drive:arcade(pad.left_y, pad.right_x) wait(0.01) end
end}`

// What buttons ran in a drive is called by the draft: one that drives in its place, others beside the motions at their
// time. Rehearsed, the draft ends where the drive ended, with the same notes. The tolerance is that of a draft without
// macros.
func TestADraftCallsTheMacrosOfTheDrive(t *testing.T) {
	driven, setup := driveOf(t, withMacros, "0,0,0.4,0,0,\n0.6,0,0.4,0,0,b\n0.7,0,0.4,0,0,\n0.9,0,0.4,0,0,x\n"+
		"1,0,0.4,0,0,\n1.5,0,0,0,0,\n2.2,0,0,0,0,a\n2.3,0,0,0,0,\n6,0,0,0,0,y\n6.1,0,0,0,0,l1\n6.2,0,0.3,0,0,\n"+
		"7,0,0,0,0,r1\n7.1,0,0,0,0,\n")
	run := NewRun(setup, driven, SourceOf("a.lua", "", withMacros))
	text := run.Draft()
	for _, want := range []string{"local speed = 500\nlocal function hop(bot)\n",
		"\nlocal function macro_b(bot) note(\"told\") end\n",
		"\nlocal function macro_x(bot)\n  bot.intake:run(5)\n", "    hop(bot) -- button a, ",
		`the driver pressed "y" at 6.0 s: its macro needs what only the driver's function has`,
		`the driver pressed "l1" at 6.1 s: its macro needs`, `the driver pressed "r1" at 7.0 s`} {
		if !strings.Contains(text, want) {
			t.Errorf("the draft lacks %q", want)
		}
	}
	for _, never := range []string{"Ada", "never"} {
		if strings.Contains(text, never) {
			t.Errorf("the draft says %q, which is of the routine that was driven", never)
		}
	}
	if n := strings.Count(text, "bot.drive:"); n != 2+2 { // hop has two, and two straights were driven by the sticks
		t.Errorf("%d motions", n)
	}
	setup.Session = autoSession(setup.Field)
	setup.Entrants = []rehearse.Entrant{{Robot: setup.Entrants[0].Robot, Routine: program(t, text)}}
	again, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	a, b := end(driven), end(again)
	if off := math.Hypot(a[0]-b[0], a[1]-b[1]); off > 2*within {
		t.Errorf("driven to %v, the draft goes to %v: %.0f mm off", a, b, 1000*off)
	}
	if was, is := notes(driven), notes(again); !slices.Equal(was, is) || len(is) != 3 {
		t.Errorf("noted %q in the drive, %q by the draft", was, is)
	}
	if t.Failed() {
		t.Log(text)
	}
}

func notes(r *record.Record) []string {
	var list []string
	for _, e := range r.Events {
		if e.Kind == record.Note || e.Kind == record.Failure {
			list = append(list, e.Text)
		}
	}
	return list
}

// A macro that the sticks took over from is not repeated: the way that was driven is.
func TestADraftLeavesOutAMacroThatWasBrokenOff(t *testing.T) {
	driven, setup := driveOf(t, withMacros, "0,0,0,0,0,a\n0.1,0,0,0,0,\n0.4,0,0.5,0,0,\n1.4,0,0,0,0,\n")
	text := NewRun(setup, driven, SourceOf("a.lua", "", withMacros)).Draft()
	if !strings.Contains(text, `-- the driver pressed "a" at 0.0 s (hop(bot)), and the sticks took over from it`) ||
		strings.Contains(text, "    hop(bot)") || !strings.Contains(text, "bot.drive:visit(") {
		t.Error(text)
	}
}

// A routine that does not end in return routine{...} lends nothing: what was pressed is a comment, and the draft loads.
func TestADraftOfARoutineThatLendsNothing(t *testing.T) {
	text := strings.Replace(withMacros, "return routine {", "local r = routine {", 1) + " return r"
	driven, setup := driveOf(t, text, "0,0,0.4,0,0,\n0.6,0,0.4,0,0,b\n1,0,0,0,0,\n")
	draft := NewRun(setup, driven, SourceOf("a.lua", "", text)).Draft()
	if !strings.Contains(draft, `the driver pressed "b" at 0.6 s`) || strings.Contains(draft, "macro_b") {
		t.Error(draft)
	}
	program(t, draft)
}

// What a macro may use decides whether it can be called from elsewhere.
func TestWhatAMacroNeedsDecidesWhetherItIsLent(t *testing.T) {
	for macro, want := range map[string]string{
		`pair`:                        "pair(bot)",
		`parts.pair`:                  "parts.pair(bot)",
		`inner`:                       "",
		`made(1)`:                     "",
		`function(b) b.x:run(1) end`:  "macro_a(bot)",
		`function() bot.x:run(1) end`: "macro_a(bot)",
		`function(b) inner(b) end`:    "",
		`function(b) local inner = b inner.x:run(pad) end`:     "",
		`function(b) local inner = b inner.x:run(top) end`:     "macro_a(bot)",
		`function(b) wait(unknown) end`:                        "macro_a(bot)",
		`function(b) b.x:to{pad = 1} b.pad() end`:              "macro_a(bot)",
		`function(b) for i = 1, 2 do note(i .. "pad") end end`: "macro_a(bot)",
	} {
		text := "local top, parts = 1, require \"parts\"\nfunction pair(bot) for inner = 1, 2 do end end\n" +
			"return routine {driver = function(bot, pad)\n  local inner = 1\n  pad:bind(\"a\", " + macro + ")\nend}"
		if got := borrow(text).calls["a"]; got != want {
			t.Errorf("%s: %q, want %q", macro, got, want)
		}
	}
	l := borrow("return routine {driver = function(bot, pad) pad:bind(\"a\", function() wait(1) end) end}")
	if l.before != "" || l.named["a"] != "local function macro_a(bot) wait(1) end" {
		t.Errorf("%q, %q", l.before, l.named["a"])
	}
}

// Whatever is driven with the demo's macros, its draft is a routine that loads.
func TestADraftOfTheDemosMacrosLoads(t *testing.T) {
	d, disk := opened(t)
	disk.routine = strings.Replace(text(300), "while true do", `for i = 1, 2 do note(i) end
    pad:bind("a", function(bot) bot.drive:ahead(100) end) while true do`, 1)
	d.Reload()
	finish(t, d)
	for _, buttons := range [][]string{{"a"}, {"a", "b"}, nil} {
		driveFor(t, d, 60, ahead)
		for range 60 {
			d.AdvanceDrive(1.0/60, scripting.PadState{Buttons: buttons})
		}
		for range 60 {
			d.AdvanceDrive(1.0/60, scripting.PadState{})
		}
		d.EndDrive()
		program(t, d.Driven.Draft())
		if got := strings.Count(d.Driven.Draft(), "macro_a(bot) -- button a"); got != min(len(buttons), 1) {
			t.Errorf("%v: %d calls\n%s", buttons, got, d.Driven.Draft())
		}
	}
}
