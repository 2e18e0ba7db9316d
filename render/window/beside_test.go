package window

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
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
	if words := h.model.Now.Other.PartsWords(units.Metric); !strings.Contains(words, "stay within") {
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

// The run beside is chosen in the window: the one before, a seed, a file, which is read again when it is saved.
func TestTheRunBesideIsChosenInTheWindow(t *testing.T) {
	h := atFile(t, waits)
	h.write("old.lua", departs)
	done := func() { h.until("both are run", func(st *state) bool { return !st.Busy }) }
	h.shift(ebiten.KeyJ)
	h.choose("Another seed", ebiten.KeyArrowRight, ebiten.KeyEnter)
	done()
	if other := h.model.Now.Other; other == nil || other.Record.Header.Seed != 3 || other.Name != "seed 3" {
		t.Fatalf("beside lies %+v", other)
	}
	h.model.LayFile("old.lua")
	done()
	if other := h.model.Now.Other; other.Name != "old.lua" || !(other.Parts > 1 && other.Parts < 3) {
		t.Fatalf("beside lies %q, which parts at %g", other.Name, other.Parts)
	}
	h.draws(t, "a run beside, chosen in the window")
	h.write("mine.lua", departs)
	h.until("the routine is the other's", func(*state) bool { return math.IsInf(h.model.Now.Other.Parts, 1) })
	h.shift(ebiten.KeyJ)
	h.choose("Nothing", ebiten.KeyEnter)
	done()
	if h.model.Now.Other != nil {
		t.Error("it is still there")
	}
	h.shift(ebiten.KeyJ)
	h.choose("The run before", ebiten.KeyEnter)
	done()
	if other := h.model.Now.Other; other == nil || other.Name != "the run before" {
		t.Errorf("beside lies %+v", other)
	}
	h.model.LayFile("none.lua")
	if !h.model.Notice.Bad || !strings.Contains(h.model.Notice.Text, "none.lua") {
		t.Errorf("of no file it says %+v", h.model.Notice)
	}
}

const (
	takesOne = `return routine { start = {x = 600, y = 450, heading = 0}, auto = function(bot)
  bot.intake:run(10) bot.drive:ahead(500)
end }`
	takesOneLater = `return routine { start = {x = 600, y = 450, heading = 0}, auto = function(bot)
  wait(1) bot.intake:run(10) bot.drive:ahead(500)
end }`
)

// A step that both come to is told with the time between them.
func TestTheStepsOfTwoRunsHaveTheirTimes(t *testing.T) {
	h := besideFile(t, takesOne, takesOneLater)
	rows := h.model.Now.Other.Steps.Rows
	if len(rows) == 0 {
		t.Fatal("neither picks anything up")
	}
	for _, row := range rows {
		if row.Cells[0].Words != "first core picked up" {
			continue
		}
		if by := row.Cells[3].Words; by < "+0.9" || by > "+1.1" {
			t.Errorf("a second later: %+v", row.Cells)
		}
		return
	}
	t.Errorf("no row tells of the first core: %+v", rows)
}
