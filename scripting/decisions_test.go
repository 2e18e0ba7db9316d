package scripting

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"chalkfield/sim/robot"
)

// Each routine has marks behind the lines that hang on a reading: --> and what they are.
func TestDecisionsAreFound(t *testing.T) {
	spec, err := robot.Find("hauler")
	if err != nil {
		t.Fatal(err)
	}
	for name, body := range map[string]string{
		"none": `
bot.drive:ahead(200, {speed = 700})
for i = 1, 3 do bot.intake:run(i) wait(0.1) end
note("at " .. bot.where().x .. " " .. tostring(bot.sense.chute:sees()))
print(bot.battery())
local half = math.floor(3 / 2)
wait(half)
local far = param("far", 100, 0, 500)
if far > 50 then bot.drive:face(90) end
bot.lift:reach("rack", 2)`,
		"branches": `
if bot.clamp:holding() then --> branch
  bot.conveyor:run(10)
elseif bot.sense.chute:sees() then --> branch
  bot.conveyor:stop()
end
local r = bot.drive:ahead(200)
if not r.ok then note("short") end --> branch
if bot.battery() < 11 then bot.drive:stop() end --> branch`,
		"loops": `
while not bot.sense.chute:sees() do --> loop
  wait()
end
repeat
  wait(0.01)
until bot.where().x > 900 --> loop
for i = 1, bot.conveyor:count() do --> loop
  bot.conveyor:run(10)
end`,
		"waits": `
await(function() return bot.conveyor:count() == 2 end, 1.5) --> wait
task(function()
  await(function() return bot.sense.chute:sees() end) --> wait
end)`,
		"through names": `
local function full() return bot.conveyor:count() > 1 end
local seen = bot.sense.chute:sees()
local near, other = seen and 1 or 2, 3
if near == 1 then wait(1) end --> branch
if other == 3 then wait(1) end
if full() then wait(1) end --> branch`,
		"time": `
while clock() < 3 do wait(0.1) end --> loop
wait(5 - clock()) --> number`,
		"calls": `
local function go(by) bot.drive:ahead(by) end
bot.here(bot.sense.chute:read(), 450, 0) --> number
wait(bot.sense.chute:read()) --> number
go(bot.battery()) --> number
local far = {100, 200}
go(far[bot.conveyor:count()]) --> number
local ways = {go, go}
ways[bot.conveyor:count()](100) --> number
local _ = bot.sense.chute:sees() and bot.drive:face(0) --> branch
local text = string.format("%d", bot.conveyor:count())
note(text)`,
		"numbers": `
bot.drive:ahead(bot.sense.chute:read() * 100) --> number
bot.drive:visit(600, 900)`,
	} {
		text := "return routine { start = {x = 1, y = 1, heading = 0}, auto = function(bot)" + body +
			"\nend,\ndriver = function(bot, pad)\nif pad.a then wait(1) end\nif bot.battery() > 1 then wait(1) end\nend }\n"
		program, err := LoadTexts("a.lua", map[string]string{"a.lua": text})
		if err != nil {
			t.Fatal(name, err)
		}
		var want, got []string
		for i, line := range strings.Split(text, "\n") {
			if _, what, is := strings.Cut(line, "--> "); is {
				want = append(want, strconv.Itoa(i+1)+" "+what)
			}
		}
		list, err := program.Decisions(spec)
		if err != nil {
			t.Fatal(name, err)
		}
		for _, d := range list {
			got = append(got, strconv.Itoa(d.Line)+" "+d.What)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
