package viewmodel

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/scripting"
)

// handled is a routine with a handle of each kind.
const handled = `return routine {
  title = "handles", side = "ochre",
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    local far = 300 bot.here(600, 1000, 0)
    bot.drive:ahead(far)
    bot.drive:ahead(-200, {speed = 800})
    bot.drive:visit(1200, 2 * tile)
    bot.drive:face(90)
    bot.drive:trace({{1300, 1500}, {x = 1500, y = 1800}})
    bot.drive:dock({x = 1800, y = 2100, heading = 45})
  end,
}
`

func handle(t *testing.T, d *Model, name string) Handle {
	t.Helper()
	list := d.Handles()
	i := slices.IndexFunc(list, func(h Handle) bool { return h.Name() == name })
	if i < 0 {
		t.Fatalf("no handle %q in %v", name, list)
	}
	return list[i]
}

// Handles stand where the numbers of the calls put them.
func TestHandlesStandWhereTheirNumbersPutThem(t *testing.T) {
	d, _ := inFile(t, handled)
	for _, c := range []struct {
		name string
		at   geom.Vec
		near float64 // m
		why  string
	}{
		{"start point 3.0", geom.Vec{X: 0.6, Y: 1}, 1e-9, ""}, {"here point 5.0", geom.Vec{X: 0.6, Y: 1}, 1e-9, ""},
		{"start turn 3.1", geom.Vec{X: 0.6 + armLength/2, Y: 1}, 1e-9, ""},
		{"here turn 5.1", geom.Vec{X: 0.6 + armLength, Y: 1}, 1e-9, ""},
		{"ahead distance 6.0", geom.Vec{X: 0.9, Y: 1}, 0.02, "computed in line 5: far"},
		{"ahead distance 7.0", geom.Vec{X: 0.7, Y: 1}, 0.02, ""},
		{"visit point 8.0", geom.Vec{X: 1.2, Y: 1.2}, 0.02, ""},
		{"face turn 9.0", geom.Vec{X: 1.2, Y: 1.2 + armLength}, 0.03, ""},
		{"trace point 10.0", geom.Vec{X: 1.3, Y: 1.5}, 1e-9, ""}, {"trace point 10.1", geom.Vec{X: 1.5, Y: 1.8}, 1e-9, ""},
		{"dock point 11.0", geom.Vec{X: 1.8, Y: 2.1}, 1e-9, ""},
		{"dock turn 11.1", geom.Vec{X: 1.8 + armLength*math.Sqrt2/2, Y: 2.1 + armLength*math.Sqrt2/2}, 1e-9, ""},
	} {
		h := handle(t, d, c.name)
		if math.Hypot(h.At.X-c.at.X, h.At.Y-c.at.Y) > c.near || h.Why != c.why {
			t.Errorf("%s is at %v, %q; want %v, %q", c.name, h.At, h.Why, c.at, c.why)
		}
	}
	if err := d.HoldHandle(handle(t, d, "ahead distance 6.0")); err == nil {
		t.Error("a computed distance is taken")
	}
	d.Playing, d.Time = false, 0
	for _, c := range []struct {
		at   float64 // s
		mode Mode
		want string
	}{
		{0, Watch, "start point 3.0, start turn 3.1, here point 5.0, here turn 5.1, ahead distance 6.0"},
		{0.1, Watch, "here point 5.0, here turn 5.1, ahead distance 6.0"},
		{0, Arrange, "here point 5.0, here turn 5.1, ahead distance 6.0, ahead distance 7.0, visit point 8.0, " +
			"face turn 9.0, trace point 10.0, trace point 10.1, dock point 11.0, dock turn 11.1"},
	} {
		var names []string
		d.SetMode(c.mode)
		d.Time = c.at
		for _, h := range d.HandlesNow() {
			names = append(names, h.Name())
		}
		if got := strings.Join(names, ", "); got != c.want {
			t.Errorf("at %g s, %s, there are %s", c.at, c.mode, got)
		}
	}
}

// A handle that is moved changes its numbers and nothing else.
func TestAHandleMovedChangesItsNumbers(t *testing.T) {
	for _, c := range []struct {
		name     string
		to       geom.Vec
		old, new string
	}{
		{"start point 3.0", geom.Vec{X: 0.7, Y: 1.1}, "x = 600, y = 1000", "x = 700, y = 1100"},
		{"start turn 3.1", geom.Vec{X: 0.6, Y: 1.2}, "heading = 0}", "heading = 90}"},
		{"here point 5.0", geom.Vec{X: 0.7, Y: 1.1}, "here(600, 1000", "here(700, 1100"},
		{"ahead distance 7.0", geom.Vec{X: 0.6, Y: 1.3}, "ahead(-200", "ahead(-300"},
		{"visit point 8.0", geom.Vec{X: 1.25, Y: 1.9}, "visit(1200, 2 * tile)", "visit(1250, 2 * tile)"},
		{"trace point 10.1", geom.Vec{X: 1.6, Y: 1.7}, "{x = 1500, y = 1800}", "{x = 1600, y = 1700}"},
		{"dock turn 11.1", geom.Vec{X: 1.8, Y: 3}, "heading = 45", "heading = 90"},
		{"dock point 11.0", geom.Vec{X: 2, Y: 2}, "x = 1800, y = 2100", "x = 2000, y = 2000"},
	} {
		d, path := inFile(t, handled)
		h := handle(t, d, c.name)
		if err := d.HoldHandle(h); err != nil {
			t.Fatal(err)
		}
		d.MoveHandle(h, geom.Vec{X: 0.1, Y: 0.1}) // on the way
		d.MoveHandle(h, c.to)
		finish(t, d)
		if _, err := d.Keep(); err != nil {
			t.Fatal(err)
		}
		got, want := content(t, path), strings.Replace(handled, c.old, c.new, 1)
		if c.new == "ahead(-300" { // it goes from where the robot came to, which is within 10 mm of 900
			got = regexp.MustCompile(`ahead\(-(29\d|30\d|310)`).ReplaceAllString(got, c.new)
		}
		if got != want {
			t.Errorf("%s: the file is\n%s\nit says %q", c.name, got, d.Notice.Text)
		}
		d.Undo()
		if content(t, path) != handled {
			t.Errorf("%s: undone, the file is\n%s", c.name, content(t, path))
		}
	}
}

func TestAPlaceSnapsOntoWhatIsNear(t *testing.T) {
	d, _ := inFile(t, handled)
	piece, _ := d.Now.PoseOf(Thing{PieceThing, 0}, d.Time)
	rack, _ := d.Now.PoseOf(fixedGoal(t, d), d.Time)
	for _, c := range []struct{ at, want geom.Vec }{
		{geom.Vec{X: piece.X + 0.02, Y: piece.Y - 0.02}, piece.At()},
		{geom.Vec{X: 1.21, Y: 2.05}, geom.Vec{X: 1.2, Y: 2.05}},
		{geom.Vec{X: 1.0, Y: rack.Y + 0.025}, geom.Vec{X: 1.0, Y: rack.Y}},
	} {
		if got := d.Snap(c.at, 0.03); math.Hypot(got.X-c.want.X, got.Y-c.want.Y) > 1e-9 {
			t.Errorf("%v becomes %v, want %v", c.at, got, c.want)
		}
	}
}

func fixedGoal(t *testing.T, d *Model) Thing {
	for id := range d.Now.Record.Header.Bodies {
		if goal := (Thing{GoalThing, id}); d.Now.Record.Header.Bodies[id].Goal && d.Now.isFixed(goal) {
			return goal
		}
	}
	t.Fatal("no goal stands fixed")
	return Nothing
}

// A fixed goal is driven to until the robot stands before it, or with its back to it; other things to their middles.
func TestARobotIsDrivenToStandBesideAFixedGoal(t *testing.T) {
	d, _ := inFile(t, handled)
	goal := fixedGoal(t, d)
	rack, _ := d.Now.PoseOf(goal, d.Time)
	pose, _ := d.poseBefore()
	was := math.Atan2(pose.Y-rack.Y, pose.X-rack.X)
	for _, back := range []bool{false, true} {
		at := d.BesideFixed(goal, rack.At(), back)
		if way := math.Atan2(at.Y-rack.Y, at.X-rack.X); math.Abs(geom.WrapAngle(way-was)) > 1e-9 {
			t.Errorf("it stands at %v, in another direction than it comes from", at)
		}
		stands := geom.Pose{X: at.X, Y: at.Y, Heading: was + math.Pi}
		if back {
			stands.Heading = was
		}
		body, fixed := d.Now.Outline(Thing{RobotThing, 0}).Placed(stands), d.Now.Outline(goal).Placed(rack)
		least := math.Inf(1)
		for _, v := range body {
			least = math.Min(least, fixed.Distance(v))
		}
		for _, v := range fixed {
			least = math.Min(least, body.Distance(v))
		}
		if least < 0.001 || least > 0.25 {
			t.Errorf("backwards %v: %.0f mm are between the robot and the goal", back, 1000*least)
		}
	}
	piece := Thing{PieceThing, 0}
	if at := (geom.Vec{X: 1, Y: 2}); d.BesideFixed(piece, at, false) != at {
		t.Error("a piece is not driven to its middle")
	}
}

// A routine is made from an empty function by adding calls, one after the other.
func TestCallsAreAddedWhereTheRoutineIs(t *testing.T) {
	const empty = "return routine {\r\n  side = \"ochre\", start = {x = 600, y = 1000, heading = 0},\r\n" +
		"  auto = function(me) end,\r\n}\r\n"
	d, path := inFile(t, empty)
	d.Playing = false
	add := func(what Adding, x, y float64) {
		t.Helper()
		if err := d.HoldAdding(what, geom.Vec{X: x, Y: y}, geom.Vec{X: x, Y: y}); err != nil {
			t.Fatal(err)
		}
		if _, err := d.Keep(); err != nil {
			t.Fatal(err)
		}
		finish(t, d)
		if d.Fault != nil {
			t.Fatal(d.Fault.Text, content(t, path))
		}
	}
	d.Seek(0)
	add(AddVisit, 1.2, 1)
	if lit := d.LitLines(); d.Time == 0 || len(lit) == 0 || lit[0] != 4 {
		t.Errorf("the window does not go on from what was added: %g s, line %v", d.Time, lit)
	}
	if err := d.HoldPart("intake:run(10)"); err != nil { // no sample shows it at work
		t.Fatal(err)
	}
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	finish(t, d)
	add(AddWait, 0, 0)
	add(AddDock, 1.8, 1)
	d.Seek(0)
	add(AddTrace, 1.3, 1)
	want := strings.Replace(empty, " end", "\r\n    me.drive:visit(1200, 1000)\r\n    me.drive:trace({{1300, 1000}})\r\n"+
		"    me.intake:run(10)\r\n    wait(0.5)\r\n    me.drive:dock(1800, 1000, 0)\r\n  end", 1)
	if content(t, path) != want {
		t.Errorf("the file is\n%s", content(t, path))
	}
	for range 5 {
		d.Undo()
		finish(t, d)
	}
	if content(t, path) != empty {
		t.Errorf("undone, the file is\n%q", content(t, path))
	}
}

// Whatever a part of the demo's robot can be told by the menu, and whatever can be waited for, is a line that runs.
func TestWhatPartsAreToldAndWhatIsAwaitedRuns(t *testing.T) {
	d, path := inFile(t, strings.Replace(text(300), "ahead(300)", "ahead(10)", 1))
	try := func(calls []scripting.Call, hold func(string) error, line string, want ...string) {
		t.Helper()
		for _, one := range want {
			if !slices.ContainsFunc(calls, func(c scripting.Call) bool { return c.Form == one && c.Does != "" }) {
				t.Errorf("no %s in %v", one, calls)
			}
		}
		for i, call := range calls {
			if i%property.Cases(7, 1) > 0 {
				continue
			}
			d.Seek(d.End)
			before := content(t, path)
			if err := hold(call.Form); err != nil {
				t.Fatal(err)
			}
			if _, err := d.Keep(); err != nil {
				t.Fatal(err)
			}
			finish(t, d)
			if d.Fault != nil || strings.Count(content(t, path), fmt.Sprintf(line, call.Form)) != 1 {
				t.Errorf("%s: %v; the file is\n%s", call.Form, d.Notice, content(t, path))
			}
			d.Undo()
			finish(t, d)
			if content(t, path) != before {
				t.Fatalf("undone, the file is\n%s", content(t, path))
			}
		}
	}
	if n := testing.AllocsPerRun(10, func() { d.PartCalls() }); n > 0 { // an open menu asks in every update
		t.Errorf("asked again, it makes %g things anew", n)
	}
	try(d.PartCalls(), d.HoldPart, "\n    bot.%s\n", "intake:run(10)", `lift:to("rack")`, "clamp:shut()", "claw:grab()")
	try(d.Conditions(), d.HoldUntil, "\n    await(function() return bot.%s end, 2)\n", "sense.chute:sees()",
		"sense.front:mm() < 300", "sense.inertial:heading() > 90", "clamp:holding()", `lift:at("rack")`)
}

// A call goes after the whole of the statement that runs, and into a block that it opens.
func TestACallGoesAfterTheWholeStatement(t *testing.T) {
	text := "auto = function(bot)\n  bot.drive:trace({\n    {1, 2}, -- one\n  }) -- end\n" +
		"  if x then\n    go()\n  end\nend\n"
	for _, c := range []struct {
		line int
		want string
	}{
		{2, "  }) -- end\n  new\n  if x"}, {5, "if x then\n    new\n    go()"}, {6, "go()\n    new\n  end"},
	} {
		spot, err := spotAfter(text, c.line, "\n")
		if got := text[:spot.from] + spot.with("new") + text[spot.to:]; err != nil || !strings.Contains(got, c.want) {
			t.Errorf("line %d: %v\n%s", c.line, err, got)
		}
	}
}

// A value that was turned is written as its param's default, and counts no longer as turned.
func TestAValueIsWrittenAsItsDefault(t *testing.T) {
	mine := strings.Replace(text(300), "ahead(300)", `ahead(param("far", 300, 100, 500))`, 1)
	d, path := inFile(t, mine)
	value := func() scripting.Param { return d.Values()[0] }
	d.SetValue(value(), 412.5)
	finish(t, d)
	if err := d.HoldDefault(value()); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	finish(t, d)
	used := value().Used
	want := strings.Replace(mine, "300, 100", fmt.Sprintf("%g, 100", used), 1)
	if content(t, path) != want || value().Default != used || len(d.arranged.Params) != 0 || used == 300 {
		t.Errorf("%+v, %v; the file is\n%s", value(), d.arranged.Params, content(t, path))
	}
	d.Undo()
	finish(t, d)
	if content(t, path) != mine || value().Used != used || value().Default != 300 {
		t.Errorf("undone: %+v; the file is\n%s", value(), content(t, path))
	}
}

// A handle that was taken stays while the moment shown does, though its motion ends before it by now.
func TestAHandleInUseStays(t *testing.T) {
	d, _ := inFile(t, text(600))
	finish(t, d)
	d.SetMode(Watch)
	d.Pause()
	d.Seek(0.5)
	h := d.HandlesNow()[0]
	if err := d.HoldHandle(h); err != nil {
		t.Fatal(err)
	}
	d.MoveHandle(h, geom.Vec{X: 0.62, Y: 1})
	finish(t, d)
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	finish(t, d)
	if now := d.HandlesNow(); len(now) == 0 || now[0].Name() != h.Name() || now[0].End >= 0.5 {
		t.Errorf("%+v", now)
	}
	d.Seek(0.6)
	if now := d.HandlesNow(); len(now) > 0 && now[0].Name() == h.Name() {
		t.Error("it stays at another moment too")
	}
}

// A line of a function is told with the lines that call it.
func TestALineIsToldWithItsCallers(t *testing.T) {
	d, _ := inFile(t, "local function go(bot)\n  bot.drive:ahead(100)\nend\nreturn routine {start = {x = 600, y = 1000, "+
		"heading = 0},\nauto = function(bot)\n  go(bot)\nend}\n")
	finish(t, d)
	const want = "timeout (line 2, in go called by line 6), then (line 6)"
	if words := d.WithCallers("timeout (line 2), then (line 6)"); words != want {
		t.Error(words)
	}
}

// A turn is added from where the line ends that it is put after, whatever moment of that is shown.
func TestATurnIsFromWhereTheLineBeforeItEnds(t *testing.T) {
	const there = "return routine { side = \"ochre\", start = {x = 600, y = 1000, heading = 0},\n" +
		"  auto = function(bot)\n    bot.drive:visit(1500, 1000)\n  end }\n"
	d, path := inFile(t, there)
	d.Playing = false
	d.Seek(0.3)
	if err := d.HoldAdding(AddFace, geom.Vec{X: 1.5, Y: 1.5}, geom.Vec{X: 1.5, Y: 1.5}); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Keep(); err != nil {
		t.Fatal(err)
	}
	if text := content(t, path); !strings.Contains(text, "1000)\n    bot.drive:face(90)\n") {
		t.Errorf("the file is\n%s", text)
	}
}
