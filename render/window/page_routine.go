package window

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"chalkfield/render/scene"
	"chalkfield/render/window/canvas"
)

// routinePage shows the routine's text and where it runs.
type routinePage struct {
	*shared
	fold    []foldedLine // the lines as wrapped for the page
	foldKey foldKey
	kept    still
	found   int  // the line that was looked for last, until the page follows the run again; 0: none
	keyed   bool // it was looked for after the pointer had moved last
}

// foldedLine is one row of the routine's page: a line of the file, or the continuation of one too long for the page.
type foldedLine struct {
	number int // of the file's line, from 1
	first  bool
	last   bool
	text   string
	from   int  // letter of the file's line with which the row begins, after its lead
	lead   int  // blanks put before a continuation
	remark bool // a comment, or the continuation of one
}

// foldKey is what the folding depends on.
type foldKey struct {
	lines   *string // identity of the text
	count   int
	columns int
}

const (
	codeSize = 12.0
	codeRow  = 16.0
	codeLeft = 46.0 // points for the tasks' marks and line numbers
)

// folded wraps the routine's lines to the page, and keeps the result while neither changes.
func (p *routinePage) folded(page Rect) []foldedLine {
	source := p.model.Source()
	if len(source.Lines) == 0 {
		return nil
	}
	columns := p.columns(page)
	key := foldKey{&source.Lines[0], len(source.Lines), columns}
	if key == p.foldKey {
		return p.fold
	}
	p.foldKey, p.fold = key, p.fold[:0]
	for i, line := range source.Lines {
		parts := foldLine(line, columns)
		letters, at := []rune(line), 0
		remark := false
		for k, part := range parts {
			remark = remark || strings.HasPrefix(strings.TrimLeft(part, " "), "--")
			lead := 0
			if k > 0 {
				lead = len(part) - len(strings.TrimLeft(part, " "))
				for at < len(letters) && letters[at] == ' ' { // dropped where the line is broken
					at++
				}
			}
			p.fold = append(p.fold, foldedLine{number: i + 1, first: k == 0, last: k == len(parts)-1, text: part, from: at,
				lead: lead, remark: remark})
			at += utf8.RuneCountInString(part) - lead
		}
	}
	return p.fold
}

// columns is how many letters of code a line of the page has room for.
func (p *routinePage) columns(page Rect) int {
	return max(int((page.W-codeLeft-12)/canvas.MonoAdvance(codeSize, p.density)), 20)
}

// foldLine breaks a line at spaces, else after punctuation, where it can; continuations are indented two letters more
// than the line.
func foldLine(line string, columns int) []string {
	indent := len(line) - len(strings.TrimLeft(line, " "))
	lead := strings.Repeat(" ", min(indent+2, columns/2))
	parts := []string{}
	for utf8.RuneCountInString(line) > columns {
		letters := []rune(line)
		start := len(letters) - len([]rune(strings.TrimLeft(line, " ")))
		cut := foldAt(letters, start, columns)
		parts = append(parts, string(letters[:cut]))
		line = lead + strings.TrimLeft(string(letters[cut:]), " ")
	}
	return append(parts, line)
}

// foldAt is where to break a line that is too long: after the last space that leaves two thirds of the row filled, else
// after the last punctuation that a word follows, else after any space, else at the row's end.
func foldAt(letters []rune, start, columns int) int {
	last := func(from, least int, breaks func(k int) bool) int {
		for k := from; k > least; k-- {
			if breaks(k) {
				return k
			}
		}
		return 0
	}
	space := func(k int) bool { return letters[k-1] == ' ' || letters[k] == ' ' }
	mark := func(k int) bool {
		number := letters[k-1] == '.' && k >= 2 && unicode.IsDigit(letters[k-2]) // 1.5 stays whole
		return !inWord(letters[k-1]) && inWord(letters[k]) && letters[k-1] != '\'' && !number
	}
	for _, cut := range []int{last(columns, max(start+1, columns*2/3), space), last(columns, start+1, mark),
		last(columns, start+1, space)} {
		if cut > 0 {
			return cut
		}
	}
	return columns
}

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '_' }

// print is what the routine's page depends on.
func (p *routinePage) print(page Rect, s *scroll) print {
	content := noPrint.rect(page).numbers(s.at).text(p.model.Source().Name).ints(p.found).flag(p.lightsFound())
	for _, line := range p.model.Source().Lines {
		content = content.text(line)
	}
	for _, line := range p.model.LitLines() {
		content = content.ints(line)
	}
	if p.model.Fault != nil {
		content = content.text(p.model.Fault.Text)
	}
	return p.momentPrint(content)
}

// faultyLine is the line of an error in the routine shown, 0 for none.
func (p *routinePage) faultyLine() int {
	if f := p.model.Fault; f != nil && (f.In(p.model.Source().Name) || f.In(p.model.Source().Path)) {
		return f.Line
	}
	return 0
}

// draw shows the text with the lines that run now, and the line of an error. It gives the page's height.
func (p *routinePage) draw(page Rect, s *scroll) float64 {
	lines := p.folded(page)
	if len(lines) == 0 {
		p.words("no routine to show", page.Inset(12).Top(pageRow), normal, false, scene.Dust)
		return 0
	}
	if p.model.Source().Blank() {
		p.words(p.model.Source().Name+": this file is empty", page.Inset(12).Top(pageRow), normal, false, scene.Dust)
		return 0
	}
	lit, faulty := p.model.LitLines(), p.faultyLine()
	return p.rows(page, s, func(y float64, line foldedLine) { p.drawCodeLine(page, y, line, lit, faulty) })
}

// rows goes through the rows that are seen, and gives the page's height.
func (p *routinePage) rows(page Rect, s *scroll, row func(y float64, line foldedLine)) float64 {
	faulty := p.faultyLine()
	y, high := page.Y+4-s.at, 8.0
	for _, line := range p.folded(page) {
		height := p.lineHeight(line, faulty, page)
		if y >= page.Y-1 && y+codeRow <= page.Bottom() { // no line is cut in half
			row(y, line)
		}
		y, high = y+height, high+height
	}
	return high
}

// lineHeight is a row's height: more where an error's message stands under it, which is after the whole of its line.
func (p *routinePage) lineHeight(line foldedLine, faulty int, page Rect) float64 {
	if line.number == faulty && line.last {
		return codeRow + p.faultHeight(page)
	}
	return codeRow
}

// follow keeps the main task's line, or an error's, in view while the page follows.
func (p *routinePage) follow(page Rect, s *scroll) {
	wanted := p.faultyLine()
	if wanted == 0 {
		lit := p.model.LitLines()
		if i := slices.IndexFunc(lit, func(line int) bool { return line > 0 }); i >= 0 { // a task that has not ended
			wanted = lit[i]
		}
	}
	if wanted == 0 && p.model.Time == 0 && p.model.Now != nil && p.model.Now.Source.Same(p.model.Source()) {
		wanted = p.model.Now.FirstLine(0) // nothing runs yet: where it will begin
	}
	lines := p.folded(page)
	i := slices.IndexFunc(lines, func(l foldedLine) bool { return l.number == wanted })
	if !p.model.Follows || wanted == 0 || i < 0 {
		return
	}
	s.high = 8
	y, bottom := float64(i)*codeRow, 0.0
	for _, line := range lines {
		s.high += p.lineHeight(line, p.faultyLine(), page)
		if line.number == wanted {
			bottom = s.high
		}
	}
	s.show(y-codeRow, bottom+codeRow, page.H)
}

// lightsFound reports whether the line that was looked for is lit: as long as the page stays there.
func (p *routinePage) lightsFound() bool {
	_, held := p.model.Held()
	return held || !p.model.Follows
}

func (p *routinePage) drawCodeLine(page Rect, y float64, line foldedLine, lit []int, faulty int) {
	r := Rect{X: page.X + 1, Y: y, W: page.W - 1, H: codeRow}
	letters, numbers := scene.Chalk, scene.Dust
	tasks := tasksAt(lit, line.number)
	if len(tasks) > 2 {
		tasks = []string{fmt.Sprintf("x%d", len(tasks))} // no room for all their numbers
	}
	switch {
	case line.number == faulty:
		p.fill(r, scene.Chalk)
		letters, numbers = scene.Plate, scene.Plate
	case len(tasks) > 0:
		p.fill(r, p.chosen)
		numbers = scene.Chalk
	case line.number == p.found && p.lightsFound(), line.number == p.model.Line():
		p.fill(r, p.hovered)
	case line.remark:
		letters = scene.Dust
	}
	if line.first {
		numbers = p.drawGutter(r, line.number, numbers)
		p.rightMono(fmt.Sprint(line.number), Rect{X: r.X, Y: r.Y, W: codeLeft - 10, H: r.H}, numbers)
		if len(tasks) > 0 && line.number != faulty {
			p.words(strings.Join(tasks, ","), Rect{X: r.X + 4, Y: r.Y, W: codeLeft - 34, H: r.H}, small, true,
				p.accent)
		}
	}
	p.mono(line.text, Rect{X: r.X + codeLeft, Y: r.Y, W: r.W - codeLeft, H: r.H}, codeSize, false, letters)
	if line.number == faulty && line.last {
		p.drawFault(page, y+codeRow)
	}
}

// tasksAt names the tasks that stand at a line: the main one by an arrow, others by their number.
func tasksAt(lit []int, number int) []string {
	var names []string
	for task, line := range lit {
		if line != number || line == 0 {
			continue
		}
		if task == 0 {
			names = append(names, "►")
		} else {
			names = append(names, fmt.Sprint(task))
		}
	}
	return names
}

// faultLines is the error's message wrapped to the page.
func (p *routinePage) faultLines(page Rect) []string {
	columns := p.columns(page)
	var lines []string
	for _, line := range strings.Split(p.model.Fault.Text, "\n") {
		lines = append(lines, foldLine(strings.ReplaceAll(line, "\t", "  "), columns)...)
	}
	const most = 12
	return lines[:min(len(lines), most)]
}

func (p *routinePage) faultHeight(page Rect) float64 {
	return float64(len(p.faultLines(page)))*codeRow + 6
}

// drawFault writes the error's message under its line.
func (p *routinePage) drawFault(page Rect, y float64) {
	lines := p.faultLines(page)
	p.pen.Rect(page.X+1, y, page.W-1, p.faultHeight(page)-2, p.raised)
	for i, line := range lines {
		p.mono(line, Rect{X: page.X + codeLeft, Y: y + 2 + float64(i)*codeRow, W: page.W - codeLeft, H: codeRow},
			codeSize, true, scene.Chalk)
	}
}
