package scripting

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
)

// noted checks what a body notes.
func noted(t *testing.T, body string, want ...string) *stage {
	t.Helper()
	s := rehearse(t, body)
	if f := s.failure(); f != "" {
		t.Fatalf("failed: %s", f)
	}
	if !slices.Equal(s.notes(), want) {
		t.Errorf("noted %q\nwant  %q", s.notes(), want)
	}
	return s
}

func TestTasksRunInOrderOfCreation(t *testing.T) {
	noted(t, `
    for i = 1, 3 do
      task(function() for round = 1, 3 do note("task " .. i .. " round " .. round) wait(0.01) end end)
    end
    note("main")`,
		"main", "task 1 round 1", "task 2 round 1", "task 3 round 1",
		"task 1 round 2", "task 2 round 2", "task 3 round 2",
		"task 1 round 3", "task 2 round 3", "task 3 round 3")
}

// A task that a task begins runs in the same tick, after those that were there.
func TestANewTaskStartsInTheSameTick(t *testing.T) {
	noted(t, `
    task(function() note("a " .. clock()) task(function() note("c " .. clock()) end) end)
    task(function() note("b " .. clock()) end)
    wait(0.05)`,
		"a 0", "b 0", "c 0")
}

func TestWaitsEndOnTheTick(t *testing.T) {
	noted(t, `
    wait(0.5) note(string.format("%.2f", clock()))
    wait(0.005) note(string.format("%.2f", clock()))
    wait() note(string.format("%.2f", clock()))
    wait(0) note(string.format("%.2f", clock()))
    for i = 1, 100 do wait(0.01) end note(string.format("%.2f", clock()))`,
		"0.50", "0.51", "0.52", "0.53", "1.53")
}

func TestAwaitAsksEveryTick(t *testing.T) {
	noted(t, `
    local asked = 0
    note(tostring(await(function() asked = asked + 1 return asked == 5 end)) .. " " .. asked .. " " .. clock())
    note(tostring(await(function() return false end, 0.1)) .. string.format(" %.2f", clock()))
    note(tostring(await(function() return true end, 0)))
    note(tostring(await(function() wait(0.2) return true end)) .. string.format(" %.2f", clock()))`,
		"true 5 0.04", "false 0.14", "true", "true 0.34")
}

// A task can wait wherever Go code stands between it and the scheduler.
func TestWaitingWorksEverywhere(t *testing.T) {
	noted(t, `
    note(tostring(pcall(function() wait(0.1) return 1 end)) .. string.format(" %.1f", clock()))
    note(select(2, pcall(function() wait(0.1) error("late", 0) end)) .. string.format(" %.1f", clock()))
    local lazy = setmetatable({}, {
      __index = function(t, k) wait(0.1) return k .. "!" end,
      __add = function(a, b) wait(0.1) return 7 end,
      __concat = function(a, b) wait(0.1) return "joined" end,
      __eq = function(a, b) wait(0.1) return true end,
      __lt = function(a, b) wait(0.1) return true end,
      __call = function(self, x) wait(0.1) return x end,
      __newindex = function(t, k, v) wait(0.1) rawset(t, k, v) end,
      __tostring = function() wait(0.1) return "text" end,
      __unm = function() wait(0.1) return 8 end,
      __len = function() wait(0.1) return 9 end,
    })
    note(lazy.key .. (lazy + 1) .. (lazy .. "x") .. lazy(5) .. (-lazy))
    lazy.set = 1
    note(tostring(lazy) .. lazy.set .. string.format(" %.1f", clock()))
    local t = {3, 1, 2}
    table.sort(t, function(a, b) wait(0.01) return a < b end)
    note(table.concat(t))
    for i in function(_, i) wait(0.1) i = (i or 0) + 1 if i < 3 then return i end end do note("i " .. i) end
    note((("a b"):gsub("%a", function(c) wait(0.1) return c:upper() end)))
    note(tostring(xpcall(function() wait(0.1) error("x") end, function(e) wait(0.1) return e end)))`,
		"true 0.1", "late 0.2", "key!7joined58", "text1 0.9", "123", "i 1", "i 2", "A B", "false")
}

func TestTasksAreJoinedAndCancelled(t *testing.T) {
	noted(t, `
    local a = task(function(x, y) wait(0.3) note(x .. y) end, "x", "y")
    note(tostring(a:done()))
    note(tostring(a:join()) .. string.format(" %.1f", clock()))
    note(tostring(a:done()) .. tostring(a:join()))
    local b = task(function() pcall(function() wait(9) end) note("never") end)
    wait(0.1)
    b:cancel()
    note(tostring(b:done()) .. tostring(b:join()))
    b:cancel() -- again: nothing
    local c = task(function() note("never started") end)
    c:cancel()
    note(tostring(c:join()))
    local d
    d = task(function() note("before") pcall(d.cancel, d) note("never") end)
    wait(0.1)
    note(tostring(d:join()))`,
		"false", "xy", "true 0.3", "truetrue", "truefalse", "false", "before", "false")
}

func TestAChildCanCancelItsParent(t *testing.T) {
	s := rehearse(t, `
    local me
    task(function() wait(0.1) note("child") me:cancel() wait(0.1) note("child goes on") end)
    me = task(function() wait(5) note("never") end)
    me:join()
    note("joined " .. string.format("%.1f", clock()))`)
	if want := []string{"child", "joined 0.1", "child goes on"}; !slices.Equal(s.notes(), want) {
		t.Errorf("noted %q, want %q", s.notes(), want)
	}
}

// Numbers of tasks are the lowest free ones, so that records stay narrow however many tasks come and go.
func TestTaskNumbersAreUsedAgain(t *testing.T) {
	s := rehearse(t, `
    for i = 1, 500 do
      local a = task(function() wait(0.01) end) local b = task(function() wait(0.01) end) a:join() b:join()
    end`)
	started, greatest := 0, 0
	for _, e := range s.events {
		if e.Kind == record.TaskStart {
			started++
		}
		greatest = max(greatest, e.Task)
	}
	if started != 1001 || greatest != 2 || s.failure() != "" {
		t.Errorf("%d tasks, the greatest number is %d, failure %q", started, greatest, s.failure())
	}
}

func TestThereIsALimitOfTasks(t *testing.T) {
	s := rehearse(t, `for i = 1, 10000 do task(function() wait(99) end) end`)
	if want := "routine.lua:1: task: there are already 64 tasks at work"; !strings.HasPrefix(s.failure(), want) {
		t.Errorf("got %q, want %q", s.failure(), want)
	}
	noted(t, `local n = 0 for i = 1, 63 do task(function() wait(0.1) n = n + 1 end) end wait(0.2) note(n)`, "63")
}

// A handle is all that a cancelled task leaves; functions it made go on working.
func TestFunctionsOfACancelledTaskLive(t *testing.T) {
	noted(t, `
    local get
    local a = task(function() local x = 41 get = function() x = x + 1 return x end wait(9) end)
    wait(0.1)
    a:cancel()
    note(get()) note(get())`, "42", "43")
}

func TestTheEventsTellOfTasks(t *testing.T) {
	s := rehearse(t, `local a = task(function() wait(9) end)
    wait(0.5)
    a:cancel()`)
	want := []string{
		"0.00 task 0 routine.lua:1 auto ", "0.00 task 1 routine.lua:1 task ",
		"0.50 task end 1 routine.lua:1 task cancelled", "0.50 task end 0 routine.lua:1 auto finished",
	}
	var got []string
	for _, e := range s.events {
		got = append(got, fmt.Sprintf("%.2f %s %d %s:%d %s %s", e.T, e.Kind, e.Task, e.File, e.Line, e.What, e.Reason))
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestWaitingIsForTasksOnly(t *testing.T) {
	for _, call := range []string{"wait(1)", "await(function() end)", "task(function() end)"} {
		_, err := LoadFS(folder(map[string]string{"routine.lua": call + "\nreturn routine { auto = function() end }"}),
			"routine.lua")
		if err == nil || !strings.HasPrefix(err.Error(), "routine.lua:1:") ||
			!strings.Contains(err.Error(), "works only while auto or driver runs") {
			t.Errorf("%s: %v", call, err)
		}
	}
}
