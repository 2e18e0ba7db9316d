package window

import (
	"strings"
	"testing"

	"chalkfield/render/window/viewmodel"
)

// A shortcut that stands behind another one with the same keys would never be reached.
func TestNoShortcutHidesAnother(t *testing.T) {
	list := bare(&viewmodel.Model{}).actions
	overlap := func(a, b action) bool {
		sameKey := a.key == b.key || a.also != 0 && (a.also == b.key || a.also == b.also) || b.also != 0 && a.key == b.also
		if !sameKey || a.ctrl != b.ctrl || a.shift != anyShift && b.shift != anyShift && a.shift != b.shift {
			return false
		}
		return true
	}
	for i, a := range list {
		for _, b := range list[i+1:] {
			if !overlap(a, b) {
				continue
			}
			if a.mode == "" || b.mode == "" || a.mode == b.mode {
				t.Errorf("the key %v (ctrl %v) has two meanings in the mode %q", a.key, a.ctrl, a.mode+b.mode)
			}
		}
	}
}

// The sheet names a key for every shortcut: a row without words belongs to the row above it, which names all of them.
func TestEveryGroupOfShortcutsIsOnTheSheet(t *testing.T) {
	list := bare(&viewmodel.Model{}).actions
	if list[0].keys == "" {
		t.Fatal("the first shortcut has no words")
	}
	for _, s := range list {
		if (s.keys == "") != (s.does == "") || (s.keys == "") != (s.group == "") {
			t.Errorf("half a row: %q %q %q", s.group, s.keys, s.does)
		}
		if strings.TrimSpace(s.does) != s.does {
			t.Errorf("loose spaces in %q", s.does)
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
