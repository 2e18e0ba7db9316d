package scripting

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Whatever a routine does, its rehearsal goes on: the routine ends in one error event that names the line, all its
// tasks end, and the robot is told to stop.
func TestHostileRoutinesFailClearly(t *testing.T) {
	for name, row := range map[string]struct{ body, want string }{
		"endless loop":              {"\nwhile true do end", "routine.lua:2: more than 200000 steps without a wait"},
		"endless loop after a wait": {"\nwait(0.1)\nwhile true do end", "routine.lua:3: more than 200000 steps"},
		"endless loop in pcall":     {"while true do pcall(function() while true do end end) end", "more than 200000 steps"},
		"endless waits caught":      {"while true do pcall(bot.drive.volts) end", "more than 200000 steps"},
		"endless condition":         {"\n\nawait(function() while true do end end)", "routine.lua:3: more than 200000 steps"},
		"endless child": {"task(function()\nwhile true do end end) wait(5)",
			"routine.lua:2: more than 200000 steps"},
		"endless motions":  {"while true do bot.drive:ahead(10, {background = true}) end", "more than 200000 steps"},
		"endless rates":    {"while true do bot.drive:rate(1, 1) end", "more than 200000 steps"},
		"endless tasks":    {"while true do task(function() end):cancel() end", "more than 200000 steps"},
		"tasks that breed": {"local function breed() task(breed) end breed() wait(9)", "more than 200000 steps"},
		"motions for ever": {"while true do for i = 1, 15 do bot.drive:ahead(10, {background = true}) " +
			"end wait() end", "more than 20000 events"},
		"tasks that double": {"local function double() task(double) task(double) wait() end double() wait(9)",
			"already 64 tasks"},
		"memory over ticks": {"local t = {} while true do for i = 1, 500 do t[#t + 1] = {} end wait() end",
			"holds more than 32 MB"},
		"memory in many tasks": {"local function hog() local t = {} while true do t[#t + 1] = ('x'):rep(10000) .. #t " +
			"wait() end end for i = 1, 20 do task(hog) end hog()", "holds more than 32 MB"},
		"memory in arguments": {"for i = 1, 60 do local t = {} for k = 1, 4000 do t[k] = {} end task(function(t) " +
			"wait(99) end, t) wait() end", "holds more than 32 MB"},
		"memory in handles": {"local kept = {} while true do local t = {} for k = 1, 1000 do t[k] = {} end " +
			"kept[#kept + 1] = task(function() kept[#kept + 1] = t end) wait() end", "holds more than 32 MB"},
		"recursion":               {"local function f() return 1 + f() end f()", "nested too deep"},
		"recursion over waits":    {"local function f() wait() return 1 + f() end f()", "nested too deep"},
		"a table as an error":     {"error({code = 5})", "error with a table"},
		"an error in a child":     {"task(function() wait(0.1)\nerror('child') end) wait(5)", "routine.lua:2: child"},
		"an error in a condition": {"await(function()\nerror('asked') end)", "routine.lua:2: asked"},
		"nil volts":               {"bot.drive:volts(nil, 1)", "bot.drive:volts: the left volts must be a number, not nil"},
		"text volts":              {"bot.drive:volts(1, '1')", "the right volts must be a number, not the text \"1\""},
		"volts in percent": {"bot.drive:volts(50, -100)",
			"bot.drive:volts: the left volts are 50 V, far more than the battery gives: write from -24 to 24"},
		"volts of a part": {"bot.intake:run(-100)",
			"bot.intake:run: the volts are -100 V, far more than the battery gives"},
		"NaN volts": {"bot.drive:volts(0/0, 1)",
			"bot.drive:volts: the left volts must be a finite number, not NaN"},
		"infinite volts": {"bot.intake:run(1/0)", "bot.intake:run: the volts must be a finite number, not +Inf"},
		"NaN distance": {"bot.drive:ahead(0/0)",
			"bot.drive:ahead: the distance must be a finite number, not NaN"},
		"great distance":       {"bot.drive:ahead(1e12)", "too large"},
		"NaN heading":          {"bot.drive:face(0/0)", "the heading must be a finite number"},
		"infinite point":       {"bot.drive:visit(1/0, 0)", "the point's x must be a finite number"},
		"NaN point in a curve": {"bot.drive:trace({{1, 2}, {0/0, 3}})", "point 2's x must be a finite number"},
		"no points":            {"bot.drive:trace({})", "takes a list of points"},
		"a point that is none": {"bot.drive:trace({{1, 2}, 3})", "point 2 must be a table {x, y}, not a number"},
		"too many points": {"local p = {} for i = 1, 300 do p[i] = {i, i} end bot.drive:trace(p)",
			"300 points are too many"},
		"NaN pose":      {"bot.drive:dock(0, 0, 0/0)", "the pose's heading must be a finite number"},
		"NaN lift":      {"bot.lift:to(0/0)", "the position must be a finite number"},
		"NaN wait":      {"wait(0/0)", "wait: the time must be a finite number, not NaN"},
		"negative wait": {"wait(-1)", "wait: the time must not be negative"},
		"NaN rate":      {"bot.drive:rate(0/0, 0)", "the speed must be a finite number"},
		"NaN stick":     {"bot.drive:arcade(0/0, 0)", "forward must be a finite number"},
		"NaN belief":    {"bot.here(0, 0, 0/0)", "bot.here: the pose's heading must be a finite number"},
		"NaN speed":     {"bot.drive:ahead(1, {speed = 0/0})", "speed must be a finite number"},
		"no speed":      {"bot.drive:ahead(1, {speed = 0})", "speed must be above 0, not 0"},
		"a great turning speed": {"bot.drive:face(90, {speed = 1e9})",
			"bot.drive:face: speed is 1e+09 deg/s, which is too large: the greatest allowed is 36000"},
		"a great turn_speed": {"bot.drive:ahead(1, {turn_speed = 50000})",
			"bot.drive:ahead: turn_speed is 50000 deg/s, which is too large: the greatest allowed is 36000"},
		"a great acceleration": {"bot.drive:visit(1, 1, {accel = 1e7})",
			"bot.drive:visit: accel is 1e+07 mm/s^2, which is too large: the greatest allowed is 1e+06"},
		"a great timeout": {"bot.drive:ahead(1, {timeout = 5000})",
			"bot.drive:ahead: timeout is 5000 s, which is too large: the greatest allowed is 1000"},
		"a great rate": {"bot.drive:rate(0, -1e6)",
			"bot.drive:rate: the turning rate is -1e+06 deg/s, which is too large: the greatest allowed is 36000"},
		"a speed in m/s": {"bot.drive:ahead(300, {speed = 0.001})",
			"bot.drive:ahead: speed is 0.001, which is too small: it is in mm/s, and 1 is the least"},
		"a negative gain": {"bot.drive:ahead(300, {gains = {along = -2}})",
			"bot.drive:ahead: gain along is -2: write a number from 0 to 1000"},
		"an exit that is none": {"bot.drive:dock(1, 1, 0, {exit = 100})",
			"bot.drive:dock: exit is not for this motion: only ahead, visit and trace end at speed"},
		"an unknown option":     {"bot.drive:ahead(1, {sped = 5})", "options has no \"sped\": write \"speed\""},
		"options that are none": {"bot.drive:ahead(1, 5)", "options must be a table"},
		"a flag that is none":   {"bot.drive:ahead(1, {reverse = 1})", "reverse must be true or false, not a number"},
		"== for =": {"bot.drive:ahead(1, {speed == 5})",
			"options has a boolean without a name: write its name and one = before it (known: accel,"},
		"an unknown gain": {"bot.drive:ahead(1, {gains = {allong = 5}})",
			"gains has no \"allong\": write \"along\""},
		"an unknown way": {"bot.drive:face(1, {way = 'up'})", `way must be "left", "right" or "shortest"`},
		"an unknown way to rest": {"bot.drive:rest('roll')",
			`bot.drive:rest: the way to rest must be "brake" or "coast", not "roll"`},
		"an unknown mechanism": {"bot.intak:run(5)",
			"the robot has no \"intak\": write \"intake\" (known: drive, sense, where, here, battery, air, intake, " +
				"conveyor, clamp, scorer, claw, lift, mast, gate)"},
		"a sensor that does not tell": {"return bot.sense.chute:kind()",
			"bot.sense.chute:kind: this sensor tells only whether a piece is there: write tells = \"piece\""},
		"an unknown sensor": {"return bot.sense.chut:sees()", "bot.sense has no \"chut\": write \"chute\""},
		"an unknown method": {"bot.intake:rnu(5)", "an intake has no \"rnu\": write \"run\""},
		"an unknown motion": {"bot.drive:forward(5)", "bot.drive has no \"forward\""},
		"a word for a method": {"bot.clamp:close()",
			"a clamp has no \"close\": write \"shut\" (known: holding, is_shut, moving, open, shut)"},
		"a motion of the robot": {"bot:ahead(100)", "the robot has no \"ahead\": write \"bot.drive:ahead\" (known: " +
			"drive, sense,"},
		"a word for a motion":   {"bot:forward(100)", "the robot has no \"forward\": write \"bot.drive:ahead\""},
		"a motion of a part":    {"bot.intake:visit(1, 2)", "an intake has no \"visit\": write \"bot.drive:visit\""},
		"a part of the drive":   {"bot.drive.intake:run(3)", "bot.drive has no \"intake\": write \"bot.intake\""},
		"a sensor of the robot": {"return bot.chute:sees()", "the robot has no \"chute\": write \"bot.sense.chute\""},
		"a word for a sensor's": {"return bot.sense.front:distance()",
			"a distance sensor has no \"distance\": write \"mm\" (known: mm, read)"},
		"a word for a task's": {"task(wait, 1):finish()", "a task has no \"finish\": write \"join\""},
		"a word for a pid's":  {"pid{p = 1}:step(1, 2)", "a pid has no \"step\": write \"update\""},
		"a slip in a result": {"return bot.drive:ahead(0).okk",
			"a result has no \"okk\": write \"ok\" (known: ok, why, left, took, overshoot, settle, planned)"},
		"a slip in a pose": {"return bot.where().headin",
			"a pose has no \"headin\": write \"heading\" (known: x, y, heading)"},
		"a name like nothing": {"bot.clamp:zzz()",
			"a clamp has no \"zzz\": write one of holding, is_shut, moving, open, shut"},
		"a member of a function": {"bot.battery.x = 1",
			`attempt to set "x" in battery, which is a function: call it with ( ), as in battery()`},
		"a method of a function": {"bot.battery:volts()",
			`attempt to look up "volts" in battery, which is a function: call it with ( ), as in battery()`},
		"a sum with a function": {"return bot.battery + 1",
			"cannot perform add operation between function and number: a function gives its value when it is called with ( )"},
		"a function compared": {"return bot.battery > 11",
			"attempt to compare number with function: a function gives its value when it is called with ( )"},
		"an unknown height":       {"bot.lift:to('rak')", "the robot file names no height \"rak\": write \"rack\""},
		"a dot for a colon":       {"bot.drive.ahead(100)", "bot.drive's ahead is called with a colon"},
		"a dot for a mechanism":   {"bot.intake.run(5)", "an intake's run is called with a colon"},
		"a method of another":     {"bot.intake.run(bot.conveyor, 5)", "an intake's run is called with a colon"},
		"setting a part":          {"bot.drive.ahead = 1", "bot.drive cannot be changed"},
		"setting the bot":         {"bot.x = 1", "bot cannot be changed"},
		"setting a sensor":        {"bot.sense.chute = 1", "bot.sense cannot be changed"},
		"metatable of the bot":    {"setmetatable(bot, {})", "table expected"},
		"metatable of a part":     {"getmetatable(bot.drive).__index = nil", "attempt to index"},
		"joining itself":          {"local a a = task(function() a:join() end) wait(1)", "cannot wait for its own end"},
		"requiring by a variable": {"local name = 'arm' require(name)", "was not found when the routine was read"},
		"a second routine":        {"routine { auto = function() end }", "a file has one routine"},
		"ends of a param changed": {"local n = 1200 param('x', 5, n, 200)",
			"the least value 1200 is above the greatest 200: the order is param(name, default, least, greatest)"},
		"a bad param": {"local n = 5 param('x', n, 0, 1)", "the default 5 must lie between 0 and 1"},
		"a param of a name only": {"param('x')", `param: needs a name, a default, a least and a greatest value, as in ` +
			`param("turn_gain", 0.1, 0, 0.5)`},
		"a param without limits":  {"param('x', 5)", "param: needs a name, a default, a least and a greatest value"},
		"a param without a limit": {"param('x', 5, 0)", "param: needs a name, a default, a least and a greatest value"},
		"a param of text":         {"param('x', 'a', 0, 1)", "the default must be a number"},
		"two params of one name":  {"param('x', 1, 0, 2) param('x', 1, 0, 3)", "used twice with different values"},
		"too many params":         {"for i = 1, 300 do param('x' .. i, 1, 0, 2) end", "more than 200 parameters"},
		"a pid of nothing":        {"pid()", "pid: takes a table of settings"},
		"a pid of text":           {"pid { p = 'x' }", "pid: p must be a number"},
		"a pid's bad limits":      {"pid { low = 1, high = -1 }", "pid: low must be below high"},
		"another language's wait": {"sleep(1)", "attempt to call sleep, which is nil: write wait(seconds)"},
		"a capital letter": {"Bot.drive:stop()",
			`attempt to look up "drive" in Bot, which is nil: write bot`},
		"a slip":              {"wiat(1)", "attempt to call wiat, which is nil: write wait"},
		"an elevator's angle": {"return bot.mast:angle()", "this lift is an elevator: use height()"},
		"an arm's height":     {"return bot.lift:height()", "this lift is an arm: use angle()"},
		"os":                  {"os.execute('ls')", "a routine has no os"},
	} {
		t.Run(name, func(t *testing.T) {
			s := stageOf(t, load(t, auto(row.body)), Env{})
			s.Begin(Auto)
			for range 1000 {
				s.once()
			}
			s.mustHaveFailed(t, row.want)
		})
	}
}

func (s *stage) mustHaveFailed(t *testing.T, want string) {
	t.Helper()
	failures := 0
	for _, e := range s.events {
		if e.Kind == record.Failure {
			failures++
			if e.File != "routine.lua" || e.Line == 0 {
				t.Errorf("the failure is at %s:%d", e.File, e.Line)
			}
		}
	}
	if failures != 1 || !strings.Contains(s.failure(), want) {
		t.Errorf("%d failures, the first %q\nwant %q in it", failures, s.failure(), want)
	}
	if !s.Done() || s.robot.left != 0 || s.robot.right != 0 {
		t.Errorf("done %v, volts %g %g", s.Done(), s.robot.left, s.robot.right)
	}
	if len(s.events) > maxEvents+500 {
		t.Errorf("%d events", len(s.events))
	}
}

func TestAFailureEndsThePhaseAndNoMore(t *testing.T) {
	s := stageOf(t, load(t, map[string]string{"routine.lua": `return routine {
  auto = function(bot)
    bot.drive:volts(6, 6) bot.intake:run(5) bot.lift:to("rack")
    task(function() wait(9) end)
    task(function() pcall(function() wait(0.2) end) helper() end)
    wait(9)
  end,
  driver = function(bot, pad) note("driving") bot.drive:tank(1, 1) wait(9) end,
}`}), Env{})
	s.play(Auto, 1)
	s.mustHaveFailed(t, "routine.lua:5: attempt to call helper, which is nil")
	var ends []string
	for _, e := range s.events {
		if e.Kind == record.TaskEnd {
			ends = append(ends, e.What+" "+string(e.Reason))
		}
	}
	if want := []string{"task failed", "auto failed", "task failed"}; !slices.Equal(ends, want) {
		t.Errorf("the tasks ended as %q, want %q", ends, want)
	}
	stops := []doneCommand{{0, robot.Command{Verb: robot.Volts}}, {1, robot.Command{Verb: robot.Volts}},
		{5, robot.Command{Verb: robot.Volts}}, {6, robot.Command{Verb: robot.Volts}}}
	if got := s.robot.done[len(s.robot.done)-4:]; !slices.Equal(got, stops) {
		t.Errorf("the mechanisms were told %v, want %v", got, stops)
	}
	s.play(Driver, 1)
	if !slices.Contains(s.notes(), "driving") || s.robot.left != 12 {
		t.Errorf("the driver phase noted %q and drives at %g V", s.notes(), s.robot.left)
	}
}

func TestTheTracebackNamesTheFunctions(t *testing.T) {
	s := rehearse(t, `
local function inner()
  bot.drive:ahead("far")
end
local function outer() inner() end
outer()`)
	want := `routine.lua:3: bot.drive:ahead: the distance must be a number, not the text "far"
  routine.lua:3: in inner
  routine.lua:5: in outer
  routine.lua:6: in the function of line 1`
	if s.failure() != want {
		t.Errorf("got\n%s\nwant\n%s", s.failure(), want)
	}
}

func TestNotesAreCapped(t *testing.T) {
	s := rehearse(t, `for i = 1, 100 do for k = 1, 50 do note("n") print("p", 1) end wait() end note(("x"):rep(10000))`)
	notes := s.notes()
	const warning = "note, print: no more lines are kept, the limit is 1000\nleave a note when something changes, not " +
		"in every tick"
	if len(notes) != maxNotes || s.warnings() != warning || s.failure() != "" {
		t.Errorf("%d notes, warned %q, failure %q", len(notes), s.warnings(), s.failure())
	}
	s = rehearse(t, `note(("x"):rep(10000)) note({}) note(nil) print(1, nil, true)`)
	if notes := s.notes(); len(notes[0]) != noteLength+3 ||
		!slices.Equal(notes[1:], []string{"table", "nil", "1\tnil\ttrue"}) {
		t.Errorf("noted %q", notes)
	}
}

// A fault below the host, in the machine, does not take the program down.
func TestAFaultBelowBecomesAnEvent(t *testing.T) {
	s := &stage{robot: newFake()}
	h, err := load(t, auto(`bot.intake:run(1)`)).NewHost(faulty{s.robot},
		Env{Sink: func(e record.Event) { s.events = append(s.events, e) }})
	if err != nil {
		t.Fatal(err)
	}
	s.Host = h
	defer h.Close()
	s.play(Auto, 1)
	if want := "routine.lua:1: fault inside the Lua machine: no such motor"; !strings.HasPrefix(s.failure(), want) {
		t.Errorf("got %q, want %q", s.failure(), want)
	}
}

// faulty is a machine with a fault.
type faulty struct{ *fake }

func (f faulty) Do(_ int, c robot.Command) {
	if c.Value != 0 {
		panic("no such motor")
	}
}
