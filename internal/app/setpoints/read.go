package setpoints

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/atomicfile"
)

// Kind is that of a table's file.
var Kind = atomicfile.Kind{Name: "a table of setpoints", Most: 64 << 20}

// Read reads a table in CSV or JSON.
func Read(path string) (*Table, error) {
	data, err := atomicfile.Read(path, Kind)
	if err != nil {
		return nil, err
	}
	t, err := Parse(strings.EqualFold(filepath.Ext(path), ".json"), data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return t, nil
}

// Is reports whether a file's beginning is that of a table in CSV.
func Is(head []byte) bool {
	return bytes.HasPrefix(bytes.TrimPrefix(head, []byte("\ufeff")), []byte(Words))
}

// madeFrom finds the line that says what a table came from, in each of its forms.
var madeFrom = regexp.MustCompile(`(?m)^(?:# |   |)"?made_from"?: ?(\{.*\}),?\r?$`)

// OriginOf is what a table of any form came from; false where its text does not say it.
func OriginOf(text []byte) (o Origin, is bool) {
	found := madeFrom.FindSubmatch(text)
	if found == nil {
		return o, false
	}
	return o, json.Unmarshal(found[1], &o) == nil
}

const again = "write the table again with: chalkfield run ROUTINE --setpoints FILE"

// Parse reads a table's text.
func Parse(asJSON bool, data []byte) (*Table, error) {
	read := parseCSV
	if asJSON {
		read = parseJSON
	}
	t, err := read(bytes.TrimPrefix(data, []byte("\ufeff")))
	if err != nil {
		return nil, err
	}
	return t, t.check()
}

func parseJSON(data []byte) (*Table, error) {
	var d document
	if err := json.Unmarshal(data, &d); err != nil {
		return nil, fmt.Errorf("this is no table of setpoints in JSON (%v): %s", err, again)
	}
	if d.Format != Format || d.Version != Version {
		return nil, fmt.Errorf(`its "format" and "version" are %q and %d, not %q and %d: %s`, d.Format, d.Version, Format,
			Version, again)
	}
	if names := headers(); !slices.Equal(d.Columns, names[:len(columns)]) {
		return nil, fmt.Errorf(`its "columns" are %q, not %q: %s`, d.Columns, names[:len(columns)], again)
	}
	t := &Table{Head: d.Head, Rows: make([]Row, len(d.Rows))}
	for i, values := range d.Rows {
		if len(values) != len(columns) {
			return nil, fmt.Errorf("row %d has %d numbers, not %d", i, len(values), len(columns))
		}
		for k, v := range values {
			if err := columns[k].set(&t.Rows[i], v); err != nil {
				return nil, fmt.Errorf("row %d: %w", i, err)
			}
		}
	}
	for _, c := range d.Commands {
		if c.Row < 0 || c.Row >= len(t.Rows) {
			return nil, fmt.Errorf("command %q is for row %d, of %d rows", c.Do, c.Row, len(t.Rows))
		}
		t.Rows[c.Row].Do = append(t.Rows[c.Row].Do, Command{c.Do, c.With})
	}
	return t, nil
}

func parseCSV(data []byte) (*Table, error) {
	if !Is(data) {
		return nil, fmt.Errorf("this is no table of setpoints: its first line does not begin with %q", Words)
	}
	t := &Table{}
	rest, line := data, 0
	for len(rest) > 0 && rest[0] == '#' {
		text, after, _ := bytes.Cut(rest, []byte("\n"))
		rest = after
		if line++; line == 1 {
			if want := fmt.Sprintf("%s, version %d", Words, Version); strings.TrimSpace(string(text)) != want {
				return nil, fmt.Errorf("line 1 must be %q: %s", want, again)
			}
			continue
		}
		if err := t.Head.take(string(text[1:])); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
	}
	table := csv.NewReader(bytes.NewReader(rest))
	names, err := table.Read()
	if err != nil || !slices.Equal(names, headers()) {
		return nil, fmt.Errorf("line %d must name the columns: %s; %s", line+1, strings.Join(headers(), ","), again)
	}
	for {
		cells, err := table.Read()
		if err == io.EOF {
			return t, nil
		}
		if err != nil {
			var wrong *csv.ParseError
			if errors.As(err, &wrong) {
				return nil, fmt.Errorf("line %d: %w", line+wrong.Line, wrong.Err)
			}
			return nil, err
		}
		at, _ := table.FieldPos(0)
		r := Row{Do: parseDo(cells[len(columns)])}
		for k := range columns {
			v, err := strconv.ParseFloat(strings.TrimSpace(cells[k]), 64)
			if err != nil {
				return nil, fmt.Errorf("line %d: %s is %q, not a number", line+at, columns[k].name, cells[k])
			}
			if err := columns[k].set(&r, v); err != nil {
				return nil, fmt.Errorf("line %d: %w", line+at, err)
			}
		}
		t.Rows = append(t.Rows, r)
	}
}

// take reads a line of the head: " steps: [...]". What is none is somebody's own remark.
func (h *Head) take(text string) error {
	name, value, _ := strings.Cut(strings.TrimSpace(text), ": ")
	fields := reflect.ValueOf(h).Elem()
	for i := range fields.NumField() {
		if tag, _, _ := strings.Cut(fields.Type().Field(i).Tag.Get("json"), ","); tag == name {
			if err := json.Unmarshal([]byte(value), fields.Field(i).Addr().Interface()); err != nil {
				return fmt.Errorf("%s cannot be read: %v; %s", name, err, again)
			}
		}
	}
	return nil
}

// set gives a row a value.
func (c *column) set(r *Row, v float64) error {
	if math.IsNaN(v) || math.Abs(v) > 1e9 {
		return fmt.Errorf("%s is %v", c.name, v)
	}
	if c.whole == nil {
		*c.at(r) = v
		return nil
	}
	if v != math.Trunc(v) || v < 0 {
		return fmt.Errorf("%s is %v, not a whole number from 0", c.name, v)
	}
	*c.whole(r) = int(v)
	return nil
}

// check refuses a table that cannot be followed.
func (t *Table) check() error {
	switch {
	case len(t.Rows) < 2:
		return errors.New("it has fewer than two rows")
	case len(t.Steps) == 0:
		return fmt.Errorf("it has no steps: %s", again)
	case !(t.Period > 0):
		return fmt.Errorf("its period_s is %v: %s", t.Period, again)
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		switch {
		case i == 0 && r.Time != 0, i > 0 && r.Time <= t.Rows[i-1].Time:
			return fmt.Errorf("row %d: its time is %v s: the first is 0 and each is later than the one before", i, r.Time)
		case r.Step >= len(t.Steps):
			return fmt.Errorf("row %d: there is no step %d: the last is %d", i, r.Step, len(t.Steps)-1)
		case r.Mode > Turn:
			return fmt.Errorf("row %d: there is no mode %d: 0, 1 or 2", i, r.Mode)
		}
	}
	return nil
}
