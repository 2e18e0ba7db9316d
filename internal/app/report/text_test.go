package report

import (
	"strings"
	"testing"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

// One document with every look of a table, and what only a page has.
func TestADocumentInATerminal(t *testing.T) {
	grid := &Table{Columns: heads("rule", "#ochre", "")}
	grid.Columns[1].On, grid.Columns[2].On = InTerminal, OnPage
	grid.Add("芯 in sled", "2 -> 4", "drawn").Cells[2].Tracks = []Track{{Label: "drawn"}}
	grid.Add("total", "4", "").Total = true
	list := newList("first departure", "#median", "#mean score")
	list.Most, list.Rest = 2, "   7  in 2 smaller groups"
	list.Add("12", "clamp misses", "6.10 s", "4.0").see("see one", "chalkfield open", Trial{})
	list.Add("3", "tips", "", "2.0").More = []string{"more often"}
	list.Add("1", "never told", "", "")
	d := &Document{Title: "of a page", Big: "64 %", Head: []string{"Yard"}, Notes: []string{"Not finished"}, Foot: "end",
		Sections: []Section{
			{Lines: []string{"ahead"}},
			{Title: "Score sheet", Table: grid, Below: []string{"a draw"}, Note: "of a page"},
			{Title: "Departures", Lead: "2 of 3", Table: list},
			{Title: "Drawn", On: OnPage, Table: grid},
			{Title: "Where the time went", Table: spent("doing", "%6.2f s", 20, 0.01,
				[]part{{"moving", 5}, {"idle", 15.0001}, {"back", -1}, {"mechanism", 0}})},
		}}
	d.Sections = append(d.Sections, Section{Table: facts(units.Metric)})
	d.Sections[5].Table.fact("Drive", "%d motors", 4)
	d.Sections[5].Table.fact("", "tips").More = []string{"never"}
	const want = `Yard
Not finished.

ahead

Score sheet
  rule         ochre
  芯 in sled   2 -> 4
  total        4
  a draw

Departures: 2 of 3
    12  clamp misses; median 6.10 s, mean score 4.0
        see one: chalkfield open
     3  tips; mean score 2.0
        more often
     7  in 2 smaller groups

Where the time went
  moving       5.00 s  ########
  idle        15.00 s  #######################
  back        -1.00 s

Drive     4 motors
          tips
          never

end
`
	if got := textOf(t, d); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// A share of nothing has no bar, nor has one that is more than all a longer one.
func TestBarsStayInTheirTrack(t *testing.T) {
	none := 0.0
	for share, want := range map[float64]float64{none / none: 0, 1 / none: 1, -1 / none: 0, -0.1: 0, 0.3: 0.3, 1.2: 1} {
		if got := bar("", "", share).Tracks[0].Bars[0].Width; got != want {
			t.Errorf("%g is drawn %g wide, want %g", share, got, want)
		}
	}
}

func TestATableForSpreadsheetsHasALineAPoint(t *testing.T) {
	s := analysis.Sweep{Axes: []results.Axis{{Name: "robot:mass", Unit: "kg", Values: []float64{5, 6.5}}},
		Points: []analysis.Point{{At: []int{0}, P: 1}, {At: []int{1}, P: 1, Done: 8}}}
	var out strings.Builder
	if err := CSV(&out, s); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(out.String(), "\n")
	if len(lines) != 4 || !strings.HasPrefix(lines[0], "robot:mass [kg],rehearsals,mean score,") ||
		!strings.HasPrefix(lines[2], "6.5,8,,,,,0,") {
		t.Error(out.String())
	}
}
