// Package logfile reads what a real robot wrote down, as CSV, and says what is in it.
//
// A log is read in one pass into columns of SI units: the header's names say what each column is (quantity.go), or the
// settings do (settings.go). What a robot's clock, counters and sensors do to a log (repeated rows, wraps, overflow,
// resets) is mended and told, or refused with the line (clock.go, unwind.go). On an even grid of time (motion.go) the
// rest compares columns with each other: how late motion follows the volts (latency.go), the drives (drives.go), what
// is suspicious (suspect.go, sides.go, scales.go). describe.go puts it into words.
package logfile

import "math"

// Log is what a real robot wrote down.
type Log struct {
	Name    string
	Time    []float64 // s, rising
	Columns []*Column // those that are used, without the time, in the file's order
	Unused  []string  // headers of the others
	Clock   Clock
	Assumed []string // what was mended or taken for granted, in words
	Wheel   float64  // m: the radius that the robot's program takes its wheels for; 0: not known

	separator    byte
	decimalComma bool
	lines        []int32 // the line of each row
	motors       float64 // V that a share of 1 stands for where the log has no battery volts; 0: not known
}

// Column is one quantity over time.
type Column struct {
	Header string // as it stands in the file
	Is     Quantity
	Unit   string    // the file's
	Values []float64 // in Is.SI, one a row; NaN where the row has none
	Filled int       // rows that have one
	Rate   float64   // Hz of the filled rows
	Step   float64   // in Unit: what all values are multiples of, 0 if none is seen
	Low    float64   // in Unit, as the file has it
	High   float64

	scale float64 // SI units that the file's unit is worth, below 0 for a reversed sign
	bits  int     // of the counter, 0 if not given
	from  string  // the setting that says what it is, "" for its own header
}

// Column gives a quantity, nil if the log has none of it.
func (l *Log) Column(q Quantity) *Column {
	for _, c := range l.Columns {
		if c.Is == q {
			return c
		}
	}
	return nil
}

// Grain is the column's step in SI units, 0 if none is seen.
func (c *Column) Grain() float64 { return math.Abs(c.Step * c.scale) }

// Seconds is the log's span.
func (l *Log) Seconds() float64 { return l.Time[len(l.Time)-1] - l.Time[0] }

// missing is the value of an empty cell.
var missing = math.NaN()

func given(x float64) bool { return x == x }
