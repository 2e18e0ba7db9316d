package logfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"chalkfield/internal/base/units"
)

// readRows reads all rows. One that was cut off at the end of the file is left out.
func (r *reader) readRows() error {
	for {
		err := r.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if err := r.split(); err != nil {
			return err
		}
		if len(r.cells) < len(r.header) && r.atEnd() {
			r.log.assume("the last line, %d, is cut off: left out", r.line)
			return nil
		}
		if err := r.takeRow(); err != nil {
			return err
		}
	}
}

// atEnd reports whether the line was the file's last.
func (r *reader) atEnd() bool {
	_, err := r.in.Peek(1)
	return err != nil
}

func (r *reader) takeRow() error {
	if err := r.count(); err != nil {
		return err
	}
	log := r.log
	if rows := len(log.lines) + 1; rows*(len(log.Columns)+1) > mostValues {
		return fmt.Errorf("more than %d rows of %s: cut the log into parts, or leave columns out", rows-1,
			units.Counted(len(log.Columns)+1, "column"))
	}
	for i, c := range r.targets {
		if c == nil {
			continue
		}
		x, err := r.value(i)
		if err != nil {
			return err
		}
		c.Values = append(c.Values, x)
	}
	log.lines = append(log.lines, int32(r.line))
	if len(log.lines) == sampleRows {
		r.makeRoom()
	}
	if last := len(r.clock.Values) - 1; !given(r.clock.Values[last]) {
		if r.timeless++; r.timeless == 1 {
			r.first = r.line
		}
		r.drop()
	}
	return nil
}

// sampleRows are those by which the number of all is guessed.
const sampleRows = 1000

// makeRoom takes the memory for all rows at once: slices that grow by and by would take twice as much.
func (r *reader) makeRoom() {
	const more = 1.02
	rows := int(float64(r.settings.size) / float64(r.bytes) * sampleRows * more)
	rows = min(rows, mostValues/(len(r.log.Columns)+1)) - sampleRows
	if rows <= 0 {
		return
	}
	r.log.lines = slices.Grow(r.log.lines, rows)
	for _, c := range r.targets {
		if c != nil {
			c.Values = slices.Grow(c.Values, rows)
		}
	}
}

// drop takes the last row back.
func (r *reader) drop() {
	last := len(r.log.lines) - 1
	r.log.lines = r.log.lines[:last]
	for _, c := range r.targets {
		if c != nil {
			c.Values = c.Values[:last]
		}
	}
}

// count compares the row's cells with the header's. Separators behind the last cell are no cells.
func (r *reader) count() error {
	n := len(r.cells)
	for n > len(r.header) && len(bytes.TrimSpace(r.cells[n-1])) == 0 {
		n--
	}
	want := len(r.header)
	switch {
	case n == want:
		return nil
	case n > want && r.log.separator == ',' && bytes.IndexByte(r.text, '.') < 0:
		return fmt.Errorf("%s, and the header names %d: if the comma is the decimal sign, part the columns by semicolons "+
			"or write decimal points", units.Counted(n, "cell"), want)
	case n > want:
		return fmt.Errorf("%s, and the header names %d: name each column in the first line", units.Counted(n, "cell"), want)
	}
	return fmt.Errorf("%s, and the header names %d: a value that is not known is an empty cell",
		units.Counted(n, "cell"), want)
}

// value reads a cell, in SI units.
func (r *reader) value(i int) (float64, error) {
	cell := trimmed(r.cells[i])
	if empty(cell) {
		return missing, nil
	}
	sign := r.decimalSign(cell, i)
	x, ok := number(cell, sign)
	if !ok {
		return 0, r.wrongCell(cell, i)
	}
	if sign != 0 && sign != r.decimal {
		if r.decimal != 0 {
			return 0, fmt.Errorf("%s: %s has a decimal %s, line %d has the other sign: write one of them throughout",
				r.header[i], shortened(cell), signName(sign), r.since)
		}
		r.decimal, r.since = sign, r.line
	}
	x *= r.targets[i].scale
	if math.Abs(x) > mostSize {
		return 0, fmt.Errorf("%s: %s is more than any robot has or a clock shows", r.header[i], shortened(cell))
	}
	return x, nil
}

// decimalSign is the sign between a cell's whole and its fraction; a comma only where commas do not part cells.
func (r *reader) decimalSign(cell []byte, i int) byte {
	if bytes.IndexByte(cell, '.') >= 0 {
		return '.'
	}
	if (r.log.separator != ',' || r.quoted[i]) && bytes.IndexByte(cell, ',') >= 0 {
		return ','
	}
	return 0
}

func signName(sign byte) string {
	if sign == ',' {
		return "comma"
	}
	return "point"
}

func (r *reader) wrongCell(cell []byte, i int) error {
	if string(cell) == r.header[i] {
		return errors.New("the header comes again: the file holds two logs; cut it here")
	}
	if bytes.IndexByte(cell, '.') >= 0 && bytes.IndexByte(cell, ',') >= 0 {
		return fmt.Errorf("%s: %q has a point and a comma: write no sign between thousands", r.header[i], shortened(cell))
	}
	return fmt.Errorf("%s: %q is no number: write one without its unit (that stands in the header), or nothing where "+
		"there is no value", r.header[i], shortened(cell))
}

// trimmed is a cell without blanks around it.
func trimmed(cell []byte) []byte {
	if len(cell) == 0 || cell[0] > ' ' && cell[len(cell)-1] > ' ' {
		return cell
	}
	return bytes.TrimSpace(cell)
}

// empty reports whether a cell says that there is no value.
func empty(cell []byte) bool {
	switch {
	case len(cell) == 0:
		return true
	case cell[0] <= '9' && len(cell) > 1 && cell[1] <= '9':
		return false
	}
	switch string(bytes.ToLower(cell)) {
	case "nan", "-nan", "null", "none", "na", "n/a", "-":
		return true
	}
	return false
}

// number reads a decimal number with a sign of its fraction.
func number(cell []byte, sign byte) (float64, bool) {
	var buffer [40]byte
	if len(cell) == 0 || len(cell) > len(buffer) {
		return 0, false
	}
	text := buffer[:copy(buffer[:], cell)]
	for i, c := range text {
		switch {
		case c >= '0' && c <= '9', c == '-', c == '+', c == 'e', c == 'E':
		case c == sign:
			text[i] = '.'
		case c == '.' && sign == 0:
		default:
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(string(text), 64)
	return x, err == nil
}
