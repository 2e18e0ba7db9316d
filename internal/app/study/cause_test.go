package study

import (
	"context"
	"math"
	"slices"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// A crate is clamped 10 ms before the first ball falls into it; a ball that is picked up before that comes now early,
// now late.
const crateField = `title = "Crates"
tile = "500 mm"
size = ["3 m", "2 m"]
[[sides]]
name = "red"
colour = "#d39a2f"
[[piece_kinds]]
name = "ball"
across = "100 mm"
mass = "100 g"
[[goal_kinds]]
name = "crate"
size = ["240 mm", "240 mm"]
mass = "1.5 kg"
room = 4
takes = ["ball"]
[[goals]]
kind = "crate"
name = "crate"
at = ["700 mm", "1 m"]
[[pieces]]
kind = "ball"
preload = "red"
at = ["200 mm", "200 mm"]
[[pieces]]
kind = "ball"
at = ["1.6 m", "1 m"]
[[phases]]
name = "alone"
length = "2.6 s"
control = "autonomous"
[[sessions]]
name = "alone"
phases = ["alone"]
[[rules]]
name = "ball in crate"
kind = "piece in goal"
points = 2
[spread]
goal_at = "18 mm"
piece_at = "25 mm"
`

const crateRobot = `title = "Porter"
[chassis]
length = "400 mm"
width = "360 mm"
mass = "5 kg"
[[wheels]]
at = ["0 mm", "160 mm"]
train = "left"
kind = "traction"
[[wheels]]
at = ["0 mm", "-160 mm"]
train = "right"
kind = "traction"
[air]
volume = "200 ml"
pressure = "6 bar"
[[parts]]
name = "intake"
[parts.intake]
mouth = [["190 mm", "-120 mm"], ["300 mm", "-120 mm"], ["300 mm", "120 mm"], ["190 mm", "120 mm"]]
[[parts]]
name = "conveyor"
[parts.conveyor]
length = "400 mm"
slots = 3
exit = ["270 mm", "0 mm"]
out = ["-270 mm", "0 mm"]
[[parts]]
name = "clamp"
[parts.clamp]
at = ["-370 mm", "0 mm"]
piston = { time = "120 ms" }
[[parts]]
name = "scorer"
[parts.scorer]
at = ["-230 mm", "0 mm"]
`

const crateRoutine = `return routine {
  title = "a crate", start = {x = 1190, y = 1000, heading = 0},
  auto = function(bot)
    bot.intake:run(11)
    bot.drive:ahead(200, {speed = 500})
    bot.drive:ahead(-310, {speed = 500})
    await(function() return clock() >= 1.5 end)
    bot.conveyor:run(9)
    wait(0.08)
    bot.clamp:shut()
    wait(0.125)
    if not bot.clamp:holding() then bot.conveyor:run(0) end
    wait(0.8)
  end,
}`

func crates(t *testing.T) Candidate {
	t.Helper()
	field, err := fields.Parse("field.toml", []byte(crateField))
	if err != nil {
		t.Fatal(err)
	}
	robot, err := robot.Parse("robot.toml", []byte(crateRobot))
	if err != nil {
		t.Fatal(err)
	}
	return candidate(t, field, robot, crateRoutine)
}

// Whatever was due first by the time of the plan: a rehearsal whose clamp missed left the plan there, not where the
// ball that it should have held is not scored.
func TestAMissedClampIsBlamedAndNotWhatItCost(t *testing.T) {
	const count = 400
	s, err := Trials(context.Background(), rehearse.Run, crates(t), Options{Count: count, Seed: 1, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	plan := s.Header.Variants[0].Plan
	clamped, scored := timeOf(plan, record.Clamped), timeOf(plan, record.Scored)
	if gap := scored - clamped; math.Abs(gap-0.01) > 1e-9 {
		t.Fatalf("the plan clamps at %g s and scores at %g s: the scene is to have 10 ms between them", clamped, scored)
	}
	journal, err := results.InMemory(s.Header)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Run(context.Background(), journal, 2, nil); err != nil {
		t.Fatal(err)
	}
	missed, early := 0, 0
	for _, r := range journal.File().Results {
		if !slices.ContainsFunc(r.Did, func(m results.Moment) bool { return m.Kind == record.Missed && m.What == "clamp" }) {
			continue
		}
		missed++
		if timeOf(*r, record.Pickup) < timeOf(plan, record.Pickup)-0.01 {
			early++ // by more than lies between clamp and score
		}
		if d := results.Blame(plan, *r, s.Header.Rules, s.Header.Seconds); d.Words != "clamp misses (line 11)" {
			t.Errorf("seed %d is grouped under %q", r.Seed, d.Words)
		}
	}
	if missed < 40 || early < 10 {
		t.Errorf("%d clamps missed, %d of them in early rehearsals: too few for a test", missed, early)
	}
	told, err := analysis.OfTrials(journal.File())
	if err != nil {
		t.Fatal(err)
	}
	if g := told.Groups[0]; g.Words != "clamp misses (line 11)" || g.Count != missed {
		t.Errorf("the report has %d under %q, want %d under the missed clamp", g.Count, g.Words, missed)
	}
}

func timeOf(r results.Result, kind record.Kind) float64 {
	for _, m := range r.Did {
		if m.Kind == kind {
			return m.T
		}
	}
	return math.Inf(1)
}
