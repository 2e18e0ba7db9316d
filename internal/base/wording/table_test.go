package wording

import (
	"strings"
	"testing"
)

// Widths from Unicode's EastAsianWidth.txt: W and F take two cells; Na, N, H and A one.
func TestCellsOfLetters(t *testing.T) {
	for _, c := range []struct {
		text  string
		class string
		cells int
	}{
		{"a", "Na", 1}, {"é", "A", 1}, {"±", "A", 1}, {"中", "W", 2}, {"あ", "W", 2}, {"한", "W", 2}, {"Ａ", "F", 2},
		{"　", "F", 2}, {"ｱ", "H", 1}, {"й", "A", 1}, {"א", "N", 1},
		{"", "", 0}, {"x中y", "", 4},
	} {
		if got := Cells(c.text); got != c.cells {
			t.Errorf("%q (%s) takes %d cells, want %d", c.text, c.class, got, c.cells)
		}
	}
}

func TestPaddedWordsEndAtOneCell(t *testing.T) {
	for _, words := range []string{"note: plain", "note: 芯を二つ積んだ", "touches 木箱 1", "ｱﾝﾀﾞｰ", ""} {
		for _, before := range []bool{false, true} {
			got := Pad(words, 24, before)
			if Cells(got) != 24 || strings.TrimSpace(got) != words || words != "" && strings.HasPrefix(got, " ") != before {
				t.Errorf("%q is padded to %q, %d cells", words, got, Cells(got))
			}
		}
	}
	if got := Pad("中文", 3, true); got != "中文" {
		t.Errorf("no room: %q", got)
	}
}
