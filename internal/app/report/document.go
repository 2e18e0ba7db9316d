// Package report tells what came of a rehearsal, a study, checks or a measurement, and what a file means. What is told
// is built once, as a Document; a terminal's text and JSON are set here, pages and pictures in render.
package report

import "chalkfield/internal/base/units"

// Document is everything that is told about one thing, in order.
type Document struct {
	Title    string   // of a page
	Head     []string // what was looked at: the first lines
	Notes    []string // what must be known before all else, a sentence each
	Big      string   // of a page: the one number that matters, or what went wrong
	Bad      bool     // Big is what went wrong
	Sections []Section
	Foot     string // the last line in a terminal
	Inputs   *Table // of a page: what it was made from
	Data     any    // all of it for machines

	In units.System // of the quantities in it
}

// Section is a title with lines and a table. What has no title a page says first.
type Section struct {
	Title string
	Lead  string   // behind the title
	Lines []string // above the table; words between backquotes are to be written as they stand
	Table *Table
	Below []string // below it
	On    Medium
	Note  string // explains what only a page draws
}

// Table is rows of cells under its columns' names.
type Table struct {
	Columns    []Column
	Rows       []Row
	Look       Look
	Most       int    // rows in a terminal; 0: all
	Rest       string // said there instead of the others
	OnlyMarked bool   // there are so many rows that a page has only those with a mark

	in units.System // of the quantities of its facts
}

// Look is how a table stands in a terminal. Pages name the columns of all.
type Look int

const (
	Grid  Look = iota // columns under their names
	Plain             // columns whose cells need no name
	List              // each row's first cells in a line, the others behind them with their names
)

// Column is told of every row.
type Column struct {
	Name   string
	Number bool
	Width  int // of a plain column in a terminal, at least, or of its bars
	On     Medium
}

// Medium is where something is told.
type Medium int

const (
	Everywhere Medium = iota
	OnPage            // only a page has room for it
	InTerminal        // a page shows it otherwise
)

// shows tells whether what is for a medium is seen on another.
func (m Medium) shows(on Medium) bool { return on == Everywhere || on == m }

// Row is one line of a table, with what belongs to it below.
type Row struct {
	Cells    []Cell
	Mark     string    // by which a picture calls it
	More     []string  // further lines, below the second cell
	Commands []Command // that show it
	Shows    *Trial    // that shows what it tells, for those who can open it at once; nil: none
	Total    bool      // it sums up the others
}

// Trial is a rehearsal of a study.
type Trial struct {
	Point int // of a sweep's grid, or a comparison's a or b
	Seed  uint64
}

// Cell is words or drawn tracks. Of both a terminal has the words and a page the tracks.
type Cell struct {
	Words  string
	Tracks []Track // one below the other; a terminal draws the first one's bar
}

// Command is a line for a shell, and what it does.
type Command struct{ Words, Line string }

// Track is a drawn range: bars, solid ticks and dashed marks, all in shares of its width.
type Track struct {
	Label        string // in words, for those who do not see it
	Of           string // whose it is, where a cell has several
	Tall         bool   // columns stand in it
	Bars         []Bar
	Ticks, Marks []float64
}

// Bar is a part of a track. One with a height stands on the track's lower edge.
type Bar struct {
	Class               string // "bad", "range", "column", or none
	From, Width, Height float64
}

// Point begins a line that is one of a list.
const Point = "- "

// points are lines of a list.
func points(list ...string) []string {
	lines := make([]string, len(list))
	for i, words := range list {
		lines[i] = Point + words
	}
	return lines
}

// For are the sections that a medium shows.
func (d *Document) For(on Medium) []Section {
	var list []Section
	for _, s := range d.Sections {
		if on.shows(s.On) {
			list = append(list, s)
		}
	}
	return list
}

// heads names the columns of a table; a name that begins with # is of numbers.
func heads(names ...string) []Column {
	out := make([]Column, len(names))
	for i, name := range names {
		out[i].Name = name
		if len(name) > 0 && name[0] == '#' {
			out[i] = Column{Name: name[1:], Number: true}
		}
	}
	return out
}

// Add adds a row of words.
func (t *Table) Add(words ...string) *Row {
	row := Row{}
	for _, w := range words {
		row.Cells = append(row.Cells, Cell{Words: w})
	}
	t.Rows = append(t.Rows, row)
	return &t.Rows[len(t.Rows)-1]
}

// Below are the lines that belong to a row, its commands among them.
func (r *Row) Below() []string {
	lines := r.More
	for _, c := range r.Commands {
		lines = append(lines[:len(lines):len(lines)], c.Words+": "+c.Line)
	}
	return lines
}

// facts is a table of names and what they are.
func facts(in units.System) *Table {
	return &Table{Look: Plain, Columns: []Column{{Width: len("Odometry")}, {}}, in: in}
}

// fact adds one. Without a name it goes on with the one before.
func (t *Table) fact(name, form string, args ...any) *Row {
	return t.Add(name, t.in.Sprintf(form, args...))
}

// bar is a cell with one bar from the left edge.
func bar(class, label string, share float64) Cell {
	if !(share > 0) { // of nothing, or given back
		share = 0
	}
	return Cell{Tracks: []Track{{Label: label, Bars: []Bar{{Class: class, Width: min(share, 1)}}}}}
}
