package window

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"chalkfield/render/scene"
	"chalkfield/render/window/canvas"
	"chalkfield/render/window/viewmodel"
)

// foldedLine is one row of the routine's page: a line of the file, or the continuation of one too long for the page.
type foldedLine struct {
	number int // of the file's line, from 1
	first  bool
	last   bool
	text   string
	remark bool // a comment, or the continuation of one
}

// foldKey is what the folding depends on.
type foldKey struct {
	lines   *string // identity of the text
	count   int
	columns int
}

const (
	codeSize = 13.0
	codeRow  = 17.0
	codeLeft = 58.0 // points for the tasks' marks and line numbers
)

// source is the text that the notebook shows: as it is on disk, because that is what the person edits.
func (g *game) source() viewmodel.Source {
	if len(g.model.Text.Lines) > 0 || g.model.Now == nil {
		return g.model.Text
	}
	return g.model.Now.Source
}

// folded wraps the routine's lines to the page, and keeps the result while neither changes.
func (g *game) folded(page Rect) []foldedLine {
	source := g.source()
	if len(source.Lines) == 0 {
		return nil
	}
	columns := g.columns(page)
	key := foldKey{&source.Lines[0], len(source.Lines), columns}
	if key == g.foldKey {
		return g.fold
	}
	g.foldKey, g.fold = key, g.fold[:0]
	for i, line := range source.Lines {
		parts := foldLine(line, columns)
		remark := false
		for k, part := range parts {
			remark = remark || strings.HasPrefix(strings.TrimLeft(part, " "), "--")
			g.fold = append(g.fold, foldedLine{i + 1, k == 0, k == len(parts)-1, part, remark})
		}
	}
	return g.fold
}

// columns is how many letters of code a line of the page has room for.
func (g *game) columns(page Rect) int {
	return max(int((page.W-codeLeft-12)/canvas.MonoAdvance(codeSize, g.density)), 20)
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

// routinePrint is what the routine's page depends on.
func (g *game) routinePrint(page Rect, s *scroll) print {
	content := noPrint.rect(page).number(g.density).number(s.at).text(g.source().Name)
	for _, line := range g.source().Lines {
		content = content.text(line)
	}
	for _, line := range g.litLines() {
		content = content.word(uint64(line))
	}
	if g.model.Fault != nil {
		content = content.text(g.model.Fault.Text)
	}
	return content
}

// faultyLine is the line of an error in the routine shown, 0 for none.
func (g *game) faultyLine() int {
	if f := g.model.Fault; f != nil && (f.In(g.source().Name) || f.In(g.source().Path)) {
		return f.Line
	}
	return 0
}

// drawRoutine draws the routine's text with the lines that run now, and the line of an error. It gives the page's
// height.
func (g *game) drawRoutine(page Rect, s *scroll) float64 {
	lines := g.folded(page)
	if len(lines) == 0 {
		g.words("no routine to show", page.Inset(12).Top(pageRow), normal, false, scene.Dust)
		return 0
	}
	if g.source().Blank() {
		g.words(g.source().Name+": this file is empty", page.Inset(12).Top(pageRow), normal, false, scene.Dust)
		return 0
	}
	lit, faulty := g.litLines(), g.faultyLine()
	y, high := page.Y+4-s.at, 8.0
	for _, line := range lines {
		height := g.lineHeight(line, faulty, page)
		if y >= page.Y-1 && y+codeRow <= page.Bottom() { // no line is cut in half
			g.drawCodeLine(page, y, line, lit, faulty)
		}
		y, high = y+height, high+height
	}
	return high
}

// lineHeight is a row's height: more where an error's message stands under it, which is after the whole of its line.
func (g *game) lineHeight(line foldedLine, faulty int, page Rect) float64 {
	if line.number == faulty && line.last {
		return codeRow + g.faultHeight(page)
	}
	return codeRow
}

// litLines are the lines at which the tasks stand, as long as the text shown is the one that ran.
func (g *game) litLines() []int {
	if g.model.Now == nil || !g.model.Now.Source.Same(g.source()) {
		return nil
	}
	return g.model.Now.LitLines(0, g.model.Time)
}

// followRoutine keeps the main task's line, or an error's, in view while the page follows.
func (g *game) followRoutine(page Rect, s *scroll) {
	wanted := g.faultyLine()
	if wanted == 0 {
		wanted = firstLine(g.litLines())
	}
	if wanted == 0 && g.model.Time == 0 && g.model.Now != nil && g.model.Now.Source.Same(g.source()) {
		wanted = g.model.Now.FirstLine(0) // nothing runs yet: where it will begin
	}
	lines := g.folded(page)
	i := slices.IndexFunc(lines, func(l foldedLine) bool { return l.number == wanted })
	if !g.model.Follows || wanted == 0 || i < 0 {
		return
	}
	s.high = 8
	y, bottom := float64(i)*codeRow, 0.0
	for _, line := range lines {
		s.high += g.lineHeight(line, g.faultyLine(), page)
		if line.number == wanted {
			bottom = s.high
		}
	}
	s.show(y-codeRow, bottom+codeRow, page.H)
}

// firstLine is the line of the first task that stands at one, 0 for none.
func firstLine(lit []int) int {
	for _, line := range lit {
		if line > 0 {
			return line
		}
	}
	return 0
}

func (g *game) drawCodeLine(page Rect, y float64, line foldedLine, lit []int, faulty int) {
	r := Rect{X: page.X + 1, Y: y, W: page.W - 1, H: codeRow}
	letters, numbers := scene.Chalk, scene.Dust
	tasks := tasksAt(lit, line.number)
	if len(tasks) > 2 {
		tasks = []string{fmt.Sprintf("x%d", len(tasks))} // no room for all their numbers
	}
	switch {
	case line.number == faulty:
		g.pen.Rect(r.X, r.Y, r.W, r.H, scene.Chalk)
		letters, numbers = scene.Plate, scene.Plate
	case len(tasks) > 0:
		g.pen.Rect(r.X, r.Y, r.W, r.H, g.chosen())
		numbers = scene.Chalk
	case line.remark:
		letters = scene.Dust
	}
	if line.first {
		g.rightMono(fmt.Sprint(line.number), Rect{X: r.X, Y: r.Y, W: codeLeft - 10, H: r.H}, numbers)
		if len(tasks) > 0 && line.number != faulty {
			g.words(strings.Join(tasks, ","), Rect{X: r.X + 4, Y: r.Y, W: codeLeft - 34, H: r.H}, small, true,
				g.tint.Accent)
		}
	}
	g.mono(line.text, Rect{X: r.X + codeLeft, Y: r.Y, W: r.W - codeLeft, H: r.H}, codeSize, false, letters)
	if line.number == faulty && line.last {
		g.drawFault(page, y+codeRow)
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

func (g *game) rightMono(s string, r Rect, c scene.Colour) {
	width := float64(len(s)) * canvas.MonoAdvance(codeSize, g.density)
	g.mono(s, Rect{X: r.Right() - width, Y: r.Y, W: width, H: r.H}, codeSize, false, c)
}

// faultLines is the error's message wrapped to the page.
func (g *game) faultLines(page Rect) []string {
	columns := g.columns(page)
	var lines []string
	for _, line := range strings.Split(g.model.Fault.Text, "\n") {
		lines = append(lines, foldLine(strings.ReplaceAll(line, "\t", "  "), columns)...)
	}
	const most = 12
	return lines[:min(len(lines), most)]
}

func (g *game) faultHeight(page Rect) float64 {
	return float64(len(g.faultLines(page)))*codeRow + 6
}

// drawFault writes the error's message under its line.
func (g *game) drawFault(page Rect, y float64) {
	lines := g.faultLines(page)
	g.pen.Rect(page.X+1, y, page.W-1, g.faultHeight(page)-2, raised)
	for i, line := range lines {
		g.mono(line, Rect{X: page.X + codeLeft, Y: y + 2 + float64(i)*codeRow, W: page.W - codeLeft, H: codeRow},
			codeSize, true, scene.Chalk)
	}
}
