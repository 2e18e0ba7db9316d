package signals

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// TableWords begin every table that WriteTable writes.
const TableWords = "# signals by Chalkfield"

// column is a curve of a table.
type column struct {
	header string
	values []float64
}

// WriteTable writes all signals of all robots as CSV in a person's units: a row a sample, a column a curve, its header
// the name and the unit. A cell is empty where there is no value. specs are the robots' files, in order.
func WriteTable(w io.Writer, in units.System, rec *record.Record, specs []*robot.Robot) error {
	columns := columnsOf(in, rec, specs)
	var out strings.Builder
	routine := strings.Join(strings.Fields(rec.Header.Robots[0].Routine.Name), " ")
	fmt.Fprintf(&out, "%s: %s, seed %d\ntime s", TableWords, routine, rec.Header.Seed)
	for _, c := range columns {
		out.WriteString(", " + c.header)
	}
	out.WriteByte('\n')
	var cell []byte
	for i := range rec.Samples {
		out.WriteString(strconv.FormatFloat(rec.Samples[i].T, 'f', 2, 64))
		for _, c := range columns {
			out.WriteString(", ")
			if v := c.values[i]; !math.IsNaN(v) {
				cell = strconv.AppendFloat(cell[:0], record.Round(v), 'f', -1, 64)
				out.Write(cell)
			}
		}
		out.WriteByte('\n')
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// columnsOf are those of all robots, the first's without a mark: they are the same whoever else plays.
func columnsOf(in units.System, rec *record.Record, specs []*robot.Robot) []column {
	var list []column
	known := []string{"time s"}
	for i := range rec.Header.Robots {
		whose := ""
		if i > 0 {
			whose = fmt.Sprintf("robot %d ", i+1)
		}
		all := Of(rec, i, specs[i])
		own := len(rec.Header.Robots[i].Signals)
		for _, s := range append(all[own:len(all):len(all)], all[:own]...) { // a routine's names change none of the others
			for _, c := range s.Curves {
				shown := in.Shown(s.tableUnit())
				header := only(known, whose+s.nameOf(c), shown.Name)
				known = append(known, header)
				list = append(list, column{header, shown.All(Values(rec, i, c))})
			}
		}
	}
	return list
}

// tableUnit is the unit as a header has it: of a truth, which is 1 or 0, none.
func (s Signal) tableUnit() string {
	if strings.Contains(s.Unit, ",") {
		return ""
	}
	return s.Unit
}

// nameOf is the name of a curve's column.
func (s Signal) nameOf(c Curve) string {
	name := s.Column
	if name == "" {
		name = s.Key
	}
	if len(s.Curves) > 1 {
		name += " " + c.Name
	}
	return strings.TrimSpace(name)
}

// only is the header of a column, numbered where another has the same: a routine may call its signal as it likes.
func only(known []string, name, unit string) string {
	for n := 1; ; n++ {
		header := name
		if n > 1 {
			header = fmt.Sprintf("%s %d", name, n)
		}
		if header = strings.TrimSpace(header + " " + unit); !slices.Contains(known, header) {
			return header
		}
	}
}
