package window

import (
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

func TestASettingIsTurnedWithinItsListAndEnterGoesRound(t *testing.T) {
	value := 1.5
	c := choice{&value, []float64{1, 1.5, 2, 3}}
	for _, step := range []struct {
		do   func()
		want float64
	}{
		{func() { c.turn(1) }, 2}, {func() { c.turn(0.1) }, 3}, {func() { c.turn(1) }, 3}, {c.next, 1},
		{func() { c.turn(-1) }, 1}, {c.next, 1.5},
	} {
		step.do()
		if value != step.want {
			t.Fatalf("at %g, want %g", value, step.want)
		}
	}
}

// What Enter changes on the drive card, Left and Right change too, as on the card of values; one row opens a card.
func TestEverySettingOfTheDriveCardTurns(t *testing.T) {
	g := bare(viewmodel.New(viewmodel.Files{}, nil))
	defer g.model.Close()
	for _, row := range g.driver.feelRows() {
		if opens := row.label == "keys and buttons"; !row.head && (row.do == nil || (row.turn == nil) != opens) {
			t.Errorf("%s does not turn, or opens nothing", row.label)
		}
	}
	g.card = &card{rows: g.driver.feelRows, cursor: 2}
	g.dialog.turn(g.card.list(), -1)
	if g.driver.pad.response.Dead != 0.04 {
		t.Errorf("the dead zone is %g", g.driver.pad.response.Dead)
	}
}

func TestACardSaysWhenNothingMatches(t *testing.T) {
	chosen := false
	c := &card{typed: true, rows: func() []cardRow {
		return []cardRow{{label: "a head", head: true}, {label: "one", do: func() { chosen = true }}}
	}}
	c.filter = "hea"
	rows := c.list()
	if len(rows) != 1 || rows[0].do != nil || !strings.Contains(rows[0].label, "Nothing matches") {
		t.Fatalf("rows %+v", rows)
	}
	g := bare(viewmodel.New(viewmodel.Files{}, nil))
	g.card = c
	g.dialog.choose(rows)
	if g.card != c || chosen {
		t.Error("Enter on nothing did something")
	}
}

func TestTheOpenCardHasNoTwoRowsAlike(t *testing.T) {
	demo := "core_haul_demo"
	g := bare(viewmodel.New(viewmodel.Files{}, nil))
	g.disk.memory.Recent = []viewmodel.Files{
		{Routine: demo}, {Routine: demo, Session: "match"}, {Routine: "/a/r.lua", Robot: "/a/robot.toml"},
		{Routine: "/a/r.lua", Robot: "/b/robot.toml"},
		{Routine: "/a/r.lua", Robot: "barrow"}, {Record: "/a/r.jsonl"}, {Routine: demo},
	}
	defer g.model.Close()
	var labels []string
	for _, row := range g.disk.recentRows() {
		labels = append(labels, row.label)
	}
	want := []string{demo, demo + ", match", "/a/r.lua, robot.toml", "/a/r.lua, /b/robot.toml", "/a/r.lua, barrow",
		"/a/r.jsonl"}
	if !slices.Equal(labels, want) {
		t.Errorf("rows %q\nwant %q", labels, want)
	}
}

// A check file is none of the window's files: the list of files leaves it out, and one that is dropped is told what
// reads it.
func TestACheckFileIsNotOpened(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.write("mine.check.toml", "[[case]]\n")
	h.write("mine.toml", "")
	h.key(ebiten.KeyO)
	var listed []string
	for _, row := range h.card.list() {
		if strings.HasSuffix(row.label, ".toml") {
			listed = append(listed, row.label)
		}
	}
	if !slices.Contains(listed, "mine.toml") || slices.Contains(listed, "mine.check.toml") {
		t.Errorf("listed: %q", listed)
	}
	h.key(ebiten.KeyEscape)
	files := h.model.Files
	h.disk.open("mine.check.toml")
	want := "mine.check.toml is a check file: `chalkfield check mine.check.toml` holds a routine to it."
	if h.model.Notice.Text != want || !h.model.Notice.Bad || h.model.Files != files {
		t.Errorf("told %q, files %+v", h.model.Notice.Text, h.model.Files)
	}
}

// Who types what stands on a row finds it before rows that only speak of it; Shift goes at least ten times as far.
func TestRowsOfThatNameComeFirst(t *testing.T) {
	c := card{typed: true, filter: "belt run", rows: func() []cardRow {
		return []cardRow{{label: "belt:hold()", note: "runs until a piece is there"}, {label: "belt:run(6)"}, {label: "lift"}}
	}}
	if rows := c.list(); len(rows) != 2 || rows[0].label != "belt:run(6)" {
		t.Errorf("%d rows, the first is %q", len(rows), rows[0].label)
	}
	value := 200.0
	count := choice{&value, counts}
	for _, step := range []struct{ way, want float64 }{{1, 500}, {10, 5000}, {-1, 2000}, {-10, 20}, {10, 500}} {
		if count.turn(step.way); value != step.want {
			t.Errorf("by %g it comes to %g, not %g", step.way, value, step.want)
		}
	}
}
