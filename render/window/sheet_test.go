package window

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// A shortcut that stands behind another one with the same keys would never be reached.
func TestNoShortcutHidesAnother(t *testing.T) {
	list := bare(&viewmodel.Model{}).actions
	for i, a := range list {
		for _, b := range list[i+1:] {
			if a.name == b.name {
				t.Errorf("two actions are called %q", a.name)
			}
			apart := a.mode != "" && b.mode != "" && a.mode != b.mode
			if apart || onlyBuilds(a) != onlyBuilds(b) && !slices.Contains(alsoBuilding, a.name) &&
				!slices.Contains(alsoBuilding, b.name) {
				continue
			}
			for _, x := range a.keys {
				for _, y := range b.keys {
					first := x.alt && !y.alt // it alone minds Alt, and stands before
					same := x.shift == y.shift || x.shift == anyShift || y.shift == anyShift
					if x.key == y.key && x.ctrl == y.ctrl && same && !first {
						t.Errorf("%v has two meanings: %s and %s", x, a.name, b.name)
					}
				}
			}
		}
	}
}

// onlyBuilds reports whether an action's keys do it only while something is built, when most others rest.
func onlyBuilds(a action) bool { return a.mode == viewmodel.Build }

// The sheet has a row for every action with keys, and the list of actions has one for each.
func TestEveryActionIsOnTheSheet(t *testing.T) {
	g := bare(viewmodel.New(viewmodel.Files{}, nil))
	defer g.model.Close()
	rows := g.actionRows()
	for _, a := range g.actions {
		if a.does == "" || a.name == "" || a.group == "" || a.do == nil || strings.TrimSpace(a.does) != a.does {
			t.Errorf("half an action: %+v", a)
		}
		if a.keyWords() == "" && a.at == 0 {
			t.Errorf("%s has neither key nor menu", a.name)
		}
		listed := func(r cardRow) bool { return r.label == a.does && r.note == a.keyWords() }
		if a.keyWords() != "" && !slices.ContainsFunc(rows, listed) {
			t.Errorf("%s is not on the sheet", a.name)
		}
	}
}

func TestFoldLineKeepsEveryLetterAndTheWidth(t *testing.T) {
	for _, line := range []string{
		"", "short", "  if a then b() end", strings.Repeat("x", 100), "    " + strings.Repeat("word ", 30),
		strings.Repeat(" ", 90) + "far right",
		strings.Repeat("ä", 75), "\u4e16\u754c" + strings.Repeat("z ", 40),
	} {
		var joined string
		for i, part := range foldLine(line, 40) {
			if len([]rune(part)) > 40 {
				t.Errorf("%q: part %q is wider than 40", line, part)
			}
			if i > 0 {
				part = strings.TrimLeft(part, " ")
			}
			joined += part
		}
		if squeeze(joined) != squeeze(line) {
			t.Errorf("%q became %q", line, joined)
		}
	}
}

func squeeze(s string) string { return strings.ReplaceAll(s, " ", "") }

func TestFoldLineBreaksNoWord(t *testing.T) {
	for _, c := range []struct{ line, first string }{
		{"bot.drive:arcade(pad.left_y, pad.right_x_of_the_second)", "bot.drive:arcade(pad.left_y, "},
		{"local number = average_of(count(), total(), other())", "local number = average_of(count(), "},
		{"local far = some.thing.very_long_indeed.and_more_here", "local far = some.thing."},
		{"if a_rather_long_name then other_name(pad.left_y)", "if a_rather_long_name then "},
		{"  value = {x = 1.25, y = 1000.5000000000000000001}", "  value = {x = 1.25, y = "},
	} {
		if got := foldLine(c.line, 38)[0]; got != c.first {
			t.Errorf("%q: first row %q, want %q", c.line, got, c.first)
		}
	}
}

func TestAnErrorStandsAfterTheWholeOfItsLine(t *testing.T) {
	long := "local x = " + strings.Repeat("word ", 30)
	g := bare(&viewmodel.Model{Text: viewmodel.SourceOf("a.lua", "", "one()\n"+long+"\ntwo()"),
		Fault: &viewmodel.Fault{File: "a.lua", Line: 2, Text: "a.lua:2: wrong"}})
	g.density = 1
	page := Rect{W: 300, H: 400}
	var taller []string
	lines := g.notebook.routine.folded(page)
	for i, line := range lines {
		if g.notebook.routine.lineHeight(line, g.notebook.routine.faultyLine(), page) > codeRow {
			taller = append(taller, line.text)
			if line.number != 2 || lines[i+1].number != 3 {
				t.Errorf("the message stands under %q, which %q follows", line.text, lines[i+1].text)
			}
		}
	}
	if len(taller) != 1 {
		t.Errorf("the message stands under %q", taller)
	}
}

// Who does not build finds what plays at the top of the keys, and every tool's key at its button.
func TestTheFirstKeysAreThoseOfWhatOneIsAt(t *testing.T) {
	h := atFile(t, turnable)
	if rows := h.actionRows(); rows[0].label != "Time" || rows[len(rows)-1].note == "" {
		t.Errorf("the keys begin with %q", rows[0].label)
	}
	for _, e := range h.elements {
		if slices.Contains(toolNames, e.Name) && e.Hint == "" {
			t.Errorf("the button %s has no key", e.Label)
		}
	}
}

// The title tells a field that is a file from the one of that name that comes with the program, and what is moved.
func TestTheTitleNamesTheFieldsFile(t *testing.T) {
	h := atFile(t, turnable)
	h.model.Files.Field = "fields/mine.toml"
	h.model.Move(viewmodel.Thing{Kind: viewmodel.RobotThing}, geom.Pose{X: 0.7, Y: 0.5})
	_, about := (&header{h.shared}).titles()
	if about != "mine.lua, Core Haul (mine.toml), autonomous, nominal, start moved" {
		t.Errorf("the title says %q", about)
	}
}
