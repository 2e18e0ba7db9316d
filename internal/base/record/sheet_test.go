package record

import (
	"slices"
	"testing"

	"chalkfield/internal/base/units"
)

func TestASheetInWords(t *testing.T) {
	row := Row{Rule: "core in sled", Count: []float64{2, 0, 3}, Points: []float64{0.1 + 0.2, 0}}
	if got, want := row.Cells(3), []string{"2 -> 0.3", "-", "-"}; !slices.Equal(got, want) {
		t.Errorf("cells %q, want %q", got, want)
	}
	for _, c := range []struct {
		sheet Sheet
		want  string
	}{
		{Sheet{Winner: 1}, "teal is ahead"}, {Sheet{Winner: 0, Broken: "core on rack"}, "ochre is ahead by core on rack"},
		{Sheet{Winner: -1}, "a draw"}, {Sheet{Winner: 5}, "a draw"},
	} {
		c.sheet.Sides, c.sheet.Total = []string{"ochre", "teal"}, []float64{4, 2.5}
		if got := c.sheet.Ahead(); got != c.want || c.sheet.Totals().String() != "ochre 4, teal 2.5" {
			t.Errorf("%q, want %q; totals %v", got, c.want, c.sheet.Totals())
		}
	}
	alone := Sheet{Sides: []string{"chalk"}, Total: []float64{0}}
	if got := alone.Ahead(); got != "" {
		t.Errorf("a side alone: %q", got)
	}
	for want, left := range map[string]Left{
		"battery 12.40 V": {Battery: 12.4}, "battery 12.40 V, air 600 kPa after 1 stroke": {Battery: 12.4, Air: 6e5,
			Strokes: 1},
		"battery 0.00 V, air 0 kPa after 2 strokes": {Strokes: 2},
	} {
		if got := left.In(units.Metric); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestRobotsOfOneTitleAreNumbered(t *testing.T) {
	named := func(title string) Robot { return Robot{File: File{Name: "r.toml", Title: title}} }
	h := Header{Robots: []Robot{named("Hauler"), named(""), named("Hauler")}}
	for i, want := range []string{"Hauler 1", "r.toml", "Hauler 3"} {
		if got := h.RobotName(i); got != want {
			t.Errorf("robot %d is called %q, want %q", i, got, want)
		}
	}
	e := Event{Kind: Failure, Robot: 2, Text: "oops", Trace: "a.lua:1: in auto"}
	if got := h.Told(e, units.Metric); got != "Hauler 3: error: oops" {
		t.Errorf("told %q", got)
	}
	e.Robot = -1
	if got := h.Told(e, units.Metric); got != "error: oops" {
		t.Errorf("nobody's: %q", got)
	}
}

// A sheet has a cell a side, also where its points are not known.
func TestASheetHasPointsOfEachSide(t *testing.T) {
	for _, c := range []struct {
		total []float64
		want  []string
	}{{[]float64{4, 0.1 + 0.2}, []string{"4", "0.3"}}, {[]float64{2}, []string{"2", ""}},
		{[]float64{1, 2, 3}, []string{"1", "2"}}, {nil, []string{"", ""}}} {
		s := Sheet{Sides: []string{"ochre", "teal"}, Total: c.total}
		if got := s.Points(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %q, want %q", c.total, got, c.want)
		}
	}
}
