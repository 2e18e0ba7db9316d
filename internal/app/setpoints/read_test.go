package setpoints

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"chalkfield/scripting/motion"
)

// small is a table that can be changed by hand.
func small() *Table {
	return &Table{Head: Head{Side: "ochre", Period: 0.02, Steps: []Step{{Words: "no motion"}}}, Rows: []Row{
		{}, {Time: 0.02, X: 1, Mode: Follow, LeftVolts: 2, Line: 3, Do: []Command{{"intake.run", []any{11.0}}}},
		{Time: 0.04}}}
}

func textOf(t *testing.T, asJSON bool) string {
	t.Helper()
	var out bytes.Buffer
	err := small().WriteCSV(&out)
	if asJSON {
		out.Reset()
		err = small().WriteJSON(&out)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// What is wrong with a table is told with its line or row.
func TestWrongTables(t *testing.T) {
	for _, c := range []struct {
		json             bool
		from, into, want string
	}{
		{false, "# setpoints by Chalkfield, version 1", "# a log", "no table of setpoints"},
		{false, "version 1", "version 2", "line 1 must be"},
		{false, "time s,", "time ms,", "must name the columns: time s,"},
		{false, "\n0.02,1,", "\n0.02,one,", `line 10: x is "one", not a number`},
		{false, "\n0.02,1,", "\n0.00,1,", "row 1: its time is 0 s"},
		{false, "\n0.02,1,", "\n0.02,NaN,", "line 10: x is NaN"},
		{false, ",3,0,intake", ",3,0,0,intake", "line 10: wrong number of fields"},
		{false, ",1,0,3,0,intake", ",1,7,3,0,intake", "row 1: there is no step 7"},
		{false, ",1,0,3,0,intake", ",4,0,3,0,intake", "row 1: there is no mode 4"},
		{false, ",1,0,3,0,intake", ",1,-1,3,0,intake", "step is -1, not a whole number"},
		{false, `# steps: [{`, `# steps: [{{`, "line 6: steps cannot be read"},
		{true, `"version":1`, `"version":2`, `its "format" and "version" are`},
		{true, `"time s"`, `"t"`, `its "columns" are`},
		{true, "[0.02,1,", "[0.02,", "row 1 has 13 numbers, not 14"},
		{true, `"row":1`, `"row":9`, `command "intake.run" is for row 9, of 3 rows`},
		{true, `{"format"`, `["format"`, "no table of setpoints in JSON"},
	} {
		text := textOf(t, c.json)
		changed := strings.Replace(text, c.from, c.into, 1)
		if changed == text {
			t.Fatalf("%q is not in\n%s", c.from, text)
		}
		if _, err := Parse(c.json, []byte(changed)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s into %s: %v, want %s", c.from, c.into, err, c.want)
		}
	}
}

// Whatever is read gives a table that can be followed, which is read back as it is, or an error.
func FuzzParse(f *testing.F) {
	for _, asJSON := range []bool{false, true} {
		var out bytes.Buffer
		if err := small().WriteCSV(&out); err != nil {
			f.Fatal(err)
		}
		if asJSON {
			out.Reset()
			if err := small().WriteJSON(&out); err != nil {
				f.Fatal(err)
			}
		}
		f.Add(asJSON, out.Bytes())
	}
	f.Fuzz(func(t *testing.T, asJSON bool, data []byte) {
		table, err := Parse(asJSON, data)
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := table.WriteJSON(&out); err != nil {
			t.Skip(err) // a command with what JSON cannot have
		}
		again, err := Parse(true, out.Bytes())
		if err != nil || len(again.Rows) != len(table.Rows) {
			t.Errorf("%v after\n%s", err, out.String())
		}
	})
}

// The law stands in a header in the order, and under the names, that it has in JSON.
func TestTheLawsMembers(t *testing.T) {
	law := reflect.TypeFor[motion.Law]()
	for i, m := range lawMembers {
		if tag := law.Field(i).Tag.Get("json"); tag != m.name {
			t.Errorf("%s is %s in JSON", m.name, tag)
		}
	}
	if tag := law.Field(len(lawMembers)).Tag.Get("json"); tag != "-" {
		t.Errorf("%s is in no header", tag)
	}
}
