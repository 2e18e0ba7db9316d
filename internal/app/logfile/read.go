package logfile

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// What a log may have. Values take 8 bytes each, and as much again while they are compared.
const (
	mostBytesInALine = 1 << 20
	mostColumns      = 200
	mostValues       = 16 << 20 // rows times columns used
	mostSize         = 1e12     // of a value in SI units; the time since 1970 is 2e9 s
)

// reader reads a log line by line. Only the columns that are used are kept.
type reader struct {
	log      *Log
	in       *bufio.Reader
	settings Settings
	line     int
	bytes    int64    // read so far
	text     []byte   // of the line
	header   []string // as the file has it
	cells    [][]byte
	quoted   []bool
	targets  []*Column // by cell; nil: not used
	clock    *Column
	decimal  byte // the sign that the file's numbers have, 0 while none had one
	since    int  // the line that showed it
	timeless int  // rows without a time
	first    int  // the first of these
}

// Read reads a log. Errors name file and line.
func Read(name string, in io.Reader, settings Settings) (*Log, error) {
	r := &reader{log: &Log{Name: name, motors: settings.Battery, Wheel: settings.Wheel.Diameter / 2},
		in: bufio.NewReaderSize(in, 1<<18), settings: settings}
	if err := r.readHeader(); err != nil {
		return nil, r.at(err)
	}
	if err := r.readRows(); err != nil {
		return nil, r.at(err)
	}
	l := r.log
	l.decimalComma = r.decimal == ','
	if r.timeless > 0 {
		l.assume("%s without a time: left out (first: line %d)", units.Counted(r.timeless, "row"), r.first)
	}
	if err := l.finish(r.clock); err != nil {
		return nil, fmt.Errorf("%s:%w", name, err)
	}
	return l, nil
}

func (r *reader) at(err error) error { return fmt.Errorf("%s:%d: %w", r.log.Name, max(r.line, 1), err) }

func (l *Log) assume(format string, args ...any) {
	l.Assumed = append(l.Assumed, fmt.Sprintf(format, args...))
}

// next reads the next line that is neither blank nor a comment; io.EOF after the last.
func (r *reader) next() error {
	for {
		text, err := atomicfile.ReadLine(r.in, r.text[:0], mostBytesInALine)
		if err != nil && !errors.Is(err, io.EOF) {
			r.line++
			return err
		}
		if len(text) == 0 {
			return io.EOF
		}
		r.text = text
		r.line++
		r.bytes += int64(len(text))
		r.text = bytes.TrimRight(r.text, "\r\n")
		if r.line == 1 {
			r.text = bytes.TrimPrefix(r.text, []byte("\xef\xbb\xbf"))
		}
		if plain := bytes.TrimLeft(r.text, " \t"); len(plain) > 0 && plain[0] != '#' {
			return nil
		}
	}
}

var errNoHeader = errors.New(`this is no log: its first line names the columns, each with its unit, such as ` +
	`"time s, left V, right V, left travel mm, right travel mm, heading deg"`)

// ErrEmpty is what errors of a file that has not rows enough to tell anything are.
var ErrEmpty = errors.New("the log is empty: its first line names the columns, each further one is a row")

// tooFew is such an error.
type tooFew struct{ error }

func (tooFew) Is(other error) bool { return other == ErrEmpty }

func (r *reader) readHeader() error {
	if err := r.next(); errors.Is(err, io.EOF) {
		return ErrEmpty
	} else if err != nil {
		return err
	}
	if given, is := bytes.CutPrefix(r.text, []byte("sep=")); is && len(given) == 1 { // spreadsheets write it
		r.log.separator = given[0]
		if err := r.next(); err != nil {
			return errNoHeader
		}
	}
	if err := oddBytes(r.text); err != nil {
		return err
	}
	if r.log.separator == 0 {
		r.log.separator = separatorOf(r.text)
	}
	if err := r.split(); err != nil {
		return err
	}
	if len(r.cells) > mostColumns {
		return fmt.Errorf("%d columns, and a log may have at most %d", len(r.cells), mostColumns)
	}
	numbers := 0
	for _, cell := range r.cells {
		r.header = append(r.header, strings.TrimSpace(string(cell)))
		if _, ok := number(cell, '.'); ok {
			numbers++
		}
	}
	if numbers > len(r.header)/2 {
		return errNoHeader
	}
	return r.assign()
}

// oddBytes says what a header shows that is no text of ours.
func oddBytes(text []byte) error {
	switch {
	case bytes.HasPrefix(text, []byte("\xff\xfe")), bytes.HasPrefix(text, []byte("\xfe\xff")):
		return errors.New("the file is in UTF-16: save it as CSV in UTF-8")
	case bytes.IndexByte(text, 0) >= 0:
		return errors.New("this is no text file: a log is CSV")
	case bytes.IndexByte(text, '\r') >= 0:
		return errors.New("the lines end with a CR alone: save the file with LF or CR LF at the ends of lines")
	}
	return nil
}

// separatorOf is what parts the header's cells.
func separatorOf(header []byte) byte {
	for _, sign := range []byte("\t;") {
		if bytes.IndexByte(header, sign) >= 0 {
			return sign
		}
	}
	return ','
}

// split cuts the line into cells. A cell may be in quotes, with "" for a quote inside.
func (r *reader) split() error {
	r.cells, r.quoted = r.cells[:0], r.quoted[:0]
	rest := r.text
	for {
		inside := rest
		if r.log.separator != '\t' {
			inside = bytes.TrimLeft(rest, " \t")
		}
		if len(inside) == 0 || inside[0] != '"' {
			cut := bytes.IndexByte(rest, r.log.separator)
			if cut < 0 {
				r.cells, r.quoted = append(r.cells, rest), append(r.quoted, false)
				return nil
			}
			r.cells, r.quoted = append(r.cells, rest[:cut]), append(r.quoted, false)
			rest = rest[cut+1:]
			continue
		}
		cell, after, err := unquote(inside)
		if err != nil {
			return err
		}
		after = bytes.TrimLeft(after, " ")
		r.cells, r.quoted = append(r.cells, cell), append(r.quoted, true)
		if len(after) == 0 {
			return nil
		}
		if after[0] != r.log.separator {
			return fmt.Errorf("after the closing quote of %q comes %q: a quote inside a cell is written twice", cell,
				shortened(after))
		}
		rest = after[1:]
	}
}

// unquote takes the quoted cell that a text begins with.
func unquote(text []byte) (cell, after []byte, err error) {
	for i := 1; i < len(text); i++ {
		switch {
		case text[i] != '"':
		case i+1 < len(text) && text[i+1] == '"':
			i++
		default:
			return bytes.ReplaceAll(text[1:i], []byte(`""`), []byte(`"`)), text[i+1:], nil
		}
	}
	return nil, nil, fmt.Errorf("the quote before %q is not closed on its line", shortened(text[1:]))
}

func shortened(text []byte) string {
	if r := []rune(string(text[:min(len(text), 200)])); len(r) > 30 {
		return string(r[:30]) + "..."
	}
	return string(text)
}

// assign says what each column is: what a setting says wins over its own header.
func (r *reader) assign() error {
	r.targets = make([]*Column, len(r.header))
	set := map[string]ColumnSetting{}
	if err := r.takeSettings(set); err != nil {
		return err
	}
	byQuantity := map[Quantity]string{}
	for i, header := range r.header {
		column, err := r.column(header, set[header])
		if err != nil {
			return err
		}
		if column == nil {
			r.ignore(header)
			continue
		}
		if first, twice := byQuantity[column.Is]; twice {
			return fmt.Errorf("%q and %q are both %s: rename one, or map another to it with --columns", first, header,
				column.Is.called())
		}
		byQuantity[column.Is] = header
		r.targets[i] = column
		if column.Is == clock {
			r.clock = column
		} else {
			r.log.Columns = append(r.log.Columns, column)
		}
	}
	return r.complete()
}

// takeSettings finds the columns that settings speak of. Those of log.toml may be of another log beside it.
func (r *reader) takeSettings(set map[string]ColumnSetting) error {
	for _, s := range r.settings.Columns {
		if !slices.Contains(r.header, s.Name) {
			if s.from == SettingsName {
				continue
			}
			return fmt.Errorf("--columns: there is no column %q: %s", s.Name, wording.Instead(s.Name, r.header))
		}
		before, twice := set[s.Name]
		if twice && before.from == s.from {
			return fmt.Errorf("%s: the column %q stands there twice: leave one out", s.from, s.Name)
		}
		if twice {
			s.Is, s.from = before.Is, before.from
		}
		set[s.Name] = s
	}
	return nil
}

// column is what a header stands for, nil for a column that is not used.
func (r *reader) column(header string, s ColumnSetting) (*Column, error) {
	text := header
	if s.Is != "" {
		text = s.Is
	}
	m, known, err := understand(text, r.settings.Wheel)
	if err != nil {
		return nil, err
	}
	if !known {
		return nil, nil
	}
	c := &Column{Header: header, Is: m.is, Unit: m.unit, scale: m.scale, bits: s.Bits, from: s.from}
	if s.Reversed {
		c.scale = -c.scale
		r.log.assume("%q is taken with its sign reversed (%s)", header, SettingsName)
	}
	if s.Is != "" {
		r.log.assume("%q is %s (%s)", header, s.Is, s.from)
	} else if near := nearby(m.is.Name); near != "" && !ours(m.is.Name) {
		r.log.assume("%q is of a part called %q: if it is the robot's %s, write --columns \"%s %s=%s\"", header,
			m.is.Name, near, near, m.unit, header)
	}
	return c, nil
}

func (r *reader) ignore(header string) {
	if header != "" {
		r.log.Unused = append(r.log.Unused, header)
	}
}

// complete refuses a log that nothing can be read from.
func (r *reader) complete() error {
	unused := ""
	if len(r.log.Unused) > 0 {
		unused = fmt.Sprintf(" (not understood: %s)", strings.Join(r.log.Unused[:min(len(r.log.Unused), 8)], ", "))
	}
	switch {
	case len(r.header) == 1:
		return errNoHeader
	case r.clock == nil:
		return fmt.Errorf("no column is the time%s: name it \"time s\" or \"time ms\", or write "+
			"--columns \"time s=its name\"", unused)
	case len(r.log.Columns) == 0:
		return fmt.Errorf("no column but the time is understood%s: name them as in \"left V\", or say what they are, "+
			"--columns \"left V=its name\"", unused)
	}
	return nil
}
