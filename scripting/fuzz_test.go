package scripting

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
)

// statements are whole statements of the API; %v takes a random value.
var statements = []string{
	"bot.drive:volts(%v, %v)", "bot.drive:rate(%v, %v)", "bot.drive:ahead(%v, {background = %v})",
	"bot.drive:face(%v, {timeout = 0.05})",
	"bot.drive:visit(%v, %v, %v)", "bot.drive:dock(%v, %v, %v)", "bot.drive:trace({{%v, %v}, {%v, %v}})",
	"bot.drive:trace(%v)", "bot.drive:stop()",
	"bot.drive:arcade(%v, %v)", "bot.drive:tank(%v, %v)", "bot.here(%v, %v, %v)", "note(bot.where())", "note(%v)",
	"print(%v, %v)", "wait(%v)", "wait()",
	"await(function() return %v end, %v)", "task(function() wait(%v) note(%v) end)",
	"local t = task(function() wait() end) t:cancel()", "task(%v):join()",
	"bot.intake:run(%v)", "bot.conveyor:hold(%v)", "bot.clamp:shut()", "bot.claw:place()", "bot.lift:to(%v)",
	"bot.lift:reach(%v, %v)", "bot.lift:at(%v)",
	"bot[%v]:run(%v)", "note(bot.sense[%v])", "bot.sense.chute:sees(%v)", "pcall(bot.drive.ahead, %v, %v)",
	"pcall(wait, %v)", "bot.mast:volts(%v)",
	"local c = pid{p = %v, i = %v, low = %v, high = %v} c:update(%v, %v)",
	"local p = profile{distance = %v, speed = %v, accel = %v} p:at(%v)",
	"local s = slew{rise = %v} s:update(%v)", "param(%v, %v, %v, %v)", "routine(%v)", "local name = %v require(name)",
	"error(%v)", "bot.lift.to(%v)", "x = %v x = x.y", "for k, v in pairs(%v) do note(k) end",
	"table.sort({3, %v, 1}, function(a, b) wait() return %v end)", "setmetatable(%v, %v)", "note(tostring(%v))",
	"bot.drive:ahead(%v, %v)",
}

var values = []string{
	"nil", "true", "false", "0", "1", "-1", "0.05", "100", "-250.5", "1e9", "1e300", "0/0", "1/0", "-1/0", `""`,
	`"rack"`, `"a"`, "{}", "{1, 2, 3}", "{x = 1, y = 2, heading = 3}",
	"{speed = 500}", "{background = true}", "{gains = {along = 1}}", "function() end", "function() return 1 end", "bot",
	"bot.drive", "bot.intake", "bot.sense", "wait", "_G",
	"setmetatable({}, {__index = function() return 5 end, __call = function() return 1 end, __tostring = function() " +
		"return 'me' end})", `("x"):rep(1000)`,
}

func randomBody(random *rand.Rand) string {
	var body strings.Builder
	for range 1 + random.IntN(6) {
		statement := statements[random.IntN(len(statements))]
		for strings.Contains(statement, "%v") {
			statement = strings.Replace(statement, "%v", values[random.IntN(len(values))], 1)
		}
		if random.IntN(3) == 0 {
			statement = "pcall(function() " + statement + " end)"
		}
		body.WriteString("do " + statement + " end ")
	}
	return body.String()
}

// Random use of the API ends in results or in one clear error, and never in a fault of ours.
func TestRandomRoutinesNeverFault(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	clean := 0
	for range 1500 {
		body := randomBody(random)
		p, err := LoadFS(folder(auto(body)), "routine.lua")
		if err != nil {
			t.Fatalf("%s: %v", body, err)
		}
		s := stageOf(t, p, Env{})
		s.play(Auto, 0.3)
		if f := s.failure(); f == "" {
			clean++
		}
		for _, e := range s.events {
			if strings.Contains(e.Text, "fault inside") || strings.Contains(e.Text, "0x") || e.Kind == record.Failure &&
				e.Line == 0 {
				t.Errorf("%s\n%+v", body, e)
			}
		}
		for _, v := range []float64{s.robot.left, s.robot.right, s.robot.pose.X} {
			if v != v || v > 1e9 || v < -1e9 {
				t.Errorf("%s: the robot got %g", body, v)
			}
		}
		s.Close()
	}
	if clean < 200 {
		t.Errorf("only %d of 1500 ran to their end", clean)
	}
}

func FuzzRoutine(f *testing.F) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 20 {
		f.Add(randomBody(random))
	}
	f.Fuzz(func(t *testing.T, body string) {
		property.Bounded(t, func() {
			p, err := LoadFS(folder(auto(body)), "routine.lua")
			if err != nil {
				return
			}
			s := stageOf(t, p, Env{})
			s.play(Auto, 0.1)
			if strings.Contains(fmt.Sprint(s.events), "fault inside") {
				t.Error(s.events)
			}
			s.Close()
		})
	})
}
