package command

import (
	"strings"
	"unicode/utf8"
)

const tableGap = 2 // characters between two columns

// plainTable sets a table in columns no wider together than a line: the widest column gives way, down to its longest
// word.
func plainTable(lines []string, width int) string {
	rows := make([][]string, 0, len(lines))
	for i, line := range lines {
		if i != 1 { // the rule under the head
			rows = append(rows, cells(line))
		}
	}
	widths := columnWidths(rows, width)
	var out strings.Builder
	for i, row := range rows {
		writeRow(&out, row, widths)
		if i == 0 {
			var rules []string
			for column, cell := range row {
				rules = append(rules, strings.Repeat("-", min(widths[column], max(utf8.RuneCountInString(cell), 1))))
			}
			writeRow(&out, rules, widths)
		}
	}
	return out.String()
}

// cells are the texts between a row's bars. A bar inside a cell is written \|.
func cells(line string) []string {
	line = strings.ReplaceAll(strings.Trim(strings.TrimSpace(line), "|"), `\|`, "\x00")
	var row []string
	for _, cell := range strings.Split(line, "|") {
		row = append(row, words(strings.ReplaceAll(strings.TrimSpace(cell), "\x00", "|")))
	}
	return row
}

// columnWidths are as wide as the widest cells, where there is room.
func columnWidths(rows [][]string, width int) []int {
	var want, least []int
	for _, row := range rows {
		for column, cell := range row {
			if column == len(want) {
				want, least = append(want, 1), append(least, 1)
			}
			want[column] = max(want[column], utf8.RuneCountInString(cell))
			for _, word := range strings.Fields(cell) {
				least[column] = max(least[column], utf8.RuneCountInString(word))
			}
		}
	}
	total := -tableGap
	for _, w := range want {
		total += w + tableGap
	}
	for ; total > width; total-- {
		widest := -1
		for column := range want {
			if want[column] > least[column] && (widest < 0 || want[column] > want[widest]) {
				widest = column
			}
		}
		if widest < 0 {
			break // no column can give way
		}
		want[widest]--
	}
	return want
}

// writeRow writes the cells of a row beside one another, each over as many lines as it needs.
func writeRow(out *strings.Builder, row []string, widths []int) {
	var held [][]string
	height := 0
	for column, cell := range row {
		held = append(held, wrapped(cell, widths[column]))
		height = max(height, len(held[column]))
	}
	for i := range height {
		line := ""
		for column, lines := range held {
			text := ""
			if i < len(lines) {
				text = lines[i]
			}
			line += text + strings.Repeat(" ", widths[column]-utf8.RuneCountInString(text)+tableGap)
		}
		out.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}
