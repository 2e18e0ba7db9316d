package picture

import (
	"math"
	"slices"
	"strings"

	"chalkfield/internal/app/report"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Setting is how a document is set. Lengths are in pixels.
type Setting struct {
	Width               float64
	Size, Line          float64         // of the letters; from one line to the next
	On, Ink, Soft, Rule scene.Colour    // ground, letters, those of the second rank, lines
	Sides               []scene.SideTag // columns of these names have their marks and colours
}

// Print is a document that is set: line below line, from the origin.
type Print struct {
	Setting
	Height float64
	Cut    []string // words that were shortened
	Rows   []PrintedRow
	lines  []printLine
}

// PrintedRow is a row of a table that a rehearsal of a study shows, and where it stands.
type PrintedRow struct {
	Top, High float64
	report.Trial
}

// printLine is what is painted together.
type printLine struct {
	top, high float64
	words     []paint.Text
	boxes     []printBox
	sides     []printSide
}

type printBox struct {
	paint.Box
	colour scene.Colour
}

type printSide struct {
	at geom.Vec
	scene.SideTag
}

// Lines that words take at most.
const (
	titleMost = 2
	linesMost = 6
	cellMost  = 4
)

// Print sets the title of a document, its first lines and its sections.
func (s Setting) Print(d *report.Document) *Print {
	p := &Print{Setting: s}
	title := s
	title.Size, title.Line = 1.68*s.Size, 1.5*s.Line
	large := func(words string) {
		for _, line := range p.wrap(words, s.Width, title.Size, true, titleMost) {
			p.add(title.Line, title.text(line, 0, true, s.Ink))
		}
	}
	large(d.Title)
	p.paragraphs(d.Head, 0, s.Soft)
	p.paragraphs(d.Notes, 0, s.Ink)
	large(d.Big)
	for _, section := range d.For(report.OnPage) {
		p.section(&section)
	}
	return p
}

// Draw paints, with the origin at a place, the lines that lie wholly between two heights.
func (p *Print) Draw(to paint.Painter, d *paint.Drawer, at geom.Vec, low, high float64) {
	put := func(v geom.Vec) geom.Vec { return geom.Vec{X: at.X + v.X, Y: at.Y + v.Y} }
	for _, line := range p.lines {
		if at.Y+line.top < low-1 || at.Y+line.top+line.high > high+1 {
			continue
		}
		for _, b := range line.boxes {
			fill(to, paint.Box{Left: at.X + b.Left, Top: at.Y + b.Top, Right: at.X + b.Right, Bottom: at.Y + b.Bottom},
				b.colour)
		}
		for _, side := range line.sides {
			d.Mark(to, side.Mark, put(side.at), 5, side.Colour, scene.Pen{})
		}
		for _, words := range line.words {
			words.At = put(words.At)
			to.Text(words)
		}
	}
}

// section is its title over a line, and what stands under it.
func (p *Print) section(s *report.Section) {
	if p.Height > 0 {
		p.Height += math.Ceil(p.Line / 4)
	}
	if s.Title != "" {
		title := s.Title
		if s.Lead != "" {
			title += ": " + s.Lead
		}
		p.paragraph(title, 0, true, p.Ink)
		p.rule()
		p.Height += math.Ceil(p.Line / 4)
	}
	p.paragraphs(s.Lines, 0, p.Ink)
	if s.Table != nil {
		p.table(s.Table)
	}
	p.paragraphs(s.Below, 0, p.Soft)
}

func (p *Print) paragraphs(list []string, indent float64, c scene.Colour) {
	for _, words := range list {
		p.paragraph(words, indent, false, c)
	}
}

// paragraph is set in from the left by so much.
func (p *Print) paragraph(words string, indent float64, bold bool, c scene.Colour) {
	for _, line := range p.wrap(words, p.Width-indent, p.Size, bold, linesMost) {
		p.add(p.Line, p.text(line, indent, bold, c))
	}
}

// add adds a line so high.
func (p *Print) add(high float64, words ...paint.Text) *printLine {
	for i := range words {
		words[i].At.Y += p.Height
	}
	p.lines = append(p.lines, printLine{top: p.Height, high: high, words: words})
	p.Height += high
	return &p.lines[len(p.lines)-1]
}

// rule draws a thin line below what is set.
func (p *Print) rule() {
	if n := len(p.lines); n > 0 {
		box := paint.Box{Top: p.Height, Right: p.Width, Bottom: p.Height + 1}
		p.lines[n-1].boxes = append(p.lines[n-1].boxes, printBox{box, p.Rule})
	}
}

// text is words on a line: half of the height of capitals, 0.72 em, below its middle, on a whole pixel, so that level
// strokes are sharp.
func (s Setting) text(words string, left float64, bold bool, c scene.Colour) paint.Text {
	at := geom.Vec{X: left, Y: math.Round(s.Line/2 + 0.36*s.Size)}
	return paint.Text{Words: words, At: at, Size: s.Size, Bold: bold, Colour: c, On: s.On}
}

func (p *Print) wrap(words string, width, size float64, bold bool, most int) []string {
	lines := paint.Wrap(words, width, size, bold, most)
	if n := len(lines); n == most && strings.HasSuffix(lines[n-1], "…") && !strings.HasSuffix(words, "…") {
		p.Cut = append(p.Cut, words)
	}
	return lines
}

// A table's measures, pixels.
const (
	columnGap = 14.0  // before a column of numbers, and between others
	leastName = 96.0  // width of a column of words, at least
	mostHead  = 104.0 // of a column of numbers for its name's sake; numbers are never cut
	sideMark  = 22.0  // room for a side's mark
	nameShare = 0.42  // of the room for words that the first of several such columns has
	barShare  = 0.25  // of the width that a column of bars has
)

// printColumn is a table's column with its place.
type printColumn struct {
	report.Column
	index       int
	left, right float64
	side        *scene.SideTag
}

// leastColumns is how many columns make a table, where others have no room beside them.
const leastColumns = 3

// table sets rows under the columns' names. The cells of columns that have no room there stand below their row; where
// hardly any has, so do all but the first.
func (p *Print) table(t *report.Table) {
	shown := t.Shown(report.OnPage)
	least := min(leastColumns, len(shown))
	if t.Look == report.List {
		least = len(shown)
	}
	for n := len(shown); n >= least; n-- {
		if columns := p.columns(t, shown[:n]); columns != nil {
			p.grid(t, columns, shown[n:])
			return
		}
	}
	p.stacked(t)
}

// grid sets rows under the columns' names, and the cells of the other columns below each.
func (p *Print) grid(t *report.Table, columns []printColumn, others []int) {
	if t.Look != report.Plain {
		p.names(columns)
	}
	for i := range t.Rows {
		p.row(t, &t.Rows[i], columns, others)
	}
}

// columns places them: those of numbers as wide as their widest cell, the others in what they leave.
func (p *Print) columns(t *report.Table, shown []int) []printColumn {
	var list []printColumn
	words, rest := 0, p.Width
	for _, i := range shown {
		c := printColumn{Column: t.Columns[i], index: i}
		if k := slices.IndexFunc(p.Sides, func(s scene.SideTag) bool { return s.Name == c.Name }); k >= 0 {
			c.side = &p.Sides[k]
		}
		switch {
		case c.Number:
			c.right = p.wide(t, &c) // for now its width
		case len(t.Rows) > 0 && len(t.Rows[0].Cells[i].Tracks) > 0:
			c.right = barShare * p.Width
		default:
			words++
		}
		if c.right > 0 {
			rest -= c.right + columnGap
		} else if n := len(list); n > 0 && list[n-1].Number {
			rest -= columnGap
		}
		list = append(list, c)
	}
	if rest < leastName*float64(words) {
		return nil
	}
	x := 0.0
	counted := len(list) > 0 && list[0].right > 0 // the first is no name: words share alike
	for i := range list {
		c := &list[i]
		width := rest
		if i > 0 && c.right == 0 && list[i-1].Number {
			x += columnGap
		}
		switch {
		case c.right > 0:
			x, width = x+columnGap, c.right
		case counted:
			width = rest / float64(words)
		case words > 1 && i == 0:
			width = nameShare * rest
		case words > 1:
			width = rest * (1 - nameShare) / float64(words-1)
		}
		c.left, c.right = x, x+width
		x = c.right
	}
	return list
}

// wide is the width that a column of numbers needs.
func (p *Print) wide(t *report.Table, c *printColumn) float64 {
	name := paint.Width(paint.Clean(c.Name), p.Size, true)
	if c.side != nil {
		name += sideMark
	}
	width := math.Min(name, mostHead)
	for _, row := range t.Rows {
		width = math.Max(width, paint.Width(row.Cells[c.index].Words, p.Size, row.Total))
	}
	return width
}

// names heads the columns.
func (p *Print) names(columns []printColumn) {
	line := p.add(p.Line)
	for _, c := range columns {
		room, colour, bold := c.right-c.left, p.Soft, false
		if c.side != nil {
			room, colour, bold = room-sideMark, c.side.Colour, true
		}
		name := strings.Join(p.wrap(c.Name, room, p.Size, bold, 1), "")
		words := p.text(name, c.left, bold, colour)
		words.At.Y += line.top
		if c.Number {
			words.At.X = c.right - paint.Width(name, p.Size, bold)
		}
		if c.side != nil {
			line.sides = append(line.sides, printSide{geom.Vec{X: words.At.X - 9, Y: line.top + p.Line/2}, *c.side})
		}
		line.words = append(line.words, words)
	}
}

// row sets the cells; what belongs to it stands below the second.
func (p *Print) row(t *report.Table, r *report.Row, columns []printColumn, others []int) {
	if r.Total {
		p.rule()
	}
	from := len(p.lines)
	for n, c := range columns {
		cell, colour := &r.Cells[c.index], p.Ink
		if n == 0 && t.Look == report.Plain && !c.Number {
			colour = p.Soft
		}
		lines := []string{cell.Words}
		if !c.Number {
			lines = p.wrap(cell.Words, c.right-c.left-columnGap/2, p.Size, r.Total, cellMost)
		}
		for k, words := range lines {
			for from+k >= len(p.lines) {
				p.add(p.Line)
			}
			text := p.text(words, c.left, r.Total, colour)
			if c.Number {
				text.At.X = c.right - paint.Width(words, p.Size, r.Total)
			}
			line := &p.lines[from+k]
			text.At.Y += line.top
			line.words = append(line.words, text)
		}
		if len(cell.Tracks) > 0 && from < len(p.lines) {
			p.track(&p.lines[from], &cell.Tracks[0], c)
		}
	}
	if len(others) > 0 {
		p.paragraph(cellsOf(t, r, others), columnGap, false, p.Soft)
	}
	p.paragraphs(r.Below(), columns[min(1, len(columns)-1)].left, p.Soft)
	p.told(r, from)
}

// told notes where a row stands whose first line is that.
func (p *Print) told(r *report.Row, line int) {
	if r.Shows != nil && line < len(p.lines) {
		top := p.lines[line].top
		p.Rows = append(p.Rows, PrintedRow{top, p.Height - top, *r.Shows})
	}
}

// track draws the bars of a cell.
func (p *Print) track(line *printLine, t *report.Track, c printColumn) {
	whole := paint.Box{Left: c.left, Right: c.right, Top: line.top + p.Line/4, Bottom: line.top + 3*p.Line/4}
	line.boxes = append(line.boxes, printBox{whole, p.Rule})
	for _, b := range t.Bars {
		part := whole
		part.Left += b.From * whole.Width()
		part.Right = part.Left + b.Width*whole.Width()
		line.boxes = append(line.boxes, printBox{part, p.Soft})
	}
}

// stacked sets the cells of each row with their columns' names below its first one.
func (p *Print) stacked(t *report.Table) {
	shown := t.Shown(report.OnPage)
	for i := range t.Rows {
		r := &t.Rows[i]
		from := len(p.lines)
		first, more := r.Cells[shown[0]].Words, shown[1:]
		if t.Look == report.List && len(more) > 0 {
			first, more = first+"  "+r.Cells[more[0]].Words, more[1:]
		}
		p.paragraph(first, 0, r.Total, p.Ink)
		p.paragraphs(append([]string{cellsOf(t, r, more)}, r.Below()...), columnGap, p.Soft)
		p.told(r, from)
	}
}

// cellsOf are cells of a row with their columns' names.
func cellsOf(t *report.Table, r *report.Row, columns []int) string {
	var cells []string
	for _, n := range columns {
		cells = append(cells, t.Columns[n].Name+": "+r.Cells[n].Words)
	}
	return strings.Join(cells, ", ")
}
