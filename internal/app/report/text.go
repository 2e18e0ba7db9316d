package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/wording"
)

// JSON writes what machines get of it.
func (d *Document) JSON(w io.Writer) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(d.Data)
}

// Text writes it for a terminal.
func (d *Document) Text(w io.Writer) error {
	out := &strings.Builder{}
	for _, line := range d.Head {
		fmt.Fprintln(out, line)
	}
	for _, note := range d.Notes {
		if !strings.HasSuffix(note, "?") {
			note += "."
		}
		fmt.Fprintln(out, note)
	}
	for _, s := range append(d.For(InTerminal), Section{Lines: lines(d.Foot)}) {
		if s.Table == nil && len(s.Lines) == 0 {
			continue
		}
		if out.Len() > 0 {
			out.WriteString("\n")
		}
		s.text(out)
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// lines are the lines of words, none of none.
func lines(words string) []string {
	if words == "" {
		return nil
	}
	return strings.Split(words, "\n")
}

// text writes a section; what stands under a title is set in.
func (s *Section) text(out *strings.Builder) {
	indent := ""
	if s.Title != "" {
		indent = "  "
		out.WriteString(s.Title)
		if s.Lead != "" {
			out.WriteString(": " + s.Lead)
		}
		out.WriteString("\n")
	}
	all := s.Lines
	if s.Table != nil {
		all = append(append(all[:len(all):len(all)], s.Table.text()...), s.Below...)
	}
	for _, line := range all {
		out.WriteString(indent + line + "\n")
	}
}

// text is the table's lines.
func (t *Table) text() []string {
	gap, set := "  ", [][]string(nil) // a line each
	if t.Look == Grid {
		gap, set = "   ", [][]string{t.names()}
	}
	rows, rest := t.Rows, []string(nil)
	if t.Most > 0 && len(rows) > t.Most {
		rows, rest = rows[:t.Most], []string{t.Rest}
	}
	for i := range rows {
		set = append(set, t.rowText(&rows[i])...)
	}
	shown, widths := t.Shown(InTerminal), t.widths(set)
	var out []string
	for _, cells := range set {
		line := ""
		for n, words := range cells {
			line += wording.Pad(words, widths[n], t.Look != Grid && t.Columns[shown[n]].Number) + gap
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	return append(out, rest...)
}

// names of the columns.
func (t *Table) names() []string {
	var names []string
	for _, c := range t.Shown(InTerminal) {
		names = append(names, t.Columns[c].Name)
	}
	return names
}

// Shown are the columns that a medium shows.
func (t *Table) Shown(on Medium) []int {
	var list []int
	for i, c := range t.Columns {
		if on.shows(c.On) {
			list = append(list, i)
		}
	}
	return list
}

// rowText is a row's cells and, below the second of them, what belongs to it.
func (t *Table) rowText(r *Row) [][]string {
	var cells []string
	for _, c := range t.Shown(InTerminal) {
		cells = append(cells, r.Cells[c].text(t.Columns[c].Width))
	}
	if t.Look == List {
		cells = t.joined(cells)
	}
	set := [][]string{cells}
	for _, line := range r.Below() {
		set = append(set, []string{"", line})
	}
	return set
}

// joined puts the third cell and those after it behind the second, with their names.
func (t *Table) joined(cells []string) []string {
	sep := "; "
	for n, c := range t.Shown(InTerminal)[2:] {
		if words := cells[n+2]; words != "" {
			cells[1] += sep + t.Columns[c].Name + " " + words
			sep = ", "
		}
	}
	return cells[:2]
}

// text is a cell's words, or its bar of so many signs.
func (c *Cell) text(signs int) string {
	if c.Words != "" || len(c.Tracks) == 0 {
		return c.Words
	}
	return strings.Repeat("#", int(math.Ceil(float64(signs)*c.Tracks[0].Bars[0].Width)))
}

// widths are those of the widest cells.
func (t *Table) widths(set [][]string) []int {
	var out []int
	for _, c := range t.Shown(InTerminal) {
		least := t.Columns[c].Width
		if t.Look == Grid {
			least = 0
		}
		out = append(out, least)
	}
	for _, cells := range set {
		for n, words := range cells {
			out[n] = max(out[n], wording.Cells(words))
		}
	}
	return out
}
