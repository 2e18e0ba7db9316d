package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/desk"
)

// A shortcut that stands behind another one with the same keys would never be reached.
func TestNoShortcutHidesAnother(t *testing.T) {
	list := shortcuts()
	overlap := func(a, b shortcut) bool {
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
			for _, mode := range []desk.Mode{desk.Watch, desk.Measure, desk.Arrange} {
				g := &game{desk: &desk.Desk{Mode: mode}}
				if (a.when == nil || a.when(g)) && (b.when == nil || b.when(g)) {
					t.Errorf("in mode %s the key %v (ctrl %v) has two meanings", mode, ebiten.Key(a.key), a.ctrl)
				}
			}
		}
	}
}

// The sheet names a key for every shortcut: a row without words belongs to the row above it, which names all of them.
func TestEveryGroupOfShortcutsIsOnTheSheet(t *testing.T) {
	list := shortcuts()
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
		"", "short", "  if a then b() end", strings.Repeat("x", 100), "    " + strings.Repeat("word ", 30), strings.Repeat(" ", 90) + "far right",
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
