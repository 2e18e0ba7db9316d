package testdrive

import "math"

// Period is the time from one row of a table to the next, s.
const Period = 0.02

// Table is what to give the motors: a row of volts each Period, held until the next. The first and the last row are
// 0 V.
type Table struct {
	Columns []string // "left V", "right V", then "PART V"
	Rows    [][]float64
}

// Seconds is how long the table takes, its last row included.
func (t Table) Seconds() float64 { return float64(len(t.Rows)) * Period }

// Most is the greatest of the table's volts, either way.
func (t Table) Most() float64 {
	most := 0.0
	for _, row := range t.Rows {
		for _, v := range row {
			most = math.Max(most, math.Abs(v))
		}
	}
	return most
}

// newTable begins with a stand-still: a log's first second tells the sensors' zero.
func newTable(columns ...string) *Table {
	t := &Table{Columns: columns}
	return t.rest(1)
}

// baseTable is one for the drive base alone.
func baseTable() *Table { return newTable("left V", "right V") }

// ticks is a time as whole rows, one at least.
func ticks(seconds float64) int { return max(1, int(math.Round(seconds/Period))) }

// hold gives the same volts for a time.
func (t *Table) hold(seconds float64, volts ...float64) *Table {
	row := make([]float64, len(t.Columns))
	for i, v := range volts {
		row[i] = millivolts(v)
	}
	for range ticks(seconds) {
		t.Rows = append(t.Rows, row)
	}
	return t
}

func (t *Table) rest(seconds float64) *Table { return t.hold(seconds) }

// ramp rises evenly from 0 V to some volts.
func (t *Table) ramp(seconds float64, volts ...float64) *Table {
	n := ticks(seconds)
	for i := range n {
		row := make([]float64, len(t.Columns))
		for k, v := range volts {
			row[k] = millivolts(v * float64(i+1) / float64(n))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// pulse holds volts and rests.
func (t *Table) pulse(seconds, rest float64, volts ...float64) *Table {
	return t.hold(seconds, volts...).rest(rest)
}

// millivolts rounds to 1 mV, so that the three forms of a table say the same. Zero has no sign.
func millivolts(v float64) float64 { return math.Round(v*1000)/1000 + 0 }
