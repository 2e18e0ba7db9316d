package setpoints

import (
	"fmt"
	"io"
	"strings"
)

// document is a table in JSON: rows are lists of numbers in the columns' order.
type document struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Head
	Columns  []string    `json:"columns"`
	Rows     [][]float64 `json:"rows"`
	Commands []due       `json:"commands"`
}

// due is a command in the row in which it is due.
type due struct {
	Row  int    `json:"row"` // from 0
	Do   string `json:"do"`
	With []any  `json:"with,omitempty"`
}

// WriteJSON writes the table as an object, a row a line.
func (t *Table) WriteJSON(w io.Writer) error {
	members, err := headMembers(&t.Head)
	if err != nil {
		return err
	}
	var out strings.Builder
	fmt.Fprintf(&out, "{\"format\":%q,\n\"version\":%d,\n", Format, Version)
	for _, m := range members {
		fmt.Fprintf(&out, "%q:%s,\n", m.name, m.text)
	}
	names := headers()
	quoted, err := plainJSON(names[:len(columns)])
	if err != nil {
		return err
	}
	fmt.Fprintf(&out, "\"columns\":%s,\n\"rows\":[", quoted)
	commands := []string{}
	for i := range t.Rows {
		values := make([]string, len(columns))
		for k := range columns {
			values[k] = columns[k].text(&t.Rows[i])
		}
		fmt.Fprintf(&out, "%s\n[%s]", comma(i), strings.Join(values, ","))
		for _, c := range t.Rows[i].Do {
			text, err := plainJSON(due{i, c.Do, c.With})
			if err != nil {
				return err
			}
			commands = append(commands, text)
		}
	}
	fmt.Fprintf(&out, "],\n\"commands\":[")
	for i, c := range commands {
		fmt.Fprintf(&out, "%s\n%s", comma(i), c)
	}
	out.WriteString("]}\n")
	_, err = io.WriteString(w, out.String())
	return err
}

func comma(i int) string {
	if i == 0 {
		return ""
	}
	return ","
}
