package testdrive

import (
	"fmt"
	"strconv"
	"strings"
)

// CSV is the drive's table: time s, then volts. Its names are those of a log.
func (d *Drive) CSV() string {
	var out strings.Builder
	fmt.Fprintf(&out, "time s, %s\n", strings.Join(d.Table.Columns, ", "))
	for i, row := range d.Table.Rows {
		fmt.Fprintf(&out, "%.2f", float64(i)*Period)
		for _, v := range row {
			out.WriteString(", " + number(v))
		}
		out.WriteByte('\n')
	}
	return out.String()
}

// number is volts as all three forms have them.
func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// listed is a row's numbers with commas between them.
func listed(row []float64) string {
	words := make([]string, len(row))
	for i, v := range row {
		words[i] = number(v)
	}
	return strings.Join(words, ", ")
}
