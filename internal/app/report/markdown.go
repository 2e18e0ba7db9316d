package report

import (
	"fmt"
	"io"
	"strings"
)

// Markdown writes what a page has of it, with a picture that is the file of that name beside it.
func (d *Document) Markdown(w io.Writer, picture, caption string) error {
	out := &strings.Builder{}
	fmt.Fprintf(out, "# %s\n\n![%s](%s)\n", d.Title, caption, picture)
	paragraphs(out, d.Head)
	for _, s := range d.For(OnPage) {
		fmt.Fprintf(out, "\n## %s\n", s.Title)
		paragraphs(out, s.Lines)
		if s.Table != nil {
			s.Table.markdown(out)
		}
		paragraphs(out, s.Below)
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// paragraphs have a line between them, but for the points of a list.
func paragraphs(out *strings.Builder, list []string) {
	for i, words := range list {
		if i == 0 || !strings.HasPrefix(words, Point) || !strings.HasPrefix(list[i-1], Point) {
			out.WriteString("\n")
		}
		out.WriteString(words + "\n")
	}
}

func (t *Table) markdown(out *strings.Builder) {
	shown := t.Shown(OnPage)
	line := func(cell func(column int) string) {
		for _, c := range shown {
			out.WriteString("| " + strings.ReplaceAll(cell(c), "|", `\|`) + " ")
		}
		out.WriteString("|\n")
	}
	out.WriteString("\n")
	line(func(c int) string { return t.Columns[c].Name })
	out.WriteString(strings.Repeat("|---", len(shown)) + "|\n")
	for _, row := range t.Rows {
		line(func(c int) string { return row.Cells[c].Words })
	}
}
