package setpoints

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"strconv"
	"strings"
)

// Words begin every table in CSV.
const Words = "# " + Format

// doColumn is the last one, which holds commands.
const doColumn = "do"

// WriteCSV writes the table with its head in lines that begin with #, as JSON.
func (t *Table) WriteCSV(w io.Writer) error {
	var out strings.Builder
	fmt.Fprintf(&out, "%s, version %d\n", Words, Version)
	members, err := headMembers(&t.Head)
	if err != nil {
		return err
	}
	for _, m := range members {
		fmt.Fprintf(&out, "# %s: %s\n", m.name, m.text)
	}
	table := csv.NewWriter(&out)
	row := headers()
	err = table.Write(row)
	for i := range t.Rows {
		r := &t.Rows[i]
		for k := range columns {
			row[k] = columns[k].text(r)
		}
		row[len(columns)] = doText(r.Do)
		if err == nil {
			err = table.Write(row)
		}
	}
	if table.Flush(); err != nil {
		return err
	}
	_, err = io.WriteString(w, out.String())
	return err
}

// headers names the columns in CSV, that of the commands last.
func headers() []string {
	var list []string
	for i := range columns {
		list = append(list, columns[i].header())
	}
	return append(list, doColumn)
}

// plainJSON is a value with < and > as they are, for no browser reads it.
func plainJSON(v any) (string, error) {
	var out strings.Builder
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return strings.TrimSuffix(out.String(), "\n"), err
}

type member struct{ name, text string }

// headMembers are the head's in JSON, in order, its lists an entry a line.
func headMembers(h *Head) ([]member, error) {
	var list []member
	value := reflect.ValueOf(*h)
	for i := range value.NumField() {
		text, err := plainJSON(value.Field(i).Interface())
		if err != nil {
			return nil, err
		}
		name, _, _ := strings.Cut(value.Type().Field(i).Tag.Get("json"), ",")
		list = append(list, member{name, text})
	}
	return list, nil
}

// doText is commands as a cell: "intake.run 11; clamp.shut".
func doText(list []Command) string {
	var words []string
	for _, c := range list {
		said := c.Do
		for _, v := range c.With {
			said += " " + valueText(v)
		}
		words = append(words, said)
	}
	return strings.Join(words, "; ")
}

func valueText(v any) string {
	if n, is := v.(float64); is {
		return strconv.FormatFloat(n, 'f', -1, 64)
	}
	return fmt.Sprint(v)
}

// parseDo reads a cell of commands.
func parseDo(cell string) []Command {
	var list []Command
	for part := range strings.SplitSeq(cell, ";") {
		words := strings.Fields(part)
		if len(words) == 0 {
			continue
		}
		c := Command{Do: words[0]}
		for _, w := range words[1:] {
			if n, err := strconv.ParseFloat(w, 64); err == nil {
				c.With = append(c.With, n)
			} else {
				c.With = append(c.With, w)
			}
		}
		list = append(list, c)
	}
	return list
}
