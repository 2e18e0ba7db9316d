package window

import (
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// The numbers of the score keep apart, the last one always stands, and a change of the other side has none.
func TestScoreNumbersKeepApart(t *testing.T) {
	var scores []viewmodel.Score
	for i, totals := range [][2]float64{{0, 3}, {4, 3}, {6, 3}, {9, 3}, {9, 8}, {15, 8}} {
		scores = append(scores, viewmodel.Score{T: float64(i), Totals: record.Totals{{Value: totals[0]}, {Value: totals[1]}}})
	}
	for _, apart := range []float64{0.5, 4, 9, 40} { // points from change to change
		marks := scoreMarks(scores, 0, func(t float64) float64 { return 100 + apart*t })
		if marks[0].own || marks[0].total != "" || marks[4].own || marks[4].total != "" {
			t.Errorf("a change of the other side has a number: %+v", marks)
		}
		if marks[5].total != "15" {
			t.Errorf("the last number is missing: %+v", marks)
		}
		end := 0.0
		for _, mark := range marks {
			if mark.total == "" {
				continue
			}
			if mark.x < end {
				t.Errorf("%g points apart: %q stands on the number before it", apart, mark.total)
			}
			end = mark.x + scoreGap + paint.Width(mark.total, small, true)
		}
	}
}

func TestLanesAreToldApart(t *testing.T) {
	one := &viewmodel.Run{Record: &record.Record{Header: record.Header{Robots: make([]record.Robot, 1),
		Phases: []record.Phase{{Name: "autonomous", Seconds: 20}}}}}
	match := &viewmodel.Run{Record: &record.Record{Header: record.Header{Robots: make([]record.Robot, 2),
		Phases: []record.Phase{{Name: "autonomous", Seconds: 20}, {Name: "driver", Start: 20, Seconds: 100}}}}}
	g := bare(&viewmodel.Model{Robot: 1})
	for _, c := range []struct {
		run  *viewmodel.Run
		lane viewmodel.Lane
		want string
	}{
		{one, viewmodel.Lane{}, "main task"}, {one, viewmodel.Lane{Task: 2}, "task 2"},
		{match, viewmodel.Lane{}, "2: autonomous"}, {match, viewmodel.Lane{From: 20}, "2: driver"},
		{match, viewmodel.Lane{Task: 1}, "2: task 1"},
	} {
		if got := g.strip.laneName(c.run, c.lane); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// What is told about an event under the pointer stands in the line at the bottom while it is there.
func TestAnEventIsToldInTheLineAtTheBottom(t *testing.T) {
	g := handed(t)
	for _, size := range [][2]float64{{1280, 800}, {960, 600}} {
		g.width, g.height = size[0], size[1]
		g.step(hand{})
		told := map[record.Lane]bool{}
		for _, mark := range g.model.Now.Marks {
			row := g.strip.row(rowOf(mark.Row))
			g.step(hand{X: g.strip.timeX(mark.T), Y: row.Y + row.H/2})
			if g.strip.overEvent < 0 || g.strip.told() == "" {
				t.Fatalf("no event under the pointer at %g s of row %d", mark.T, mark.Row)
			}
			if over := g.model.Now.Record.Events[g.strip.overEvent]; over.T != g.model.Now.Record.Events[mark.Event].T {
				t.Errorf("at %g s it tells of %g s", mark.T, over.T)
			}
			told[mark.Row] = true
		}
		if !told[record.FieldLane] || !told[record.ScoreLane] {
			t.Fatalf("rows with events: %v", told)
		}
		if g.step(hand{X: 5, Y: 5}); g.strip.told() != "" {
			t.Errorf("beside the strip it tells %q", g.strip.told())
		}
	}
}
