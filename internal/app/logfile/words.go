package logfile

import (
	"fmt"
	"slices"
	"strconv"
)

// called is a quantity as a header names it, in its first unit.
func (q Quantity) called() string {
	switch {
	case slices.Contains([]string{"V", "A"}, q.SI):
		return q.Name + " " + q.SI
	case q.SI == share:
		return q.Name + " %"
	}
	return q.Name
}

// ours reports whether a name is one of the base's quantities.
func ours(name string) bool {
	return slices.ContainsFunc(kinds, func(k kind) bool { return slices.Contains(k.names, name) })
}

// written is a value of the column, given in SI, in the file's unit.
func (c *Column) written(si float64) string { return Figures(si/c.scale) + " " + c.Unit }

// Figures is a number to four digits, without an exponent where people would write none.
func Figures(x float64) string {
	if x == 0 {
		return "0"
	}
	if a := max(x, -x); a >= 1000 && a < 1e9 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return fmt.Sprintf("%.4g", x)
}

// Seconds is a time to the millisecond.
func Seconds(t float64) string { return strconv.FormatFloat(round(t, 1000), 'f', -1, 64) + " s" }
