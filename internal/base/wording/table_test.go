package wording

import (
	"fmt"
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

func TestTheLastColumnBeginsAtOneCell(t *testing.T) {
	var out strings.Builder
	table := NewTable(&out, 2)
	cells := []string{"note: plain", "note: 芯を二つ積んだ", "touches 木箱 1", "ｱﾝﾀﾞｰ"}
	for i, cell := range cells {
		fmt.Fprintf(table, "%d s\t%s\t|here\n", i, cell)
	}
	if err := table.Flush(); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	want := Cells("0 s  " + cells[1] + "  ")
	for i, line := range lines {
		before, _, found := strings.Cut(line, "|here")
		if !found || Cells(before) != want || !strings.Contains(before, cells[i]) {
			t.Errorf("the last column of %q begins at cell %d, want %d", line, Cells(before), want)
		}
	}
}
