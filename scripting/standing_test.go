package scripting

import (
	"runtime"
	"slices"
	"testing"
	"time"

	"chalkfield/internal/base/record"

	"github.com/google/go-cmp/cmp"
)

func TestTheHostTellsWhereTheRoutineStands(t *testing.T) {
	s := stageOf(t, load(t, map[string]string{
		"routine.lua": `local lib = require "lib"
return routine { auto = function(bot)
  task(function()
    wait(0.5)
    wait(0.5)
  end)
  wait(0.2)
  lib(bot)
  bot.drive:face(90)
  bot.lift:reach("rack")
end }`,
		"lib.lua": `return function(bot)
  bot.drive:ahead(400)
end`,
	}), Env{})
	if n, file, line := s.Where(); n != 0 || file != "" || line != 0 || s.Activity() != record.Idle ||
		len(s.Lines()) != 0 {
		t.Errorf("before the start: %d %q %d, %s, %v", n, file, line, s.Activity(), s.Lines())
	}
	type standing struct {
		Lines    []int
		File     string
		Line     int
		Activity record.Activity
		Driving  bool
	}
	var seen []standing
	s.Begin(Auto)
	for !s.Done() {
		s.once()
		_, file, line := s.Where()
		now := standing{s.Lines(), file, line, s.Activity(), len(s.Plan()) > 0}
		if len(seen) == 0 || !cmp.Equal(seen[len(seen)-1], now) {
			seen = append(seen, now)
		}
		if along, _ := s.Want(); s.Activity() == record.Moving && s.drive == nil && along != 0 {
			t.Errorf("wants %g without a motion", along)
		}
	}
	want := []standing{
		{[]int{7, 4}, "routine.lua", 7, record.Waiting, false},
		{[]int{8, 4}, "lib.lua", 2, record.Moving, true},
		{[]int{8, 5}, "lib.lua", 2, record.Moving, true},
		{[]int{9, 5}, "routine.lua", 9, record.Turning, false},
	}
	if len(seen) < 4 {
		t.Fatalf("saw %v", seen)
	}
	if diff := cmp.Diff(want, seen[:4]); diff != "" {
		t.Error(diff)
	}
	if !slices.ContainsFunc(seen, func(s standing) bool { return s.Activity == record.Mechanism && s.Line == 10 }) {
		t.Errorf("never waited for the lift: %v", seen)
	}
}

// The same routine, the same events and numbers, every time.
func TestARoutineRepeatsItselfExactly(t *testing.T) {
	p := load(t, auto(`
    local names = {}
    for k in pairs(_G) do names[#names + 1] = k end
    note(#names .. names[math.random(#names)])
    for i = 1, 8 do
      task(function() for k = 1, 5 do wait(math.random() * 0.1) note(i .. " " .. k .. " " .. tostring({})) end end)
    end
    local r = bot.drive:ahead(300 + math.random(100))
    note(tostring(r)) note(bot.where().x)
    local keys = setmetatable({}, {__index = function(t, k) return tostring(k) end})
    note(keys[{}] .. keys[print])
    note(select(2, pcall(function() local x = 5; return x[{}] end)))
    error({})`))
	once := func() []record.Event {
		s := stageOf(t, p, Env{Seed: 42, Robot: 1})
		s.play(Auto, 5)
		s.Close()
		return s.events
	}
	first := once()
	if len(first) < 40 {
		t.Fatalf("only %d events", len(first))
	}
	for range 50 {
		if diff := cmp.Diff(first, once()); diff != "" {
			t.Fatal(diff)
		}
	}
	s := stageOf(t, p, Env{Seed: 43, Robot: 1})
	s.play(Auto, 5)
	if cmp.Equal(first, s.events) {
		t.Error("another seed gives the same events")
	}
}

// Close ends every goroutine, whatever the tasks wait for.
func TestCloseLeavesNoGoroutines(t *testing.T) {
	p := load(t, auto(`
    for i = 1, 10 do task(function() while true do pcall(wait, 1) end end) end
    task(function() await(function() return false end) end)
    task(function() bot.lift:reach("rack", 99) end)
    task(function() table.sort({1, 2, 3}, function(a, b) wait(99) return a < b end) end)
    local t = task(function() wait(99) end)
    task(function() t:join() end)
    bot.drive:ahead(9000)`))
	before := runtime.NumGoroutine()
	for range 20 {
		s := stageOf(t, p, Env{})
		s.Begin(Auto)
		for range 10 {
			s.once()
		}
		if s.failure() != "" || runtime.NumGoroutine() < before+15 {
			t.Fatalf("%d goroutines, then %d: %s", before, runtime.NumGoroutine(), s.failure())
		}
		s.Close()
	}
	for range 100 { // a goroutine that has handed over may take a moment to be gone
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(time.Millisecond)
	}
	t.Errorf("%d goroutines before, %d after", before, runtime.NumGoroutine())
}

// A phase that begins ends the one before.
func TestAPhaseEndsTheOneBefore(t *testing.T) {
	s := stageOf(t, load(t, map[string]string{"routine.lua": `return routine {
  auto = function(bot) task(function() wait(9) end) bot.drive:ahead(9000) note("never") end,
  driver = function(bot, pad) note("driver " .. clock()) end,
}`}), Env{})
	s.play(Auto, 1)
	s.Begin(Driver)
	if s.robot.left != 0 || len(s.tasks) != 1 {
		t.Errorf("after the phase %g V, %d tasks", s.robot.left, len(s.tasks))
	}
	s.once()
	want := []string{"task auto", "motion ahead", "task task", string(record.MotionEnd) + " ahead", "task end auto",
		"task end task", "task driver", "note ", "task end driver"}
	if diff := cmp.Diff(want, s.story()); diff != "" {
		t.Error(diff)
	}
	s.Begin(Auto)
	s.once()
	if s.failure() != "" {
		t.Error(s.failure())
	}
}

// A routine without a function for a phase stands still.
func TestAPhaseWithoutAFunctionDoesNothing(t *testing.T) {
	s := stageOf(t, load(t, auto(``)), Env{})
	s.SetPad(PadState{LeftY: 1})
	s.play(Driver, 1)
	if len(s.events) != 0 || !s.Done() || s.robot.left != 0 {
		t.Errorf("events %v, volts %g", s.events, s.robot.left)
	}
}

func TestTheActivityIsThatOfTheMainTask(t *testing.T) {
	for body, want := range map[string]record.Activity{
		`wait(9)`:                                                                      record.Waiting,
		`await(function() return false end)`:                                           record.Waiting,
		`task(function() wait(9) end):join()`:                                          record.Waiting,
		`bot.drive:ahead(5000)`:                                                        record.Moving,
		`bot.drive:ahead(5000, {background = true}):join()`:                            record.Moving,
		`bot.drive:face(180)`:                                                          record.Turning,
		`bot.lift:reach("rack")`:                                                       record.Mechanism,
		`task(function() bot.drive:ahead(5000) end) wait(9)`:                           record.Waiting,
		`bot.drive:volts(6, 6) wait(9)`:                                                record.Moving,
		`bot.drive:volts(-6, 0) await(function() end)`:                                 record.Moving,
		`bot.drive:tank(-1, 1) wait(9)`:                                                record.Turning,
		`bot.drive:arcade(0.5, 0) wait(9)`:                                             record.Moving,
		`bot.drive:arcade(0, 0.5) wait(9)`:                                             record.Turning,
		`bot.drive:rate(500, 20) wait(9)`:                                              record.Moving,
		`bot.drive:rate(0, 20) wait(9)`:                                                record.Turning,
		`bot.drive:rate(0, 20) bot.drive:rate(0, 0) wait(9)`:                           record.Waiting,
		`bot.drive:volts(6, 6) bot.drive:stop() wait(9)`:                               record.Waiting,
		`bot.drive:volts(6, 6) bot.lift:reach("rack")`:                                 record.Mechanism,
		`bot.drive:volts(6, 6) bot.drive:ahead(1) wait(9)`:                             record.Waiting,
		`bot.drive:volts(6, 6)`:                                                        record.Idle,
		`task(function() wait(9) end)`:                                                 record.Idle,
		`pcall(function() table.sort({2, 1}, function() wait(9) return true end) end)`: record.Waiting,
	} {
		s := stageOf(t, load(t, auto(body)), Env{})
		s.play(Auto, 0.1)
		if got := s.Activity(); got != want || s.failure() != "" {
			t.Errorf("%s: %s, want %s %s", body, got, want, s.failure())
		}
	}
}
