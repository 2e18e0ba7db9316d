package window

import (
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// besideFile opens a routine with another one run beside it.
func besideFile(t *testing.T, mine, other string) *hands {
	t.Helper()
	return atFileBy(t, mine, func(files viewmodel.Files) (viewmodel.Loaded, error) {
		loaded, err := loadFile(files)
		if err != nil {
			return loaded, err
		}
		program, err := scripting.LoadTexts("other.lua", map[string]string{"other.lua": other})
		loaded.Other = &viewmodel.Other{Name: "other.lua", Routine: program}
		return loaded, err
	})
}

const (
	waits   = `return routine { start = {x = 600, y = 600, heading = 0}, auto = function(bot) wait(3) end }`
	departs = `return routine { start = {x = 600, y = 600, heading = 0}, auto = function(bot)
  wait(1) bot.drive:ahead(600)
end }`
	toCamp = `return routine { start = {x = 600, y = 450, heading = 180}, auto = function(bot)
  bot.drive:ahead(350)
end }`
)

func TestTwoRoutinesRunBesideEachOther(t *testing.T) {
	h := besideFile(t, waits, departs)
	other := h.model.Now.Other
	robot := viewmodel.Thing{Kind: viewmodel.RobotThing}
	apart := func(at float64) float64 {
		p, _ := h.model.Now.PoseOf(robot, at)
		q, _ := other.PoseOf(robot, at)
		return math.Hypot(p.X-q.X, p.Y-q.Y)
	}
	if !(other.Parts > 1) || apart(other.Parts) <= 0.05 || apart(other.Parts-record.SamplePeriod) > 0.05 {
		t.Errorf("they part at %g s, where they are %g m apart, and %g m a sample before", other.Parts, apart(other.Parts),
			apart(other.Parts-record.SamplePeriod))
	}
	h.model.Seek(2.5)
	h.notebook.turnTo(viewmodel.ScoreTab)
	h.draws(t, "two runs")
	if !slices.ContainsFunc(h.marks(), func(r scene.LegendRow) bool { return r.Words == "other.lua" }) {
		t.Errorf("the legend does not name it: %+v", h.marks())
	}
	h.write("mine.lua", departs)
	h.until("the routine is the other's", func(*state) bool { return math.IsInf(h.model.Now.Other.Parts, 1) })
	if words := h.model.Now.Other.PartsWords(); !strings.Contains(words, "stay within") {
		t.Errorf("of the same routine it says %q", words)
	}
}

// The table has each run's own score: the robot that ends in its camp has its points, the other has none.
func TestTheScoreOfTwoRunsStandsRuleByRule(t *testing.T) {
	h := besideFile(t, departs, toCamp)
	sections := h.notebook.scorePage()
	i := slices.IndexFunc(sections, func(s report.Section) bool { return s.Title == "Against other.lua" })
	if i < 0 {
		t.Fatalf("no section is against other.lua: %+v", sections)
	}
	found := false
	for _, row := range sections[i].Table.Rows {
		if row.Cells[0].Words == "robot in camp" {
			found = true
			if row.Cells[1].Words != "-" || row.Cells[2].Words != "1 -> 4" {
				t.Errorf("the camp: %q and %q", row.Cells[1].Words, row.Cells[2].Words)
			}
		}
	}
	if !found {
		t.Errorf("the rules are %+v", sections[i].Table.Rows)
	}
}
