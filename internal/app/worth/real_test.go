package worth

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// rehearsed does a task with what follows its way, and gives the rehearsal's results and the points of a rule.
func rehearsed(t *testing.T, f *fields.Field, r *robot.Robot, start geom.Pose, before, way, after, rule string) (
	results map[string]float64, points, count float64) {
	t.Helper()
	text := fmt.Sprintf("return routine {title = 'it', side = 'ochre', auto = function(bot)\n%s\n%s\n"+
		"result('drove', clock(), 's')\n%s\nresult('done', clock(), 's')\nend}", before, way, after)
	program, err := scripting.LoadTexts("it.lua", map[string]string{"it.lua": text})
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: f, Nominal: true, Sparse: true,
		Entrants: []rehearse.Entrant{{Robot: r, Routine: program, Start: &start}}})
	if err != nil {
		t.Fatal(err)
	}
	results = map[string]float64{}
	for _, e := range rec.Events {
		switch e.Kind {
		case record.Failure:
			t.Fatal(e.Text)
		case record.Result:
			results[e.What] = e.Value
		}
	}
	for _, row := range rec.Sheet.Rows {
		if row.Rule == rule {
			points, count = row.Points[0], row.Count[0]
		}
	}
	return results, points, count
}

func coreHaul(t *testing.T) (*fields.Field, *robot.Robot, geom.Pose, *Result) {
	t.Helper()
	f, err := fields.Find("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	r, err := robot.Find("hauler")
	if err != nil {
		t.Fatal(err)
	}
	start := geom.Pose{X: 0.6, Y: 0.45}
	found, err := Find(context.Background(), f, r, Options{Start: &start})
	if err != nil {
		t.Fatal(err)
	}
	return f, r, start, found
}

// A core is fetched and put onto a rack for real: the drive takes as long as it is said to, to 7 % and mostly to 1 %,
// all of it to 6 %, and brings the points, beside those of the core that was loaded. Where it takes longer the robot
// pushes other cores aside.
func TestCoresOnRacksTakeAsLongAsSaid(t *testing.T) {
	f, r, start, found := coreHaul(t)
	looked, close := 0, 0
	for _, task := range found.Tasks {
		if !strings.Contains(task.Place, "rack") || task.Not != "" || looked == property.Cases(4, 22) {
			continue
		}
		looked++
		results, points, _ := rehearsed(t, f, r, start, "bot.intake:run(11) bot.conveyor:hold()", task.Drive.Lua(),
			`bot.lift:reach("rack", 2) local n = bot.conveyor:count() bot.conveyor:run(10)
await(function() return bot.conveyor:count() < n end, 3)`, "core on rack")
		off := task.Drive.Seconds/results["drove"] - 1
		if math.Abs(off) < 0.01 {
			close++
		}
		if all := task.Seconds()/results["done"] - 1; math.Abs(off) > 0.07 || math.Abs(all) > 0.06 {
			t.Errorf("%s: the drive is said to take %.2f s, and takes %.2f; all %.2f and %.2f", task.What, task.Drive.Seconds,
				results["drove"], task.Seconds(), results["done"])
		}
		if points < task.Points {
			t.Errorf("%s brings %g points, not %g", task.What, points, task.Points)
		}
	}
	if looked < 4 || 2*close < looked {
		t.Errorf("of %d drives %d are as said to a hundredth", looked, close)
	}
}

// The core just ahead of the start, too near for a run-up, is taken by driving straight on: as quickly as a plan of its
// last 98 mm has it, and for real.
func TestCoreJustAheadIsTakenStraight(t *testing.T) {
	f, r, _, _ := coreHaul(t)
	start := geom.Pose{X: 0.9, Y: 0.45}
	i := slices.IndexFunc(f.Pieces, func(p fields.Piece) bool {
		return p.Goal < 0 && p.At.Y == start.Y && p.At.X > start.X
	})
	start.X = f.Pieces[i].At.X - 0.35
	found, err := Find(context.Background(), f, r, Options{Start: &start})
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range found.Tasks {
		if one.Thing != f.Pieces[i].Name || !strings.Contains(one.Place, "rack") {
			continue
		}
		if first := one.Drive.Moves[0].Call; !strings.HasPrefix(first, "ahead(9") {
			t.Errorf("the core 350 mm ahead is fetched by %s", one.Drive.Lua())
		}
		_, points, _ := rehearsed(t, f, r, start, "bot.intake:run(11) bot.conveyor:hold()", one.Drive.Lua(),
			`bot.lift:reach("rack", 2) local n = bot.conveyor:count() bot.conveyor:run(10)
await(function() return bot.conveyor:count() < n end, 3)`, "core on rack")
		if points < one.Points {
			t.Errorf("%s brings %g points, not %g", one.What, points, one.Points)
		}
		return
	}
	t.Error("no way for the core ahead")
}

// A sled is hauled home for real: the clamp takes it, it ends in the camp, as soon as is said to 3 %: the last move is
// said as a rehearsal with the sled in tow has it.
func TestSledsAreHauledHome(t *testing.T) {
	f, r, start, found := coreHaul(t)
	for _, task := range found.Tasks {
		if !strings.HasPrefix(task.What, "ochre near sled into ochre camp") {
			continue
		}
		n := len(task.Drive.Moves) - 1
		way := task.Drive
		way.Moves = way.Moves[:n]
		results, _, home := rehearsed(t, f, r, start, "", way.Lua(), fmt.Sprintf(
			"bot.clamp:shut() wait(0.15) result('holds', bot.clamp:holding() and 1 or 0)\nbot.drive:%s\n"+
				"result('home', clock(), 's')",
			task.Drive.Moves[n].Call), "sled in camp")
		if results["holds"] != 1 || home != 1 {
			t.Errorf("the clamp holds %g sleds, and %g come home", results["holds"], home)
		}
		t.Logf("said %.2f s, took %.2f s", task.Seconds(), results["home"])
		if off := task.Seconds()/results["home"] - 1; math.Abs(off) > 0.03 {
			t.Errorf("it is said to take %.2f s, and takes %.2f", task.Seconds(), results["home"])
		}
		return
	}
	t.Error("no sled comes home")
}

// A fixed goal that is served from all around is served from where the robot comes, sooner than from where it faces,
// and as soon as a rehearsal has it, with its points.
func TestGoalsServedFromAllAround(t *testing.T) {
	source, err := fields.EmbeddedSource("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	_, r, start, _ := coreHaul(t)
	const rack = "name = \"rack\"\nfixed = true\n"
	text := strings.Replace(string(source), `["1.56 m", "40 mm"]`, `["1.56 m", "900 mm"]`, 1)
	said := map[bool]float64{}
	for _, around := range []bool{false, true} {
		if around {
			text = strings.Replace(text, rack, rack+"around = true\n", 1)
		}
		f, err := fields.Parse("field.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		found, err := Find(context.Background(), f, r, Options{Start: &start})
		if err != nil {
			t.Fatal(err)
		}
		for _, task := range found.Tasks {
			if task.What != "core 1 into ochre low rack" {
				continue
			}
			said[around] = task.Seconds()
			results, points, _ := rehearsed(t, f, r, start, "bot.conveyor:hold()", task.Drive.Lua(),
				`bot.lift:reach("rack", 2) bot.conveyor:run(10) await(function() return bot.conveyor:count() < 1 end, 3)`,
				"core on rack")
			if off := task.Seconds()/results["done"] - 1; math.Abs(off) > 0.06 || points < task.Points {
				t.Errorf("all around: %v: said to take %.2f s for %g points, took %.2f for %g", around, task.Seconds(),
					task.Points, results["done"], points)
			}
		}
	}
	if !(said[true] > 0 && said[true] < said[false]) {
		t.Errorf("from all around it takes %.2f s, from where it faces %.2f", said[true], said[false])
	}
	t.Log(said)
}

// The chance by which a clamp takes a sled is what rehearsals over the spread have, to three standard errors of their
// share and 3 %, which what is left out may make: motors, grip and contacts.
func TestChancesAreAsRehearsed(t *testing.T) {
	f, r, start, found := coreHaul(t)
	i := slices.IndexFunc(found.Tasks, func(t *Task) bool {
		return strings.HasPrefix(t.What, "middle sled into ochre camp")
	})
	one := found.Tasks[i]
	way := one.Drive
	way.Moves = way.Moves[:len(way.Moves)-1]
	program, err := scripting.LoadTexts("it.lua", map[string]string{"it.lua": "return routine {title = 'it', " +
		"side = 'ochre', auto = function(bot)\n" + way.Lua() + "bot.clamp:shut()\nend}"})
	if err != nil {
		t.Fatal(err)
	}
	took, n := 0, property.Cases(30, 300)
	for seed := range n {
		rec, err := rehearse.Run(context.Background(), rehearse.Setup{Field: f, Sparse: true, Seed: uint64(seed),
			Entrants: []rehearse.Entrant{{Robot: r, Routine: program, Start: &start}}})
		if err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(rec.Events, func(e record.Event) bool { return e.Kind == record.Clamped }) {
			took++
		}
	}
	share := float64(took) / float64(n)
	t.Logf("said %.3f, %d of %d took it", one.Chance, took, n)
	if math.Abs(share-one.Chance) > 0.03+3*math.Sqrt(one.Chance*(1-one.Chance)/float64(n)) {
		t.Errorf("%s: said to be taken by a chance of %.2f, %d of %d took it", one.What, one.Chance, took, n)
	}
}
