package scripting

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"chalkfield/scripting/history"
)

// kept is what is kept of a routine that is played for a time.
func kept(t *testing.T, files map[string]string, seconds float64) *history.History {
	t.Helper()
	h := history.New(history.Usual)
	stageOf(t, load(t, files), Env{History: h}).play(Auto, seconds)
	return h
}

// momentIn is one in a line a function: task, place, locals | upvalues.
func momentIn(t *testing.T, h *history.History, at float64) []string {
	t.Helper()
	m, is := h.At(at)
	if !is {
		return nil
	}
	list := []string{}
	words := func(vars []*history.Variable) string {
		var each []string
		for _, v := range vars {
			if v.Name != "bot" {
				each = append(each, v.Name+"="+v.Words())
			}
		}
		return strings.Join(each, " ")
	}
	for _, task := range m.Tasks {
		for _, f := range task.Frames {
			list = append(list, fmt.Sprintf("%d %s:%d %s | %s", task.Number, f.File, f.Line, words(f.Locals), words(f.Upvalues)))
		}
	}
	if len(m.Globals) > 0 {
		list = append(list, "globals "+words(m.Globals))
	}
	return list
}

const watched = `local height = 3
local arm = require "arm"
speed = 700
return routine { auto = function(bot)
  local n = 0
  task(function()
    for i = 1, 2 do
      n = n + i
      wait(0.1)
    end
  end)
  local list, far = {1, 2, {"x"}}, 2.5
  arm.lift(height)
  local r = bot.drive:ahead(100)
  wait(0.2)
end }`

const arm = `local count = 0
local function step(by)
  count = count + by
  wait(0.05)
end
return {lift = function(to)
  for k = 1, 2 do
    step(to)
  end
end}`

// What tasks, functions within functions and modules hold is as it was at each time.
func TestHistoryHasVariablesAsTheyWere(t *testing.T) {
	h := kept(t, map[string]string{"routine.lua": watched, "arm.lua": arm}, 2)
	for _, row := range []struct {
		at   float64
		want []string
	}{
		{0, []string{
			"0 arm.lua:4 by=3 | count=3",
			"0 arm.lua:8 to=3 k=1 | step=function, arm.lua:2",
			"0 routine.lua:13 n=1 list=table of 3 far=2.5 | arm={lift = function, arm.lua:6} height=3",
			"1 routine.lua:9 i=1 | n=1",
			"globals speed=700",
		}},
		{0.055, []string{
			"0 arm.lua:4 by=3 | count=6",
			"0 arm.lua:8 to=3 k=2 | step=function, arm.lua:2",
			"0 routine.lua:13 n=1 list=table of 3 far=2.5 | arm={lift = function, arm.lua:6} height=3",
			"1 routine.lua:9 i=1 | n=1",
			"globals speed=700",
		}},
		{0.12, []string{
			"0 routine.lua:14 n=3 list=table of 3 far=2.5 | arm={lift = function, arm.lua:6} height=3",
			"1 routine.lua:9 i=2 | n=3",
			"globals speed=700",
		}},
	} {
		if got := momentIn(t, h, row.at); !slices.Equal(got, row.want) {
			t.Errorf("at %g s:\n got %q\nwant %q", row.at, got, row.want)
		}
	}
}

// Each kind of value in words.
func TestVariablesInWords(t *testing.T) {
	h := kept(t, auto(`
    local b, s, none = true, "left \n", nil
    local long = string.rep("a", 59) .. "ö" .. "b"
    local nan, third, big, round = 0/0, 1/3, 1e100, 1200
    local f, g = function() end, wait
    local empty, few, named, deep = {}, {1, "x"}, {a = 1, ["b c"] = 2}, {{{{{}}}}}
    local many = {}
    for i = 1, 20 do many[i] = i end
    many.self = many
    local m = bot.drive:ahead(50, {background = true})
    local part, where, p = bot.intake, bot.where(), pid{p = 1}
    local t = task(function() end)
    wait(0.1)`), 1)
	m, _ := h.At(0.05)
	got := map[string]string{}
	for _, v := range m.Tasks[0].Frames[0].Locals {
		got[v.Name] = v.Words()
	}
	for name, want := range map[string]string{
		"b": "true", "s": `"left \n"`, "none": "nil", "long": `"` + strings.Repeat("a", 59) + `..."`, "nan": "NaN",
		"third": "0.3333333333", "big": "1e+100", "round": "1200", "f": "function, routine.lua:5",
		"g": "function of Chalkfield", "empty": "{}", "few": `{1, "x"}`, "named": `{a = 1, ["b c"] = 2}`,
		"deep": "table of 1",
		"many": "table of 21", "m": "motion ahead, under way", "part": "bot.intake", "p": "a pid", "t": "task 1, finished",
		"where": "{x = 0, y = 0, heading = 0}", "bot": "the robot",
	} {
		if got[name] != want {
			t.Errorf("%s is %q, want %q", name, got[name], want)
		}
	}
}

// Tables are kept to a depth and a number of entries, one within itself too; a change far in makes another moment.
func TestTablesAreKeptInPart(t *testing.T) {
	h := kept(t, auto(`
    local deep = {in1 = {in2 = {in3 = {in4 = {n = 1}}}}}
    wait(0.1)
    deep.in1.in2.in3.n = 2
    wait(0.1)
    deep.in1.in2.in3.in4.n = 3
    wait(0.1)`), 1)
	m, _ := h.At(0.05)
	v, depth := m.Tasks[0].Frames[0].Locals[1], 0
	for ; len(v.Members) > 0; depth++ {
		v = v.Members[0]
	}
	if depth != 3 || v.Words() != "table of 1" {
		t.Errorf("%d deep, %s within; want 3, a table of 1", depth, v.Words())
	}
	changed := 0
	for i, m := range h.Moments[1:] {
		if len(m.Tasks) > 0 && m.Tasks[0].Frames[0].Locals[1] != h.Moments[i].Tasks[0].Frames[0].Locals[1] {
			changed++
		}
	}
	if changed != 1 {
		t.Errorf("the table changed %d times as far as it is kept, want once", changed)
	}
}

// The task that failed is shown as it was when it did, until the phase ends.
func TestHistoryHasWhatFailed(t *testing.T) {
	for name, body := range map[string]string{
		"an error":  "\nlocal n, t = 3, nil\nwait(0.1)\nn = 4\nt.x = 1",
		"a loop":    "\nlocal n, t = 3, nil\nwait(0.1)\nn = 4\nwhile true do end",
		"in a call": "\nlocal n, t = 3, nil\nlocal function f() error('no') end\nwait(0.1)\nn = 4 f()",
	} {
		t.Run(name, func(t *testing.T) {
			h := history.New(history.Usual)
			s := stageOf(t, load(t, auto(body)), Env{History: h})
			s.Begin(Auto)
			for range 30 {
				s.once()
			}
			m, is := h.At(0.25)
			if !is || len(m.Tasks) != 1 || !m.Tasks[0].Failed {
				t.Fatalf("%+v, want the task that failed", m)
			}
			frames := m.Tasks[0].Frames
			if v := frames[len(frames)-1].Locals[1]; v.Name != "n" || v.Number != 4 {
				t.Errorf("%s is %s, want n = 4", v.Name, v.Words())
			}
			s.Stop()
			s.Begin(Driver)
			s.once()
			if m, _ := h.At(0.31); len(m.Tasks) > 0 {
				t.Error("the phase after has it still")
			}
		})
	}
}

// When there is no more room the rest is not kept, which says from when on; the routine goes on as ever.
func TestHistoryHasALimit(t *testing.T) {
	body := `
    local n = 0
    while n < 50 do
      n = n + 1
      wait(0.1)
    end
    note("done " .. n)`
	h := history.New(10_000)
	s := stageOf(t, load(t, auto(body)), Env{History: h})
	s.play(Auto, 10)
	if notes := s.notes(); !slices.Equal(notes, []string{"done 50"}) {
		t.Errorf("notes %q", notes)
	}
	if h.Full < 0.5 || h.Full > 4 {
		t.Fatalf("full at %g s", h.Full)
	}
	if _, is := h.At(h.Full - 0.01); !is {
		t.Error("nothing just before")
	}
	if _, is := h.At(h.Full); is {
		t.Error("something when there was no room")
	}
}

// spansOf are the times at which a line ran, as from-to.
func spansOf(runs history.LineRuns) []string {
	list := []string{}
	for _, s := range runs.Spans {
		list = append(list, fmt.Sprintf("%g-%g", history.Seconds(s.From), history.Seconds(s.To)))
	}
	return list
}

// When each line ran, and how long it took.
func TestHistoryHasLines(t *testing.T) {
	h := kept(t, map[string]string{"routine.lua": `return routine { auto = function(bot)
  local function rest(s)
    wait(s)
  end
  for i = 1, 2 do
    rest(0.1)
    wait(0.05)
  end
  task(function() rest(0.1) end)
  rest(0.2)
  if bot == nil then
    wait(9)
  end
end }`}, 2)
	for line, want := range map[int]struct {
		spans []string
		took  int
	}{
		2:  {[]string{"0-0"}, 0},
		3:  {[]string{"0-0.1", "0.15-0.25", "0.3-0.5"}, 50},
		5:  {[]string{"0-0", "0.15-0.15", "0.3-0.3"}, 0},
		6:  {[]string{"0-0.1", "0.15-0.25"}, 20},
		7:  {[]string{"0.1-0.15", "0.25-0.3"}, 10},
		9:  {[]string{"0.3-0.4"}, 10},
		10: {[]string{"0.3-0.5"}, 20},
		11: {[]string{"0.5-0.5"}, 0},
		12: {[]string{}, 0},
		99: {[]string{}, 0},
	} {
		runs := h.Files["routine.lua"].Line(line)
		if got := spansOf(runs); !slices.Equal(got, want.spans) || runs.Took != want.took {
			t.Errorf("line %d ran %q and took %d ticks, want %q and %d", line, got, runs.Took, want.spans, want.took)
		}
	}
	runs := h.Files["routine.lua"].Line(6)
	for _, row := range []struct{ from, next, before float64 }{{0, 0.15, 0.15}, {0.01, 0.15, 0}, {0.15, 0, 0},
		{1, 0, 0.15}} {
		next, _ := runs.Next(row.from)
		before, _ := runs.Before(row.from)
		if next != row.next || before != row.before {
			t.Errorf("from %g s: next %g, before %g; want %g and %g", row.from, next, before, row.next, row.before)
		}
	}
}
