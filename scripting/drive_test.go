package scripting

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// near fails unless the robot stands where it should, in mm and degrees.
func (s *stage) near(t *testing.T, x, y, heading float64) {
	t.Helper()
	p := s.robot.pose
	turned := math.Abs(geom.WrapAngle(p.Heading-heading*deg)) / deg
	if math.Hypot(p.X/mm-x, p.Y/mm-y) > 15 || turned > 2 {
		t.Errorf("the robot stands at (%.0f, %.0f) heading %.1f, want (%.0f, %.0f) heading %.1f", p.X/mm, p.Y/mm,
			p.Heading/deg, x, y, heading)
	}
	if f := s.failure(); f != "" {
		t.Error(f)
	}
}

// The motions arrive where they are sent, in Lua's units. How well they drive is tested in package motion.
func TestMotionsGoWhereTheyAreSent(t *testing.T) {
	rehearse(t, `bot.drive:ahead(600)`).near(t, 600, 0, 0)
	rehearse(t, `bot.drive:ahead(-300)`).near(t, -300, 0, 0)
	rehearse(t, `bot.drive:ahead(300, {reverse = true, speed = 400, accel = 800})`).near(t, -300, 0, 0)
	rehearse(t, `bot.drive:ahead(24 * inch)`).near(t, 609.6, 0, 0)
	rehearse(t, `bot.drive:ahead(0.5 * tile + 10 * cm + 0.1 * m)`).near(t, 500, 0, 0)
	rehearse(t, `bot.drive:face(90)`).near(t, 0, 0, 90)
	rehearse(t, `bot.drive:face(0.25 * turn, {way = "right", within = 2, speed = 180, accel = 400})`).near(t, 0, 0, 90)
	rehearse(t, `bot.drive:face({0, -500})`).near(t, 0, 0, -90)
	rehearse(t, `bot.drive:face{x = 500, y = 500}`).near(t, 0, 0, 45)
	rehearse(t, `bot.drive:face({500, 0}, {reverse = true})`).near(t, 0, 0, 180)
	s := rehearse(t, `bot.drive:visit(500, 400)`)
	s.near(t, 500, 400, s.robot.pose.Heading/deg)
	s = rehearse(t, `bot.drive:visit({500, 400}, {within = 5, within_angle = 3, turn_speed = 200, turn_accel = 500})`)
	s.near(t, 500, 400, s.robot.pose.Heading/deg)
	rehearse(t, `bot.drive:dock(800, 300, 45)`).near(t, 800, 300, 45)
	rehearse(t, `bot.drive:dock({x = 800, y = 300, heading = 45}, {gains = {along = 4, heading = 6, damping = `+
		`0.1}})`).near(t, 800, 300, 45)
	s = rehearse(t, `bot.drive:trace({{400, 100}, {x = 800, y = 400}})`)
	s.near(t, 800, 400, s.robot.pose.Heading/deg)
}

// Turning to the left or right as asked: halfway the heading tells which way it went.
func TestFaceTurnsTheWayItIsTold(t *testing.T) {
	for way, sign := range map[string]float64{"left": 1, "right": -1} {
		s := stageOf(t, load(t, auto(fmt.Sprintf(`bot.drive:face(180, {way = %q})`, way))), Env{})
		s.play(Auto, 0.4)
		if h := s.robot.pose.Heading; h*sign < 0.1 {
			t.Errorf("%s: the heading is %g after 0.4 s", way, h)
		}
	}
}

func TestMotionsReturnHowTheyEnded(t *testing.T) {
	noted(t, `
    local r = bot.drive:ahead(500)
    note(tostring(r.ok) .. " " .. r.why .. " " .. tostring(math.abs(r.left) < 10) .. " " ..
      tostring(r.took > 0.3 and r.took < 2))
    note(tostring(r.overshoot >= 0 and r.settle >= 0 and r.planned > 0.2))
    note((tostring(r):gsub("[%d.-]+", "N")))`,
		"true arrived true true", "true", "arrived after N s, N left")
	s := stageOf(t, load(t, auto(`local r = bot.drive:ahead(500)
    note(tostring(r.ok) .. " " .. r.why .. " " .. math.floor(r.left + 0.5))
    r = bot.drive:ahead(500, {timeout = 0.05}) note(r.why)`)), Env{})
	s.robot.stuck = true
	s.play(Auto, 20)
	if want := []string{"false stalled 500", "timeout"}; !slices.Equal(s.notes(), want) {
		t.Errorf("noted %q, want %q", s.notes(), want)
	}
}

func TestMotionsGoOnInTheBackground(t *testing.T) {
	noted(t, `
    local m = bot.drive:ahead(600, {background = true})
    note(tostring(m:done()) .. " " .. clock())
    wait(0.2)
    note(tostring(m.result.ok) .. " " .. tostring(m.result.left > 300) .. " " .. m.result.why)
    local r = m:join()
    note(r.why .. " " .. tostring(m:done()) .. " " .. m.result.why)
    note(m:join().why)
    m:cancel() -- nothing: it has ended
    m = bot.drive:ahead(600, {background = true})
    wait(0.2)
    m:cancel()
    note(m.result.why .. " " .. tostring(m:done()))`,
		"false 0", "false true ", "arrived true arrived", "arrived", "cancelled true")
}

// The drive base obeys the last command: what was under way ends as cancelled, wherever it was begun.
func TestALaterCommandCancelsAMotion(t *testing.T) {
	for _, command := range []string{"bot.drive:volts(0, 0)", "bot.drive:stop()", "bot.drive:ahead(100)",
		"bot.drive:rate(0, 0)", "bot.drive:tank(0, 0.1)", "bot.drive:arcade(0.1, 0)"} {
		s := rehearse(t, `
    task(function() wait(0.3) `+command+` end)
    local r = bot.drive:ahead(5000)
    note(r.why .. string.format(" %.2f", r.took))
    bot.drive:stop()`)
		if len(s.notes()) != 1 || !strings.HasPrefix(s.notes()[0], "cancelled 0.3") || s.failure() != "" {
			t.Errorf("%s: noted %q %s", command, s.notes(), s.failure())
		}
	}
}

// A task that is cancelled takes its motion along.
func TestACancelledTaskStopsItsMotion(t *testing.T) {
	s := rehearse(t, `
    local a = task(function() bot.drive:ahead(5000) end)
    wait(0.5)
    a:cancel()`)
	var last record.Event
	for _, e := range s.events {
		if e.Kind == record.MotionEnd {
			last = e
		}
	}
	if last.Reason != record.Cancelled || math.Abs(last.Took-0.5) > 0.02 || s.robot.left != 0 || s.robot.right != 0 {
		t.Errorf("the motion %q, volts %g %g", last.Sentence(units.Metric), s.robot.left, s.robot.right)
	}
}

func TestVoltsReachTheTrains(t *testing.T) {
	for body, want := range map[string][2]float64{
		`bot.drive:volts(5, -3)`:                                           {5, -3},
		`bot.drive:tank(0.5, 2)`:                                           {6, 12},
		`bot.drive:arcade(0.5, 0.25)`:                                      {9, 3},
		`bot.drive:arcade(1, 1)`:                                           {12, 0},
		`bot.drive:volts(5, 5) bot.drive:stop()`:                           {0, 0},
		`bot.drive:ahead(9000, {background = true}) bot.drive:volts(1, 1)`: {1, 1},
	} {
		s := rehearse(t, body)
		if got := [2]float64{s.robot.left, s.robot.right}; got != want || s.failure() != "" {
			t.Errorf("%s: %v, want %v %s", body, got, want, s.failure())
		}
	}
}

func TestRateHolds(t *testing.T) {
	s := stageOf(t, load(t, auto(`bot.drive:rate(400, 0) wait(1) bot.drive:rate(0, 90) wait(1) note("over") `+
		`bot.drive:stop()`)), Env{})
	s.play(Auto, 0.9)
	if along, _ := s.robot.BeliefSpeed(); math.Abs(along-0.4) > 0.02 {
		t.Errorf("the speed is %g, want 0.4 m/s", along)
	}
	for range 100 {
		s.once()
	}
	if _, turn := s.robot.BeliefSpeed(); math.Abs(turn-90*deg) > 0.1 {
		t.Errorf("the turning rate is %g, want %g", turn, 90*deg)
	}
	motions := 0
	for _, e := range s.events {
		if e.Kind == record.MotionStart {
			motions++
		}
	}
	if motions != 1 {
		t.Errorf("%d motions were begun: a change of rate is none", motions)
	}
}

func TestWhereTellsTheBelief(t *testing.T) {
	s := noted(t, `
    bot.here(600, 450, 90)
    local p = bot.where()
    note(string.format("%.1f %.1f %.1f", p.x, p.y, p.heading))
    note(tostring(p))
    bot:here({x = 1, y = 2, heading = 3})
    note(tostring(bot:where()))
    bot.here{10, 20, 30}
    bot.drive:visit(p)
    note(string.format("%.1f %.1f", bot.battery(), bot.air()))`,
		"600.0 450.0 90.0", "(600, 450) heading 90", "(1, 2) heading 3", "12.4 500.0")
	if s.robot.beliefs != 3 {
		t.Errorf("the belief was set %d times", s.robot.beliefs)
	}
}

func TestTheEventsTellOfMotions(t *testing.T) {
	s := rehearse(t, `
    bot.drive:ahead(500)
    bot.drive:face(90)
    bot.drive:visit(600, 100)
    bot.drive:dock(0, 0, 0)
    bot.drive:trace({{200, 0}, {400, 100}}, {timeout = 0.05})
    bot.drive:face({0, 0}, {timeout = 0.02})
    bot.drive:rate(100, 10)
    bot.drive:stop()`)
	var starts, ends []string
	for _, e := range s.events {
		switch e.Kind {
		case record.MotionStart:
			starts = append(starts, fmt.Sprintf("%d %s %s", e.Line, e.What, e.Text))
		case record.MotionEnd:
			ends = append(ends, fmt.Sprintf("%d %s %s", e.Line, e.What, e.Reason))
		}
	}
	wantStarts := []string{"2 ahead 500 mm", "3 face to 90 deg", "4 visit to (600, 100)",
		"5 dock at (0, 0) heading 0 deg", "6 trace 2 points to (400, 100)", "7 face to (0, 0)", "8 rate 100 mm/s, 10 deg/s"}
	wantEnds := []string{"2 ahead arrived", "3 face arrived", "4 visit arrived", "5 dock arrived", "6 trace timeout",
		"7 face timeout", "8 rate held"}
	if !slices.Equal(starts, wantStarts) || !slices.Equal(ends, wantEnds) {
		t.Errorf("begun %q\nended %q", starts, ends)
	}
}
