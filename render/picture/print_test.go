package picture

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene/paint"
)

// told has a table of each look, bars, and what only a terminal shows.
func told() *report.Document {
	grid := report.Table{Columns: []report.Column{{Name: "rule"}, {Name: "ochre", Number: true},
		{Name: "a side of it", Number: true}, {Name: "signs", On: report.InTerminal}}}
	grid.Add("core in sled", "3 -> 6", "-", "##").More = []string{"more of it"}
	grid.Rows[0].Commands = []report.Command{{Words: "watch it", Line: "chalkfield open x.lua"}}
	grid.Add("total", "1234.75", "0", "").Total = true
	plain := report.Table{Look: report.Plain, Columns: []report.Column{{}, {Number: true}, {}}}
	plain.Add("moving", "8.78 s")
	plain.Rows[0].Cells = append(plain.Rows[0].Cells,
		report.Cell{Tracks: []report.Track{{Bars: []report.Bar{{From: 0.25, Width: 0.5}}}}})
	return &report.Document{Title: "A title", Head: []string{"what was looked at"}, Notes: []string{"a note"},
		Big: "32 points", Sections: []report.Section{
			{Title: "Score sheet", Lead: "at the end", Table: &grid, Below: []string{"ochre is ahead"}},
			{Title: "Where the time went", Table: &plain, Lines: []string{"a line"}},
			{Title: "Signs", On: report.InTerminal, Lines: []string{"##"}},
		}}
}

// All that a page has of a document is painted at every width, in order, and nothing lies over anything or is cut.
func TestADocumentIsPaintedWhole(t *testing.T) {
	want := []string{"A title", "what was looked at", "a note", "32 points", "Score sheet: at the end", "core in sled",
		"3 -> 6", "-", "more of it", "watch it: chalkfield open x.lua", "total", "1234.75", "0", "ochre is ahead",
		"Where the time went", "a line", "moving", "8.78 s"}
	for _, width := range []float64{226, 312, 900} {
		p := onPage(width).Print(told())
		page := paint.Box{Right: width, Bottom: p.Height}
		texts, all := painted(p), ""
		for i, a := range texts {
			all += a.Words + " "
			if !a.Box().Within(page) {
				t.Errorf("%v px: %q at %+v reaches out of %+v", width, a.Words, a.Box(), page)
			}
			for _, b := range texts[:i] {
				if a.Box().Grown(-0.5).Meets(b.Box().Grown(-0.5)) {
					t.Errorf("%v px: %q lies over %q", width, a.Words, b.Words)
				}
			}
		}
		rest := all
		for _, words := range want {
			_, after, found := strings.Cut(rest, words)
			if !found {
				t.Errorf("%v px: no %q in %q", width, words, rest)
				continue
			}
			rest = after
		}
		if strings.Contains(all, "##") || len(p.Cut) > 0 {
			t.Errorf("%v px: %q, cut %q", width, all, p.Cut)
		}
	}
}

func TestBarsHaveTheirShareOfTheTrack(t *testing.T) {
	p := onPage(400).Print(told())
	var r paint.Recorder
	p.draw(&r, new(paint.Drawer), paint.Box{Right: p.Width, Bottom: p.Height})
	whole, bar := r.Fills[len(r.Fills)-2], r.Fills[len(r.Fills)-1]
	if math.Abs(whole.Right-400) > 1e-9 || math.Abs(bar.Width()-whole.Width()/2) > 1e-9 ||
		math.Abs(bar.Left-whole.Left-whole.Width()/4) > 1e-9 {
		t.Errorf("track %+v, bar %+v", whole, bar)
	}
}

// A page that is scrolled shows whole lines only; what was shortened is told.
func TestAPrintIsSeenInPart(t *testing.T) {
	p := onPage(300).Print(told())
	var r paint.Recorder
	p.Draw(&r, new(paint.Drawer), geom.Vec{Y: -40}, 0, 60)
	for _, words := range r.Texts {
		if box := words.Box(); box.Top < -1 || box.Bottom > 61 {
			t.Errorf("%q at %+v", words.Words, box)
		}
	}
	if n := len(painted(p)); len(r.Texts) == 0 || len(r.Texts) >= n {
		t.Errorf("%d of %d texts", len(r.Texts), n)
	}
	long := strings.Repeat("word ", 100)
	if cut := onPage(300).Print(&report.Document{Head: []string{long}}).Cut; len(cut) != 1 || cut[0] != long {
		t.Errorf("shortened: %q", cut)
	}
}

// Columns that have no room stand below their rows; those that have stay a table.
func TestATableKeepsTheColumnsThatFit(t *testing.T) {
	table := report.Table{Columns: []report.Column{{Name: ""}, {Name: "a", Number: true}, {Name: "b", Number: true},
		{Name: "95 %"}, {Name: "beyond chance?"}}}
	table.Add("score", "32.00", "31.46", "-1.02 to -0.06", "yes")
	var words []string
	for _, text := range painted(onPage(260).Print(&report.Document{Sections: []report.Section{{Table: &table}}})) {
		words = append(words, text.Words)
	}
	want := "|a|b|score|32.00|31.46|95 %: -1.02 to -0.06, beyond chance?: yes"
	if got := strings.TrimPrefix(strings.Join(words, "|"), "|"); got != strings.TrimPrefix(want, "|") {
		t.Errorf("it reads %q", got)
	}
}
